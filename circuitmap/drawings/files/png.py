"""A picture as PNG, through its SVG, with the font files of the package and no others."""

from circuitmap.drawings.files.svg import svg_of
from circuitmap.drawings.inking.ink import DrawnText, Picture
from circuitmap.drawings.lettering.font_table import font_file
from circuitmap.drawings.lettering.text_width import in_the_font

LARGEST_SIDE = 16_000
"""Pixels; a larger picture is drawn at a smaller scale."""


def png_of(picture: Picture, scale: float = 2.0) -> bytes:
    """PNG bytes, `scale` pixels to a CSS pixel (so 2.0 is 192 dots to the inch)."""
    import resvg_py

    scale = min(scale, LARGEST_SIDE * 0.75 / max(picture.width, picture.height))
    shown = picture._replace(
        ink=tuple(
            ink._replace(text=in_the_font(ink.text)) if isinstance(ink, DrawnText) else ink for ink in picture.ink
        ),
    )
    across, down = (round(side / 0.75 * scale) for side in (picture.width, picture.height))
    return bytes(
        resvg_py.svg_to_bytes(
            svg_string=svg_of(shown),
            dpi=96.0,
            width=across,
            height=down,
            skip_system_fonts=True,
            font_files=[str(font_file("Regular")), str(font_file("Bold"))],
            font_family="Lato",
            sans_serif_family="Lato",
        )
    )
