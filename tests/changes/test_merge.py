"""Two people's changes, merged statement by statement."""

import random

import pytest

from circuitmap.changes.merge import MIDDLE_MARK, OURS_MARK, THEIRS_MARK, merge_files
from circuitmap.notation.reading import read_text
from circuitmap.source import SourceFile

BASE = """\
# Cab sheets
platform "Marlow Linnet"
fuse CAB.F1 10A mini, CAB.F2 15A mini

sheet "1" "Lighting"
# checked against the paper
CAB.F1 -> LAMP.1 in RD
CAB.F2 -> SP1 in BK
"""


def merged(ours: str, theirs: str, base: str = BASE) -> str:
    result = merge_files(base, ours, theirs)
    assert not result.conflicts, result.text
    return result.text


def test_both_change_items_of_one_statement() -> None:
    ours = BASE.replace("CAB.F1 10A", "CAB.F1 20A")
    theirs = BASE.replace("CAB.F2 15A mini", "CAB.F2 15A mini, CAB.F3 5A")
    assert "fuse CAB.F1 20A mini, CAB.F2 15A mini, CAB.F3 5A\n" in merged(ours, theirs)


def test_both_add_an_item_to_the_same_list() -> None:
    ours = BASE.replace("CAB.F2 15A mini", "CAB.F2 15A mini, CAB.F3 5A")
    theirs = BASE.replace("CAB.F2 15A mini", "CAB.F2 15A mini, CAB.F4 30A")
    assert "CAB.F2 15A mini, CAB.F3 5A, CAB.F4 30A\n" in merged(ours, theirs)


def test_a_wire_stays_on_its_sheet_when_the_other_adds_a_sheet() -> None:
    ours = BASE + "CAB.F2 -> HORN.1 in GN\n"
    theirs = BASE + 'sheet "2" "Heating"\nCAB.F3 -> HEATER.1\n'
    for text in (merged(ours, theirs), merged(theirs, ours)):
        assert text.index("HORN") < text.index('sheet "2"') < text.index("HEATER")


def test_comments_of_both_are_kept() -> None:
    ours = BASE.replace("# checked against the paper", "# checked against the paper by A")
    theirs = BASE.replace("# checked against the paper", "# checked twice")
    text = merged(ours, theirs)
    assert "by A" in text and "checked twice" in text


def test_the_same_wire_in_two_colours_is_a_conflict_at_its_place() -> None:
    result = merge_files(BASE, BASE.replace(" in RD", " in BU"), BASE.replace(" in RD", " in GN"))
    (conflict,) = result.conflicts
    lines = result.text.splitlines()
    assert lines[conflict.line - 1] == OURS_MARK
    assert lines[conflict.line : conflict.line + 4] == [
        "CAB.F1 -> LAMP.1 in BU", MIDDLE_MARK, "CAB.F1 -> LAMP.1 in GN", THEIRS_MARK
    ]  # fmt: skip
    assert conflict.what == "wire CAB.F1 - LAMP.1, sheet 1"


CHART = """\
fuse CAB.F12 5A mini, CAB.F3 15A mini "a, b",
    CAB.F5 5A mini,  # cab
    CAB.F9 5A mini
"""


@pytest.mark.parametrize(
    ("base", "ours", "theirs", "named"),
    [
        # Ours changed F3 and F5, theirs F5 and F9: only F5 is in dispute.
        (CHART, [("F3 15A", "F3 20A"), ("F5 5A", "F5 7.5A")], [("F5 5A", "F5 10A"), ("F9 5A", "F9 3A")], "part CAB.F5"),
        (CHART, [("F5 5A", "F5 3A"), ("F9 5A", "F9 3A")], [("F5 5A", "F5 2A"), ("F9 5A", "F9 2A")],
         "parts CAB.F5, CAB.F9"),
        ("fuse F1 5A, F2 5A, F3 5A, F4 5A, F5 5A\n", [("5A", "3A")], [("5A", "2A")], "parts F1, F2, F3, F4 and 1 more"),
        ('platform "A"\n', [("A", "B")], [("A", "C")], "platform"),
    ],
)  # fmt: skip
def test_a_conflict_names_what_both_changed(
    base: str, ours: list[tuple[str, str]], theirs: list[tuple[str, str]], named: str
) -> None:
    sides = []
    for changes in (ours, theirs):
        text = base
        for before, after in changes:
            text = text.replace(before, after)
        sides.append(text)
    assert [conflict.what for conflict in merge_files(base, *sides).conflicts] == [named]


