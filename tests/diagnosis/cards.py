"""The job cards of the sample vehicles, read up to any stage of the work."""

from dataclasses import replace
from functools import cache
from pathlib import Path

from circuitmap.circuit.links import Circuit, circuit_of
from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.evidence.evidence import Evidence
from circuitmap.evidence.job_card import JobCard, read_card
from circuitmap.evidence.timeline import evidence_on
from circuitmap.flows.questions import open_platform
from circuitmap.source import SourceFile

SAMPLES = Path(__file__).parents[2] / "sample_vehicles"
CARDS = tuple(sorted(str(p.relative_to(SAMPLES).with_suffix("")) for p in SAMPLES.glob("*/jobs/*.yaml")))


@cache
def circuit(vehicle: str) -> Circuit:
    return circuit_of(open_platform(SAMPLES / vehicle))


@cache
def card_of(name: str) -> JobCard:
    """`truck/jobs/0412`."""
    path = SAMPLES / f"{name}.yaml"
    card, problems = read_card(SourceFile(path.name, path.read_text("utf-8")))
    assert problems == ()
    return card


def evidence_after(name: str, entries: int | None = None) -> Evidence:
    """What the first `entries` say; all of them if not given."""
    card = card_of(name)
    kept = card.entries if entries is None else card.entries[:entries]
    evidence, problems = evidence_on(circuit(name.partition("/")[0]).platform, replace(card, entries=kept))
    assert problems == ()
    return evidence


@cache
def after(name: str, entries: int | None = None) -> Diagnosis:
    return diagnose(circuit(name.partition("/")[0]), evidence_after(name, entries))
