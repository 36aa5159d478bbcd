"""Whole explanations, word for word: one for each kind of fault, and the whole answer for each job card."""

from pathlib import Path

import pytest

from circuitmap.diagnosis.diagnosis import Diagnosis, Row
from circuitmap.diagnosis.faults.fault_kinds import FAULT_KINDS
from circuitmap.reports.suspects.numbers import explain_text
from circuitmap.reports.suspects.suspects_text import suspects_text
from tests.diagnosis.cards import CARDS, after, circuit

GOLDEN = Path(__file__).parent / "golden"

WHERE = {
    "added": "truck/jobs/0431",
    "keeps-awake": "truck/jobs/0412",
    "wrong-input": "truck/jobs/0412",
    "by-itself": "truck/jobs/0398",
    "lamp": "truck/jobs/0431",
    "contact": "motorhome/jobs/0366",
    "coil": "van/jobs/0405",
    "chafed": "truck/jobs/0431",
    "unfused": "truck/jobs/0377",
    "none-of-these": "truck/jobs/0431",
}
"""A card on which a single fault of the kind is among the explanations listed."""

FORBIDDEN = ("deciban", "bit ", "bits", "posterior", "prior ", "class", "segment", "entropy", "likelihood", "marginal",
             "hypothes", " dB")  # fmt: skip
"""Words that must never stand on a screen."""


def expect(name: str, text: str, request: pytest.FixtureRequest) -> None:
    path = GOLDEN / f"{name}.txt"
    if request.config.getoption("--update-golden"):
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, "utf-8")
    assert text == path.read_text("utf-8")


def row_of(diagnosis: Diagnosis, kind: str) -> tuple[int, Row]:
    return next((n, row) for n, row in enumerate(diagnosis.rows, start=1) if row.explanation.kinds == (kind,))


def test_each_kind_is_on_a_card_or_has_a_vehicle_of_its_own() -> None:
    """Of a fuse where the sheet has none, `test_fuse_in_an_empty_slot.py` has one."""
    assert {*WHERE, "extra-fuse"} == set(FAULT_KINDS)


@pytest.mark.parametrize("kind", WHERE)
def test_one_explanation_of_each_kind(kind: str, request: pytest.FixtureRequest) -> None:
    name = WHERE[kind]
    diagnosis = after(name)
    number, _ = row_of(diagnosis, kind)
    expect(f"kind_{kind}", explain_text(circuit(name.partition("/")[0]).platform, diagnosis, number), request)


@pytest.mark.parametrize("name", CARDS)
def test_the_whole_answer_of_each_card(name: str, request: pytest.FixtureRequest) -> None:
    text = suspects_text(circuit(name.partition("/")[0]).platform, after(name))
    expect(name.replace("/jobs/", "_"), text, request)


@pytest.mark.parametrize("name", CARDS)
def test_no_word_of_the_mathematics_stands_on_a_screen(name: str) -> None:
    text = suspects_text(circuit(name.partition("/")[0]).platform, after(name)).lower()
    assert not [word for word in FORBIDDEN if word in text]
    assert "%" not in text


@pytest.mark.parametrize("name", CARDS)
def test_lines_fit_a_terminal(name: str) -> None:
    text = suspects_text(circuit(name.partition("/")[0]).platform, after(name), width=80)
    assert max(map(len, text.splitlines())) <= 80