def test_changed_here_and_removed_there_is_a_conflict() -> None:
    result = merge_files(BASE, BASE.replace(" in RD", " in BU"), BASE.replace("CAB.F1 -> LAMP.1 in RD\n", ""))
    assert len(result.conflicts) == 1


def test_line_ends_of_ours_are_kept() -> None:
    ours = BASE.replace("\n", "\r\n")
    text = merged(ours, BASE + "CAB.F2 -> HORN.1\n")
    assert text.count("\n") == text.count("\r\n")


def statements(text: str) -> dict[str, set[str]]:
    """What stands on each sheet: the statements, evenly spaced."""
    found: dict[str, set[str]] = {}
    sheet = ""
    for line in text.splitlines():
        line = line.split("#")[0].strip()
        if not line:
            continue
        if line.startswith("sheet "):
            sheet = line
        found.setdefault(sheet, set()).add(line)
    return found


def random_file(chance: random.Random) -> list[str]:
    lines = ['platform "Marlow Linnet"']
    for sheet in range(chance.randint(1, 4)):
        lines.append(f'sheet "{sheet}"')
        lines += [random_wire(chance, chance.randint(0, 400)) for _ in range(chance.randint(0, 8))]
    return list(dict.fromkeys(lines))


def random_wire(chance: random.Random, number: int) -> str:
    return f"CAB.F{number} -> SP{number} in {chance.choice(('RD', 'BK', 'BU/WH', 'GN'))}"


def edited(chance: random.Random, lines: list[str], own: int) -> list[str]:
    """Some lines removed, recoloured or added; added wires are the editor's own, so that both can add at will."""
    result = []
    for line in lines:
        what = chance.random()
        if "->" in line and what < 0.12:
            continue
        result.append(line.rpartition(" in ")[0] + " in YE" if "->" in line and what < 0.24 else line)
        if what > 0.8:
            result.append(random_wire(chance, own + chance.randint(0, 10_000)))
    if chance.random() < 0.3:
        result += [f'sheet "{own}"', random_wire(chance, own + 20_001)]
    return list(dict.fromkeys(result))


def test_a_thousand_random_merges_mean_the_union() -> None:
    clean = 0
    for seed in range(1000):
        chance = random.Random(seed)
        base = random_file(chance)
        texts = [
            "\n".join(lines) + "\n" for lines in (base, edited(chance, base, 100_000), edited(chance, base, 200_000))
        ]
        result = merge_files(*texts)
        old, ours, theirs = map(statements, texts)
        if result.conflicts:
            assert result.text.count(OURS_MARK) == len(result.conflicts)
            continue
        clean += 1
        _, problems = read_text(SourceFile("merged.circuit", result.text))
        assert not problems, result.text
        got = statements(result.text)
        for sheet in old.keys() | ours.keys() | theirs.keys():
            a, b, c = (side.get(sheet, set()) for side in (old, ours, theirs))
            assert got.get(sheet, set()) == (b & c) | (b - a) | (c - a), (seed, sheet, result.text)
    assert 300 < clean < 1000


@pytest.mark.parametrize("seed", range(50))
def test_merging_with_oneself_or_with_nothing_changes_nothing(seed: int) -> None:
    chance = random.Random(seed)
    base = "\n".join(random_file(chance)) + "\n"
    mine = "\n".join(edited(chance, base.splitlines(), 5_000)) + "\n"
    assert merge_files(base, mine, mine).text == mine
    assert merge_files(base, mine, base).text == mine
    assert statements(merge_files(base, base, mine).text) == statements(mine)
