"""The rows of a fuse chart that name one load: as long as nobody says more, each feeds a pin of its own."""

from typing import NamedTuple

from circuitmap.circuit.links import Circuit


class LoadRows(NamedTuple):
    """`feeders` are the nodes that the rows begin at, `pins` the supply pins of the load that they may mean."""

    feeders: tuple[int, ...] = ()
    pins: frozenset[int] = frozenset()


class ChartRows:
    """The rows of each load of one circuit that is named in more than one."""

    def __init__(self, circuit: Circuit) -> None:
        self._circuit = circuit
        self._known: dict[str, LoadRows] = {}

    def of(self, load: str) -> LoadRows:
        if load not in self._known:
            self._known[load] = self._find(load)
        return self._known[load]

    def _find(self, load: str) -> LoadRows:
        circuit = self._circuit
        for terminal in circuit.terminals_of.get(load, ()):
            at = circuit.number[terminal]
            feeders, pins = [], {at}
            for i in circuit.at[at]:
                link, (a, b) = circuit.links[i], circuit.ends[i]
                if link.kind == "chart" and b == at:
                    feeders.append(a)
                elif link.kind == "joint" and a == at:
                    pins.add(b)
            if len(feeders) > 1:
                return LoadRows(tuple(feeders), frozenset(pins))
        return LoadRows()
