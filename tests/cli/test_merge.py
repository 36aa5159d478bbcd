"""`circuitmap merge` at the command line: what it reads, what it refuses, and what it leaves byte for byte."""

import os
from pathlib import Path

import pytest

from circuitmap.notation.folder import LARGEST_FILE
from tests.changes.test_with_git import branch_and_merge, commit, git, repository
from tests.cli.conftest import Run

__all__ = ["repository"]

BOM = b"\xef\xbb\xbf"


@pytest.fixture
def merged(tmp_path: Path, circuitmap: Run):
    """Merge three contents; the exit code, what was said, and what OURS holds then."""

    def merge(base: bytes, ours: bytes, theirs: bytes) -> tuple[int, str, bytes]:
        names = [tmp_path / name for name in ("base", "ours", "theirs")]
        for name, content in zip(names, (base, ours, theirs), strict=True):
            name.write_bytes(content)
        ran = circuitmap("merge", *names)
        return ran.code, ran.out + ran.err, names[1].read_bytes()

    return merge


def test_a_comment_without_a_line_end_swallows_nothing(merged):
    code, said, ours = merged(b"lamp L1\n", b"lamp L1\nlamp L2\n", b"lamp L1\n# note")
    assert (code, said) == (0, "")
    assert sorted(ours.splitlines()) == [b"# note", b"lamp L1", b"lamp L2"]


def test_nor_does_it_through_git(repository: Path):
    text, said = branch_and_merge(repository, "lamp L1\n", "lamp L1\nlamp L2\n", "lamp L1\n# note")
    assert "CONFLICT" not in said
    assert sorted(text.splitlines()) == ["# note", "lamp L1", "lamp L2"]


def test_a_renumbered_sheet_keeps_its_wires_through_git(repository: Path):
    base = 'sheet "10"\nA -> B\nsheet "20"\nC -> D\n'
    text, said = branch_and_merge(repository, base, base.replace("20", "21"), base + "E -> F\n")
    assert "CONFLICT" not in said
    assert text == 'sheet "10"\nA -> B\nsheet "21"\nC -> D\nE -> F\n'


def test_marks_that_were_committed_are_merged_by_line_and_said(repository: Path):
    marks = "<<<<<<< a\nlamp L1\n=======\nlamp L2\n>>>>>>> b\n"
    commit(repository, "\n" * 9)
    git(repository, "checkout", "-q", "-b", "theirs")
    commit(repository, "\n" * 9 + "lamp L3\n")
    git(repository, "checkout", "-q", "main")
    commit(repository, marks + "\n" * 9)
    said = git(repository, "merge", "-q", "theirs", fine=False)
    assert "CONFLICT" in said and "marks of an earlier merge in ours, line 1; nothing was merged" in said
    assert (repository / "cab.circuit").read_text() == marks + "\n" * 9 + "lamp L3\n"


@pytest.mark.parametrize(
    ("base", "ours", "theirs"),
    (
        (b"lamp L1\n", BOM + b"lamp L1\r\nlamp L2", b"lamp L1\n"),
        (BOM + b"lamp L1\n", b"lamp L1\n", BOM + b"lamp L1\n"),
        (b"", b"", b""),
        (b"a\r\nb\n", b"\n\n\r\n", b"a\r\nb\n"),
    ),
)
def test_one_side_alone_is_kept_byte_for_byte(merged, base: bytes, ours: bytes, theirs: bytes):
    assert merged(base, ours, theirs) == (0, "", ours)
    assert merged(base, theirs, ours) == (0, "", ours)


def test_a_byte_order_mark_of_both_stays_and_is_no_conflict(merged):
    code, _, ours = merged(BOM + b"lamp L1\n", BOM + b"lamp L1\nlamp L2\n", BOM + b"lamp L0\nlamp L1\n")
    assert (code, ours) == (0, BOM + b"lamp L0\nlamp L1\nlamp L2\n")


@pytest.mark.parametrize(
    ("content", "told"),
    (
        (b"lamp \xff\n", "is not written in UTF-8; nothing was merged"),
        ("lamp L1\n".encode("utf-16"), "nothing was merged"),
        (b"lamp L1\n\0", "is not a text file; nothing was merged"),
        (b"=======\n", "marks of an earlier merge in theirs, line 1; nothing was merged"),
    ),
)
def test_what_cannot_be_read_is_3_and_ours_stays(merged, content: bytes, told: str):
    code, said, ours = merged(b"lamp L1\n", b"lamp L1\nlamp L2\n", content)
    assert code == 3 and told in said
    assert ours == b"lamp L1\nlamp L2\n"


@pytest.mark.parametrize("which", range(3))
def test_a_missing_file_a_folder_and_a_pipe_are_3(tmp_path: Path, circuitmap: Run, which: int):
    (tmp_path / "plain").write_text("lamp L1\n")
    (tmp_path / "folder").mkdir()
    os.mkfifo(tmp_path / "pipe")
    for name in ("missing", "folder", "pipe"):
        words = [tmp_path / "plain"] * 3
        words[which] = tmp_path / name
        ran = circuitmap("merge", *words, "-o", tmp_path / "out")
        assert ran.code == 3 and name in ran.err
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize("which", range(3))
def test_sizes_are_looked_at_before_reading(tmp_path: Path, circuitmap: Run, which: int):
    """3 GB that are nothing but a hole: whoever read them would need as much memory."""
    names = [tmp_path / name for name in ("base", "ours", "theirs")]
    for name in names:
        name.write_text("lamp L1\n")
    os.truncate(names[which], 3_000_000_000)
    ran = circuitmap("merge", *names, "-o", tmp_path / "out")
    assert ran.code == 4 and f"{names[which]} is larger than {LARGEST_FILE:,} bytes" in ran.err
    assert not (tmp_path / "out").exists()


def test_set_up_does_not_write_through_a_link(
    repository: Path, tmp_path_factory: pytest.TempPathFactory, circuitmap: Run, monkeypatch: pytest.MonkeyPatch
):
    elsewhere = tmp_path_factory.mktemp("elsewhere") / "attributes"
    elsewhere.write_text("*.pdf binary\n")
    attributes = repository / ".gitattributes"
    attributes.unlink()
    attributes.symlink_to(elsewhere)
    git(repository, "config", "--unset", "merge.circuitmap.driver")
    monkeypatch.chdir(repository)
    ran = circuitmap("merge", "--set-up")
    assert ran.code == 3 and ".gitattributes is a link" in ran.err
    assert elsewhere.read_text() == "*.pdf binary\n"
    assert git(repository, "config", "--get", "merge.circuitmap.driver", fine=False) == ""
