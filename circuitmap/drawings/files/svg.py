"""A picture as SVG, written element by element from an allow-list; text is escaped, never markup."""

from collections.abc import Callable, Iterator

from circuitmap.drawings.inking.ink import Disc, DrawnText, Ink, Outline, Picture, Plate, Role, Stroke

FONTS = "Lato, Carlito, 'Helvetica Neue', Arial, sans-serif"


def svg_of(picture: Picture, part_key: Callable[[str], str] | None = None) -> str:
    """The SVG text. The same picture gives the same bytes. With `part_key` all ink of a part stands in a group that has
    the key of its name (empty: none), so that somebody can ask for it by a tap."""
    width, height = number(picture.width), number(picture.height)
    lines = [
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}pt" height="{height}pt" '
        f'viewBox="0 0 {width} {height}" role="img" font-family="{FONTS}" stroke-linejoin="round">',
        f"<title>{escaped(picture.title)}</title>",
        f"<desc>{escaped(picture.words)}</desc>",
        *(map(element, picture.ink) if part_key is None else _grouped(picture, part_key)),
        "</svg>",
    ]
    return "\n".join(lines) + "\n"


def _grouped(picture: Picture, part_key: Callable[[str], str]) -> Iterator[str]:
    at = 0
    for group in picture.groups:
        yield from map(element, picture.ink[at : group.first])
        inside = picture.ink[group.first : group.last]
        owner = next((ink.owner for ink in inside if isinstance(ink, DrawnText) and ink.role is not Role.TAG), "")
        key = part_key(owner) if owner else ""
        yield from (f'<g data-part="{escaped(key)}">', *map(element, inside), "</g>") if key else map(element, inside)
        at = group.last
    yield from map(element, picture.ink[at:])


def element(ink: Ink) -> str:
    """One element of the allow-list."""
    match ink:
        case Stroke():
            looks = _line(ink.colour, ink.width, ink.dash)
            ends = ' stroke-linecap="round"' if ink.round_ends else ""
            return f'<polyline points="{_points(ink.points)}" fill="none"{looks}{ends}/>'
        case Outline():
            return f'<polygon points="{_points(ink.points)}"{_fill(ink.fill)}{_line(ink.colour, ink.width, ink.dash)}/>'
        case Plate():
            corner = f' rx="{number(ink.radius)}"' if ink.radius else ""
            place = f'x="{number(ink.x)}" y="{number(ink.y)}" width="{number(ink.width)}" height="{number(ink.height)}"'
            return f"<rect {place}{corner}{_fill(ink.fill)}{_line(ink.colour, ink.line, ink.dash)}/>"
        case Disc():
            place = f'cx="{number(ink.x)}" cy="{number(ink.y)}" r="{number(ink.radius)}"'
            return f"<circle {place}{_fill(ink.fill)}{_line(ink.colour, ink.line, ink.dash)}/>"
        case DrawnText():
            x, y = number(ink.x), number(ink.y)
            turn = f' transform="rotate(-90 {x} {y})"' if ink.upright else ""
            weight = ' font-weight="700"' if ink.style.bold else ""
            # The measured width is pinned, so that text in a font other than Lato cannot run into its neighbours.
            return (
                f'<text x="{x}" y="{y}" font-size="{number(ink.style.size)}"{weight} fill="{ink.colour}" '
                f'textLength="{number(ink.width)}" lengthAdjust="spacingAndGlyphs"{turn}>{escaped(ink.text)}</text>'
            )


def number(value: float) -> str:
    """At most two decimals, without trailing zeros; never `-0`."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def escaped(text: str) -> str:
    return text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;").replace('"', "&quot;")


def _points(points: tuple[tuple[float, float], ...]) -> str:
    return " ".join(f"{number(x)},{number(y)}" for x, y in points)


def _fill(fill: str) -> str:
    return f' fill="{fill or "none"}"'


def _line(colour: str, width: float, dash: tuple[float, ...]) -> str:
    if not colour:
        return ""
    dashes = f' stroke-dasharray="{",".join(number(d) for d in dash)}"' if dash else ""
    return f' stroke="{colour}" stroke-width="{number(width)}"{dashes}'
