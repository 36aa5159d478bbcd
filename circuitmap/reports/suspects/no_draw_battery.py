"""What is worth doing at the batteries when nothing draws too much: their charge, their test, how they are charged.

Volts and times are common practice, no source, unless a line says otherwise.
"""

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from circuitmap.battery.checked import while_charging
from circuitmap.circuit.links import circuit_of
from circuitmap.circuit.over_contacts import over_fewest_contacts
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.evidence.battery_seen import BatterySeen, fails_charged
from circuitmap.reports.words.cautions import StepKind, caution_lines, cautions_at
from circuitmap.reports.words.paragraphs import joined, table, wrapped
from circuitmap.wiring.parts import Battery
from circuitmap.wiring.platform import Platform
from circuitmap.wiring.usual import has_engine, has_higher_voltage


class NoDrawStep(NamedTuple):
    """Something worth doing, with its kinds of step; `outcomes` are what may be seen and what each means."""

    kinds: tuple[StepKind, ...]
    does: str
    outcomes: tuple[tuple[str, str], ...] = ()
    remark: str = ""


ASKED = NoDrawStep(
    (), "Ask what was left on, open or plugged in before it went flat, and how long it had stood.  3 min"
)


AS_DRIVEN = NoDrawStep(
    ("switch-on",),
    "Use it as the driver does: key on, each consumer once, the season's too, his load, keys and plugged-in things in "
    "it as he leaves them, nothing unplugged and no battery lead off. Then lock it (card: key on, then locked), and "
    "read the total once it is asleep.  15 min",
    (("draws now", "pull and unplug nothing: read the volts first; it may hold itself"), ("as before", "then log it")),
    "On the card nobody has used it yet: what is set up by use, or goes once the supply is parted, is not there "
    "(common practice, no source).",
)


FAILED = NoDrawStep(
    ("charge-battery",),
    "The battery failed its test: charge it full and test it again.  a day",
    (("fails again", "it is the battery"), ("passes", "it was never filled: its charging, or short trips")),
)


FAILED_CHARGED = NoDrawStep(
    ("charge-battery",),
    "The battery failed its test, and charging it did not help: renew it (mended ..).  30 min",
)


def step_lines(platform: Platform, steps: Sequence[NoDrawStep], width: int) -> list[str]:
    """The steps in their order, each with what to take care of and what may be seen."""
    lines: list[str] = []
    batteries = [part.name for part in batteries_there(platform)]
    for number, step in enumerate(steps, start=1):
        lines += wrapped(step.does, f" {number}  ", "    ", width)
        told = dict.fromkeys(told for kind in step.kinds for told in cautions_at(platform, kind, batteries))
        lines += caution_lines(tuple(told), width)
        lines += [f"     {line}" for line in table(step.outcomes, width - 5)]
        lines += wrapped(step.remark, " " * 6, None, width) if step.remark else []
    return lines


def is_tested(checks: Iterable[BatterySeen]) -> bool:
    """Whether a battery was tested."""
    return any(check.check == "test" for check in checks)


def failed_step(checks: Sequence[BatterySeen]) -> NoDrawStep | None:
    """What follows from a test that failed; None if none did."""
    latest = {check.check: check for check in checks}
    if "test" not in latest or latest["test"].passed:
        return None
    return FAILED_CHARGED if fails_charged(checks) else FAILED


def rested_step(platform: Platform, shown: bool) -> NoDrawStep:
    """Volts of a lead-acid battery after a day with its leads off: common practice, no source. AGM 12.8 to 13.2 V when
    full: seen, in a table of state of charge."""
    halves = (
        (("over 0.2 V between two in series", "something at the tap, a bad battery, or no balance"),)
        if has_higher_voltage(platform)
        else ()
    )
    which = "each battery" if len(batteries_there(platform)) > 1 else "the battery"
    each = ", each 12 V battery by itself" if halves else ""
    does = f"harge {which} full, save codes and settings, take both leads off, and read the volts after 24 hours{each}."
    return NoDrawStep(
        ("battery-rest",),
        f"{'C' if shown else 'When no draw is shown: c'}{does}  a day",
        (
            ("12.5 V or more, at most 0.1 V lost", "it holds its charge: test it under load"),
            ("under 12.5 V, or over 0.1 V lost", "self-discharge: it is the battery"),
            ("near 10.5 V", "a shorted cell"),
            *halves,
        ),
        "For 12 V wet lead-acid (common practice, no source). AGM stands at 12.8 V and more when full; the volts of a "
        "lithium battery say nothing.",
    )


def _charging_step(platform: Platform) -> NoDrawStep:
    """Charging volts: common practice, no source. Drops: 0.5 V on the plus, 0.2 V on the minus side (seen: texts that
    quote SAE)."""
    twice = 2 if has_higher_voltage(platform) else 1
    runs = "Engine running" if has_engine(platform) else "Ready to drive, or plugged in"
    return NoDrawStep(
        ("charging",),
        f"{runs}, lights on: volts at {'each' if len(batteries_there(platform)) > 1 else 'the'} battery.  5 min",
        (
            (f"{13.8 * twice:g} to {14.8 * twice:g} V", "it is charged. Then ask: short trips never fill it"),
            ("less", "over 0.5 V lost on the plus side or 0.2 V on the minus side: that; else what charges it"),
        ),
        "Volts: common practice, no source. A car that steers its charging may show less for a while.",
    )


def charging_steps(platform: Platform, diagnosis: Diagnosis) -> list[NoDrawStep]:
    """The volts while it is charged, where they were not read yet, or were too high."""
    latest = {check.check: check for check in diagnosis.batteries}
    volts = latest["charging"].volts if "charging" in latest else None
    return [_charging_step(platform)] if volts is None or while_charging(volts) == "overcharged" else []


def not_charged(platform: Platform, diagnosis: Diagnosis) -> list[NoDrawStep]:
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


def batteries_there(platform: Platform) -> Sequence[Battery]:
    """The batteries that are there whatever equipment is fitted."""
    return [part for part in platform.parts.values() if isinstance(part, Battery) and not part.condition]
