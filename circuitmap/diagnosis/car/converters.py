"""What is fed by a module that makes its own voltage: before the module another current flows than behind it.

A converter takes about the power that it gives (its own loss is what it draws itself), so the current before it is to
the one behind it as the voltages are the other way round.
"""

from collections.abc import Iterable
from typing import NamedTuple

from circuitmap.circuit.links import NEVER_CROSSED
from circuitmap.diagnosis.car.picture import Flow, FlowKey
from circuitmap.diagnosis.car.ways import CurrentWays
from circuitmap.power.evaluate import Powered
from circuitmap.wiring.parts import Fuse, Terminal
from circuitmap.wiring.platform import Output


class BeforeConverter(NamedTuple):
    """Where the current before a converter can be measured, and how much of the current behind it flows there."""

    module: str
    places: tuple[str, ...]
    share: float


class Converters:
    """The modules of one platform that make a voltage, as the parked vehicle feeds them."""

    def __init__(self, powered: Powered, ways: CurrentWays) -> None:
        platform = powered.circuit.platform
        self._powered = powered
        self.outputs = tuple(its for its in platform.outputs if its.volts and its.action == "feeds")
        self._before: dict[str, BeforeConverter] = {}
        for output in self.outputs:
            pins = [Terminal(output.module, output.source)] if output.source else []
            pins = pins or list(powered.circuit.loads[output.module].supplies)
            found = [way.places for pin in pins if (way := ways.to(pin)) is not None]
            share = output.volts / platform.supply_volts
            self._before[output.contact] = BeforeConverter(output.module, found[0] if found else (), share)
        self._behind: dict[str, BeforeConverter] = {}
        for output in self.outputs:
            for fuse in self._fuses_behind(output):
                self._behind[fuse] = self._before[output.contact]

    def _fuses_behind(self, output: Output) -> Iterable[str]:
        circuit = self._powered.circuit
        start = circuit.number.get(output.terminal)
        seen, todo = {start}, [start] if start is not None else []
        while todo:
            at = todo.pop()
            for i in circuit.at[at]:
                link = circuit.links[i]
                a, b = circuit.ends[i]
                other = b if at == a else a
                if other in seen or link.kind in NEVER_CROSSED or link.kind == "body" or (link.one_way and at == b):
                    continue
                seen.add(other)
                todo.append(other)
                if isinstance(circuit.platform.parts.get(link.part), Fuse):
                    yield link.part

    def before(self, fuse: str) -> BeforeConverter | None:
        """What lies before the converter that a fuse is behind; None for one that a battery feeds."""
        return self._behind.get(fuse)

    def apart(self, flows: Iterable[Flow]) -> tuple[Flow, ...]:
        """The same flows, each that runs through a converter as one behind it and one before it."""
        if not self.outputs:
            return flows if isinstance(flows, tuple) else tuple(flows)
        found: list[Flow] = []
        for flow in flows:
            contacts = [contact for contact in self._before if contact in flow.way.through]
            its = self._before[contacts[0]] if contacts else None
            near = tuple(place for place in flow.way.places if its is not None and place not in its.places)
            if its is None or not near or len(near) == len(flow.way.places):
                found.append(flow)
                continue
            far = tuple(place for place in flow.way.places if place in its.places)
            found += [flow._replace(way=flow.way._replace(places=near)), _scaled(flow, its, far)]
        return tuple(found)


def _scaled(flow: Flow, before: BeforeConverter, places: tuple[str, ...]) -> Flow:
    key = FlowKey(flow.key.owner, f"{flow.key.pin} by way of {before.module}", flow.key.taken)
    share = before.share
    return flow._replace(
        key=key, mean=share * flow.mean, variance=share**2 * flow.variance, way=flow.way._replace(places=places),
        pins=1, whole=(0.0, 0.0), assumed=True,
    )  # fmt: skip
