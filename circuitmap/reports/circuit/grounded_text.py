"""What is grounded through a part: on a ground point the lugs that can be counted there, apart from what only comes
through them."""

from collections.abc import Iterator, Sequence

from circuitmap.circuit.links import BODY
from circuitmap.circuit.path import Path
from circuitmap.circuit.trace import Lug, Trace
from circuitmap.reports.words.demand_words import demand_words
from circuitmap.reports.words.paragraphs import listed, shortened_or
from circuitmap.reports.words.part_words import condition_words, signal_words, terminal_words, wire_words
from circuitmap.wiring.parts import Load, Part, Terminal
from circuitmap.wiring.platform import Platform


def grounded_lines(platform: Platform, trace: Trace, width: int) -> Iterator[list[str]]:
    lugs = [(wire_words(lug.wire), terminal_words(platform, lug.at), _about_lug(platform, lug)) for lug in trace.lugs]
    yield listed(f"ON THE POINT ITSELF  {len(lugs)}", lugs, width)
    own = {lug.at for lug in trace.lugs}
    rows = [
        (terminal_words(platform, terminal), _about(platform, trace, terminal, paths))
        for terminal, paths in trace.grounded_here
        if terminal not in own
    ]
    yield listed(f"{'COMES OVER THESE WIRES' if lugs else 'GROUNDED THROUGH IT'}  {len(rows)}", rows, width)


def _about_lug(platform: Platform, lug: Lug) -> str:
    part = platform.parts.get(lug.at.part)
    words = (_described(part), signal_words(_role(part, lug.at)), condition_words(lug.wire.condition))
    return "; ".join(word for word in words if word) or "-"


def _about(platform: Platform, trace: Trace, terminal: Terminal, paths: Sequence[Path]) -> str:
    """What the pin is, when it is grounded so, and over which lug of the point."""
    part = platform.parts.get(terminal.part)
    when = dict.fromkeys(demand_words(path.demands) for path in paths)
    says = f"when {shortened_or(list(when), 3)}" if when and all(when) else ""
    says = "lies across it" if terminal in trace.across else says
    ends = dict.fromkeys(end for path in paths if (end := _lug_of(path, trace)))
    by = ["the body" if end == BODY else terminal_words(platform, end) for end in ends]
    over = f"over {shortened_or(by, 3)}" if by else ""
    words = (part.description if part else "", signal_words(_role(part, terminal)), says, over)
    return "; ".join(word for word in words if word) or "-"


def _lug_of(path: Path, trace: Trace) -> Terminal | None:
    """The far end of the wire by which a way comes to the point."""
    if not trace.lugs or trace.part not in path.parts:
        return None
    ends = path.terminals
    at = next(number for number, end in enumerate(ends) if end.part == trace.part)
    return ends[at - 1] if at else None


def _described(part: Part | None) -> str:
    """What it is called and, of what only joins wires, where it sits."""
    if part is None:
        return ""
    return part.description or (f"{part.kind}, {part.place}" if part.place else part.kind)


def _role(part: Part | None, terminal: Terminal) -> str:
    return part.roles.get(terminal.pin, "") if isinstance(part, Load) else ""
