"""Colours of the drawing: wires by IEC 60757 code, states by mark, and what is pale on white paper."""

from circuitmap.drawings.scene.scene import DrawnFeed, Mark

PAPER, INK, SOFT_INK, FAINT = "#ffffff", "#1a1a1a", "#4a4a4a", "#8a8a8a"
FADING = 0.24
COPPER, UNTYPED, COLOURLESS = "#6e6e6e", "#6e6e6e", "#555555"

# The codes are those of IEC 60757 (reference: GOST 28763-90, the text of IEC 757:1983); how each looks on a screen
# is a choice made here.
WIRE_COLOURS = {
    "BK": "#1a1a1a",
    "BN": "#7d420f",
    "RD": "#d3202a",
    "OG": "#f28500",
    "YE": "#ffdd00",
    "GN": "#158a3a",
    "BU": "#2457c5",
    "VT": "#8a2be2",
    "GY": "#8f8f8f",
    "WH": "#ffffff",
    "PK": "#f5a3bf",
    "GD": "#c29b22",
    "TQ": "#2fb5ac",
    "SR": "#bcc0c4",
    "LB": "#8ecbf0",
}

# Of the eight colours of Okabe and Ito, only these four reach a contrast of 3:1 on white.
BLUE, VERMILLION, GREEN, PURPLE = "#0072b2", "#d55e00", "#009e73", "#cc79a7"
MARK_COLOURS = {
    Mark.DRAWING: VERMILLION,
    Mark.QUIET: GREEN,
    Mark.UNREAD: BLUE,
    Mark.SUSPECT: PURPLE,
    Mark.FAULTY: PURPLE,
}
MARK_WORDS = {
    Mark.DRAWING: "#a84800",
    Mark.QUIET: "#00704f",
    Mark.UNREAD: "#005a8c",
    Mark.SUSPECT: "#94406f",
    Mark.FAULTY: "#94406f",
}
"""The same hues dark enough for small type (4.5:1)."""
HALOS = {
    Mark.DRAWING: "#f7cfb3",
    Mark.QUIET: "#c8e9df",
    Mark.UNREAD: "#c5dff0",
    Mark.SUSPECT: "#ecc9dd",
    Mark.FAULTY: "#ecc9dd",
    Mark.NONE: "#dcdcdc",
}
EXPECTED, READ_SOUND, READ_OFF = "#cfe3f1", "#00633f", "#a33c00"
"""Plates of volts: what is to be expected (dark type), what was read (light type), as expected or not."""
RAIL_COLOURS = {DrawnFeed.CONSTANT: "#b3151e", DrawnFeed.SWITCHED: BLUE, DrawnFeed.UNKNOWN: SOFT_INK}
NETWORK_COLOURS = ("#00796b", "#5b4fa2", "#8a6d00", "#9c3d6e")


def base_and_tracers(colour: str, tracer: str) -> tuple[str, tuple[str, ...]]:
    """The screen colours of a wire: its base and its tracers; no tracers for a plain one. `tracer` may name several,
    `WH/GN`; the first two are drawn. An unknown code is drawn as colourless."""
    if colour == "GNYE" and not tracer:
        colour, tracer = "GN", "YE"
    tracers = [WIRE_COLOURS[code] for code in tracer.split("/") if code in WIRE_COLOURS]
    return WIRE_COLOURS.get(colour, COLOURLESS), tuple(tracers[:2])


def contrast_with_paper(colour: str) -> float:
    """Contrast ratio against white: (1.05) / (L + 0.05) with the relative luminance of WCAG 2 (from memory)."""
    channels = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels)
    return 1.05 / (0.2126 * red + 0.7152 * green + 0.0722 * blue + 0.05)


def faded(colour: str) -> str:
    """The colour of a wire that is not highlighted: lighter, but not so light that red looks pink."""
    channels = [int(colour[at : at + 2], 16) for at in (1, 3, 5)]
    return "#" + "".join(f"{round(channel + (255 - channel) * FADING):02x}" for channel in channels)


def is_pale(colour: str) -> bool:
    """Whether a line of this colour needs a dark edge to be seen on paper."""
    return contrast_with_paper(colour) < 3.0
