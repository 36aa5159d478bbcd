"""From a job card to evidence: who was asleep at each reading, which meter it was, what was out.

The clock decides what a reading speaks for. After locking, the vehicle needs its time to fall asleep; an opened
door, a key turned, a scan, a part unplugged or put back may have woken it, and the time begins again.
"""

import re
from contextlib import suppress
from dataclasses import dataclass, field, replace
from datetime import datetime

from circuitmap.evidence.card_text import Text
from circuitmap.evidence.checks_at_parts import InputSeen, InputsTested, RelayVolts
from circuitmap.evidence.codes import Code
from circuitmap.evidence.evidence import Evidence
from circuitmap.evidence.job_card import Entry, JobCard, Pair
from circuitmap.evidence.left_alone import LeftAlone
from circuitmap.evidence.meters import Meter, meter_named
from circuitmap.evidence.network_lines import NetworkLine
from circuitmap.evidence.readings import Log, Reading, Speaks
from circuitmap.evidence.scans import Reply, ScanReply
from circuitmap.evidence.told_car import ToldCar, problem_of
from circuitmap.evidence.tries import Try
from circuitmap.evidence.written_names import (
    batteries_of,
    removable,
    written_code,
    written_input,
    written_line,
    written_relay,
)
from circuitmap.evidence.written_readings import amount_of, current_of, place_of, reading_at
from circuitmap.failures import WrongUse
from circuitmap.problems import Problem, Related, Severity
from circuitmap.quantities import QuantityError, read_quantity
from circuitmap.wiring.fitting import Answer, holds
from circuitmap.wiring.names import find_part
from circuitmap.wiring.platform import Platform
from circuitmap.wiring.usual import limit_of, sleep_of

A_DAY = 24 * 60.0

_CLOCK = re.compile(r"(?:(\d{4}-\d{2}-\d{2})[ T])?(\d{1,2}):(\d{2})\Z", re.ASCII)


def evidence_on(platform: Platform, card: JobCard) -> tuple[Evidence, tuple[Problem, ...]]:
    """What the card says of this platform; names and amounts that make no sense are problems."""
    problems: list[Problem] = []
    telling = _Telling(platform, ToldCar(platform, problems), problems)
    telling.car.told_on(card)
    mended = [entry.span.start for entry in card.entries if entry.struck is None and entry.mended is not None]
    for entry in card.entries:
        if entry.struck is None:
            telling.mended = bool(mended) and entry.span.start >= mended[-1]
            telling.entry(entry)
    return telling.evidence(), tuple(problems)


