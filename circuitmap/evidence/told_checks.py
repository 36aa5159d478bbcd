"""What a job card says of single parts and batteries besides currents: scans, codes, relays, inputs, what was found by
looking, and the checks of a battery."""

from collections.abc import Callable, Iterable, Iterator
from contextlib import suppress
from dataclasses import dataclass, field, replace
from functools import partial
from typing import TypeVar

from circuitmap.evidence.battery_seen import BatterySeen, checks_of
from circuitmap.evidence.card_text import Text
from circuitmap.evidence.checks_at_parts import InputSeen, InputsTested, PinVolts, RelayVolts, SwitchTested, check_test
from circuitmap.evidence.codes import Code
from circuitmap.evidence.found_there import FoundThere, written_found
from circuitmap.evidence.job_card import Entry, Pair
from circuitmap.evidence.on_charger import OnCharger
from circuitmap.evidence.over_night import OverNight, Stood
from circuitmap.evidence.scans import Reply, ScanReply
from circuitmap.evidence.tested_itself import passed_itself
from circuitmap.evidence.told_car import problem_of
from circuitmap.evidence.written_names import written_code, written_input, written_relay, written_volts
from circuitmap.failures import WrongUse
from circuitmap.problems import Problem
from circuitmap.wiring.names import find_part
from circuitmap.wiring.parts import Switch
from circuitmap.wiring.platform import Platform

Check = TypeVar("Check")


@dataclass
class ToldChecks:
    """The checks as they are told; what makes no sense goes to `problems`."""

    platform: Platform
    problems: list[Problem]
    replies: list[ScanReply] = field(default_factory=list)
    codes: list[Code] = field(default_factory=list)
    relays: list[RelayVolts] = field(default_factory=list)
    inputs: list[InputSeen] = field(default_factory=list)
    volts: list[PinVolts] = field(default_factory=list)
    tested: list[InputsTested] = field(default_factory=list)
    switches: list[SwitchTested] = field(default_factory=list)
    found: list[FoundThere] = field(default_factory=list)
    batteries: list[BatterySeen] = field(default_factory=list)
    on_charger: OnCharger = field(default_factory=OnCharger)
    over_night: OverNight = field(default_factory=OverNight)

    def entry(
        self, entry: Entry, added: tuple[str, ...], out: tuple[str, ...], now: float | None, *, early: bool
    ) -> bool:
        """Reads the checks of an entry; whether a module answered or was called, which wakes the vehicle. `added` are
        the names of what is on no sheet, `out` is what is out at the time, `now` the minute on the card's clock;
        `early`: the vehicle was locked, and is not yet asleep."""
        if entry.state is not None:
            self.on_charger.state(entry.state.value, now)
        self.over_night.entry(entry, connected=not out)
        called = self._scan(entry)
        for text in entry.codes:
            try:
                self.codes.append(replace(written_code(self.platform, text.value), span=text.span))
            except WrongUse as failure:
                self._wrong(failure, text)
        for pair, relay in self._read(entry.relays, partial(written_relay, self.platform)):
            self.relays.append(replace(relay, without=out, span=pair.value.span))
        for pair, seen in self._read(entry.inputs, partial(written_input, self.platform)):
            self.inputs.append(replace(seen, without=out, span=pair.value.span))
        for pair, volts in self._read(entry.volts, partial(written_volts, self.platform)):
            self.volts.append(replace(volts, without=out, span=pair.value.span))
        for pair in entry.tested:
            name, _, what = pair.name.value.strip().rpartition(" ")
            with suppress(WrongUse):  # told with the other tests of the job
                if not name:
                    self._itself(pair, find_part(self.platform, what))
                    continue
                passed, _ = check_test(what, pair.value.value.strip())
                if what == "inputs":
                    part = find_part(self.platform, name)
                    self.tested.append(InputsTested(part=part, fine=passed, span=pair.value.span))
        for pair, found in self._read(entry.found, partial(written_found, self.platform, added=added)):
            self.found.append(replace(found, too_early=early and found.sign == "burning", span=pair.value.span))
        for text, check in checks_of(self.platform, [(pair.name, pair.value) for pair in entry.battery]):
            if isinstance(check, WrongUse):
                self._wrong(check, text)
            else:
                stood = self._stood(check, now)
                charged = self.on_charger.had_charged(now)
                self.batteries.append(replace(check, span=text.span, charged=charged, stood=stood))
        return called

    def _stood(self, check: BatterySeen, now: float | None) -> Stood | None:
        """Volts at rest read a night before, with nothing done since."""
        if check.check != "rest" or check.volts is None:
            return None
        return self.over_night.stood(check.battery, check.volts, check.written, now)

    def _itself(self, pair: Pair, part: str) -> None:
        if isinstance(self.platform.parts[part], Switch):
            fine = passed_itself(self.platform, part, pair.value.value)
            written = f"{pair.name.value} {pair.value.value}"
            self.switches.append(SwitchTested(part=part, fine=fine, written=written, span=pair.value.span))

    def _read(self, pairs: Iterable[Pair], reads: Callable[[str, str], Check]) -> Iterator[tuple[Pair, Check]]:
        """Each pair with what it says; what makes no sense is told with its place."""
        for pair in pairs:
            try:
                yield pair, reads(pair.name.value, pair.value.value)
            except WrongUse as failure:
                self._wrong(failure, pair.value)

    def _scan(self, entry: Entry) -> bool:
        replies: tuple[tuple[tuple[Text, ...], Reply], ...] = (
            (entry.silent, "silent"), (entry.unsteady, "unsteady"), (entry.answers, "answers"),
        )  # fmt: skip
        before = len(self.replies)
        for texts, reply in replies:
            for text in texts:
                try:
                    module = find_part(self.platform, text.value)
                except WrongUse as failure:
                    self._wrong(failure, text)
                    continue
                self.replies.append(ScanReply(module=module, reply=reply, written=text.value, span=text.span))
        return len(self.replies) > before

    def _wrong(self, failure: WrongUse, text: Text) -> None:
        self.problems.append(problem_of(failure, text))
