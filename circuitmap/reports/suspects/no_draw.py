"""The answer when nothing draws too much: the limit that the total was held to, whether the meter could tell, and what
is worth doing then, which is no more hunting.

Volts and times are common practice, no source, unless a line says otherwise.
"""

from typing import NamedTuple

from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.diagnosis.seen.should_flow import ShouldFlow
from circuitmap.evidence.logs import Log
from circuitmap.evidence.meters import IN_SERIES, MeterKind, meter_named
from circuitmap.evidence.readings import Reading
from circuitmap.power.state import rest_position
from circuitmap.reports.suspects.amounts import ampere, total_is_fine
from circuitmap.reports.suspects.no_draw_battery import (
    AS_DRIVEN,
    ASKED,
    NoDrawStep,
    charging_steps,
    failed_step,
    is_tested,
    not_charged,
    rested_step,
    step_lines,
)  # fmt: skip
from circuitmap.reports.suspects.not_known import not_known_sentences
from circuitmap.reports.words.limit_words import how_long_words, limit_figure
from circuitmap.reports.words.paragraphs import counted, joined, wrapped
from circuitmap.reports.words.part_words import named
from circuitmap.wiring.parts import Switch
from circuitmap.wiring.platform import Platform
from circuitmap.wiring.usual import limit_of

LIKELY = 0.5
NIGHT, HOUR = 8 * 60.0, 60.0
"""The minutes of log that count as a night's, and the fewest that are held against a limit."""
RESTS_ON = ("set aside", "try not counted", "line unclear")
"""What may be unknown about a total; fuses that were not read, and wires, do not matter to it."""


class NoDraw(NamedTuple):
    """A total within what is allowed to flow. `error`: by how much the meter that read the total can be off; `limit`:
    the platform's own, or (`is_usual`) one that many vehicles are held to; `watched` in minutes. Currents in A.

    Each battery is held to the limit by itself: of several, this is the one that may give most, at `place`, and
    `others` are the rest, each with what it gives. `beyond` are batteries that give more than the sheets say for all
    that is on: what was switched on may take that, or something draws besides. `normal` is the most that is normal at
    `place`."""

    total: float
    error: float
    limit: float
    is_usual: bool
    meter: MeterKind
    watched: float
    place: str = ""
    others: tuple[tuple[str, float], ...] = ()
    beyond: tuple[ShouldFlow, ...] = ()
    normal: float = 0.0

    @property
    def held_to(self) -> float:
        """The limit, or where more than that is normal, by the sheets, as much as that is."""
        return self.limit if self.total <= self.limit + 1e-9 else max(self.limit, self.normal)

    @property
    def shown(self) -> bool:
        """Whether the meter could have told a draw over the limit."""
        return self.total + self.error <= self.held_to + 1e-9


def beyond_normal(diagnosis: Diagnosis) -> float:
    """How much more than normal, in A, the battery gives that gives most beyond that; below zero: all is normal."""
    normal, totals = diagnosis.tests.normal_at, diagnosis.netted.totals
    return max(((r.amps or 0.0) - normal[r.place] for r in totals), default=0.0)


def draws_normally(diagnosis: Diagnosis) -> bool:
    """The total was read and is normal, and nothing else speaks for a draw."""
    account = diagnosis.account
    return (
        account is not None
        and beyond_normal(diagnosis) <= 0.0
        and diagnosis.something_wrong < LIKELY
        and not diagnosis.contradictions
    )


def no_draw_of(platform: Platform, diagnosis: Diagnosis) -> NoDraw | None:
    """The total against its limit, where that is the answer; None where something draws, or where nothing says that
    nothing does."""
    if not draws_normally(diagnosis):
        return None
    totals = diagnosis.netted.totals
    most = max(totals, key=lambda reading: _mean(reading) + _off(reading))
    return NoDraw(
        total=_mean(most),
        error=_off(most),
        limit=limit_of(platform),
        is_usual=platform.limit is None,
        meter=most.meter.kind,
        watched=max((r.log.duration or 0.0 for r in totals if r.log is not None), default=0.0),
        place=most.place if len(totals) > 1 else "",
        others=tuple((reading.place, _mean(reading)) for reading in totals if reading is not most),
        beyond=tuple(one for one in diagnosis.should_flow if one.beyond_what_runs),
        normal=diagnosis.tests.normal_at.get(most.place, diagnosis.tests.normal_up_to),
    )


