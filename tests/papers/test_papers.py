"""Vehicles that nobody here drew: the answers say what the paper says."""

from functools import cache
from itertools import pairwise
from pathlib import Path

import pytest

from circuitmap.circuit.common import in_common_in
from circuitmap.circuit.trace import trace_in
from circuitmap.flows.questions import Bench, open_bench
from circuitmap.problems import Severity

PAPERS = Path(__file__).parent
NAMES = ("minibus", "loader", "boat")
INPUTS = ("wake", "sense", "control")

# Paper, number of the question, fuse, loads and coils behind it, inputs behind it: section A of each `questions.md`.
HANGS_ON = [
    ("minibus", 7, "FB.FB6", {"E5.54", "E6.54", "E8.54"}, {"A1.16", "A10.8"}),
    ("minibus", 15, "FB.FB20", {"E4.58", "E6.58", "E7.58", "A4.17"}, {"A10.4"}),
    ("minibus", 24, "FC.FC10", {"X40.9"}, set()),
    ("loader", 1, "FBA.F1", {"A6.1", "A5.2"}, set()),
    ("loader", 4, "FBA.F7", {"M7.1"}, set()),
    ("loader", 5, "FBA.F8", {"H2.1"}, set()),
    ("loader", 11, "FBA.F15", {"Y10.1"}, set()),
    ("loader", 12, "FBA.F16", set(), {"A1.5", "A2.5", "A3.4", "A4.4", "A6.3"}),
    ("boat", 1, "FB1.F20", {"U1.30"}, set()),
    ("boat", 14, "F11", {"M4.+", "LS22.1"}, set()),
]


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
