"""Many drawings for one HTML page, written small: what looks the same is there once.

The symbol of a part with its lettering, and the tag of a wire, are shapes of the page that every drawing uses; looks
are classes of its style; lines of one look are one path, as long as nothing that lies between them is covered.
Attributes stand without quotes, which HTML allows. Texts are escaped, never markup.
"""

from collections.abc import Sequence
from itertools import pairwise
from string import ascii_lowercase

from circuitmap.drawings.files.svg import escaped
from circuitmap.drawings.inking.ink import Disc, DrawnText, Ink, Outline, Picture, Plate, Role, Stroke
from circuitmap.drawings.inking.paint import moved

_TOO_SHORT = 12.0
"""Points: a text as short as this is not wider by more than a point in any usual font."""
_LOOKED_BACK = 500
"""How many pieces before it a line is compared with to find one of its look (judgement: most drawings have fewer, and
in others the page only becomes a little longer)."""
Room = tuple[float, float, float, float]


class SharedDrawings:
    """Collects what the drawings of one page have in common while they are written."""

    def __init__(self) -> None:
        self._classes: dict[str, str] = {}
        self._shapes: dict[str, str] = {}

    def svg_of(self, picture: Picture) -> str:
        """One drawing, to stand in the page together with `shapes` and `style`."""
        width, height = _number(picture.width), _number(picture.height)
        body: list[str] = []
        done = 0
        for group in picture.groups:
            body.append(self._written(picture.ink[done : group.first]))
            body.append(self._use(picture.ink[group.first : group.last], group.x, group.y))
            done = group.last
        body.append(self._written(picture.ink[done:]))
        return (
            f'<svg width={width}pt height={height}pt viewBox="0 0 {width} {height}" role=img>'
            f"<title>{escaped(picture.title)}</title>{''.join(body)}</svg>"
        )

    @property
    def shapes(self) -> str:
        """What the drawings use, in a picture of its own that is not seen."""
        inside = "".join(f"<g id={name}>{text}</g>" for text, name in self._shapes.items())
        return f"<svg class=shapes width=0 height=0 aria-hidden=true><defs>{inside}</defs></svg>" if inside else ""

    @property
    def style(self) -> str:
        return "".join(f".{name}{{{looks}}}\n" for looks, name in self._classes.items())

    def _use(self, ink: Sequence[Ink], x: float, y: float) -> str:
        """A use of the shape that this ink is, seen from `x`, `y`. A plate with a word on it is a shape in it."""
        written, done = "", 0
        own = [moved(piece, -x, -y) for piece in ink]
        for at, (one, two) in enumerate(pairwise(own)):
            plated = isinstance(one, Plate) and one.role is Role.TAG and not one.colour and isinstance(two, DrawnText)
            if plated and isinstance(one, Plate) and len(own) > 2:
                written += self._written(own[done:at]) + self._use(own[at : at + 2], one.x, one.y)
                done = at + 2
        written += self._written(own[done:])
        name = self._shapes.setdefault(written, f"d{_short_name(len(self._shapes))}")
        return f"<use href=#{name}{_at(x, y)} />"

    def _class(self, looks: str) -> str:
        return self._classes.setdefault(looks, _short_name(len(self._classes)))

    def _written(self, ink: Sequence[Ink]) -> str:
        """Elements in the order of the ink. A path takes up a later line of its look if nothing between is covered."""
        paths: list[tuple[str, list[str], list[Room]]] = []
        for piece in ink:
            if isinstance(piece, Plate) and piece.role is Role.PAGE:
                continue  # the paper
            looks, text = self._element(piece)
            room = _room(piece)
            left = _LOOKED_BACK
            for at in range(len(paths) - 1, -1, -1):
                if looks and paths[at][0] == looks:
                    paths[at][1].append(text)
                    paths[at][2].append(room)
                    break
                left -= len(paths[at][2])
                if left < 0 or any(_overlap(room, other) for other in paths[at][2]):
                    paths.append((looks, [text], [room]))
                    break
            else:
                paths.append((looks, [text], [room]))
        return "".join(f'<path class={looks} d="{"".join(d)}"/>' if looks else "".join(d) for looks, d, _ in paths)

    def _element(self, ink: Ink) -> tuple[str, str]:
        """The class and piece of a path for what is one; no class and the whole element for anything else."""
        match ink:
            case Stroke():
                ends = ";stroke-linecap:round" if ink.round_ends else ""
                return self._class(f"fill:none;{_line(ink.colour, ink.width, ink.dash)}{ends}"), _path(ink.points)
            case Outline():
                looks = f"fill:{ink.fill or 'none'};{_line(ink.colour, ink.width, ink.dash)}"
                return self._class(looks), f"{_path(ink.points)}z"
            case Plate():
                looks = self._class(f"fill:{ink.fill or 'none'};{_line(ink.colour, ink.line, ink.dash)}")
                x, y, width, height = map(_number, (ink.x, ink.y, ink.width, ink.height))
                if not ink.radius:
                    return looks, f"M{x} {y}h{width}v{height}h-{width}z"
                rx = _number(ink.radius)
                return "", f"<rect class={looks}{_at(ink.x, ink.y)} width={width} height={height} rx={rx} />"
            case Disc():
                looks = self._class(f"fill:{ink.fill or 'none'};{_line(ink.colour, ink.line, ink.dash)}")
                r, x, y = _number(ink.radius), _number(ink.x - ink.radius), _number(ink.y)
                across = _number(2 * ink.radius)
                return looks, f"M{x} {y}a{r} {r} 0 1 0 {across} 0a{r} {r} 0 1 0-{across} 0z"
            case DrawnText():
                weight = ";font-weight:700" if ink.style.bold else ""
                looks = self._class(f"font-size:{_number(ink.style.size)}px;fill:{ink.colour}{weight}")
                x, y = _number(ink.x), _number(ink.y)
                turn = f' transform="rotate(-90 {x} {y})"' if ink.upright else ""
                # The measured width is pinned, so that text in another font cannot run into its neighbours.
                pinned = f" textLength={round(ink.width)}" if ink.width > _TOO_SHORT else ""
                return "", f"<text class={looks} x={x} y={y}{pinned}{turn}>{escaped(ink.text)}</text>"


