"""What stands beside a part: its wires, each as far as the next part."""

from collections.abc import Iterator

from circuitmap.circuit.links import Circuit
from circuitmap.circuit.path import Step
from circuitmap.wiring.parts import Fuse, Joint, Terminal


def to_the_next_part(circuit: Circuit, end: Terminal, usable: frozenset[int]) -> Iterator[tuple[Step, ...]]:
    """The wires that leave a terminal, each followed through cavities, splices and fuses to the next part."""
    waiting: list[tuple[Terminal, tuple[Step, ...]]] = [(end, ())]
    seen = {end}
    while waiting:
        here, steps = waiting.pop()
        for link in circuit.links_at(here):
            there = link.other(here)
            if id(link) not in usable:
                continue
            passing = link.kind in ("cavity", "joint", "fuse", "link", "breaker") and steps
            if there in seen or not (passing or link.kind in ("wire", "copper", "chart")):
                continue
            seen.add(there)
            longer = (*steps, Step(link, here == link.a))
            part = circuit.platform.parts.get(there.part)
            if isinstance(part, Fuse) or (isinstance(part, Joint) and part.kind != "bar"):
                waiting.append((there, longer))
            else:
                yield longer
