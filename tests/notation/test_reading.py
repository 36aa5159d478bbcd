import pytest

from circuitmap.notation.reading import read_text
from circuitmap.notation.statements import FeedsStatement, FuseStatement, LoadStatement, WireStatement
from circuitmap.source import SourceFile


def read_clean(text: str):
    notation, problems = read_text(SourceFile("cab.circuit", text))
    assert problems == ()
    return notation.statements


def test_every_word_of_a_chain_of_wires_knows_its_place():
    text = '# heating\nCAB.F22 -> X14.14 -> SP5 in RD 0.75mm2 -> HEATER.A1, ? "goes on" in OG/BK 0.75mm2 # red\n'
    (wire,) = read_clean(text)
    assert isinstance(wire, WireStatement)
    assert wire.span.text == text.split("\n")[1].removesuffix(" # red")
    assert wire.span.place() == "cab.circuit:2:1"
    names = [end.name for step in wire.steps for end in step.ends]
    assert [name.text for name in names] == ["X14.14", "SP5", "HEATER.A1", "?"]
    assert all(name.span.text == name.text for name in names)
    assert wire.steps[-1].ends[1].is_open
    assert wire.steps[-1].ends[1].remark.text == "goes on"
    assert wire.steps[1].look.colour.text == "RD"
    assert (wire.steps[2].look.colour.text, wire.steps[2].look.size.band.middle) == ("OG/BK", 0.75)
    assert wire.steps[0].look is wire.steps[2].look, "the last one holds for those that say nothing"


def test_an_indented_line_continues_the_one_above():
    (heater,) = read_clean(
        'module HEATER "Auxiliary heater"   # in the cab\n    supply A1\n\t# both\n  ground A12, A13\n'
    )
    assert isinstance(heater, LoadStatement)
    assert heater.clauses.description.text == "Auxiliary heater"
    assert [(said.role.text, [pin.text for pin in said.pins]) for said in heater.roles] == [
        ("supply", ["A1"]),
        ("ground", ["A12", "A13"]),
    ]
    assert heater.span.end_line == 4


def test_a_row_of_names_is_written_out():
    (bar,) = read_clean("bar CAB.B1 feeds CAB.F9..F11, CAB.K4.30")
    assert isinstance(bar, FeedsStatement)
    assert [word.text for word in bar.fed] == ["CAB.F9", "CAB.F10", "CAB.F11", "CAB.K4.30"]
    assert bar.fed[1].span.text == "CAB.F9..F11"


def test_a_statement_that_cannot_be_read_leaves_the_others_alone():
    notation, problems = read_text(SourceFile("cab.circuit", "fuse CAB.F1 20A\n-> ->\nfuse CAB.F2 10A mini\n"))
    assert [s.fuses[0].name.text for s in notation.statements if isinstance(s, FuseStatement)] == ["CAB.F1", "CAB.F2"]
    assert [p.span.line for p in problems] == [2]


@pytest.mark.parametrize(
    ("text", "word", "names"),
    [
        ("connector X2 cavities 2, X5 cavities 3", "cavities", ["X2", "X5"]),
        ('ground G1 "main" wired, G2 "helm"', "wired", ["G1", "G2"]),
        ('fuse F1 5A at "left", F2 10A', "at", ["F1", "F2"]),
        ("fuse F1 5A if TOW, F2 10A", "if", ["F1", "F2"]),
    ],
)
def test_what_holds_for_a_list_stands_behind_it(text: str, word: str, names: list[str]) -> None:
    notation, problems = read_text(SourceFile("a", f"{text}\n"))
    (problem,) = problems
    assert problem.headline == f"`{word}` stands behind the last name of a list, and holds for all of it."
    assert problem.advice == "Where they differ, declare each on a line of its own."
    assert problem.span.text.startswith(word)
    (statement,) = notation.statements
    items = statement.fuses if isinstance(statement, FuseStatement) else getattr(statement, "items", ())
    assert [item.name.text for item in items] == names
