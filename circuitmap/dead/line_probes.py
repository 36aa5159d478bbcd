"""Where a meter is held to a network's lines: whoever talks is heard there, it is cut off, or it is held down."""

from collections.abc import Sequence

from circuitmap.circuit.one_metal import metal_from
from circuitmap.dead.breaks import Break
from circuitmap.dead.on_the_line import LineCut, OnTheLine
from circuitmap.dead.probes import MOST_POINTS, ProbeStep, Shown, minutes_at, points_at
from circuitmap.wiring.parts import Terminal


def line_steps(on_line: OnTheLine, suspects: Sequence[Break]) -> tuple[ProbeStep, ...]:
    """Steps at the lines of networks that tell some of the suspects apart, none at what is hands-off."""
    circuit = on_line.circuit
    steps = []
    for network, line in on_line.lines.items():
        touched = [its for its in suspects if (cut := on_line.cuts.get(its)) is not None and cut.network == network]
        if not touched or circuit.hands_off.why_not(network) is not None:
            continue
        ends = dict.fromkeys((*points_at(circuit, touched), *_pins(on_line, network)))
        metal = {node for i in line.links for node in circuit.ends[i]}
        own = set(_pins(on_line, network))
        points = [
            its for its in ends
            if (its in own or circuit.number.get(its) in metal) and circuit.hands_off.may_probe(str(its))
        ]  # fmt: skip
        for point in points[:MOST_POINTS]:
            shown = tuple(_shown(on_line, network, its, point) for its in suspects)
            if len(set(shown)) > 1:
                nothing = (None,) * len(suspects)
                steps.append(ProbeStep(point, "", minutes_at(on_line.sound, point), shown, nothing, network))
    return tuple(steps)


def _pins(on_line: OnTheLine, network: str) -> list[Terminal]:
    """The pins of the members on this network, be they wired or not."""
    line = on_line.lines[network]
    return [Terminal(its.part, pin) for its in line.network.members if its.part in line.members for pin in its.pins]


def _shown(on_line: OnTheLine, network: str, its: Break, point: Terminal) -> Shown:
    """What the line shows at a point with this thing interrupted, the network awake. Where no wire is typed in, only
    who is cut off by itself does not hear the others."""
    cut: LineCut | None = on_line.cuts.get(its)
    if cut is None or cut.network != network:
        return "talks"
    if cut.shorted:
        return "shorted"
    number = on_line.circuit.number
    if point not in number:
        return "still" if point.part in cut.silent and its.links else "talks"
    opened = frozenset(its.links)
    near = set(metal_from(on_line.circuit, number[point], on_line.fitting, opened=opened).nodes)
    heard = any(pin.part in cut.talking and number.get(pin) in near for pin in _pins(on_line, network))
    return "talks" if heard else "still"
