"""What a finished picture consists of: strokes, outlines, discs and text, in the order they are laid down.

Coordinates are in points, from the top left corner. The outputs (SVG, PNG, PDF) know these five things and nothing
else.
"""

from enum import StrEnum
from typing import NamedTuple

from circuitmap.drawings.lettering.text_width import Style


class Role(StrEnum):
    """What a stroke or text is part of; the outputs ignore it, checks of the picture rely on it."""

    PAGE = "page"
    HALO = "halo"
    WIRE = "wire"
    GAP = "gap"
    RAIL = "rail"
    SYMBOL = "symbol"
    TAG = "tag"
    LEGEND = "legend"


class Stroke(NamedTuple):
    """A line through points. `owner` is the key of the wire it belongs to, if any."""

    points: tuple[tuple[float, float], ...]
    colour: str
    width: float
    dash: tuple[float, ...] = ()
    role: Role = Role.SYMBOL
    owner: str = ""
    round_ends: bool = False


class Outline(NamedTuple):
    """A closed shape."""

    points: tuple[tuple[float, float], ...]
    fill: str = ""
    colour: str = ""
    width: float = 1.0
    dash: tuple[float, ...] = ()
    role: Role = Role.SYMBOL


class Plate(NamedTuple):
    """A rectangle with rounded corners."""

    x: float
    y: float
    width: float
    height: float
    radius: float = 0.0
    fill: str = ""
    colour: str = ""
    line: float = 1.0
    dash: tuple[float, ...] = ()
    role: Role = Role.SYMBOL
    owner: str = ""


class Disc(NamedTuple):
    x: float
    y: float
    radius: float
    fill: str = ""
    colour: str = ""
    line: float = 1.0
    dash: tuple[float, ...] = ()
    role: Role = Role.SYMBOL


class DrawnText(NamedTuple):
    """One line of type. `x`, `y` is the left end of the baseline; `upright` text reads from bottom to top."""

    x: float
    y: float
    text: str
    style: Style
    colour: str
    width: float
    upright: bool = False
    role: Role = Role.SYMBOL
    owner: str = ""


Ink = Stroke | Outline | Plate | Disc | DrawnText


class InkGroup(NamedTuple):
    """The ink from number `first` to before `last` is one thing, a part or a tag, that stands at `x`, `y`."""

    first: int
    last: int
    x: float
    y: float

    def moved(self, by: int, dx: float, dy: float) -> "InkGroup":
        """The same thing somewhere else, in ink that has `by` more before it."""
        return InkGroup(self.first + by, self.last + by, self.x + dx, self.y + dy)


class Picture(NamedTuple):
    """A finished page. `title` and `words` describe it to somebody who cannot see it; `paper` is what it is printed
    on; `groups` are things in it that may look the same elsewhere, in the order of the ink."""

    width: float
    height: float
    ink: tuple[Ink, ...]
    title: str = ""
    words: str = ""
    paper: str = "A4"
    groups: tuple[InkGroup, ...] = ()
