"""Vehicles that nobody here drew: the answers say what the paper says."""

import shlex
import shutil
from collections.abc import Callable
from functools import cache
from itertools import pairwise
from pathlib import Path

import pytest

from circuitmap.circuit.common import in_common_in
from circuitmap.circuit.trace import trace_in
from circuitmap.cli.ending import end_of
from circuitmap.cli.main import program
from circuitmap.flows.questions import Bench, check, open_bench
from circuitmap.problems import Severity
from tests.papers.answers import ANSWERS, HANGS_ON
from tests.papers.asked_since import ASKED_SINCE
from tests.papers.said_since import SAID_SINCE, WITH_MORE_SAID
from tests.papers.slips import NOT_FOUND, SLIPS, Edit
from tests.papers.workshop_answers import WORKSHOP

PAPERS = Path(__file__).parent
NAMES = ("minibus", "loader", "boat", "workshop")
INPUTS = ("wake", "sense", "control")


@cache
def bench_of(paper: str) -> Bench:
    return open_bench(PAPERS / paper / "text")


@pytest.mark.parametrize("paper", NAMES)
def test_the_text_is_read_without_an_error(paper: str) -> None:
    problems = bench_of(paper).platform.problems
    assert not [problem.headline for problem in problems if problem.severity is Severity.ERROR]


@pytest.mark.parametrize(("paper", "number", "fuse", "loads", "inputs"), HANGS_ON)
def test_what_hangs_on_a_fuse(paper: str, number: int, fuse: str, loads: set[str], inputs: set[str]) -> None:
    behind = bench_of(paper).feeding.on_fuse[fuse]
    assert {str(taking.terminal) for taking in behind if taking.kind in ("load", "reversed", "coil")} == loads, number
    assert {str(taking.terminal) for taking in behind if taking.kind in INPUTS} == inputs, number


@pytest.mark.parametrize("paper", NAMES)
def test_every_part_is_traced_and_neighbouring_fuses_are_compared(paper: str) -> None:
    bench = bench_of(paper)
    for name in bench.platform.parts:
        assert trace_in(bench.feeding, name)
    for one, other in pairwise(fuse.name for fuse in bench.platform.fuses):
        assert in_common_in(bench.feeding, [one, other]).fuses == (one, other)


@pytest.fixture(scope="module")
def remembered(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Each paper is read once for all that is asked of it."""
    return tmp_path_factory.mktemp("remembered")


ASKED = [
    *ANSWERS,
    *(("workshop", number, f"{asked} --option T1 --option H1", said) for number, asked, said in WORKSHOP),
]


@pytest.mark.parametrize(("paper", "number", "asked", "said"), ASKED)
def test_the_answer_says_what_the_paper_says(
    paper: str,
    number: int,
    asked: str,
    said: tuple[str, ...],
    remembered: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setenv("CIRCUITMAP_CACHE", str(remembered))
    command, *words = shlex.split(asked)
    assert end_of(program, [command, str(PAPERS / paper / "text"), *words]) == 0
    answer = " ".join(capsys.readouterr().out.split())
    assert not [phrase for phrase in said if phrase not in answer], number


@pytest.mark.parametrize(("paper", "number", "out", "asked", "said"), [*WITH_MORE_SAID, *ASKED_SINCE])
def test_the_answer_says_what_the_paper_says_once_the_text_says_it(
    paper: str,
    number: int,
    out: str,
    asked: str,
    said: tuple[str, ...],
    remembered: Path,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setenv("CIRCUITMAP_CACHE", str(remembered))
    copy = _copy_with_more_said(paper, tmp_path)
    if out:
        _take_out(copy, out)
    command, *words = shlex.split(asked)
    assert end_of(program, [command, str(copy), *words]) == 0
    answer = " ".join(capsys.readouterr().out.split())
    assert not [phrase for phrase in said if phrase not in answer], number


def _copy_with_more_said(paper: str, tmp_path: Path) -> Path:
    copy = tmp_path / paper
    shutil.copytree(PAPERS / paper / "text", copy)
    for which, file, before, after in SAID_SINCE:
        if which == paper:
            text = (copy / file).read_text("utf-8")
            assert text.count(before) == 1, before
            (copy / file).write_text(text.replace(before, after), "utf-8")
    return copy


@pytest.fixture(scope="module")
def told_without_slip(tmp_path_factory: pytest.TempPathFactory) -> Callable[[str], set[str]]:
    @cache
    def told(paper: str) -> set[str]:
        return _told(_copy_with_more_said(paper, tmp_path_factory.mktemp("right")))

    return told


@pytest.mark.slow
@pytest.mark.parametrize(("paper", "number", "edits"), SLIPS)
def test_a_slip_is_told_in_few_words(
    paper: str,
    number: int,
    edits: tuple[Edit, ...],
    told_without_slip: Callable[[str], set[str]],
    tmp_path: Path,
) -> None:
    copy = _copy_with_more_said(paper, tmp_path)
    for where, typed in edits:
        _slip(copy, where, typed)
    new = _told(copy) - told_without_slip(paper)
    assert len(new) <= 3
    assert bool(new) == ((paper, number) not in NOT_FOUND)


def _told(folder: Path) -> set[str]:
    problems = check(folder).problems
    return {f"{problem.code}: {problem.headline}" for problem in problems}


def _slip(folder: Path, where: str, typed: tuple[str, str] | None) -> None:
    """Type one line otherwise, a second time (`typed` twice the same), or not at all."""
    lines = {file: file.read_text("utf-8").splitlines(keepends=True) for file in folder.iterdir()}
    found = [(file, n) for file, its in lines.items() for n, line in enumerate(its) if _is_at(line, where)]
    assert len(found) == 1, (where, found)
    file, n = found[0]
    line = lines[file][n]
    if typed is None:
        lines[file][n] = ""
    elif typed[0] == typed[1]:
        lines[file][n] = line + line
    else:
        assert typed[0] in line
        lines[file][n] = line.replace(*typed)
    file.write_text("".join(lines[file]), "utf-8")


def _is_at(line: str, where: str) -> bool:
    return line.startswith(where) or line.rstrip().endswith(where) or line.partition("#")[0].rstrip().endswith(where)


def _take_out(folder: Path, ending: str) -> None:
    """Take the one line out of a text that ends so, or has a remark behind that."""
    lines = {file: file.read_text("utf-8").splitlines(keepends=True) for file in folder.iterdir()}
    found = [(file, line) for file, its in lines.items() for line in its if _stands_at_the_end(line, ending)]
    assert len(found) == 1, found
    file, line = found[0]
    file.write_text("".join(its for its in lines[file] if its != line), "utf-8")


def _stands_at_the_end(line: str, ending: str) -> bool:
    return line.rstrip().endswith(ending) or ending in line.partition("#")[0]
