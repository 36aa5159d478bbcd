"""Outputs that give as much as is asked for, a blower's regulator or a dimmer, and what lets only a part of a current
through: what is typed in of the load is then the most that flows."""

from collections.abc import Collection, Iterable

from circuitmap.diagnosis.car.picture import Flow, moments
from circuitmap.diagnosis.weighing.log_normal import Spread, spread_of_moments
from circuitmap.wiring.platform import Output, Platform

AS_ASKED = Spread(0.2, 1.0)
"""The share of what is typed in of a load that is asked for: any, and hardly ever more than all of it (judgement)."""
LET_THROUGH = Spread(0.1, 1.3)
"""The same of what an output lets through that nobody asks for: a worn transistor, or water across it (judgement)."""
_BY_OUTPUT = ("as much as", "as asked", "dimm", "stepless", "variable")
_BY_MODULE = ("regulator", "dimmer", "speed control")
_OTHERS = ("window regulator", "voltage regulator")


def gives_as_asked(output: Output, platform: Platform) -> bool:
    """Whether an output gives as much as is asked for, by what the sheet calls it or its module (common practice, no
    source)."""
    its, module = output.description.lower(), platform.parts[output.module].description.lower()
    if any(word in its for word in _BY_OUTPUT):
        return True
    return any(word in module for word in _BY_MODULE) and not any(word in module for word in _OTHERS)


def outputs_as_asked(platform: Platform) -> frozenset[str]:
    """All such outputs."""
    return frozenset(its.contact for its in platform.outputs if gives_as_asked(its, platform))


def as_asked(flows: tuple[Flow, ...], outputs: Collection[str], stuck: Collection[str]) -> tuple[Flow, ...]:
    """Currents of which those that pass such an output flow as it is asked to; one that is stuck closed gives all."""
    asked = frozenset(outputs).difference(stuck)
    if not asked or all(asked.isdisjoint(flow.way.through) for flow in flows):
        return flows
    return tuple(_share(flow, AS_ASKED) if not asked.isdisjoint(flow.way.through) else flow for flow in flows)


def let_through(flows: Iterable[Flow]) -> tuple[Flow, ...]:
    """What is let through of currents that something turned on would take."""
    return tuple(_share(flow, LET_THROUGH) for flow in flows)


def _share(flow: Flow, share: Spread) -> Flow:
    """A share of what a load takes running; of all else, a coil or a module that is fed, as it is."""
    if flow.key.taken != "running":
        return flow
    mean, variance = _part(flow.mean, flow.variance, share)
    return flow._replace(mean=mean, variance=variance, whole=_part(*flow.whole, share))


def _part(mean: float, variance: float, share: Spread) -> tuple[float, float]:
    if mean <= 0.0:
        return mean, variance
    return moments(Spread(spread_of_moments(mean, variance).median * share.median, share.sigma))
