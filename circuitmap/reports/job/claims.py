"""What others say they found, and what was measured of it here."""

import re
from collections.abc import Collection, Iterable, Iterator, Mapping
from typing import NamedTuple

from circuitmap.battery.checked import while_charging
from circuitmap.circuit.feeding import SIGNALS, Feeding, feeding_of
from circuitmap.circuit.path import PROTECTIVE, Path
from circuitmap.evidence.called_by_words import called_words
from circuitmap.evidence.checks_at_parts import RelayState
from circuitmap.evidence.evidence import Evidence
from circuitmap.evidence.log_states import tells_of_the_draw
from circuitmap.evidence.readings import Reading
from circuitmap.jobs.job import Job
from circuitmap.jobs.named_in_words import names_in
from circuitmap.jobs.one_try import Verdict
from circuitmap.jobs.told_of import amounts_told, told_of
from circuitmap.jobs.trying import TryVerdict
from circuitmap.reports.job.no_draw_cause_text import check_words
from circuitmap.reports.words.limit_words import ampere_words, is_fine
from circuitmap.reports.words.paragraphs import joined
from circuitmap.wiring.parts import Fuse, Load, Relay, Switch
from circuitmap.wiring.platform import Platform

TELLS: tuple[Verdict, ...] = ("proven", "involved", "part", "own-share", "cleared")
"""What a try of a part must have come to, to say something of what was claimed of that part."""

NOT_AT_FAULT: frozenset[Verdict] = frozenset(("own-share", "cleared"))
"""What a try of a part that is sound comes to."""

MORE_THAN_FLOWS = 1.3
"""What was claimed to flow is more than all that flows from this ratio on: somebody rounds (judgement)."""


class Claim(NamedTuple):
    """What was claimed, as written, and the last try here of each part that it names. `read` is what was read here of
    these parts, in words: the current of a fuse, what the volts at a relay say, a part tested by itself, a fuse that
    feeds it and shows nothing. `too_much`: the amount that it names is more than all that flows, in words. None of
    all that: not measured. A try of a fuse or plug that feeds only what is named counts as one of it. `cause` is what
    was proven instead, where what was named took no more than its share, or nothing, or was in all the while it was
    quiet again: then it is not at fault. `wanted` is what would answer it, where that was not measured."""

    words: str
    tried: tuple[TryVerdict, ...]
    read: tuple[str, ...] = ()
    too_much: str = ""
    cause: tuple[str, ...] = ()
    wanted: str = ""


def claims_on(job: Job) -> Iterator[Claim]:
    added = [part.name for part in job.evidence.added]
    tries = [one for one in (*job.standing.tries, *job.standing.tries_since) if one.verdict in TELLS]
    for entry in job.card.entries:
        if entry.claim is None or entry.struck is not None:
            continue
        words = entry.claim.value
        named = list(dict.fromkeys((*names_in(job.platform, words, added), *told_of(job.platform, words))))
        its = {one.out: one for one in tries if all(_is_of(job, out, named) for out in one.out)}
        settled = {out for one in its.values() if one.verdict in NOT_AT_FAULT for out in one.out}
        charges = is_of_charging(job.platform, words, named)
        asked = [name for name in named if not (charges and _may_charge(job, name))]
        read = (
            says for name in asked
            for says in list(_read_of(job, [name], settled)) or _left_for(job, name, settled)
        )  # fmt: skip
        its_read = dict.fromkeys((*(_charged(job) if charges else ()), *read, *_tested(job, named)))
        wanted = CHARGING_WANTED if charges and not its_read else ""
        cause = _proven_instead(job, named, its.values())
        yield Claim(words, tuple(its.values()), tuple(its_read), _too_much(job, words), cause, wanted)


CHARGING_WANTED = "engine running, volts at the battery"
_CHARGES = re.compile(r"\b(?:charg(?:e|es|ed|ing)|output)\b")
_HELD = re.compile(r"\b(?:hold|holds|held|holding|keeps?|loses?|lost)\b[^,;.]*\bcharge\b")
"""Words of what a battery keeps, not of what fills it (our own choice)."""
CHARGES_IT = ("alternator", "charger", "battery")


def is_of_charging(platform: Platform, words: str, named: Iterable[str]) -> bool:
    """Whether a claim is that the battery is not charged: no reading of the parked vehicle answers that. A part that is
    called so, a charging relay, is no such claim."""
    called = {word for name in named for its in called_words(platform, name) for word in its}
    told = {its[0] for its in _CHARGES.finditer(words.casefold())}
    return bool(told - called) and not _HELD.search(words.casefold())


