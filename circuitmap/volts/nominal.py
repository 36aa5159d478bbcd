"""The nominal volts of every place: those of the battery, or of the converter, that feeds it."""

from collections.abc import Sequence
from heapq import heappop, heappush

from circuitmap.circuit.links import NEVER_CROSSED, Circuit
from circuitmap.wiring.parts import Battery


class NominalVolts(Sequence[float]):
    """By node. A place that several sources feed has the volts of the one with the fewest contacts on the way; one that
    nothing feeds has the platform's."""

    def __init__(self, circuit: Circuit) -> None:
        self.circuit = circuit
        self.usual = circuit.platform.supply_volts
        sources = dict(_sources(circuit))
        apart = any(volts != self.usual for volts in sources.values())
        self._at = _spread(circuit, sources) if apart else {}

    def __getitem__(self, node: int) -> float:  # type: ignore[override]
        return self._at.get(node, self.usual)

    def __len__(self) -> int:
        return len(self.circuit.nodes)

    def between(self, a: int, b: int) -> float:
        """Of what lies between two nodes, the first of which is mostly the fed one."""
        return self._at.get(a, self._at.get(b, self.usual))


def nominal_volts(circuit: Circuit) -> NominalVolts:
    """Made at the first call and kept for the lifetime of the circuit."""
    return circuit.derived(NominalVolts)


def _sources(circuit: Circuit) -> list[tuple[int, float]]:
    """The pluses of batteries, and what converters make, each with its volts against ground."""
    platform, number = circuit.platform, circuit.number
    found = []
    for end in circuit.supplies:
        battery = platform.parts[end.part]
        volts = battery.volts if isinstance(battery, Battery) and battery.volts else platform.supply_volts
        found.append((number[end], volts / 2 if end.pin == "mid" else volts))
    found += [(number[its.terminal], its.volts) for its in platform.outputs if its.volts and its.terminal in number]
    return found


def _spread(circuit: Circuit, sources: dict[int, float]) -> dict[int, float]:
    """From the sources along all that may conduct, contacts closed, first over the ways with the fewest of them."""
    stops = {circuit.number[end] for end in circuit.returns}
    heap = [(0, order, node, volts) for order, (node, volts) in enumerate(sources.items())]
    order = len(heap)
    found: dict[int, float] = {}
    while heap:
        contacts, _, node, volts = heappop(heap)
        if node in found or node in stops:
            continue
        found[node] = volts
        for i in circuit.at[node]:
            link = circuit.links[i]
            a, b = circuit.ends[i]
            crossed = link.kind in NEVER_CROSSED or (link.output is not None and link.output.volts)
            if crossed or (link.one_way and node == b):
                continue
            order += 1
            heappush(heap, (contacts + bool(link.contact), order, b if node == a else a, volts))
    return found
