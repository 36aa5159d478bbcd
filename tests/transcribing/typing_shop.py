"""A shop with one platform that is being typed in: parts and the heading of a sheet are there, its wires are not."""

from pathlib import Path

from circuitmap.flows.platforms_there import PlatformsThere
from circuitmap.flows.typing_desk import TypingDesk

FORTY = Path(__file__).parent / "forty_wires" / "plover.circuit"
"""An invented sheet of forty wires, written by hand; `test_keys_of_a_sheet.py` counts them."""
HEADING = 'sheet "61-02" "Tail lift, load area and work lamps"\n'


def begun_shop(root: Path, text: str | None = None) -> Path:
    """The file that is typed into."""
    file = root / "plover" / "plover.circuit"
    file.parent.mkdir()
    whole = FORTY.read_text("utf-8")
    file.write_bytes((whole[: whole.index(HEADING) + len(HEADING)] if text is None else text).encode())
    return file


def opened(root: Path) -> tuple[TypingDesk, str]:
    """The desk, and the key of the one platform."""
    platforms = PlatformsThere(root)
    [one] = platforms.listed()
    return TypingDesk(platforms), one.key


def piece_called(desk: TypingDesk, key: str, sheet: str) -> str:
    return next(its["key"] for its in desk.pieces(key)["pieces"] if its["sheet"] == sheet)
