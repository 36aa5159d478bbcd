"""The answer when nothing draws too much: the limit that the total was held to, whether the meter could tell, and what
is worth doing then, which is no more hunting.

Volts and times are common practice, no source, unless a line says otherwise.
"""

from collections.abc import Sequence
from typing import NamedTuple

from circuitmap.battery.checked import while_charging
from circuitmap.circuit.links import circuit_of
from circuitmap.circuit.over_contacts import over_fewest_contacts
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.diagnosis.seen.should_flow import ShouldFlow
from circuitmap.evidence.battery_seen import fails_charged
from circuitmap.evidence.logs import Log
from circuitmap.evidence.meters import IN_SERIES, MeterKind, meter_named
from circuitmap.evidence.readings import Reading
from circuitmap.power.state import rest_position
from circuitmap.reports.suspects.amounts import ampere, total_is_fine
from circuitmap.reports.suspects.not_known import not_known_sentences
from circuitmap.reports.words.cautions import StepKind, caution_lines, cautions_at
from circuitmap.reports.words.limit_words import how_long_words, limit_figure
from circuitmap.reports.words.paragraphs import counted, joined, table, wrapped
from circuitmap.reports.words.part_words import named
from circuitmap.wiring.parts import Battery, Switch
from circuitmap.wiring.platform import Platform
from circuitmap.wiring.usual import has_engine, has_higher_voltage, limit_of

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


class NoDrawStep(NamedTuple):
    """Something worth doing, with its kinds of step; `outcomes` are what may be seen and what each means."""

    kinds: tuple[StepKind, ...]
    does: str
    outcomes: tuple[tuple[str, str], ...] = ()
    remark: str = ""


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
    lines = [f"NEXT ({'to tell the two apart' if its.beyond else 'to show that nothing draws'})"]
    batteries = [part.name for part in _batteries(platform)]
    for number, step in enumerate(_steps(platform, diagnosis, its), start=1):
        lines += wrapped(step.does, f" {number}  ", "    ", width)
        told = dict.fromkeys(told for kind in step.kinds for told in cautions_at(platform, kind, batteries))
        lines += caution_lines(tuple(told), width)
        lines += [f"     {line}" for line in table(step.outcomes, width - 5)]
        lines += wrapped(step.remark, " " * 6, None, width) if step.remark else []
    return lines


def no_draw_not_known(platform: Platform, diagnosis: Diagnosis) -> list[str]:
    """Which of the readings do not count."""
    gaps = tuple(gap for gap in diagnosis.incomplete if gap.kind in RESTS_ON)
    return not_known_sentences(platform, diagnosis._replace(incomplete=gaps))


def _steps(platform: Platform, diagnosis: Diagnosis, its: NoDraw) -> list[NoDrawStep]:
    limit = _limit(its.held_to, total_is_fine(diagnosis))
    if its.beyond:
        return [step for one in its.beyond for step in _tell_apart(platform, diagnosis, one)]
    several = len(_batteries(platform)) > 1
    a_night = its.watched >= NIGHT
    steps = [] if its.shown or a_night else [_finer_meter(platform, its, limit)]
    untold = next((r for r in diagnosis.netted.totals if r.log is not None and r.log.duration is None), None)
    if not a_night and untold is not None and untold.log is not None:
        steps.append(_how_long(untold.place, untold.log))
    elif not a_night:
        steps.append(
            NoDrawStep(
                ("night-log",),
                "Log the total overnight, locked, nobody near it.  a night",
                ((f"mean {limit} or less", "no draw"), ("more, or in steps", "it draws now and then: see when")),
                "A limit is held against the mean of an hour and three wake-ups at least (common practice, no source).",
            )
        )
    latest = {check.check: check for check in diagnosis.batteries}
    if "test" in latest and not latest["test"].passed:
        steps.insert(0, _FAILED_CHARGED if fails_charged(diagnosis.batteries) else _FAILED)
    elif "test" not in latest:
        steps.append(_battery(platform, its, several))
    volts = latest["charging"].volts if "charging" in latest else None
    if volts is None or while_charging(volts) == "overcharged":
        steps.append(_charging(platform, several))
    steps = [*_not_charged(platform, diagnosis), *steps]
    steps.append(_ASKED)
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
    return steps or [_ASKED]


