"""The typing page without a network: a piece is taken out of its file and put back, and nobody's work is lost."""

from pathlib import Path
from shutil import copytree

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from circuitmap.failures import CannotRead, WrongUse
from circuitmap.flows import typing_desk
from circuitmap.flows.begun_platforms import begin_platform
from circuitmap.flows.papers import FOLDER, LARGEST_PAPER, MOST_PAPERS, paper_content, papers_of
from circuitmap.flows.questions import check, open_platform
from circuitmap.flows.transcribing import Addition, Folder, TableWishes, open_folder
from circuitmap.flows.typing_checked import TypingChecked
from circuitmap.flows.typing_desk import TypingDesk
from circuitmap.flows.typing_short import LONGEST_TABLE, LONGEST_TYPED, PastedTable, TypingShort
from circuitmap.notation.reading import read_text
from circuitmap.saving import ChangedMeanwhile
from circuitmap.source import SourceFile
from circuitmap.transcribing.asked import LEFT_OUT
from circuitmap.transcribing.pieces import pieces_of, with_piece
from tests.transcribing.typing_shop import FORTY, HEADING, begun_shop, opened, piece_called
from tests.transcribing.typist import FOLDERS

ROOT = Path(__file__).parents[2]
TEXT = HEADING + 'FRM.F40 -> X61.1 -> LIFT.A1 in RD/BU 10\nLIFT.A8 -> ? "on sheet 90"\nFRM.F41 -> NOBODY in RD\n'


@pytest.fixture
def desk(tmp_path: Path) -> tuple[TypingDesk, str, str, Path]:
    """The desk, the keys of the platform and of its sheet, and the file."""
    file = begun_shop(tmp_path)
    its, key = opened(tmp_path)
    return its, key, piece_called(its, key, "61-02"), file


Desk = tuple[TypingDesk, str, str, Path]


# ---- pieces ----


@pytest.mark.parametrize("folder", FOLDERS, ids=lambda folder: folder.name)
def test_the_pieces_are_the_whole_text(folder: Path) -> None:
    its = open_folder(folder)
    for source, notation in zip(its.sources, its.notations, strict=True):
        pieces = list(pieces_of([source], [notation]))
        assert "".join(source.text[piece.start : piece.end] for piece in pieces) == source.text
        assert len({piece.name for piece in pieces}) == len(pieces)
        assert all(with_piece(piece, piece.text) == source.text for piece in pieces)


TEXTS = st.lists(
    st.sampled_from(
        ['sheet "1" "a"', 'sheet "2"', "A -> B in RD", "# ü 🚚", "", "  closes 1 to 2 in on", "fuse F1 5A"]
    ),
    max_size=8,
)


@settings(max_examples=50, deadline=None)
@given(TEXTS, st.sampled_from(["\n", "\r\n"]), st.booleans(), st.integers(0, 7), TEXTS)
def test_a_piece_comes_back_as_it_was_and_changes_nothing_else(
    lines: list[str], line_end: str, ends: bool, number: int, new: list[str]
) -> None:
    source = SourceFile("a.circuit", line_end.join(lines) + line_end * (ends and bool(lines)))
    pieces = list(pieces_of([source], [read_text(source)[0]]))
    assert "".join(source.text[piece.start : piece.end] for piece in pieces) == source.text
    if pieces:
        piece = pieces[number % len(pieces)]
        assert with_piece(piece, piece.text) == source.text
        after = with_piece(piece, "\n".join(new))
        assert after.startswith(source.text[: piece.start]) and after.endswith(source.text[piece.end :])


# ---- looking through ----


def test_a_text_is_looked_through_and_not_written(desk: Desk) -> None:
    its, key, sheet, file = desk
    before = file.read_bytes()
    tried = its.tried(key, sheet, TEXT)
    assert [(one["line"], one["severity"]) for one in tried["problems"] if one["severity"] != "note"] == [
        (4, "warning")
    ]
    assert tried["open"] == [{"line": 3, "says": "LIFT.A8: on sheet 90"}]
    assert [one["name"] for one in tried["undeclared"]] == ["NOBODY"]
    assert b"LIFT" in its.drawing(tried["revision"]) and file.read_bytes() == before


def test_what_goes_wrong_elsewhere_is_told(desk: Desk) -> None:
    its, key, sheet, file = desk
    (file.parent / "zz.circuit").write_text('sheet "9" "more"\nFRM.F40 -> X61.1 in WH 1\n')
    tried = its.tried(key, sheet, TEXT)
    assert any("zz.circuit:2" in line for line in tried["elsewhere"]), tried["elsewhere"]


