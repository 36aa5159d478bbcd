"""Where in the text a problem of the circuit stands: the wires at a terminal, and whether their sheets are whole."""

from collections.abc import Iterable, Iterator

from circuitmap.circuit.links import Circuit
from circuitmap.problems import Severity
from circuitmap.source import Span
from circuitmap.wiring.parts import Terminal
from circuitmap.wiring.platform import Wire
from circuitmap.wiring.whole_sheets import is_whole

_MOST_LISTED = 6


def wires_at(circuit: Circuit, terminals: Iterable[Terminal]) -> Iterator[Wire]:
    """The wires that end at these terminals."""
    for terminal in terminals:
        for link in circuit.links_at(terminal):
            if link.wire is not None:
                yield link.wire


def first_wire(circuit: Circuit, terminals: Iterable[Terminal]) -> Span | None:
    """The first place in the text where a wire to one of these terminals was typed."""
    return min((span for wire in wires_at(circuit, terminals) for span in wire.spans), default=None)


def severity_by_sheets(circuit: Circuit, wires: Iterable[Wire]) -> Severity:
    """A warning where every sheet that shows these wires is whole, else a note: the rest may not be typed in yet."""
    sheets = {sheet for wire in wires for sheet in wire.sheets or ("",)}
    return Severity.WARNING if is_whole(circuit.platform, sheets) else Severity.NOTE


def listed(names: Iterable[str]) -> str:
    """`A, B and C`, cut off where it would get long."""
    known = list(dict.fromkeys(names))
    if len(known) > _MOST_LISTED:
        return ", ".join(known[: _MOST_LISTED - 1]) + f" and {len(known) - _MOST_LISTED + 1} more"
    return known[0] if len(known) == 1 else ", ".join(known[:-1]) + " and " + known[-1]
