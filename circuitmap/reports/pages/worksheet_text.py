"""The worksheet as plain text, 100 columns, for a plain printer or a screen."""

from circuitmap.reports.pages.worksheet import CURRENTS, BoxPage, Worksheet, WorksheetRow, drop_words, hanging_words
from circuitmap.reports.words.paragraphs import as_text, section, wrapped

WIDTH = 100
_HANGING = 36


def worksheet_text(worksheet: Worksheet) -> str:
    head = [worksheet.title, "Fuse by fuse, parked.   Locked at ______   Meter ____________   Zero ______ A"]
    care = section("CARE", worksheet.cautions, WIDTH)
    boxes = [_box(box) for box in worksheet.boxes]
    return as_text(head, care, *boxes, section("NOTES", worksheet.notes, WIDTH))


def _box(box: BoxPage) -> list[str]:
    about = ", ".join(word for word in (box.name or "Not in a box", box.description, box.place) if word)
    columns = [f"{current * 1000:.0f} mA" for current in CURRENTS]
    over = _line("", "", "", "mV at", "mV at", "mV at", "0.0")
    head = _line("fuse", "size", "hangs on it, fed how", columns[0], columns[1], columns[2], "hides")
    rule = "-" * WIDTH
    lines = [*wrapped(about.upper(), rest=" ", width=WIDTH), over, head, rule]
    for row in box.rows:
        lines += _row(row)
        lines.append(rule)
    return lines


def _row(row: WorksheetRow) -> list[str]:
    short = row.fuse.name.rpartition(".")[2]
    hanging = [piece for words in hanging_words(row) for piece in wrapped(words, rest="  ", width=_HANGING)]
    size = wrapped(row.size, rest="", width=11)
    drops = drop_words(row.drop)
    count = max(len(hanging), len(size))
    hanging += [""] * (count - len(hanging))
    size += [""] * (count - len(size))
    blanks = "" if not row.is_read else "______ ______ _____"
    a, b, c, hides = drops if row.is_read else ("", "", "", "")
    first = _line(short, size[0], hanging[0], a, b, c, hides, blanks)
    return [first, *(_line("", s, h, "", "", "", "") for s, h in zip(size[1:], hanging[1:], strict=True))]


def _line(fuse: str, size: str, hanging: str, a: str, b: str, c: str, hides: str, blanks: str | None = None) -> str:
    if blanks is None:
        blanks = "read   total  time" if fuse else ""
    return f"{fuse:<6}{size:<12}{hanging:<37}{a:>6}{b:>6}{c:>7}{hides:>7} {blanks}".rstrip()
