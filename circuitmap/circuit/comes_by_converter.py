"""What only a charger's or converter's own output feeds: beside what is live without it, it is nobody's feed."""

from collections.abc import Container, Sequence

from circuitmap.circuit.link import Link
from circuitmap.wiring.platform import Platform


class ByConverter:
    """Where current comes from on a circuit, given by its links with the numbers of their ends, and the links `around`
    each node with the node beyond. `always` are the nodes that are live whatever is switched or fitted."""

    def __init__(
        self,
        platform: Platform,
        links: Sequence[Link],
        around: Sequence[Sequence[tuple[int, int]]],
        always: Container[int],
    ) -> None:
        self._links, self._around, self._always = links, around, always
        self._makes_its_own = {
            output.contact
            for output in platform.outputs
            if output.volts or platform.parts[output.module].kind == "charger"
        }
        self._known: dict[int, bool] = {}

    def feeds(self, node: int) -> bool:
        """Whether nothing but outputs of chargers and converters can feed a node and all that is joined to it by wires
        and fuses alone."""
        if not self._makes_its_own or node in self._always:
            return False
        if node not in self._known:
            self._known[node] = self._is_fed_so(node)
        return self._known[node]

    def _is_fed_so(self, node: int) -> bool:
        found = False
        seen, todo = {node}, [node]
        while todo:
            here = todo.pop()
            for i, there in self._around[here]:
                link = self._links[i] if i < len(self._links) else None
                if link is not None and link.is_gate:
                    if link.contact not in self._makes_its_own:
                        return False  # a contact, or what a module only passes on
                    found = True
                elif there not in self._always and there not in seen:
                    seen.add(there)
                    todo.append(there)
        return found
