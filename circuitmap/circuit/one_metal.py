"""What nothing but wire, splices and plugs joins: one piece of metal."""

from collections.abc import Callable

from circuitmap.circuit.link import Link
from circuitmap.circuit.links import Circuit
from circuitmap.wiring.parts import Load

_KINDS = ("wire", "copper", "chart", "joint", "cavity")


def is_one_metal(circuit: Circuit, link: Link) -> bool:
    """Whether both ends of this link are one piece of metal. A row of a fuse chart that names a load does not say so:
    each of several may mean a pin of its own."""
    if link.kind == "chart":
        return not isinstance(circuit.platform.parts.get(link.b.part), Load)
    return link.kind in _KINDS and link.assumed != "terminal"


def metal_at(circuit: Circuit, start: int, there: Callable[[Link], bool]) -> set[int]:
    """The nodes in one piece of metal with this one, by the links that are `there`."""
    seen, todo = {start}, [start]
    while todo:
        for i in circuit.at[todo.pop()]:
            link = circuit.links[i]
            if is_one_metal(circuit, link) and there(link):
                new = [end for end in circuit.ends[i] if end not in seen]
                seen.update(new)
                todo += new
    return seen