def _number(value: float) -> str:
    """At most one decimal; never `-0`."""
    text = f"{value:.1f}".removesuffix(".0")
    return "0" if text == "-0" else text


def _at(x: float, y: float) -> str:
    """Attributes of a place; 0 need not be said."""
    return "".join(f" {name}={text}" for name, text in (("x", _number(x)), ("y", _number(y))) if text != "0")


def _short_name(number: int) -> str:
    """a, b, ... z, aa, ab, ...: no class of the page is so short."""
    first, second = divmod(number, len(ascii_lowercase))
    return (_short_name(first - 1) if first else "") + ascii_lowercase[second]


def _path(points: tuple[tuple[float, float], ...]) -> str:
    written = [(_number(x), _number(y)) for x, y in points]
    x, y = written[0]
    parts = [f"M{x} {y}"]
    for new_x, new_y in written[1:]:
        parts.append(f"V{new_y}" if new_x == x else f"H{new_x}" if new_y == y else f"L{new_x} {new_y}")
        x, y = new_x, new_y
    return "".join(parts)


def _line(colour: str, width: float, dash: tuple[float, ...]) -> str:
    if not colour:
        return "stroke:none"
    dashes = f";stroke-dasharray:{','.join(_number(d) for d in dash)}" if dash else ""
    return f"stroke:{colour};stroke-width:{_number(width)}{dashes}"


def _room(ink: Ink) -> Room:
    match ink:
        case Stroke() | Outline():
            xs, ys, half = [x for x, _ in ink.points], [y for _, y in ink.points], ink.width / 2
            return min(xs) - half, min(ys) - half, max(xs) + half, max(ys) + half
        case Plate():
            return ink.x - 1, ink.y - 1, ink.x + ink.width + 1, ink.y + ink.height + 1
        case Disc():
            r = ink.radius + 1
            return ink.x - r, ink.y - r, ink.x + r, ink.y + r
        case DrawnText():
            if ink.upright:
                return ink.x - ink.style.size, ink.y - ink.width, ink.x + 2, ink.y
            return ink.x, ink.y - ink.style.size, ink.x + ink.width, ink.y + 2


def _overlap(one: Room, other: Room) -> bool:
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]
