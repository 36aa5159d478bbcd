"""Vehicles that nobody here drew: the answers say what the paper says."""

import shlex
import shutil
from functools import cache
from itertools import pairwise
from pathlib import Path

import pytest

from circuitmap.circuit.common import in_common_in
from circuitmap.circuit.trace import trace_in
from circuitmap.cli.ending import end_of
from circuitmap.cli.main import program
from circuitmap.flows.questions import Bench, open_bench
from circuitmap.problems import Severity
from tests.papers.answers import ANSWERS, HANGS_ON
from tests.papers.said_since import SAID_SINCE, WITH_MORE_SAID

PAPERS = Path(__file__).parent
NAMES = ("minibus", "loader", "boat")
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


@pytest.mark.parametrize(("paper", "number", "asked", "said"), ANSWERS)
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


@pytest.mark.parametrize(("paper", "number", "out", "asked", "said"), WITH_MORE_SAID)
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
    copy = tmp_path / paper
    shutil.copytree(PAPERS / paper / "text", copy)
    for which, file, before, after in SAID_SINCE:
        if which == paper:
            text = (copy / file).read_text("utf-8")
            assert text.count(before) == 1, before
            (copy / file).write_text(text.replace(before, after), "utf-8")
    if out:
        _take_out(copy, out)
    command, *words = shlex.split(asked)
    assert end_of(program, [command, str(copy), *words]) == 0
    answer = " ".join(capsys.readouterr().out.split())
    assert not [phrase for phrase in said if phrase not in answer], number


def _take_out(folder: Path, ending: str) -> None:
    """Take the one line out of a text that ends so, or has a remark behind that."""
    lines = {file: file.read_text("utf-8").splitlines(keepends=True) for file in folder.iterdir()}
    found = [(file, line) for file, its in lines.items() for line in its if _stands_at_the_end(line, ending)]
    assert len(found) == 1, found
    file, line = found[0]
    file.write_text("".join(its for its in lines[file] if its != line), "utf-8")


def _stands_at_the_end(line: str, ending: str) -> bool:
    return line.rstrip().endswith(ending) or ending in line.partition("#")[0]
