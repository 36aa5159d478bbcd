"""Whatever goes wrong while git merges notation, what the other person typed is not lost unseen."""

import sys
from pathlib import Path

import pytest
from click.testing import CliRunner

from circuitmap.changes.git_driver import ATTRIBUTES_LINE, driver_command, set_up_git
from circuitmap.cli.main import program
from circuitmap.failures import CannotRead
from tests.changes.test_merge import BASE
from tests.changes.test_with_git import branch_and_merge, git, repository, two_branches

__all__ = ["repository"]

OURS, THEIRS = BASE.replace(" in RD", " in BU"), BASE.replace(" in RD", " in GN")
FAR_OURS, FAR_THEIRS = BASE.replace("Marlow", "Tarn"), BASE.replace(" in BK", " in GN")
"""So far apart that git alone would merge them without a word."""

SLIPS = {
    "not found": "/nowhere/circuitmap merge",
    "not installed": f"'{sys.executable}' -m circuitmap_that_is_not_there merge",
    "our own bug": "sh -c 'exit 70'",
    "out of memory": "sh -c 'kill -KILL $$'",
    "stopped half way": "sh -c 'kill -TERM $$'",
}


def with_program(folder: Path, words: str) -> None:
    """Put something else in the place of circuitmap, leaving the rest of what git is told as it is."""
    command = driver_command()
    assert command.count(" -P -m circuitmap merge ") == 1
    start = command.index("\n") + 1
    end = command.index(" %O", start)
    git(folder, "config", "merge.circuitmap.driver", f"{command[:start]}{words}{command[end:]}")


@pytest.mark.parametrize("words", SLIPS.values(), ids=list(SLIPS))
def test_a_driver_that_fails_leaves_the_marks_of_git(repository: Path, words: str) -> None:
    with_program(repository, words)
    text, said = branch_and_merge(repository, BASE, OURS, THEIRS)
    assert "CONFLICT" in said
    assert "<<<<<<< ours\nCAB.F1 -> LAMP.1 in BU\n" in text and "CAB.F1 -> LAMP.1 in GN\n" in text
    assert "git merged it line by line. Look at all of it before git add: cab.circuit" in said


@pytest.mark.parametrize("words", SLIPS.values(), ids=list(SLIPS))
def test_what_git_merges_by_line_alone_cannot_be_committed_unseen(repository: Path, words: str) -> None:
    with_program(repository, words)
    two_branches(repository, BASE, FAR_OURS, FAR_THEIRS)
    git(repository, "merge", "-q", "theirs", fine=False)
    assert (repository / "cab.circuit").read_text() == BASE.replace("Marlow", "Tarn").replace(" in BK", " in GN")
    assert "unmerged" in git(repository, "commit", "-m", "merged", fine=False)


def test_what_not_even_git_can_merge_stands_there_twice(repository: Path) -> None:
    with_program(repository, SLIPS["not found"])
    text, said = branch_and_merge(repository, *(f"\0{text}" for text in (BASE, OURS, THEIRS)))
    assert "CONFLICT" in said and "both versions stand in it" in said
    ours, theirs = text.split("=======\n")
    assert ours == f"<<<<<<< ours\n\0{OURS}\n" and theirs == f"\0{THEIRS}\n>>>>>>> theirs\n"


@pytest.mark.parametrize("moment", ["sh -c 'kill -KILL $PPID'", "exec sh -c 'kill -KILL $$'"])
def test_git_merges_nothing_when_the_shell_itself_is_killed(repository: Path, moment: str) -> None:
    """git before 2.42 takes a killed driver for a conflict, and whatever file lies there for the result."""
    with_program(repository, moment)
    two_branches(repository, BASE, OURS, THEIRS)
    said = git(repository, "merge", "theirs", fine=False)
    assert "internal merge" in said
    assert git(repository, "rev-parse", "main^{tree}") == git(repository, "rev-parse", "HEAD^{tree}")
    assert "nothing added to commit" in git(repository, "commit", "-am", "merged", fine=False)
    assert (repository / "cab.circuit").read_text() == OURS


def test_git_sees_no_left_overs_and_no_module_of_the_repository_is_run(repository: Path) -> None:
    (repository / "circuitmap.py").write_text("raise SystemExit(0)")
    text, said = branch_and_merge(repository, BASE, OURS, THEIRS)
    assert "both changed this: wire CAB.F1 - LAMP.1, sheet 1" in said and "<<<<<<< ours" in text
    assert sorted(path.name for path in repository.iterdir()) == [
        ".git", ".gitattributes", "cab.circuit", "circuitmap.py"
    ]  # fmt: skip


def test_setting_up_keeps_the_attributes_that_were_there(repository: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    attributes = repository / ".gitattributes"
    attributes.write_text("*.pdf binary")
    (repository / "van").mkdir()
    monkeypatch.chdir(repository / "van")
    for _ in range(2):
        said = CliRunner().invoke(program, ["merge", "--set-up"])
        assert "git merges notation by statement here from now on" in said.output
    assert attributes.read_text() == f"*.pdf binary\n{ATTRIBUTES_LINE}\n"
    assert git(repository, "config", "merge.circuitmap.driver").strip() == driver_command().strip()


def test_setting_up_outside_a_repository_says_so(tmp_path: Path) -> None:
    with pytest.raises(CannotRead, match="not in a git repository"):
        set_up_git(tmp_path)
