"""Vehicles that nobody here drew: the answers say what the paper says."""

import shlex
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

# Paper, number of the question, what is asked, what the answer has to say: sections A to F of each `questions.md`.
ANSWERS = [
    (
        "minibus",
        4,
        "trace FB4 --option TR",
        ("-> A4.13 ", "-> A4.14 ", "-> A4.18 ", "-> A10.6 ", "-> A10.7 ", "-> K8.86 "),
    ),
    ("minibus", 5, "trace FB5 --option TR", ("-> K12.86 ", "-> A4.17 ", "-> A10.3 ", "-> A10.4 ", "-> E7.58 ")),
    (
        "minibus",
        9,
        "trace FB9",
        ("-> A5.3 ", "-> A4.3 ", "-> A1.5 ", "-> A3.3 ", "S8.4 (S8 released) -> X10.25 -> A1.17 "),
    ),
    ("minibus", 11, "trace FB11 --option TR", ("S4.49 (S4 off) -> K5.49 ", "-> A4.18 ", "-> A10.6 ", "-> A10.7 ")),
    ("minibus", 23, "trace FA15", ("-> A4.15 ", "-> E1.56a ", "-> E2.56b ")),
    ("minibus", 59, "common FB15 FC3", ("A7, announcement amplifier: its wake pin on FB.FB15; fed by FC.FC3.",)),
    ("minibus", 61, "common FB4 FB7", ("Connector X19, clock spring", "FB.FB4 in 1, FB.FB7 in 2 and 3")),
    (
        "minibus",
        63,
        "common FB17 FB18",
        ("FB.FB17 in 1, FB.FB18 in 2", "bar FB.R56b", "All pass FA.FA15 (30 A) and contact K6.87."),
    ),
    (
        "minibus",
        64,
        "common FB19 FB20 --option TR",
        (
            "FB.FB19 in 12, FB.FB20 in 13",
            "FB.FB19 in 5, FB.FB20 in 6",
            "A10, trailer controller: its sense pin on both.",
        ),
    ),
    (
        "minibus",
        67,
        "common FA8 FA14 FB9",
        ("Load A1, engine controller: fed by FA.FA8 and FA.FA14; its wake pin on FB.FB9", "Ground W1: on the ground"),
    ),
    (
        "minibus",
        69,
        "common FB10 FC6 --without HF",
        ("FB.FB10 in 10, FC.FC6 in 14, 39 and 40", "Ground W5: on the ground"),
    ),
    (
        "minibus",
        71,
        "live --option HF --option TR",
        (
            "live F90, FA.FA1..FA8, FA.FA10..FA12, FA.FA15, FB.FB1..FB6, FC.FC1..FC3, FC.FC5, FC.FC9, FC.FC10",
            "dead FB.FB12..FB14: behind K3.87",
        ),
    ),
    (
        "minibus",
        83,
        "live --key run --set S7=close",
        ("M11, roof-vent motor through FB.FB14, K3 pulled in, S7 in close",),
    ),
    ("loader", 3, "trace F3 --without B", ("-> U1.EN ", "(S2 2) -> X1.7 -> K5.19 ", "-> A2.16 ", "X1.6 -> K4.86 ")),
    ("loader", 6, "trace F10 --without B", ("-> A1.19 ", "-> K5.50 ", "-> K3.86 ")),
    ("loader", 47, "common F4 F16", ("Load A1, engine controller: fed by FBA.F4; its wake pin on FBA.F16.",)),
    (
        "loader",
        49,
        "common F29 F30 --option T",
        ("FBB.F29 in 16, FBB.F30 in 17", "FBB.F29 in 3, FBB.F30 in 4", "Ground GP1", "Ground GP3", "bar FBB.58"),
    ),
    ("loader", 62, "live --set S1=OFF", ("FUSES 3 of 37 live live FBA.F1, FBA.F2, FM4 dead",)),
    ("loader", 64, "live", ("live CB1, FBA.F1..F10, FBB.F17..F22, FM1..FM4 dead",)),
    ("loader", 65, "live --key P", ("live CB1, FBA.F1..F10, FBB.F17..F22, FBB.F31, FBB.F32, FM1..FM4 dead",)),
    ("loader", 66, "live --key 1", ("FUSES 35 of 37 live", "dead FBB.F29, FBB.F30: behind S10.58")),
    ("loader", 68, "trace S2.75", ("live in P, 1, 2, 3", "S2 1, 2, 3 S2.15", "diode, one way V1")),
    (
        "loader",
        79,
        "live --key 1 --set S1=OFF --feeding G3",
        (
            "A1, engine controller through G3 feeding, FBA.F4",
            "A6, telematics awake 180 mA; through FBA.F1",
            "FM1..FM4 dead",
        ),
    ),
    (
        "loader",
        112,
        "suspects --total 2.94A F21=2.92A",
        ("FIRST S15, beacon, cab.", "S15, beacon stays closed: E23 burns."),
    ),
    ("loader", 117, "suspects --total 5.86A F19=5.83A", ("LOOK AT relay K12, work lamps rear", "E19 and E20) draws")),
    ("boat", 3, "trace F28", ("-> U1.15 ", "-> K8.15 ", "-> H1.+ ", "U1.D+ (always on) -> X1.5 -> G1.D+ ")),
    ("boat", 8, "trace F23", ("(S40 pressed) -> SP42 ", "-> U3.UI ", "-> U3.DI ", "-> K5.86 ", "-> K6.86 ")),
    ("boat", 15, "trace F9", ("-> U2.15 ", "-> K8.15 ", "-> U1.15 ", "-> U3.15 ", "-> M3.+ ")),
    ("boat", 24, "trace Q7", ("-> U4.ON ", "S29.2 -> LS29.1")),
    ("boat", 25, "trace M1.30", ("through no fuse: live with S1 on",)),
    (
        "boat",
        54,
        "common F21 F28",
        ("fed by FB1.F21; its wake pin on FB1.F28.", "Ground BN2", "BB4 (plus bar, service, switched)"),
    ),
    ("boat", 56, "common F23 Q20", ("Relay K5", "Relay K6", "Ground BN5", "They have no feed in common.")),
    (
        "boat",
        60,
        "common Q1 Q4 Q5",
        ("P1.Q1 in 1, P1.Q4 in 2, P1.Q5 in 3", "Ground BN5", "Terminal P1.M", "All pass Q0"),
    ),
    ("boat", 67, "common F11 F12", ("BB2 (plus bar, service battery, always fed)", "No load, splice, connector")),
    ("boat", 70, "live --option O1", ("FUSES 13 of 46 live live F1..F6, F11..F17 ",)),
    (
        "boat",
        72,
        "live --option O1 --option O2 --set S2=on",
        ("live F1..F9, F11..F17, F41, FB1.F20..F26, P1.Q1..Q10, Q0 ",),
    ),
    ("boat", 73, "live --option O1 --option O2 --set S1=on", ("FUSES 18 of 46 live live F1..F6, F10..F19, F40, Q20 ",)),
    ("boat", 77, "live --option O1 --option O2 --set S1=on --set S2=on --key I", ("FUSES 44 of 46 live",)),
    ("boat", 80, "live --option O1 --option O2 --set S2=on --set S3=closed", ("FUSES 40 of 46 live",)),
    ("boat", 86, "trace F7.2", ("code 151 F8 ", "code 152 FB1.30 OV-760-E-01 bar RD 10mm2 code 150 F7 ")),
    ("boat", 88, "trace S23.1", ("S22 MANUAL and S23 high", "when S22 is AUTO")),
    ("boat", 116, "trace CAN --option V2 --without V1", ("CAN; CAN; 3 members.",)),
    ("boat", 133, "suspects --set S2=on B2=2.6A F25=2.5A", ("LOOK AT K7, latching relay", "E16 and E17")),
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
