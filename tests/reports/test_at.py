"""`live --at`: what a voltmeter shows at single terminals in a state."""

from pathlib import Path

import pytest

from circuitmap.cli.ending import end_of
from circuitmap.cli.main import program
from circuitmap.power.evaluate import evaluate
from circuitmap.reports.live.at_text import at_json, at_lines
from circuitmap.wiring.fitting import Answer
from tests.power.random_platforms import random_circuit, random_state

TEXT = """
platform "Told" supply 12V return body
naming G* ground, F* fuse
battery BAT
BAT.- -> G1
BAT.+ -> F1, F2
key IGN positions off, run, start closes 30 to 15 in run, start closes 30 to 50 in start
switch NEUTRAL positions gear, neutral closes 1 to 2 in neutral
relay K make
motor FAN running 5A
switch SPEED positions off, high closes 1 to 2 in high
alternator ALT supply B+ ground 31
output ALT.D+ feeds from B+ "while it charges"
relay KSEP make
F1 -> IGN.30
IGN.50 -> NEUTRAL.1
NEUTRAL.2 -> K.86
K.85 -> G1
F2 -> FAN -> SPEED.1
SPEED.2 -> G1
F2 -> ALT.B+
ALT.31 -> G1
ALT.D+ -> KSEP.86
KSEP.85 -> G1
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "a.circuit").write_text(TEXT, "utf-8")
    return tmp_path


def said(capsys: pytest.CaptureFixture[str], *words: str) -> str:
    assert end_of(program, list(words)) == 0
    return " ".join(capsys.readouterr().out.split())


def test_what_is_on_ground_lets_no_plus_through_a_suppressor(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Ground, through the diode across a dead coil, is not the plus that a load beside it has on its other end."""
    text = TEXT + "lamp L\nF2 -> L.1\nL.2 -> G1\ndiode D\nK.85 -> D -> K.86\n"
    (tmp_path / "a.circuit").write_text(text, "utf-8")
    told = said(capsys, "live", str(tmp_path), "--at", "K.86")
    assert "K.86 no plus; ground through K" in told


def test_each_terminal_of_a_part_in_one_state(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    text = said(capsys, "live", str(folder), "--key", "start", "--at", "NEUTRAL", "--at", "K.86", "--at", "FAN")
    assert "NEUTRAL.1 plus, through F1, IGN in start" in text
    assert "NEUTRAL.2 no plus: NEUTRAL.2 open; ground through K" in text
    assert "K.86 no plus: NEUTRAL.2 open; ground through K" in text
    assert "FAN.1 plus, through F2 FAN.2 plus through FAN, no current" in text
    assert "CURRENT" not in text and "FUSES" not in text


def test_an_alternators_own_output_is_on_while_it_charges(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    text = said(capsys, "live", str(folder), "--feeding", "ALT")
    assert "KSEP coil fed through ALT.D+ while ALT feeds" in text
    assert "KSEP may be: coil fed through ALT.D+ on request" in said(capsys, "live", str(folder), "--key", "run")
    way = said(capsys, "trace", str(folder), "KSEP")
    assert "FEED KSEP.86: when ALT.D+ is on ALT.D+ alternator wire KSEP.86" in way
    assert "supply ALT.B+" not in way


def test_what_is_not_there_is_said(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert end_of(program, ["live", str(folder), "--at", "NOBODY"]) != 0
    assert "NOBODY" in capsys.readouterr().err


@pytest.mark.parametrize("seed", range(80))
def test_plus_and_ground_are_told_as_they_are(seed: int) -> None:
    circuit = random_circuit(seed)
    powered = evaluate(circuit, random_state(circuit, seed))
    ends = [end for end in circuit.nodes if not end.part.startswith("?")]
    for its, end in zip(at_json(powered, ends), ends, strict=True):
        assert its["plus"] == powered.supply[end].words and its["ground"] == powered.ground[end].words
        (row,) = at_lines(powered, [end], 10_000)[1:]
        told = row.split(maxsplit=1)[1] if row.split()[0] == str(end) else row
        if powered.supply[end] == Answer.YES:
            assert "plus" in told and "no plus" not in told and "may be plus" not in told
        elif powered.supply[end] == Answer.NO == powered.ground[end]:
            assert "no plus" in told or "plus through" in told