@dataclass
class _Telling:
    """The card as it is told, entry by entry."""

    platform: Platform
    car: ToldCar
    problems: list[Problem]
    readings: list[Reading] = field(default_factory=list)
    tries: list[Try] = field(default_factory=list)
    lines: list[NetworkLine] = field(default_factory=list)
    replies: list[ScanReply] = field(default_factory=list)
    codes: list[Code] = field(default_factory=list)
    relays: list[RelayVolts] = field(default_factory=list)
    inputs: list[InputSeen] = field(default_factory=list)
    tested: list[InputsTested] = field(default_factory=list)
    looked: bool = False
    now: float | None = None
    locked_at: float | None = None
    open: bool = False
    woken_at: float | None = None
    meter: Meter = field(default_factory=lambda: meter_named("clamp"))
    zeroed: dict[str, int] = field(default_factory=dict)
    out: tuple[str, ...] = ()
    out_since: float | None = None
    mended: bool = False
    left_alone: LeftAlone = field(init=False)
    read_here: dict[str, Text] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.left_alone = LeftAlone(sleep_of(self.platform))

    def evidence(self) -> Evidence:
        return Evidence(
            readings=tuple(self.readings), tries=tuple(self.tries), lines=tuple(self.lines),
            replies=tuple(self.replies), codes=tuple(self.codes), added=tuple(self.car.added),
            absent=tuple(self.car.absent),
            relays=tuple(self.relays), inputs=tuple(self.inputs), tested=tuple(self.tested), options=self.car.options,
            positions=self.car.positions, looked=self.looked, out=self.out,
        )  # fmt: skip

    def wrong(self, failure: WrongUse | str, text: Text) -> None:
        self.problems.append(problem_of(failure, text))

    # ---- the clock ----

    def entry(self, entry: Entry) -> None:
        self.clock(entry.at)
        self.read_here = {}
        self.vehicle(entry.state)
        self.left_alone.entry(entry, self.now, self.open)
        self.which_meter(entry)
        self.looked = self.looked or entry.looked
        self.put_back(entry)
        self.take_out(entry)
        total = self.total(entry)
        for pair in entry.read:
            self.reading(pair, entry, total)
        self.log(entry)
        for pair in entry.network:
            self.line(pair)
        self.scan(entry)
        for text in entry.codes:
            self.code(text)
        self.checks(entry)

    def clock(self, at: Text | None) -> None:
        if at is None:
            return
        match = _CLOCK.match(at.value.strip())
        if match is None or int(match[2]) > 23 or int(match[3]) > 59:
            self.wrong("A time is written 10:50, or 2026-11-24 10:50.", at)
            return
        minutes = int(match[2]) * 60.0 + int(match[3])
        if match[1]:
            try:
                day = datetime.strptime(match[1], "%Y-%m-%d").toordinal() * A_DAY
            except ValueError:
                self.wrong(f"There is no day {match[1]}.", at)
                return
        else:
            day = (self.now // A_DAY) * A_DAY if self.now is not None else 0.0
            if self.now is not None and day + minutes < self.now:
                day += A_DAY
        if self.now is not None and day + minutes < self.now:
            advice = "If the clock of the one before it was wrong, strike that one: circuitmap card strike."
            self.wrong(WrongUse("This entry is earlier than the one before it.", advice), at)
            return
        self.now = day + minutes

    def vehicle(self, state: Text | None) -> None:
        if state is None:
            return
        if state.value == "locked":
            self.locked_at, self.open = self.now, False
        elif state.value != "charger off":
            self.woken_at = self.now
            self.open = self.open or state.value in ("opened", "key on")
            if state.value == "key off":
                self.open = self.locked_at is None

    def speaks(self, steady: bool) -> tuple[Speaks, float | None]:
        """What a reading made now speaks for, and the minutes since the vehicle was left alone."""
        sleep = sleep_of(self.platform)
        if self.open:
            return "woken", None
        if self.now is None:
            return "parked", None
        since_locked = self.now - self.locked_at if self.locked_at is not None else None
        since_woken = None
        if self.woken_at is not None and (self.locked_at is None or self.woken_at > self.locked_at):
            since_woken = self.now - self.woken_at
        minutes = since_woken if since_woken is not None else since_locked
        if steady or minutes is None:
            return "parked", minutes
        if since_woken is not None:
            return ("woken" if since_woken < sleep.low else "parked"), minutes
        return ("early" if minutes < sleep.high else "parked"), minutes

    # ---- meters and readings ----

    def which_meter(self, entry: Entry) -> None:
        if entry.meter is not None:
            try:
                kind = entry.meter.value.strip().replace(" ", "-")
                step = current_of(entry.resolution.value)[0] if entry.resolution is not None else None
                self.meter = replace(meter_named(kind, step), zeroed=self.zeroed.get(kind, 0))
            except WrongUse as failure:
                self.wrong(failure, entry.meter)
        elif entry.resolution is not None:
            try:
                self.meter = replace(self.meter, step=current_of(entry.resolution.value)[0])
            except WrongUse as failure:
                self.wrong(failure, entry.resolution)
        if entry.zeroed:
            self.zeroed[self.meter.kind] = self.zeroed.get(self.meter.kind, 0) + 1
            self.meter = replace(self.meter, zeroed=self.zeroed[self.meter.kind])

    def total(self, entry: Entry) -> float | None:
        """The total of this entry, as a reading of its own; with several batteries it would not say which one is
        meant."""
        if entry.total is None:
            return None
        try:
            amount = amount_of(entry.total.value)
            if amount.amps is None:
                raise WrongUse(f"{entry.total.value} is not a current.")
            batteries = self.batteries()
            if len(batteries) > 1:
                names = " or ".join(f"{battery}={entry.total.value}" for battery in batteries)
                raise WrongUse("total is for vehicles with one battery.", f"Name the battery: {names}.")
            if batteries:
                self.read_here[batteries[0]] = entry.total
                self.add(batteries[0], entry.total, entry.total.value, entry, None)
        except WrongUse as failure:
            self.wrong(failure, entry.total)
            return None
        return amount.amps

    def reading(self, pair: Pair, entry: Entry, total: float | None) -> None:
        try:
            place = place_of(self.platform, pair.name.value)
            first = self.read_here.setdefault(place, pair.value)
            if first is pair.value:
                self.add(place, pair.value, pair.name.value, entry, total)
            elif first is not entry.total or first.value != pair.value.value:
                self.problems.append(_read_twice(place, pair, first))
        except WrongUse as failure:
            self.wrong(failure, pair.name if "part" in failure.message else pair.value)

    def add(
        self, place: str, value: Text, name: str, entry: Entry, total: float | None, log: Log | None = None
    ) -> None:
        speaks, minutes = self.speaks(entry.steady)
        written = value.value if name == value.value else f"{name} {value.value}"
        reading = reading_at(
            self.platform, place, amount_of(value.value), self.meter, total=total, minutes=minutes,
            without=self.out, speaks=speaks, watched=entry.steady, log=log, written=written, span=value.span,
        )  # fmt: skip
        before = next((r for r in reversed(self.readings) if r.place == place and not r.without), None)
        if self.mended:
            pass  # from then on another vehicle is read, neither with the part out nor with it in again
        elif self.out and before is not None:
            waited = None if self.now is None or self.out_since is None else self.now - self.out_since
            same = [t for t in self.tries if t.out == self.out and t.after.place == place and t.back is None]
            self.tries = [t for t in self.tries if t not in same]
            self.tries.append(
                Try(out=self.out, before=before, after=reading, waited=waited, written=written, span=value.span)
            )
        elif not self.out and speaks == "parked":
            self.tries = [
                replace(t, back=reading) if t.back is None and t.after.place == place else t for t in self.tries
            ]
        self.readings.append(reading)

    def log(self, entry: Entry) -> None:
        if not entry.log:
            return
        said = {pair.name.value: pair.value for pair in entry.log}
        first = entry.log[0].name
        known = ("place", "floor", "peak", "mean", "period", "for", "rose-first")
        for pair in entry.log:
            if pair.name.value not in known:
                self.wrong(f"{pair.name.value} is not part of a log: {', '.join(known)}.", pair.name)
                return
        try:
            place = self.place_of_log(said.get("place"))
            amps = {key: current_of(said[key].value)[0] for key in ("floor", "peak", "mean") if key in said}
            if len(amps) < 3:
                raise WrongUse("A log has floor, peak and mean.")
            if not amps["floor"] <= amps["mean"] <= amps["peak"]:
                shown = ", ".join(f"{key} {said[key].value}" for key in ("floor", "mean", "peak"))
                raise WrongUse(
                    f"The mean of a log lies between its floor and its peak: {shown}.", "Read the log again."
                )
            rose = place_of(self.platform, said["rose-first"].value) if "rose-first" in said else ""
            log = Log(
                **amps, period=self.minutes(said.get("period")), duration=self.minutes(said.get("for")),
                rose_first=rose, room=self.left_alone.minutes(entry, self.now), limit=limit_of(self.platform),
            )  # fmt: skip
            comes_and_goes = log.comes_and_goes
            self.add(place, said["peak" if comes_and_goes else "mean"], place, entry, None, log)
        except WrongUse as failure:
            self.wrong(failure, first)

    def place_of_log(self, place: Text | None) -> str:
        if place is not None:
            return place_of(self.platform, place.value)
        batteries = self.batteries()
        if len(batteries) != 1:
            names = " or ".join(f"log {battery} floor 0.05A peak 1.2A mean 0.31A" for battery in batteries)
            raise WrongUse("A log says at which place: this platform has more than one battery.", f"Write {names}.")
        return batteries[0]

    def batteries(self) -> list[str]:
        """The batteries that this car has, or may have."""
        conditions = {name: self.platform.parts[name].condition for name in batteries_of(self.platform)}
        return [
            name for name, condition in conditions.items()
            if name not in self.car.absent and holds(condition, self.car.options) != Answer.NO
        ]  # fmt: skip

    def minutes(self, text: Text | None) -> float | None:
        if text is None:
            return None
        try:
            return read_quantity(text.value, "time")
        except QuantityError as error:
            raise WrongUse(str(error)) from None

    # ---- tries ----

    def take_out(self, entry: Entry) -> None:
        names = self.parts(entry.out)
        if names:
            self.out = tuple(dict.fromkeys((*self.out, *names)))
            self.out_since = self.woken_at = self.now

    def put_back(self, entry: Entry) -> None:
        names = self.parts(entry.back)
        if names:
            self.out = tuple(name for name in self.out if name not in names)
            self.out_since = self.woken_at = self.now

    def parts(self, texts: tuple[Text, ...]) -> list[str]:
        found = []
        for text in texts:
            try:
                found.append(removable(self.platform, text.value, [part.name for part in self.car.added]))
            except WrongUse as failure:
                self.wrong(failure, text)
        return found

    # ---- networks, scans, codes ----

    def line(self, pair: Pair) -> None:
        try:
            speaks, minutes = self.speaks(False)
            line = written_line(self.platform, pair.name.value, pair.value.value)
            self.lines.append(replace(line, minutes=minutes, speaks=speaks, without=self.out, span=pair.value.span))
        except WrongUse as failure:
            self.wrong(failure, pair.value)

    def scan(self, entry: Entry) -> None:
        replies: tuple[tuple[tuple[Text, ...], Reply], ...] = (
            (entry.silent, "silent"), (entry.unsteady, "unsteady"), (entry.answers, "answers"),
        )  # fmt: skip
        for texts, reply in replies:
            for text in texts:
                try:
                    module = find_part(self.platform, text.value)
                except WrongUse as failure:
                    self.wrong(failure, text)
                    continue
                self.replies.append(ScanReply(module=module, reply=reply, written=text.value, span=text.span))
                self.woken_at = self.now

    def checks(self, entry: Entry) -> None:
        for pair in entry.relays:
            try:
                relay = written_relay(self.platform, pair.name.value, pair.value.value)
                self.relays.append(replace(relay, span=pair.value.span))
            except WrongUse as failure:
                self.wrong(failure, pair.value)
        for pair in entry.inputs:
            try:
                seen = written_input(self.platform, pair.name.value, pair.value.value)
                self.inputs.append(replace(seen, span=pair.value.span))
            except WrongUse as failure:
                self.wrong(failure, pair.value)
        for pair in entry.tested:
            name, _, what = pair.name.value.strip().rpartition(" ")
            result = pair.value.value.strip()
            if what == "inputs" and result in ("fine", "bad"):
                with suppress(WrongUse):  # told with the other tests of the job
                    part = find_part(self.platform, name)
                    self.tested.append(InputsTested(part=part, fine=result == "fine", span=pair.value.span))

    def code(self, text: Text) -> None:
        try:
            self.codes.append(replace(written_code(self.platform, text.value), span=text.span))
        except WrongUse as failure:
            self.wrong(failure, text)


def _read_twice(place: str, pair: Pair, first: Text) -> Problem:
    return Problem(
        "card-twice", Severity.ERROR, f"{place} stands in this entry a second time.", pair.name.span,
        advice="Which of the two holds? Keep one, or make it a new entry.",
        related=(Related(first.span, "first here"),),
    )  # fmt: skip
