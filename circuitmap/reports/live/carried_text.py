"""What each battery and fuse carries, as text and as JSON."""

from collections.abc import Mapping
from typing import Any

from circuitmap.power.carried import Carried, carried
from circuitmap.power.classes import LoadClass
from circuitmap.power.evaluate import Powered
from circuitmap.reports.words.paragraphs import joined, listed, shortened
from circuitmap.reports.words.part_words import amps_band

_MOST = 4


def carried_lines(powered: Powered, classes: Mapping[str, LoadClass], width: int) -> list[str]:
    """Only where some current is typed in: nobody needs a list of fuses of which nothing can be said."""
    found = [its for its in _carried(powered, classes) if its.parts]
    rows = [(joined(its.names), _words(its)) for its in found]
    return listed("CURRENT  through each battery and fuse, as far as it is typed in", rows, width)


def _carried(powered: Powered, classes: Mapping[str, LoadClass]) -> tuple[Carried, ...]:
    return carried(powered, {name: its.its == "constant" for name, its in classes.items()})


def _words(its: Carried) -> str:
    whose = f" ({shortened(its.parts, _MOST)})" if its.kind == "fuse" else ""
    together = " together" if len(its.names) > 1 else ""
    words = [f"{amps_band(its.amps)}{together}{whose}"]
    words += [f"and a share of {shortened(its.shared, _MOST)}"] if its.shared else []
    words += [f"not typed in: {shortened(its.untyped, _MOST)}"] if its.untyped else []
    return "; ".join(words)


def carried_json(powered: Powered, classes: Mapping[str, LoadClass]) -> list[dict[str, Any]]:
    return [
        {
            "kind": its.kind,
            "names": list(its.names),
            "amps": [round(its.amps.low, 6), round(its.amps.high, 6)],
            "parts": list(its.parts),
            "untyped": list(its.untyped),
            "shared": list(its.shared),
        }
        for its in _carried(powered, classes)
    ]
