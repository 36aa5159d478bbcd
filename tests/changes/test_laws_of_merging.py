"""The laws of merging, for texts that nobody thought of: random edits of notation, and any texts at all."""

from hypothesis import given, settings
from hypothesis import strategies as st

from circuitmap.changes.blocks import sections_of, statements_in
from circuitmap.changes.merge import merge_files
from circuitmap.failures import CannotRead
from circuitmap.notation.lines import statement_texts
from circuitmap.notation.tidy import tidy
from circuitmap.source import SourceFile
from tests.changes.laws_of_merging import broken_laws, broken_symmetry
from tests.fuzzing.merging import broken_in, fuzz_merge, texts_from
from tests.fuzzing.tidying import broken_in as broken_by_tidying
from tests.fuzzing.tidying import fuzz_tidy
from tests.properties.notation_texts import files, layouts, statements, texts

modest = settings(max_examples=100, deadline=None)
NUMBERS = ("10", "20", "30", "40", "21", "50-02")


@st.composite
def pieces(draw: st.DrawFn) -> str:
    """A statement, a sheet, a comment or an empty line."""
    kind = draw(st.integers(0, 9))
    if kind < 5:
        return draw(layouts(draw(statements(6))))
    if kind < 7:
        return f'sheet "{draw(st.sampled_from(NUMBERS))}"' + draw(st.sampled_from(("", " whole", ' "Doors"')))
    return draw(st.sampled_from(("", "# a", "# b", "# a line of its own", "    # indented")))


@st.composite
def edits(draw: st.DrawFn, lines: list[str]) -> list[str]:
    lines = list(lines)
    for _ in range(draw(st.integers(0, 4))):
        at = draw(st.integers(0, len(lines)))
        what = draw(st.sampled_from(("add", "add", "delete", "replace", "move")))
        if what == "add":
            lines.insert(at, draw(pieces()))
        elif at < len(lines):
            line = lines.pop(at)
            if what == "replace":
                lines.insert(at, draw(pieces()))
            elif what == "move":
                lines.insert(draw(st.integers(0, len(lines))), line)
    return lines


@st.composite
def forms(draw: st.DrawFn, lines: list[str]) -> str:
    text = "\n".join(lines) + ("\n" if lines and draw(st.integers(0, 3)) else "")
    text = text.replace("\n", "\r\n") if draw(st.integers(0, 5)) == 0 else text
    return ("\ufeff" if draw(st.integers(0, 9)) == 0 else "") + text


@st.composite
def three_texts(draw: st.DrawFn) -> tuple[str, str, str]:
    base = draw(st.lists(pieces(), max_size=8))
    ours, theirs = draw(edits(base)), draw(edits(base))
    return draw(forms(base)), draw(forms(ours)), draw(forms(theirs))


@settings(max_examples=250, deadline=None)
@given(three_texts())
def test_nothing_of_either_is_lost(three: tuple[str, str, str]):
    assert broken_in(*three) == []


@modest
@given(files() | texts, files() | texts)
def test_one_side_alone_is_taken_to_the_letter(base: str, side: str):
    assert merge_files(base, side, base).text == side
    assert merge_files(base, base, side).text == side
    assert merge_files(base, side, side).text == side


@modest
@given(texts, texts, texts)
def test_any_three_texts(base: str, ours: str, theirs: str):
    try:
        merged = merge_files(base, ours, theirs)
    except CannotRead:
        return
    assert broken_laws(base, ours, theirs, merged) == []
    assert broken_symmetry(base, ours, theirs, merged) == []


@settings(max_examples=200, deadline=None)
@given(st.binary(max_size=150))
def test_the_laws_hold_for_any_bytes(data: bytes):
    fuzz_merge(data)


@settings(max_examples=100, deadline=None)
@given(st.binary(max_size=80))
def test_tidying_keeps_to_its_laws_for_any_bytes(data: bytes):
    fuzz_tidy(data)


@modest
@given(files() | texts)
def test_tidying_changes_no_line_with_a_fault(text: str):
    assert list(broken_by_tidying(text)) == []


@modest
@given(st.binary(max_size=150))
def test_tidying_by_one_side_is_in_nobodys_way(data: bytes):
    """New layout on one side merges with additions on the other."""
    base, _, _ = texts_from(data)
    tidied = tidy(SourceFile("a.circuit", base.removeprefix("\ufeff")))
    added = base + ("\n" if base and not base.endswith("\n") else "") + 'sheet "new"\nlamp NEW # seen\n'
    try:
        merged = merge_files(base, tidied, added)
    except CannotRead:
        return
    assert "lamp NEW # seen" in merged.text


@modest
@given(files() | texts)
def test_a_file_is_cut_as_it_is_read(text: str):
    text = text.replace("\r\n", "\n")
    text = text if not text or text.endswith("\n") else text + "\n"
    source = SourceFile("a.circuit", text)
    starts = [*source.line_starts, len(text)]
    lines = [
        (source.position(place.start)[0], source.position(max(place.start, place.end - 1))[0])
        for place in statement_texts(source)
    ]
    assert statements_in(text) == [text[starts[first - 1] : starts[last]] for first, last in lines]
    sections = sections_of(text)
    blocks = [block for its in sections for block in ([its.heading] if its.heading else []) + list(its.blocks)]
    assert "".join(block.above + block.text for block in blocks) + sections[-1].tail == text
