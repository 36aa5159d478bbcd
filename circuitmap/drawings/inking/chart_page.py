"""The page round a chart: its title above, the samples of a legend and whole sentences below, all on one sheet."""

from collections.abc import Iterable, Sequence

from circuitmap.drawings.inking.ink import Disc, DrawnText, Ink, Picture, Plate, Role, Stroke
from circuitmap.drawings.lettering.text_width import SMALL, SUBTITLE, TITLE, Style, clean, lines_of, width_of
from circuitmap.drawings.scene.palette import INK, PAPER, SOFT_INK

WIDTH, MARGIN = 760.0, 16.0
_SAMPLE = 23.0
_LONGEST = 6
"""Lines that one sentence below a chart may take."""


def chart_text(
    x: float, y: float, text: str, style: Style, colour: str, role: Role, *, middle: bool = False
) -> DrawnText:
    """One line of type from `x` on, or round it (`middle`)."""
    width = width_of(text, style)
    return DrawnText(x - width / 2 if middle else x, y, text, style, colour, width, role=role)


def chart_title(title: str) -> tuple[list[Ink], float]:
    """The title, and where it ends."""
    ink: list[Ink] = []
    y = MARGIN + 12
    for line in lines_of(clean(title), TITLE, WIDTH - 2 * MARGIN, 3):
        ink.append(chart_text(MARGIN, y, line, TITLE, INK, Role.PAGE))
        y += TITLE.line
    return ink, y


def chart_legend(y: float, samples: Iterable[tuple[Plate | Disc | Stroke, str]]) -> list[Ink]:
    """Samples side by side at `y`, each with what it stands for; they are given as at the left edge, 0."""
    ink: list[Ink] = []
    x = MARGIN
    for sample, words in samples:
        match sample:
            case Plate() | Disc():
                ink.append(sample._replace(x=sample.x + x))
            case Stroke():
                ink.append(sample._replace(points=tuple((at + x, high) for at, high in sample.points)))
        text = chart_text(x + _SAMPLE, y, words, SMALL, SOFT_INK, Role.LEGEND)
        ink.append(text)
        x += _SAMPLE + text.width + 16
    return ink


def chart_page(title: str, ink: Sequence[Ink], bottom: float, below: Sequence[str]) -> Picture:
    """The whole page: what was drawn down to `bottom`, and the sentences below it."""
    its = [*ink]
    y = bottom
    for sentence in below:
        for line in lines_of(clean(sentence), SUBTITLE, WIDTH - 2 * MARGIN, _LONGEST):
            its.append(chart_text(MARGIN, y, line, SUBTITLE, INK, Role.LEGEND))
            y += SUBTITLE.line
        y += 3
    height = y + MARGIN - 8
    paper = Plate(0, 0, WIDTH, height, fill=PAPER, role=Role.PAGE)
    return Picture(WIDTH, height, (paper, *its), clean(title), clean(" ".join(below)))