_ASKED = NoDrawStep(
    (), "Ask what was left on, open or plugged in before it went flat, and how long it had stood.  3 min"
)


_FAILED = NoDrawStep(
    ("charge-battery",),
    "The battery failed its test: charge it full and test it again.  a day",
    (("fails again", "it is the battery"), ("passes", "it was never filled: its charging, or short trips")),
)


_FAILED_CHARGED = NoDrawStep(
    ("charge-battery",),
    "The battery failed its test, and charging it did not help: renew it (mended ..).  30 min",
)


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


def _battery(platform: Platform, its: NoDraw, several: bool) -> NoDrawStep:
    """Volts of a lead-acid battery after a day with its leads off: common practice, no source. AGM 12.8 to 13.2 V when
    full: seen, in a table of state of charge."""
    halves = (
        (("over 0.2 V between two in series", "something at the tap, a bad battery, or no balance"),)
        if has_higher_voltage(platform)
        else ()
    )
    which = "each battery" if several else "the battery"
    each = ", each 12 V battery by itself" if halves else ""
    does = f"harge {which} full, save codes and settings, take both leads off, and read the volts after 24 hours{each}."
    return NoDrawStep(
        ("battery-rest",),
        f"{'C' if its.shown or its.watched >= NIGHT else 'When no draw is shown: c'}{does}  a day",
        (
            ("12.5 V or more, at most 0.1 V lost", "it holds its charge: test it under load"),
            ("under 12.5 V, or over 0.1 V lost", "self-discharge: it is the battery"),
            ("near 10.5 V", "a shorted cell"),
            *halves,
        ),
        "For 12 V wet lead-acid (common practice, no source). AGM stands at 12.8 V and more when full; the volts of a "
        "lithium battery say nothing.",
    )


def _charging(platform: Platform, several: bool) -> NoDrawStep:
    """Charging volts: common practice, no source. Drops: 0.5 V on the plus, 0.2 V on the minus side (seen: texts that
    quote SAE)."""
    twice = 2 if has_higher_voltage(platform) else 1
    runs = "Engine running" if has_engine(platform) else "Ready to drive, or plugged in"
    return NoDrawStep(
        ("charging",),
        f"{runs}, lights on: volts at {'each' if several else 'the'} battery.  5 min",
        (
            (f"{13.8 * twice:g} to {14.8 * twice:g} V", "it is charged. Then ask: short trips never fill it"),
            ("less", "over 0.5 V lost on the plus side or 0.2 V on the minus side: that; else what charges it"),
        ),
        "Volts: common practice, no source. A car that steers its charging may show less for a while.",
    )


def _not_charged(platform: Platform, diagnosis: Diagnosis) -> list[NoDrawStep]:
    """For each battery that was last read as not being charged: the way on which its charge comes, place by place. A
    drop of 0.5 V on the plus side is too much (seen: texts that quote SAE)."""
    latest = {check.battery: check for check in diagnosis.batteries if check.check == "charging"}
    wrong = [n for n, check in latest.items() if check.volts is None or while_charging(check.volts) == "not-charged"]
    steps = []
    for name in wrong:
        ways = over_fewest_contacts(circuit_of(platform), name, lambda part: _charges(platform, part))
        along = [place for way in ways[:1] for place in (str(way.end), *way.parts, str(way.start))]
        told = [place for place in along if diagnosis.hands_off.may_touch(place.partition(".")[0])]
        how = f"along its way: {joined(told)}" if told else "at what charges it, and at each plug and fuse on to it"
        steps.append(
            NoDrawStep(
                ("charging", "live-volts"),
                f"{name} was not charged: while what charges it runs, read the volts {how}.  15 min",
                (
                    ("they fall by over 0.5 V from one to the next", "that piece, where they fall"),
                    ("too low from the first on", "what charges it, or what steers it"),
                    ("all as they should be", "its minus side: over 0.2 V lost there is too much"),
                ),
                "Volts: common practice, no source.",
            )
        )
    return steps


def _charges(platform: Platform, part: str) -> bool:
    its = platform.parts.get(part)
    return its is not None and its.kind == "alternator"


def _batteries(platform: Platform) -> Sequence[Battery]:
    """The batteries that are there whatever equipment is fitted."""
    return [part for part in platform.parts.values() if isinstance(part, Battery) and not part.condition]