def test_a_drawing_that_is_forgotten_is_told(desk: Desk) -> None:
    its, key, sheet, _ = desk
    first = its.tried(key, sheet, TEXT)["revision"]
    for number in range(typing_desk._MOST_TRIED):
        assert its.drawing(first)
        its.tried(key, sheet, f"{TEXT}# {number}\n")
    with pytest.raises(CannotRead, match="nothing to draw"):
        its.drawing(first)


def test_only_so_much_is_typed_in_one_piece(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    its, key, sheet, _ = desk
    monkeypatch.setattr(typing_desk, "LONGEST_PIECE", len(TEXT) + 1)
    its.tried(key, sheet, TEXT)
    its.tried(key, sheet, TEXT + "\n")
    with pytest.raises(WrongUse, match="at most"):
        its.tried(key, sheet, TEXT + "\n\n")


def test_nobody_sends_the_name_of_a_file(desk: Desk) -> None:
    its, key, _, _ = desk
    for name in ("plover.circuit", "../plover/plover.circuit", ""):
        with pytest.raises(CannotRead, match="not there any more"):
            its.tried(key, name, TEXT)


# ---- writing ----


def test_what_is_saved_stands_in_the_file(desk: Desk) -> None:
    its, key, sheet, file = desk
    before = file.read_text()
    done = its.save(key, sheet, HEADING, TEXT)
    assert file.read_text() == before.replace(HEADING, TEXT) and done == {
        "key": sheet,
        "text": TEXT,
        "written": file.name,
    }


def test_line_ends_and_the_mark_at_the_beginning_are_kept(tmp_path: Path) -> None:
    whole = "\N{ZERO WIDTH NO-BREAK SPACE}" + FORTY.read_text("utf-8").replace("\n", "\r\n")
    file = begun_shop(tmp_path, whole)
    its, key = opened(tmp_path)
    sheet = piece_called(its, key, "61-02")
    text = its.piece(key, sheet)["text"]
    assert "\r" not in text
    its.save(key, sheet, text, text + "FRM.F44 -> BEEP in GY 0.5\n")
    assert file.read_bytes() == (whole + "FRM.F44 -> BEEP in GY 0.5\r\n").encode()


def test_a_sheet_that_somebody_else_changed_is_never_overwritten(desk: Desk) -> None:
    its, key, sheet, file = desk
    its.piece(key, sheet)
    theirs = file.read_text() + "FRM.F42 -> LL1 in OG 1\n"
    file.write_text(theirs)
    with pytest.raises(ChangedMeanwhile):
        its.save(key, sheet, HEADING, TEXT)
    assert file.read_text() == theirs
    both = its.together(key, sheet, HEADING, TEXT)
    assert both["conflicts"] == 0 and "OG 1" in both["text"] and "RD/BU 10" in both["text"]
    its.save(key, sheet, both["base"], both["text"])
    assert "FRM.F42 -> LL1 in OG 1\n" in file.read_text() and "FRM.F40 -> X61.1" in file.read_text()


def test_what_does_not_go_together_stands_between_marks(desk: Desk) -> None:
    its, key, sheet, file = desk
    file.write_text(file.read_text() + "FRM.F40 -> X61.1 in RD 6\n")
    both = its.together(key, sheet, HEADING + "FRM.F40 -> X61.1 in RD 10\n", HEADING + "FRM.F40 -> X61.1 in RD 16\n")
    assert both["conflicts"] == 1 and "RD 6" in both["text"] and "RD 16" in both["text"]


def test_somebody_may_write_another_sheet_of_the_same_file_meanwhile(desk: Desk) -> None:
    its, key, sheet, file = desk
    its.piece(key, sheet)
    file.write_text("# first\n" + file.read_text() + 'sheet "9" "theirs"\nFRM.F42 -> LL1 in OG 1\n')
    its.save(key, sheet, HEADING, TEXT)
    text = file.read_text()
    assert (
        text.startswith("# first\n") and TEXT in text and text.endswith('sheet "9" "theirs"\nFRM.F42 -> LL1 in OG 1\n')
    )


def test_a_write_between_the_look_and_the_save_is_not_lost(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    its, key, sheet, file = desk
    real = typing_desk.write_addition

    def later(folder: Folder, made: Addition) -> Path:
        file.write_text(file.read_text() + "# theirs\n")
        return real(folder, made)

    monkeypatch.setattr(typing_desk, "write_addition", later)
    with pytest.raises(ChangedMeanwhile):
        its.save(key, sheet, HEADING, TEXT)
    assert file.read_text().endswith("# theirs\n") and TEXT not in file.read_text()


def test_a_sheet_that_is_gone_is_told_and_nothing_is_written(desk: Desk) -> None:
    its, key, sheet, file = desk
    file.write_text(file.read_text().replace(HEADING, ""))
    before = file.read_bytes()
    with pytest.raises(CannotRead, match="not there any more"):
        its.save(key, sheet, HEADING, TEXT)
    assert file.read_bytes() == before


def test_a_heading_may_be_changed(desk: Desk) -> None:
    its, key, sheet, _ = desk
    done = its.save(key, sheet, HEADING, TEXT.replace("61-02", "61-03"))
    assert done["key"] == piece_called(its, key, "61-03") != sheet


def test_a_file_that_is_not_read_as_it_should_be_is_not_typed_into(desk: Desk) -> None:
    its, key, sheet, file = desk
    file.write_bytes(file.read_bytes() + b"# \xff\n")
    with pytest.raises(CannotRead, match="UTF-8"):
        its.save(key, sheet, HEADING, TEXT)


def test_a_new_sheet_has_a_file_of_its_own(desk: Desk) -> None:
    its, key, _, file = desk
    new = its.begin_sheet(key, "62-01", 'the "rear"')["key"]
    assert (file.parent / "62-01.circuit").read_text() == 'sheet "62-01" "the \\"rear\\""\n'
    assert its.piece(key, new)["sheet"] == "62-01"
    for name, title in (("62-01", "again"), ("", "x"), ("63", " ")):
        with pytest.raises(WrongUse):
            its.begin_sheet(key, name, title)


# ---- short lines, tables, templates ----


def test_short_lines_take_from_what_stands_above(desk: Desk) -> None:
    its, key, sheet, _ = desk
    made = TypingShort(its).lines(key, sheet, TEXT, "f42 x61.+ lift.a2 =\n.a5 g4 gnye  # here\n", {})
    assert made["lines"] == ["FRM.F42 -> X61.2 -> LIFT.A2 in RD"]
    [question] = made["questions"]
    assert question["about"] == "gnye" and question["choices"] == ["GN/YE", "GNYE"]
    settled = {question["start"]: "GNYE"}
    made = TypingShort(its).lines(key, sheet, TEXT, "f42 x61.+ lift.a2 =\n.a5 g4 gnye  # here\n", settled)
    assert made["lines"][1] == "LIFT.A5 -> G4 in GNYE  # here" and not made["questions"]


def test_a_line_with_a_slip_above_does_not_shift_what_comes_out(desk: Desk) -> None:
    its, key, sheet, _ = desk
    text = TEXT + "FRM.F40 -> \nsplice SP9\n# -> \nFRM.F43 -> WL1 in GN 1\n"
    made = TypingShort(its).lines(key, sheet, text, "~ wl2 =", {})
    assert made == {"lines": ["WL1 -> WL2 in GN 1"], "questions": []}


def test_a_name_declared_on_the_page_is_known_at_once(desk: Desk) -> None:
    its, key, sheet, _ = desk
    made = TypingShort(its).lines(key, sheet, TEXT + 'lamp XENIA "extra"\n', "f43 xenia wh .5", {})
    assert made["lines"] == ["FRM.F43 -> XENIA in WH 0.5"]


CHART = "No;Amp;What\nF50;10;heater\nF51;15;radio\nF40;5;tail lift\n"


def test_a_table_is_shown_confirmed_and_asked_about(desk: Desk) -> None:
    its, key, sheet, file = desk
    short, before = TypingShort(its), file.read_bytes()
    shown = short.table(key, sheet, HEADING, PastedTable(CHART, wishes=TableWishes("FRM")))
    assert shown["lines"] == [] and [one["is"] for one in shown["table"]["columns"]] == ["slot", "rating", "what"]
    asked = PastedTable(CHART, ["slot", "rating", "what"], True, TableWishes("FRM"))
    made = short.table(key, sheet, HEADING, asked)
    assert any("FRM.F50 10A" in line and "copied" in line for line in made["lines"])
    assert len(made["lines"]) + len(made["questions"]) == 3 and made["questions"]
    left = short.table(key, sheet, HEADING, asked._replace(settled={made["questions"][0]["start"]: LEFT_OUT}))
    assert len(left["questions"]) == len(made["questions"]) - 1
    assert file.read_bytes() == before
    with pytest.raises(WrongUse):
        short.table(key, sheet, HEADING, asked._replace(columns=["slot", "slot", "what"]))


def test_what_was_put_below_the_text_stands_there_when_it_is_pasted_again(desk: Desk) -> None:
    its, key, sheet, _ = desk
    asked = PastedTable("F43;X61.9;WH;0.5\n", ["from", "to", "colour", "size"], False)
    made = TypingShort(its).table(key, sheet, HEADING, asked)
    assert len(made["lines"]) == 1 and made["there"] == []
    again = TypingShort(its).table(key, sheet, HEADING + made["lines"][0] + "\n", asked)
    assert again["lines"] == [] and again["there"][0].startswith("FRM.F43 -> X61.9 in WH 0.5 (plover.circuit:")


def test_only_so_much_is_pasted_at_once(desk: Desk) -> None:
    its, key, sheet, _ = desk
    short = TypingShort(its)
    short.lines(key, sheet, HEADING, "#" + " " * (LONGEST_TYPED - 1), {})
    with pytest.raises(WrongUse, match="At most"):
        short.lines(key, sheet, HEADING, "#" + " " * LONGEST_TYPED, {})
    with pytest.raises(WrongUse, match="at most"):
        short.table(key, sheet, HEADING, PastedTable("a;b\n" + " " * LONGEST_TABLE))


def test_a_template_is_filled_in_on_the_page(desk: Desk) -> None:
    its, *_ = desk
    made = TypingShort(its).template("relay", "K12")
    assert made["lines"][0].startswith("relay K12 ") and all("K12" in line for line in made["lines"])
    with pytest.raises(WrongUse):
        TypingShort(its).template("relay", "K 12")


# ---- sisters ----


def test_a_sister_is_begun_and_checked_off(tmp_path: Path) -> None:
    begun_shop(tmp_path, FORTY.read_text("utf-8"))
    its, plover = opened(tmp_path)
    key = begin_platform(its.platforms, "Wickmere Plover 7-tonner", plover)
    checked, sheet = TypingChecked(its), piece_called(its, key, "61-02")
    left = checked.left(key, sheet)
    many = len(left["left"])
    assert many == 28 and left["left"][0]["origin"] == "Wickmere Plover 12-tonner"
    first, second, third = (one["says"] for one in left["left"][:3])
    assert len(checked.check(key, sheet, first, "same")["left"]) == many - 1
    checked.check(key, sheet, second, "not there")
    after = checked.check(key, sheet, third, "different", "f41 liftsw.1 rdye 2")
    assert len(after["left"]) == many - 3
    text = (tmp_path / "wickmere_plover_7_tonner" / "plover.circuit").read_text()
    assert f"\n{first}\n" in text and f"# not on this vehicle: {second}" in text
    assert "FRM.F41 -> LIFTSW.1 in RD/YE 2\n" in text
    with pytest.raises(WrongUse, match="any more"):
        checked.check(key, sheet, first, "same")
    with pytest.raises(WrongUse):
        checked.check(key, sheet, left["left"][4]["says"], "different", "nobody here")


def test_sheets_that_only_one_sister_has_are_told(tmp_path: Path) -> None:
    begun_shop(tmp_path, FORTY.read_text("utf-8"))
    its, plover = opened(tmp_path)
    key = begin_platform(its.platforms, "Wickmere Plover 7-tonner", plover)
    checked = TypingChecked(its)
    assert checked.sisters(key) == {"lines": []}
    its.begin_sheet(plover, "62-01", "Heater")
    new = its.begin_sheet(key, "63-01", "Crane")["key"]
    assert checked.sisters(key)["lines"] == ["Only on Wickmere Plover 12-tonner, not here: sheet 62-01 Heater"], (
        "nothing is on it yet"
    )
    its.save(key, new, 'sheet "63-01" "Crane"\n', 'sheet "63-01" "Crane"\nFRM.F44 -> BEEP in GY 0.5\n')
    assert checked.sisters(key)["lines"][0] == "Only here, not on Wickmere Plover 12-tonner: sheet 63-01 Crane"


def test_a_platform_is_begun_from_nothing(tmp_path: Path) -> None:
    its = TypingDesk(typing_desk.PlatformsThere(tmp_path))
    key = begin_platform(its.platforms, ' Ostrey  "Dunlin" ü ')
    assert (
        tmp_path / "ostrey_dunlin_u" / "ostrey_dunlin_u.circuit"
    ).read_text() == 'platform "Ostrey \\"Dunlin\\" ü"\n'
    assert its.pieces(key)["title"] == 'Ostrey "Dunlin" ü'
    for name in ("Ostrey Dunlin u", "", "   ", "x" * 81, "\N{BELL}", "🚚", "../.."):
        with pytest.raises(WrongUse):
            begin_platform(its.platforms, name)
    assert [path.name for path in tmp_path.iterdir()] == ["ostrey_dunlin_u"]


# ---- the paper ----

PNG = b"\x89PNG\r\n\x1a\nsecret of the maker"


def test_the_paper_is_shown_and_never_shared(tmp_path: Path) -> None:
    from circuitmap.flows.page import shared_page
    from circuitmap.flows.questions import Bench

    folder = begun_shop(tmp_path, FORTY.read_text("utf-8")).parent
    (folder / FOLDER).mkdir()
    (folder / FOLDER / "61-02 tail lift.png").write_bytes(PNG)
    (folder / FOLDER / "notes.txt").write_text("not listed")
    [paper], more = papers_of(folder)
    assert (paper.name, paper.is_pdf, more) == ("61-02 tail lift.png", False, 0)
    assert paper_content(folder, paper.key) == (PNG, "image/png")
    page = shared_page(Bench(open_platform(folder), {}))
    assert b"secret of the maker" not in page and b"61-02 tail lift" not in page and b"iVBOR" not in page
    its, key = opened(tmp_path)
    new = its.platforms.folder(begin_platform(its.platforms, "Plover of somebody else", key))
    assert not (new / FOLDER).exists()


def test_a_paper_is_what_its_name_says_and_lies_there(tmp_path: Path) -> None:
    (tmp_path / FOLDER).mkdir()
    (tmp_path / "secret.png").write_bytes(PNG)
    (tmp_path / FOLDER / "a.png").symlink_to(tmp_path / "secret.png")
    (tmp_path / FOLDER / "b.png").write_bytes(b"<svg onload=x()>")
    (tmp_path / FOLDER / "c.pdf").mkdir()
    papers, _ = papers_of(tmp_path)
    assert [paper.name for paper in papers] == ["a.png", "b.png", "c.pdf"]
    for paper in papers:
        with pytest.raises(CannotRead):
            paper_content(tmp_path, paper.key)
    for key in ("../secret.png", "a.png", ""):
        with pytest.raises(CannotRead, match="no such paper"):
            paper_content(tmp_path, key)
    assert papers_of(tmp_path / "nowhere") == ((), 0)


@pytest.mark.parametrize(("many", "more"), [(MOST_PAPERS - 1, 0), (MOST_PAPERS, 0), (MOST_PAPERS + 1, 1)])
def test_only_so_many_papers_are_listed(tmp_path: Path, many: int, more: int) -> None:
    (tmp_path / FOLDER).mkdir()
    for number in range(many):
        (tmp_path / FOLDER / f"{number:03}.png").touch()
    papers, left_out = papers_of(tmp_path)
    assert (len(papers), left_out) == (min(many, MOST_PAPERS), more)


def test_a_paper_has_a_size(tmp_path: Path) -> None:
    from circuitmap.failures import LimitReached

    (tmp_path / FOLDER).mkdir()
    file = tmp_path / FOLDER / "a.png"
    for size, fits in ((LARGEST_PAPER, True), (LARGEST_PAPER + 1, False)):
        with open(file, "wb") as out:
            out.write(PNG)
            out.truncate(size)
        [paper], _ = papers_of(tmp_path)
        if fits:
            assert len(paper_content(tmp_path, paper.key)[0]) == size
        else:
            with pytest.raises(LimitReached):
                paper_content(tmp_path, paper.key)


# ---- read again and again ----


def test_reading_again_is_reading_from_scratch(tmp_path: Path) -> None:
    """One character after another, at random places of a large sample: the same parts, wires and problems."""
    import random

    from circuitmap.flows.reread import Rereading

    folder = copytree(ROOT / "sample_vehicles" / "van", tmp_path / "van")
    reading, chance = Rereading(folder), random.Random(14)
    files = sorted(folder.glob("*.circuit"))
    for step in range(40):
        file = chance.choice(files)
        text = file.read_text("utf-8")
        at = chance.randrange(len(text))
        put = chance.choice(["", "x", "\n", '"', "->", " in RD", "#", "ü"])
        file.write_text(text[:at] + put + text[at + chance.randrange(3) :], "utf-8")
        again = reading.on_disk()
        if step % 8 == 7:
            whole = check(folder)
            assert again.problems == whole.problems
            assert again.folder.platform.wires == whole.wires and again.folder.platform.parts == whole.parts
