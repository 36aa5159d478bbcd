"""How long a parked vehicle has stood as it is: what its sheets say goes on for minutes only is over by then."""

from collections.abc import Iterator

from circuitmap.power.for_a_time import in_steps
from circuitmap.quantities import Band
from circuitmap.wiring.parts import Load
from circuitmap.wiring.platform import Platform
from circuitmap.wiring.usual import USUAL_SLEEP, sleep_of


def usually_stood(platform: Platform) -> float:
    """Minutes of a vehicle of which nobody says how long it has stood: it should sleep by now, and most others
    would, too."""
    return max(sleep_of(platform).high, USUAL_SLEEP.high)


def as_it_matters(platform: Platform, stood: float) -> float:
    """The same for all times between which nothing comes to its end."""
    return in_steps(stood, _all_lasting(platform))


def _all_lasting(platform: Platform) -> Iterator[Band]:
    yield from (output.lasts for output in platform.outputs if output.lasts is not None)
    for part in platform.parts.values():
        if isinstance(part, Load):
            yield from part.lasts.values()
