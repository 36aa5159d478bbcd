"""What others say they found, and what was measured of it here."""

from collections.abc import Collection, Iterable, Iterator, Mapping
from typing import NamedTuple

from circuitmap.circuit.feeding import SIGNALS, Feeding, feeding_of
from circuitmap.circuit.path import PROTECTIVE, Path
from circuitmap.evidence.checks_at_parts import RelayState
from circuitmap.evidence.evidence import Evidence
from circuitmap.evidence.log_states import tells_of_the_draw
from circuitmap.evidence.readings import Reading
from circuitmap.jobs.job import Job
from circuitmap.jobs.named_in_words import names_in
from circuitmap.jobs.one_try import Verdict
from circuitmap.jobs.told_of import amounts_told, told_of
from circuitmap.jobs.trying import TryVerdict
from circuitmap.reports.words.limit_words import ampere_words, is_fine
from circuitmap.wiring.parts import Fuse, Load, Relay, Switch

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
    was proven instead, where what was named took no more than its share, or nothing: then it is not at fault."""

    words: str
    tried: tuple[TryVerdict, ...]
    read: tuple[str, ...] = ()
    too_much: str = ""
    cause: tuple[str, ...] = ()


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
        its_read = dict.fromkeys((*_read_of(job, named, settled), *_tested(job, named)))
        cause = _proven_instead(job, named, its.values())
        yield Claim(words, tuple(its.values()), tuple(its_read), _too_much(job, words), cause)


def _is_of(job: Job, out: str, named: Collection[str]) -> bool:
    """Whether what was out is a part that is named, a plug of it, or a fuse that feeds nothing else."""
    if out in named or (out not in job.platform.parts and out.rpartition(".")[0] in named):
        return True
    if not isinstance(job.platform.parts.get(out), Fuse):
        return False
    feeding = feeding_of(job.circuit, job.evidence.options)
    return any(_feeds_only(feeding, out, name) for name in named)


def _proven_instead(job: Job, named: Collection[str], tries: Iterable[TryVerdict]) -> tuple[str, ...]:
    """What is proven to be the cause, where the tries of what is named say that it is something else."""
    standing, told = job.standing, {one.verdict for one in tries}
    if not told or not told <= NOT_AT_FAULT:
        return ()
    found, leading = standing.found, standing.leading
    if standing.mended:
        proven = found.parts if found is not None and found.grade == "proven" else ()
    else:
        proven = leading.out if leading is not None and leading.verdict == "proven" else ()
    return () if set(proven) & set(named) or standing.stage == "not-repaired" else tuple(proven)


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