def _mean(reading: Reading) -> float:
    return reading.log.mean if reading.log is not None else reading.amps or 0.0


def _off(reading: Reading) -> float:
    return reading.half_step + 2.0 * reading.zero


def no_draw_lines(diagnosis: Diagnosis, its: NoDraw, width: int) -> list[str]:
    """The answer, with its limit."""
    fine = total_is_fine(diagnosis)
    total, limit, off = ampere(its.total, fine), _limit(its.limit, fine), ampere(its.error, fine)
    whose = "a usual one, not this vehicle's own" if its.is_usual else "this platform's"
    held = f"the limit is {limit}{' at each battery' if its.place else ''} ({whose})"
    if its.place:
        total = joined([f"{its.place} {total}", *(f"{place} {ampere(amps, fine)}" for place, amps in its.others)])
    if its.beyond:
        says = " ".join(_beyond(one, len(diagnosis.should_flow) > 1, fine) for one in its.beyond)
    elif its.total > its.limit + 1e-9:
        over = f"{its.place} is" if its.place else "That is"
        says = (
            f"NO DRAW FOUND: {total}. {over} over the limit of {limit} ({whose}), but no more than is normal there. "
            f"{_normal_words(diagnosis, its, fine)}"
        )
    elif not its.shown and its.watched >= NIGHT:
        long = counted(round(its.watched / HOUR), "hour")
        says = f"NO DRAW FOUND in {long} of log: {total}, and {held}; this meter can be off {off}."
    elif not its.shown:
        says = f"NO DRAW FOUND, but that is not shown yet: {total}, and {held}; this meter can be off {off}."
    else:
        hours = f" ({counted(round(its.watched / HOUR), 'hour')})" if its.watched >= HOUR else ""
        says = f"NO DRAW FOUND while we watched{hours}: {total}, and {held}."
    return wrapped(says, width=width)


def _limit(amps: float, fine: bool) -> str:
    """A limit with as many digits as it has: 0.035 A is not 0.04 A."""
    return ampere(amps, fine) if fine else limit_figure(amps)


def _normal_words(diagnosis: Diagnosis, its: NoDraw, fine: bool) -> str:
    """Why that is normal: what the sheets give for all that is on, or what the parts may take by what was typed in."""
    on = [one for one in diagnosis.should_flow if one.running is not None and one.place == (its.place or one.place)]
    counted = next((one for one in on if one.running is not None and one.running.counted), None)
    if counted is not None and counted.running is not None:
        runs = joined(counted.running.parts)
        return f"By the sheets it is {ampere(counted.printed, fine)} with {runs} running, as switched on."
    most = ampere(diagnosis.tests.normal_at.get(its.place, diagnosis.tests.normal_up_to), fine)
    run = sorted({name for one in on if one.running is not None for name in one.running.parts})
    how = f"with {joined(run)} running, as switched on" if run else "asleep, as typed in"
    return f"Its parts may take {most} {how}."


def _beyond(one: ShouldFlow, several: bool, fine: bool) -> str:
    assert one.running is not None
    at = f"{one.place} gives " if several else ""
    runs = joined(one.running.parts)
    known, more = ampere(one.printed, fine), ampere(one.beyond_what_runs, fine)
    return (
        f"CAN'T TELL YET: {at}{ampere(one.amps, fine)}, and by the sheets it is {known} with {runs} running, as "
        f"switched on: {more} more. {runs} may take that, or something else draws besides."
    )


def no_draw_next(platform: Platform, diagnosis: Diagnosis, its: NoDraw, width: int) -> list[str]:
    """What is worth doing, in the order in which nothing spoils what comes after it."""
    head = f"NEXT ({'to tell the two apart' if its.beyond else 'to show that nothing draws'})"
    return [head, *step_lines(platform, _steps(platform, diagnosis, its), width)]


def no_draw_not_known(platform: Platform, diagnosis: Diagnosis) -> list[str]:
    """Which of the readings do not count."""
    gaps = tuple(gap for gap in diagnosis.incomplete if gap.kind in RESTS_ON)
    return not_known_sentences(platform, diagnosis._replace(incomplete=gaps))


