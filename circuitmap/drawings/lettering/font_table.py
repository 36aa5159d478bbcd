"""Writes `lato_widths.py`, the advance widths that every drawing is measured with.

Run `python -m circuitmap.drawings.lettering.font_table` after the font package changes. Reading a font takes a hundred
milliseconds, a drawing of forty parts takes less than that, so the widths are kept as a table; a test compares the
table with the fonts.
"""

import sys
from pathlib import Path

TABLE = Path(__file__).with_name("lato_widths.py")


def font_file(weight: str) -> Path:
    """The font file of one weight ("Regular" or "Bold"), from the `font-lato` package."""
    import font_lato

    return Path(font_lato.font_directory) / f"Lato-{weight}.ttf"


def widths_of(weight: str) -> dict[int, int]:
    """Code point to advance width in thousandths of the type size, rounded."""
    from fontTools.ttLib import TTFont  # type: ignore[import-untyped]  # it ships no types

    font = TTFont(font_file(weight))
    units = font["head"].unitsPerEm
    advance = font["hmtx"]
    return {
        code: round(advance[glyph][0] * 1000 / units)
        for code, glyph in sorted(font.getBestCmap().items())
        if code >= 0x20
    }


def table_text() -> str:
    """The whole of `lato_widths.py`."""
    lines = [
        '"""Advance widths of Lato in thousandths of the type size. Written by font_table.py: do not edit."""',
        "",
        "# fmt: off",
    ]
    for weight in ("Regular", "Bold"):
        lines.append(f"{weight.upper()}: dict[int, int] = {{")
        row = "   "
        for code, width in widths_of(weight).items():
            entry = f" {code}: {width},"
            if len(row) + len(entry) > 100:
                lines.append(row)
                row = "   "
            row += entry
        lines += [row, "}"]
    return "\n".join(lines) + "\n"


if __name__ == "__main__":
    TABLE.write_text(table_text(), encoding="utf-8")
    sys.stdout.write(f"wrote {TABLE.name}\n")