def _may_charge(job: Job, name: str) -> bool:
    """Whether a claim that it is not charged is one of this part."""
    part = job.platform.parts.get(name)
    return isinstance(part, Fuse) or (part is not None and part.kind in CHARGES_IT)


def _charged(job: Job) -> Iterator[str]:
    """The volts while it was charged, as it came in, and what they say."""
    last = {one.battery: one for one in _as_it_came(job).batteries if one.check == "charging"}
    for one in last.values():
        if one.volts is not None:
            fine = ", it is charged" if while_charging(one.volts) == "charged" else ", as it should not be"
            yield f"{check_words(one)}{fine}"


def _is_of(job: Job, out: str, named: Collection[str]) -> bool:
    """Whether what was out is a part that is named, a plug of it, or a fuse that feeds nothing else."""
    if out in named or (out not in job.platform.parts and out.rpartition(".")[0] in named):
        return True
    if not isinstance(job.platform.parts.get(out), Fuse):
        return False
    feeding = feeding_of(job.circuit, job.evidence.options)
    return any(_feeds_only(feeding, out, name) for name in named)


def _proven_instead(job: Job, named: Collection[str], tries: Iterable[TryVerdict]) -> tuple[str, ...]:
    """What is proven to be the cause, where the tries of what is named say that it is something else, or where that was
    in all the while and with the cause out, or mended, no more is drawn than should be."""
    standing, told = job.standing, {one.verdict for one in tries}
    parts = [job.platform.parts.get(name) for name in named]
    alone = bool(parts) and all(isinstance(its, Load | Switch | Relay) for its in parts)
    if not told <= NOT_AT_FAULT or not (told or (alone and _all_is_gone(job))):
        return ()
    found, leading = standing.found, standing.leading
    if standing.mended:
        proven = found.parts if found is not None and found.grade == "proven" else ()
    else:
        proven = leading.out if leading is not None and leading.verdict == "proven" else ()
    return () if set(proven) & set(named) or standing.stage == "not-repaired" else tuple(proven)


def _all_is_gone(job: Job) -> bool:
    """Whether nothing is left to be drawn with the cause out, or since it was mended, by what was read."""
    standing = job.standing
    if standing.mended:
        quiet = standing.after.quiet or standing.after.shown
        return bool(quiet) and standing.stage in ("mended", "repaired") and not standing.after.went_by_itself
    return standing.is_proven_now


_RELAY_WORDS: dict[RelayState, str] = {
    "open": "open, by its volts", "held": "held in by its coil, by its volts", "stuck": "stuck closed, by its volts",
}  # fmt: skip


def _as_it_came(job: Job) -> Evidence:
    """What was seen before anything was mended."""
    mended = job.standing.mended_entry
    return job.evidence if not mended else job.evidence.told_between(0, job.card.entries[mended - 1].span.start)


def _read_of(job: Job, names: Iterable[str], settled: Collection[str]) -> Iterator[str]:
    """What was read last of each part by itself, of the parked vehicle with all in, before anything was mended; of one
    that cannot be read, what feeds it, where that shows nothing or feeds nothing else. Between two events of what comes
    and goes over a sound floor a fuse shows nothing, whoever it feeds: that answers nothing. Of what is `settled`, by a
    try to be sound, a current is not told: beside the claim it would read as a yes."""
    its = _as_it_came(job)
    telling = tells_of_the_draw(its.readings)
    parked = [r for r in telling if r.speaks == "parked" and not r.without]
    readings = {r.place: r for r in parked if r.amps is not None or r.draws is not None}
    relays = {one.relay: one.state for one in its.relays if not one.without}
    feeding = feeding_of(job.circuit, job.evidence.options)
    for name in names:
        part = job.platform.parts.get(name)
        if name in relays:
            yield f"{name} {_RELAY_WORDS[relays[name]]}"
        if isinstance(part, Fuse) and name in readings:
            if name not in settled or not readings[name].shows_current:
                yield _amount(name, readings[name])
        elif isinstance(part, Load | Relay) or (isinstance(part, Switch) and _is_passed(feeding, name)):
            for fuse in _read_before(feeding, name, readings):
                is_settled = name in settled or fuse in settled
                if not readings[fuse].shows_current or (_feeds_only(feeding, fuse, name) and not is_settled):
                    yield _amount(fuse, readings[fuse])


