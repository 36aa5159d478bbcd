"""A reading as low as that of a sound vehicle asleep is not rejected because it was early: what falls asleep later draws
less, not more."""

import pytest

from circuitmap.evidence.evidence import Evidence
from circuitmap.evidence.job_card import read_card
from circuitmap.evidence.timeline import evidence_on
from circuitmap.notation.reading import read_text
from circuitmap.source import SourceFile
from circuitmap.wiring.declare import platform_of

VAN = """\
platform "Marlow Linnet" sleep 20min..40min limit 50mA
battery BAT 72Ah
box CAB
fuse CAB.F22 20A mini
module LIFT supply 1 ground 2
CAB.F22 feeds LIFT
"""


def told(*entries: str) -> Evidence:
    notation, found = read_text(SourceFile("van.circuit", VAN))
    assert not found
    card, problems = read_card(SourceFile("job.yaml", "entries:\n" + "".join(f"  - {{{e}}}\n" for e in entries)))
    evidence, more = evidence_on(platform_of([notation]), card)
    assert (problems, more) == ((), ())
    return evidence


@pytest.mark.parametrize(
    ("reading", "speaks"),
    [
        ("total: 0.05A", "parked"),
        ("total: 0.06A", "early"),
        ("total: -0.20A", "early"),
        ("read: {F22: 0.0mV}", "parked"),
        ("read: {F22: quiet}", "parked"),
        ("read: {F22: 1.6mV}", "early"),
        ("log: {floor: 0.03A, mean: 0.04A, peak: 0.05A, for: 5min}", "parked"),
        ("log: {floor: 0.03A, mean: 0.04A, peak: 1.20A, for: 5min}", "early"),
    ],
)
def test_five_minutes_after_it_was_locked(reading: str, speaks: str) -> None:
    evidence = told('at: "10:00", state: locked, meter: series', f'at: "10:05", {reading}')
    assert [one.speaks for one in evidence.readings] == [speaks]


def test_just_after_something_was_put_back() -> None:
    evidence = told('at: "10:00", state: locked', 'at: "11:00", total: 0.47A', 'at: "11:05", out: [LIFT]',
                    'at: "11:06", back: [LIFT]', 'at: "11:07", total: 0.04A', 'at: "11:08", total: 0.47A')  # fmt: skip
    assert [one.speaks for one in evidence.readings] == ["parked", "parked", "woken"]


@pytest.mark.parametrize("state", ["charger on", "opened", "key on"])
def test_a_charger_or_an_open_vehicle_says_nothing_of_the_parked_one(state: str) -> None:
    """What a charger gives is not drawn from the battery."""
    evidence = told('at: "10:00", state: locked', f'at: "10:55", state: {state}', 'at: "11:00", total: 0.01A')
    assert [one.speaks for one in evidence.readings] == ["woken"]
