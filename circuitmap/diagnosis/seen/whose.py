"""Whose is what comes and goes? By its clock, by the step of falling asleep that is as high; by its height, weakly.

Height alone tells little: of simulated events the nearest typed current was the right one in six of ten. So all that
fit are counted, and none is chosen.
"""

from collections.abc import Iterable, Sequence
from math import log as ln
from math import sqrt
from typing import NamedTuple

from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.evidence.logged_night import AMPS_OFF, LoggedKind, LoggedNight, LoggedStep, by_the_clock
from circuitmap.evidence.logs import late_steps
from circuitmap.wiring.parts import Load
from circuitmap.wiring.platform import Platform

STEP_OFF = 1.5
"""Minutes by which a step of falling asleep may come beside the time that is typed in: it was locked by hand."""
FITS, HEIGHT_OFF = 1.5, 0.03
"""Standard deviations within which a height fits what something should take, and the clamp's error in proportion."""
MOST_TOLD = 3
VAGUE = 0.5
"""An amount that is not known better than by this share of itself fits nearly any height (judgement)."""


class HeightFit(NamedTuple):
    """What should take about as much: a network kept awake, or a part; its mean and standard deviation in A.
    `assumed`: the amount is not transcribed."""

    about: str
    amps: float
    error: float
    assumed: bool


class Whose(NamedTuple):
    """What is known of whose an event, or what came on, is. `number` is the event's on the card, 0 for what came on and
    stayed, or ran on; `by_clock` are those typed in to wake so, `step` the fall of the same night that is as high,
    `by_step` those that are typed in to fall asleep then; `by_height` those that fit best, `more` how many besides."""

    number: int
    amps: float
    by_clock: tuple[str, ...] = ()
    step: LoggedStep | None = None
    by_step: tuple[str, ...] = ()
    by_height: tuple[HeightFit, ...] = ()
    more: int = 0


def asleep_then(platform: Platform, minutes: float) -> tuple[str, ...]:
    """The parts and networks that are typed in to stay up so long after locking."""
    timed = [(part.name, part.run_on) for part in platform.parts.values() if isinstance(part, Load)]
    timed += [(network.name, network.run_on) for network in platform.networks.values()]
    return tuple(
        name for name, its in timed if its is not None and its.low - STEP_OFF <= minutes <= its.high + STEP_OFF
    )


def whose_of(platform: Platform, faults: Sequence[Fault], night: LoggedNight) -> tuple[Whose, ...]:
    """For each kind of event, and for what stayed on, whose it may be."""
    known = _heights(faults)
    found = [_whose(platform, number, kind, night, known) for number, kind in enumerate(night.kinds, 1)]
    for step in (*night.still_on, *late_steps(platform, night)):
        fits = _fits(step.amps, known)
        found.append(Whose(0, step.amps, by_height=tuple(fits[:MOST_TOLD]), more=max(0, len(fits) - MOST_TOLD)))
    return tuple(found)


def whose_over(amps: float, faults: Sequence[Fault], places: Sequence[str] = ()) -> Whose:
    """Whose a current in A may be that comes over a floor, where only figures are known: of what passes all of some
    `places` at which it was seen to rise."""
    there = [f for f in faults if all(any(place in flow.way.places for flow in f.brings) for place in places)]
    fits = _fits(amps, _heights(there))
    return Whose(0, amps, by_height=tuple(fits[:MOST_TOLD]), more=max(0, len(fits) - MOST_TOLD))


def _whose(platform: Platform, number: int, kind: LoggedKind, night: LoggedNight, known: Sequence[HeightFit]) -> Whose:
    step = night.as_fell(kind.amps)
    fits = _fits(kind.amps, known)
    return Whose(
        number,
        kind.amps,
        by_the_clock(platform, kind),
        step,
        asleep_then(platform, step.minutes) if step is not None else (),
        tuple(fits[:MOST_TOLD]),
        max(0, len(fits) - MOST_TOLD),
    )


_OWN_AMOUNT = ("keeps-awake", "wrong-input", "lamp", "contact")
"""Kinds of fault that bring a current of which something is known; of the others it may be any."""


def _heights(faults: Iterable[Fault]) -> tuple[HeightFit, ...]:
    """What each network, contact and part brings, each once."""
    found: dict[tuple[str, float], HeightFit] = {}
    for fault in faults:
        if fault.kind in _OWN_AMOUNT and fault.brings:
            mean = sum(flow.mean for flow in fault.brings)
            error = sqrt(sum(flow.variance for flow in fault.brings))
            assumed = any(flow.assumed for flow in fault.brings)
            found.setdefault((fault.about, round(mean, 4)), HeightFit(fault.about, mean, error, assumed))
    return tuple(found.values())


def _fits(amps: float, known: Iterable[HeightFit]) -> list[HeightFit]:
    """Those that a height fits, the likeliest first; each network or part once."""
    scored: list[tuple[float, str, HeightFit]] = []
    for one in known:
        error = sqrt(one.error**2 + (HEIGHT_OFF * amps) ** 2 + AMPS_OFF**2)
        off = abs(amps - one.amps) / error
        if off <= FITS:
            scored.append((off * off / 2 + ln(error), one.about, one))
    best: dict[str, HeightFit] = {}
    for _, about, one in sorted(scored):
        best.setdefault(about, one)
    return sorted(best.values(), key=lambda one: one.error > VAGUE * one.amps)  # what may be anything stands last