def _readings_of(job: Job) -> dict[str, Reading]:
    its = [r for r in tells_of_the_draw(_as_it_came(job).readings) if r.speaks == "parked" and not r.without]
    return {r.place: r for r in its if r.amps is not None}


def _left_for(job: Job, name: str, settled: Collection[str]) -> Iterator[str]:
    """Of a part whose own fuse was not read: that what feeds it is accounted for by what others take of it."""
    if name in settled or not isinstance(job.platform.parts.get(name), Load):
        return
    readings, feeding = _readings_of(job), feeding_of(job.circuit, job.evidence.options)
    for above in _read_before(feeding, name, readings):
        whole = readings[above]
        below = [r for place in _read_below(feeding, above, readings) if (r := readings[place]).shows_current]
        taken = sum(r.amps or 0.0 for r in below)
        if below and whole.amps is not None and whole.amps - taken <= LEFT_OVER * whole.amps:
            those = joined([_amount(r.place, r) for r in below])
            yield f"{_amount(above, whole)}, of it {those}: next to nothing is left for {name}"


LEFT_OVER = 0.1
"""The share of what a place carries that is next to nothing (judgement)."""


def _read_below(feeding: Feeding, above: str, readings: Mapping[str, Reading]) -> tuple[str, ...]:
    """The next fuses behind one that were read."""
    found: dict[str, None] = {}
    for taking in feeding.on_fuse.get(above, ()):
        for way in taking.ways_ahead:
            passed = [link.part for link in way.links if link.kind in PROTECTIVE]
            behind = passed[passed.index(above) + 1 :] if above in passed else []
            found |= dict.fromkeys([part for part in behind if part in readings][:1])
    return tuple(found)


def _amount(name: str, reading: Reading) -> str:
    """What was read; where no current can be given, the drop: `FC.FC5 0.0 mV`."""
    if reading.amps is None and reading.drop is not None:
        return f"{name} {1000.0 * reading.drop:.1f} mV"
    return f"{name} {ampere_words(reading.amps, is_fine(reading))}"


def _is_passed(feeding: Feeding, switch: str) -> bool:
    """Whether a switch stuck closed would be seen at the fuse before it: something behind it takes current. A contact
    that gives a module its signal passes next to nothing, and none at all if it wakes nobody."""
    behind = [taking.kind for taking in feeding.passing.get(switch, ()) if taking.part != switch]
    return not set(behind) & set(SIGNALS)


def _read_before(feeding: Feeding, name: str, readings: Mapping[str, Reading]) -> tuple[str, ...]:
    """On each way over a part, or into a switch, the last fuse before it that was read."""
    into = feeding.feeds_of(name) if isinstance(feeding.circuit.platform.parts.get(name), Switch) else ()
    ways = (way for taking in feeding.passing.get(name, ()) for way in taking.ahead(name))
    own = (way for taking in feeding.of_part.get(name, ()) if taking.kind != "coil" for way in taking.ways_ahead)
    nearest = (_last_read(way, name, readings) for way in (*ways, *own, *into))
    return tuple(dict.fromkeys(fuse for fuse in nearest if fuse))


def _last_read(way: Path, name: str, readings: Mapping[str, Reading]) -> str:
    found = ""
    for link in way.links:
        if link.part == name:
            break
        if link.kind in PROTECTIVE and link.part in readings:
            found = link.part
    return found


def _feeds_only(feeding: Feeding, fuse: str, name: str) -> bool:
    return {taking.part for taking in feeding.on_fuse.get(fuse, ())} == {name}


def _tested(job: Job, names: Iterable[str]) -> Iterator[str]:
    """What a part itself, tested apart, was found to be."""
    tests = {test.part: test.passed for test in job.standing.tests if test.what == "itself"}
    yield from (f"{name} tested by itself: {'fine' if tests[name] else 'bad'}" for name in names if name in tests)


def _too_much(job: Job, words: str) -> str:
    """Where the amount that was claimed is more than all that flowed of the parked vehicle."""
    _, total = job.drained
    claimed = max(amounts_told(words), default=0.0)
    if total is None or total.amps is None or total.speaks != "parked" or total.log is not None:
        return ""
    if claimed < MORE_THAN_FLOWS * total.amps + 2.0 * total.zero:
        return ""
    return f"{ampere_words(claimed)} is more than all that flows, {ampere_words(total.amps, is_fine(total))}"
