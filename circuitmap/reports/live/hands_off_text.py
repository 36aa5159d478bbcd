"""What of the parts that `live` names nobody touches."""

from collections.abc import Iterator, Sequence

from circuitmap.circuit.hands_off import Untouchable
from circuitmap.power.evaluate import Powered
from circuitmap.power.hot_fuses import hot_fuses
from circuitmap.reports.words.hands_off_words import in_one_line, untouchable_among
from circuitmap.reports.words.paragraphs import section
from circuitmap.wiring.fitting import Answer
from circuitmap.wiring.parts import Terminal


def untouchable_live(powered: Powered, at: Sequence[Terminal] = ()) -> dict[str, Untouchable]:
    """Loads that draw or may, and fuses that are live or may be; or of the single terminals that were asked for."""
    return untouchable_among(powered.circuit.hands_off, map(str, at) if at else _named(powered))


def _named(powered: Powered) -> Iterator[str]:
    yield from (name for name, its in powered.loads.items() if its.draws != Answer.NO)
    yield from (its.name for its in hot_fuses(powered) if its.live != Answer.NO)


def hands_off_lines(powered: Powered, at: Sequence[Terminal], width: int) -> list[str]:
    return section("HANDS OFF", in_one_line(untouchable_live(powered, at)), width)
