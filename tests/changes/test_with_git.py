"""git itself calls the merge, and provides the earlier states that `diff` compares."""

import os
import random
import subprocess
from pathlib import Path

import pytest

from circuitmap.changes.between import changes_between
from circuitmap.changes.git_driver import set_up_git
from circuitmap.failures import CannotRead, WrongUse
from circuitmap.flows.questions import open_platform, platform_at
from tests.changes.test_merge import BASE, edited, random_file, statements

ROOT = Path(__file__).parents[2]


@pytest.fixture
def repository(tmp_path: Path) -> Path:
    git(tmp_path, "init", "-q", "-b", "main")
    git(tmp_path, "config", "user.name", "A technician")
    git(tmp_path, "config", "user.email", "a@shop.invalid")
    set_up_git(tmp_path)
    return tmp_path


def git(folder: Path, *words: str, fine: bool = True) -> str:
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    command = ["git", "-C", str(folder), *words]
    done = subprocess.run(command, check=False, capture_output=True, text=True, env=environment)
    assert done.returncode == 0 or not fine, done.stderr
    return done.stdout + done.stderr


def commit(folder: Path, text: str) -> None:
    (folder / "cab.circuit").write_text(text)
    git(folder, "add", "-A")
    git(folder, "commit", "-q", "-m", "change", "--allow-empty")


def two_branches(folder: Path, base: str, ours: str, theirs: str) -> None:
    """One text changed in two ways: `ours` on main, which is checked out, `theirs` on a branch of that name."""
    commit(folder, base)
    git(folder, "checkout", "-q", "-b", "theirs")
    commit(folder, theirs)
    git(folder, "checkout", "-q", "main")
    commit(folder, ours)


def branch_and_merge(folder: Path, base: str, ours: str, theirs: str) -> tuple[str, str]:
    """The text after git merged, and what git said."""
    two_branches(folder, base, ours, theirs)
    said = git(folder, "merge", "-q", "theirs", fine=False)
    text = (folder / "cab.circuit").read_text()
    git(folder, "merge", "--abort", fine=False)
    git(folder, "branch", "-q", "-D", "theirs")
    return text, said


def test_git_merges_by_statement(repository: Path) -> None:
    ours, theirs = BASE + "CAB.F2 -> HORN.1 in GN\n", BASE + "CAB.F1 -> SP2 in YE\n"
    text, said = branch_and_merge(repository, BASE, ours, theirs)
    assert "CONFLICT" not in said
    assert "HORN" in text and "SP2" in text


def test_git_is_told_of_a_conflict_at_its_place(repository: Path) -> None:
    text, said = branch_and_merge(repository, BASE, BASE.replace(" in RD", " in BU"), BASE.replace(" in RD", " in GN"))
    assert "CONFLICT" in said
    assert "cab.circuit:7: both changed this: wire CAB.F1 - LAMP.1, sheet 1" in said
    assert "<<<<<<< ours" in text


def test_random_branches_through_git(repository: Path) -> None:
    for seed in range(6):
        chance = random.Random(seed)
        base = random_file(chance)
        texts = ["\n".join(x) + "\n" for x in (base, edited(chance, base, 100_000), edited(chance, base, 200_000))]
        text, said = branch_and_merge(repository, *texts)
        if "CONFLICT" in said:
            continue
        old, ours, theirs = map(statements, texts)
        for sheet in old.keys() | ours.keys() | theirs.keys():
            a, b, c = (side.get(sheet, set()) for side in (old, ours, theirs))
            assert statements(text).get(sheet, set()) == (b & c) | (b - a) | (c - a)


def test_an_earlier_state_is_compared(repository: Path) -> None:
    commit(repository, BASE)
    commit(repository, BASE.replace("10A", "20A").replace(" in RD", " in BU"))
    changes = changes_between(platform_at(repository, "HEAD~1"), open_platform(repository))
    said = [(c.action, c.kind, c.name, [tuple(v) for v in c.values]) for c in changes]
    assert said == [
        ("changed", "fuse", "CAB.F1", [("rating", "10 A", "20 A")]),
        ("changed", "wire", "CAB.F1.2 - LAMP.1", [("colour", "RD", "BU")]),
    ]


def test_reordering_is_no_change(repository: Path) -> None:
    commit(repository, BASE)
    lines = BASE.splitlines()
    (repository / "cab.circuit").write_text("\n".join([*lines[:-2], lines[-1], lines[-2]]) + "\n")
    assert changes_between(platform_at(repository, "HEAD"), open_platform(repository)) == ()


def test_an_unknown_revision_or_no_repository(repository: Path, tmp_path_factory: pytest.TempPathFactory) -> None:
    commit(repository, BASE)
    with pytest.raises(WrongUse, match="knows no revision"):
        platform_at(repository, "nonesuch")
    with pytest.raises(WrongUse, match="not a git revision"):
        platform_at(repository, "--upload-pack=x")
    with pytest.raises(CannotRead, match="not in a git repository"):
        platform_at(tmp_path_factory.mktemp("elsewhere"), "HEAD")
