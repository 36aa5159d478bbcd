"""Nothing that a person typed can become markup, upset Graphviz, or spoil the page."""

import xml.etree.ElementTree as ElementTree
from dataclasses import replace

import pytest

from circuitmap.drawings.files.pdf import pdf_of
from circuitmap.drawings.files.png import png_of
from circuitmap.drawings.files.svg import svg_of
from circuitmap.drawings.inking.ink import DrawnText
from circuitmap.drawings.lettering.text_width import LONGEST_LABEL, clean, in_the_font
from circuitmap.drawings.scene.scene import DrawnNetwork, DrawnSheet, Rail, Scene, Tap
from tests.drawings.pages import drawn
from tests.drawings.picture_checks import ELEMENTS, defects
from tests.drawings.scenes import van

HOSTILE = (
    "<b>bold</b>",
    "<script>alert(1)</script>",
    "\"quoted\" and 'single'",
    "trailing backslash\\",
    "\\N \\G \\l",
    "nul \0 inside",
    "bell \a tab\t line\nbreak\r\x1b[31m",
    "]]> <!-- --> &amp; &#60;",
    "x" * 500,
    "many words " * 60,
    "\N{FIRE ENGINE}\N{GRINNING FACE} siren",
    "\N{RIGHT-TO-LEFT OVERRIDE}gnp.exe\N{POP DIRECTIONAL ISOLATE}",
    "e\N{COMBINING ACUTE ACCENT}" * 40,
    "制御ユニット",
    "lone \ud800 surrogate",
    "\ufffe\uffff",
    "a{b|c}<d>:e->f;",
    "",
    " ",
)


def with_label(text: str) -> Scene:
    """The van, with `text` wherever words go."""
    scene = van()
    parts = tuple(
        replace(part, name=text, description=text, rating=text, place=text, note=text) for part in scene.parts
    )
    wires = tuple(replace(wire, colour=wire.colour, size=text, code=text) for wire in scene.wires)
    network = scene.networks[0]
    return replace(
        scene,
        title=text,
        subtitle=text,
        parts=parts,
        wires=wires,
        rails=tuple(Rail(rail.key, text, text, rail.feed) for rail in scene.rails),
        networks=(DrawnNetwork("n", text, text, tuple(Tap(tap.part, tap.pin) for tap in network.taps)),),
        sheets=tuple(DrawnSheet(sheet.name, text) for sheet in scene.sheets),
        notes=(text, text),
    )


@pytest.mark.parametrize("text", HOSTILE, ids=range(len(HOSTILE)))
def test_a_hostile_label_is_only_text(text: str) -> None:
    scene = with_label(text)
    layout, picture = drawn(scene)
    root = ElementTree.fromstring(svg_of(picture).encode("utf-8"))
    elements = {element.tag.rpartition("}")[2] for element in root.iter()}
    assert elements <= set(ELEMENTS)
    assert not [name for element in root.iter() for name in element.attrib if name.startswith("on") or "href" in name]
    shown = {element.text for element in root.iter() if element.tag.endswith("}text")}
    if clean(text) and len(clean(text)) < 12:
        assert clean(text) in shown
    assert defects(scene, layout, picture) == []


@pytest.mark.parametrize("text", HOSTILE, ids=range(len(HOSTILE)))
def test_a_hostile_label_can_be_printed(text: str) -> None:
    _, picture = drawn(with_label(text))
    assert png_of(picture, 0.5).startswith(b"\x89PNG")
    assert pdf_of([picture]).startswith(b"%PDF")


def test_hostile_keys_and_pins_never_reach_graphviz() -> None:
    scene = van()
    nasty = {part.key: f'"]; <{number}>\\' for number, part in enumerate(scene.parts)}
    parts = tuple(replace(part, key=nasty[part.key]) for part in scene.parts)
    wires = tuple(
        replace(
            wire,
            start=wire.start._replace(owner=nasty.get(wire.start.owner, wire.start.owner)),
            finish=wire.finish._replace(owner=nasty.get(wire.finish.owner, wire.finish.owner)),
        )
        for wire in scene.wires
    )
    named, _ = drawn(replace(scene, parts=parts, wires=wires, networks=()))
    plain, _ = drawn(replace(scene, networks=()))
    assert [part._replace(key="", body=named.parts[0].body) for part in named.parts] == [
        part._replace(key="", body=named.parts[0].body) for part in plain.parts
    ]


def test_a_character_without_a_glyph_is_shown_as_a_lozenge_where_there_is_no_other_font() -> None:
    assert in_the_font("制御 A1") == "◊◊ A1"
    _, picture = drawn(with_label("制御"))
    assert any(isinstance(ink, DrawnText) and ink.text == "制御" for ink in picture.ink)


def test_long_names_end_in_an_ellipsis() -> None:
    _, picture = drawn(with_label("x" * 500))
    texts = [
        ink.text for ink in picture.ink if isinstance(ink, DrawnText) and "x" in ink.text and ink.text.startswith("xx")
    ]
    assert texts and all(text.endswith("…") and len(text) <= LONGEST_LABEL + 1 for text in texts)
