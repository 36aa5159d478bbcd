"""A high peak in the night after mending that is a sound part's own: it wakes by its clock, as typed in, and what it
talks to wakes with it. What came as often before something was mended is not put on it."""

from collections.abc import Collection, Iterator, Mapping
from typing import NamedTuple

from circuitmap.evidence.logged_night import by_the_clock
from circuitmap.evidence.logs import MEAN_OFF, PERIOD_OFF, RISE_OFF, Log
from circuitmap.wiring.fitting import Answer, holds
from circuitmap.wiring.parts import Load, WakesEvery
from circuitmap.wiring.platform import Network, Platform

NEAR_PEAK = 0.5
"""What comes in a recorder's night and is this share of its highest rise, or more, has to be explained (judgement)."""


class ByItsClock(NamedTuple):
    """In the log it rises to `peak` A every `period` minutes, as often as the part or network `name` wakes by its own
    clock; over the floor that is no more than the `most`, in A, that it and what it wakes (`networks`) take awake."""

    name: str
    peak: float
    period: float
    most: float
    networks: tuple[str, ...]


def by_its_clock(
    platform: Platform, log: Log, before: float | None, fitting: Mapping[str, bool], absent: Collection[str]
) -> ByItsClock | None:
    """Whose clock explains the peak of a log; None where none does. `before`: how many minutes lay from one event to
    the next before it was mended: what came as often then, comes still."""
    for name, wakes in _clocks(platform, fitting, absent):
        if before is not None and _is_as_often(wakes, before):
            continue
        networks = _woken(platform, name)
        most = _most_awake(platform, name, networks, fitting, absent)
        if most is not None and _is_all_of_it(platform, log, name, wakes, most, networks):
            its = tuple(network.name for network in networks)
            return ByItsClock(name, log.peak, _apart(log) or wakes.every.low, most, its)
    return None


def _apart(log: Log) -> float | None:
    """How many minutes lie between what rises highest in it, as far as that is even."""
    if log.night is None:
        return log.period
    return max(log.night.kinds, key=lambda kind: kind.amps).period if log.night.kinds else None


def _clocks(
    platform: Platform, fitting: Mapping[str, bool], absent: Collection[str]
) -> Iterator[tuple[str, WakesEvery]]:
    for part in platform.parts.values():
        wakes = part.wakes if isinstance(part, Load) else None
        if wakes is not None and _is_fitted(platform, part.name, fitting, absent):
            yield part.name, wakes
    for network in platform.networks.values():
        if network.wakes is not None:
            yield network.name, network.wakes


def _is_fitted(platform: Platform, name: str, fitting: Mapping[str, bool], absent: Collection[str]) -> bool:
    part = platform.parts.get(name)
    return part is not None and name not in absent and holds(part.condition, dict(fitting)) != Answer.NO


def _is_as_often(wakes: WakesEvery, period: float) -> bool:
    return wakes.every.low * (1 - PERIOD_OFF) <= period <= wakes.every.high * (1 + PERIOD_OFF)


def _woken(platform: Platform, name: str) -> list[Network]:
    """The networks that wake with it."""
    own = platform.networks.get(name)
    if own is not None:
        return [own]
    return [its for its in platform.networks.values() if any(member.part == name for member in its.members)]


def _most_awake(
    platform: Platform, name: str, networks: Collection[Network], fitting: Mapping[str, bool], absent: Collection[str]
) -> float | None:
    """What all that wakes takes at the most; None where one of them says not how much: then nobody knows."""
    names = dict.fromkeys([name, *(member.part for network in networks for member in network.members)])
    fitted = [its for its in names if _is_fitted(platform, its, fitting, absent)]
    awake = [part.awake for its in fitted if isinstance(part := platform.parts[its], Load)]
    if not awake or any(its is None for its in awake):
        return None
    return sum(its.high for its in awake if its is not None)


def _is_all_of_it(
    platform: Platform, log: Log, name: str, wakes: WakesEvery, most: float, networks: Collection[Network]
) -> bool:
    rise = log.peak - log.floor
    if rise > most + RISE_OFF:
        return False
    if log.night is not None:
        high = [kind for kind in log.night.kinds if kind.amps >= NEAR_PEAK * rise]
        return bool(high) and all(name in by_the_clock(platform, kind) for kind in high)
    if log.period is None or not _is_as_often(wakes, log.period):
        return False
    stays_up = max((network.run_on.high for network in networks if network.run_on is not None), default=0.0)
    return log.mean - log.floor <= rise * (wakes.lasts.high + stays_up) / log.period + MEAN_OFF
