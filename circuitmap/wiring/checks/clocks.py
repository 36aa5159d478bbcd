"""What wakes by its own clock sleeps in between."""

from collections.abc import Iterator

from circuitmap.problems import Problem, Severity
from circuitmap.source import Span
from circuitmap.wiring.parts import WakesEvery
from circuitmap.wiring.platform import Platform


def wakings_without_a_pause(platform: Platform) -> Iterator[Problem]:
    """`wakes every 10min for 10min`: it would never sleep, and one of the two is not what the sheet says."""
    clocks: list[tuple[str, WakesEvery | None, Span | None]] = [
        *((load.name, load.wakes, load.declared) for load in platform.loads),
        *((network.name, network.wakes, network.declared) for network in platform.networks.values()),
    ]
    for name, wakes, span in clocks:
        if wakes is not None and span is not None and wakes.lasts.high >= wakes.every.low:
            yield Problem(
                "wakes-always", Severity.WARNING, f"{name} is up for as long as from one waking to the next.", span,
                advice="First how far apart, then how long it is up: wakes every 60min for 90s.",
            )  # fmt: skip