def _steps(platform: Platform, diagnosis: Diagnosis, its: NoDraw) -> list[NoDrawStep]:
    limit = _limit(its.held_to, total_is_fine(diagnosis))
    if its.beyond:
        return [step for one in its.beyond for step in _tell_apart(platform, diagnosis, one)]
    a_night = its.watched >= NIGHT
    steps = [] if its.shown or a_night else [_finer_meter(platform, its, limit)]
    untold = next((r for r in diagnosis.netted.totals if r.log is not None and r.log.duration is None), None)
    if not a_night and untold is not None and untold.log is not None:
        steps.append(_how_long(untold.place, untold.log))
    elif not a_night:
        steps += [AS_DRIVEN] if diagnosis.unused else []
        steps.append(
            NoDrawStep(
                ("night-log",),
                "Log the total overnight, locked, nobody near it.  a night",
                ((f"mean {limit} or less", "no draw"), ("more, or in steps", "it draws now and then: see when")),
                "A limit is held against the mean of an hour and three wake-ups at least (common practice, no source).",
            )
        )
    failed = failed_step(diagnosis.batteries)
    if failed is not None:
        steps.insert(0, failed)
    elif not is_tested(diagnosis.batteries):
        steps.append(rested_step(platform, its.shown or a_night))
    steps = [*not_charged(platform, diagnosis), *steps, *charging_steps(platform, diagnosis), ASKED]
    if not its.shown and a_night:  # a night's log is more than one more look: what is finer comes last
        steps.append(_finer_meter(platform, its, limit))
    return steps


def _how_long(place: str, log: Log) -> NoDrawStep:
    """Of a log nobody said how long it ran: that is asked before another night goes by."""
    return NoDrawStep(
        (),
        f"How long did the log at {place} run? That is not on the card{how_long_words(log)}: add it again with that "
        "(for 9h) and with its time (--at).  2 min",
        (("8 h or more", "a night: no draw"), ("less", "log the total overnight, locked, nobody near it")),
    )


def _tell_apart(platform: Platform, diagnosis: Diagnosis, one: ShouldFlow) -> list[NoDrawStep]:
    """Whether what runs takes it all, or something else does: the switch, or a clamp round what feeds it."""
    assert one.running is not None
    fine, runs = total_is_fine(diagnosis), joined(one.running.parts)
    rests, over = one.printed - one.running.amps, one.beyond_what_runs
    half = rests + over / 2.0
    steps = []
    switches = (
        (name, platform.parts.get(name)) for name in one.running.switches if diagnosis.hands_off.may_touch(name)
    )
    turned = [(name, rest_position(part)) for name, part in switches if isinstance(part, Switch)]
    if turned:
        does = joined([f"{named(platform, name)} to {position}" for name, position in turned])
        short = " ".join(f"{name} {position}" for name, position in turned)
        steps.append(
            NoDrawStep(
                ("clamp",),
                f"Turn {does}, wait until it is steady, and read {one.place} again (turned {short}).  10 min",
                (
                    (f"under {ampere(half, fine)}", f"{runs} takes more than typed in: look there"),
                    (f"{ampere(half, fine)} or more", "something else draws: leave it off and look for it"),
                ),
            )
        )
    nearest = next((place for place in one.running.places if diagnosis.hands_off.may_clamp(place)), "")
    if nearest:
        takes = one.running.amps + over / 2.0
        steps.append(
            NoDrawStep(
                ("clamp",),
                f"Clamp what feeds {runs} while it runs: at {nearest}, nothing pulled.  5 min",
                (
                    (f"{ampere(takes, fine)} or more", f"{runs} takes more than typed in: look there"),
                    (f"under {ampere(takes, fine)}", "something else draws: look for it"),
                ),
            )
        )
    return steps or [ASKED]


def _finer_meter(platform: Platform, its: NoDraw, limit: str) -> NoDrawStep:
    """A low-current clamp, where it can resolve the limit; several turns of the cable multiply what it shows (seen)."""
    clamp = meter_named("low-current-clamp")
    turns = its.limit - its.total < clamp.counts * clamp.step + 2.0 * clamp.zero
    with_turns = ", several turns of the cable through its jaws (divide by their number)" if turns else ""
    in_range = its.total + its.error < IN_SERIES
    series = (
        ", or with a meter in series, put in beside a fused jumper so that nothing loses its supply"
        if its.meter == "clamp" and not turns and in_range
        else ""
    )
    return NoDrawStep(
        ("clamp", *(("series",) if series else ())),
        f"Read the total again with a low-current clamp (to 1 mA){with_turns}{series}.  5 min",
        ((f"{limit} or less", "no draw"), ("more", "it draws: add that total here, and look for it")),
    )
