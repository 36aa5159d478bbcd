"""Nobody's hands or probes are sent to what is hands-off by what proves a part, nor by what a look is done with: over
small platforms that hide it everywhere, the sample vehicles and the papers of strangers."""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from circuitmap.circuit.links import Circuit, circuit_of
from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.evidence.evidence import Evidence
from circuitmap.evidence.meters import meter_named
from circuitmap.evidence.written_readings import written_reading
from circuitmap.flows.job import job_from
from circuitmap.flows.questions import open_platform
from circuitmap.reports.job.standing_text import for_proof
from circuitmap.reports.suspects.next_test import test_lines as lines_of_test
from circuitmap.reports.suspects.suspects_text import suspects_text
from circuitmap.wiring.platform import Platform
from tests.circuit.hands_off_platforms import PLACES, Hidden
from tests.reports.test_hands_off_everywhere import diagnoses_of, platform_of

ROOT = Path(__file__).parents[2]
VEHICLES = (*sorted(p.parent for p in (ROOT / "sample_vehicles").glob("*/*.circuit")),)
FOLDERS = sorted({*VEHICLES, *(p.parent for p in (ROOT / "tests" / "papers").glob("*/text/*.circuit"))})
MOST = 3
"""How many hands-off fuses of one vehicle are tried, spread over all of them."""

BY_HAND = re.compile(
    r"[Ww]iggle|back of a hand|plug wet|plug of .* wet|unplug it|from behind|Measure the volts|Test its inputs|"
    r"Test what it feeds|freed from|tested apart|under load|\bohms\b"
)
"""What is done with hands or probes."""


def at_hands_off(circuit: Circuit, fault: Fault) -> bool:
    """Whether a fault sits in what is hands-off, or hangs behind it."""
    known = circuit.platform.parts
    names = [fault.part] if fault.part in known else [fault.about, fault.place, *fault.others]
    return any(n in known and known[n].kind != "battery" and not circuit.hands_off.may_touch(n) for n in names)


def looks_stay_looks(circuit: Circuit, diagnosis: Diagnosis) -> int:
    """Hold it for all steps of a diagnosis; how many looks had something hands-off among them."""
    seen = 0
    for number, test in enumerate(diagnosis.tests.choices, start=1):
        left = [fault for fault in test.look_for if at_hands_off(circuit, fault)]
        if not left or test.action.doing == "inputs":  # live data touch nothing
            continue
        seen += 1
        lines = lines_of_test(circuit.platform, diagnosis, number, test, 10_000)
        assert any("Eyes only at" in line for line in lines), lines
        if len(left) == len(test.look_for):
            assert not [line for line in lines if BY_HAND.search(line)], lines
    lead = diagnosis.tests.mend or (diagnosis.subjects[0].parts[0].part if diagnosis.subjects else "")
    faults = next((its.faults for its in diagnosis.parts if its.part == lead), ())
    if faults and all(at_hands_off(circuit, fault) for fault in faults) and not diagnosis.tests.choices:
        text = suspects_text(circuit.platform, diagnosis)
        steps = re.split(r"^(?:HANDS OFF|NOT KNOWN|CARE)", text[text.index("\nNEXT") :], flags=re.M)[0]
        assert not BY_HAND.search(" ".join(steps.split())), steps
    return seen


@pytest.mark.parametrize("hidden", PLACES, ids=lambda its: its.place)
def test_a_look_stays_a_look(hidden: Hidden) -> None:
    for diagnosis in diagnoses_of(hidden):
        looks_stay_looks(circuit_of(diagnosis.hands_off.platform), diagnosis)


def test_such_looks_are_among_those_platforms() -> None:
    found = [looks_stay_looks(circuit_of(d.hands_off.platform), d) for d in diagnoses_of(PLACES[0])]
    assert any(found)


def card_with(battery: str, fed_from: str) -> str:
    """Something on no sheet is found behind a place, and the draw goes with it."""
    return (
        "job: X\nentries:\n"
        "- {at: '10:00', state: locked}\n"
        f"- {{at: '11:00', meter: low-current-clamp, read: {{{battery}: 1.50A}}}}\n"
        f"- {{at: '11:10', added: {{cooler: {fed_from}}}}}\n"
        "- {at: '11:12', out: [cooler]}\n"
        f"- {{at: '11:40', read: {{{battery}: 0.01A}}}}\n"
    )


def proof_behind(platform: Platform, battery: str, fed_from: str) -> tuple[str, ...]:
    job = job_from(platform, card_with(battery, fed_from), "card.yaml")
    assert not [p for p in job.problems if str(p.severity) == "error"], job.problems
    standing = job.standing
    assert standing.leading is not None and standing.leading.out == ("cooler",)
    return for_proof(platform, standing)


@pytest.mark.parametrize("hidden", PLACES, ids=lambda its: its.place)
def test_what_hangs_behind_it_is_proven_by_its_own_plug(hidden: Hidden) -> None:
    platform = platform_of(hidden)
    fuses = [f.name for f in platform.fuses if f.name in (*hidden.never, *hidden.free) and not f.empty]
    for fuse in fuses:
        said = proof_behind(platform, "BAT", fuse)
        by_hand = [sentence for sentence in said if BY_HAND.search(sentence)]
        if fuse in hidden.never:
            assert not by_hand and any("own plug" in sentence for sentence in said)
            assert any(fuse in sentence and "hands-off" in sentence for sentence in said)
        else:
            assert any(sentence.startswith("Take cooler out once more") for sentence in said), said
            assert not any("own plug" in sentence for sentence in said)


def on_vehicles() -> Iterator[tuple[Path, str]]:
    for folder in FOLDERS:
        platform = open_platform(folder)
        hands_off = circuit_of(platform).hands_off
        fuses = [f.name for f in platform.fuses if not f.empty and not hands_off.may_touch(f.name)]
        yield from ((folder, fuse) for fuse in fuses[:: max(1, len(fuses) // MOST)][:MOST])


CASES = list(on_vehicles())


@pytest.mark.parametrize(("folder", "fuse"), CASES, ids=[f"{f.parent.name}-{f.name}-{n}" for f, n in CASES])
def test_on_whole_vehicles(folder: Path, fuse: str) -> None:
    platform = open_platform(folder)
    circuit = circuit_of(platform)
    battery = next(part.name for part in platform.parts.values() if part.kind == "battery")
    said = proof_behind(platform, battery, fuse)
    assert not [sentence for sentence in said if BY_HAND.search(sentence)], said
    meter = meter_named("clamp")
    words = (f"{battery}=1.50A", f"{fuse}=1.40A")
    readings = tuple(written_reading(platform, word, meter, total=1.5) for word in words)
    looks_stay_looks(circuit, diagnose(circuit, Evidence(readings=readings)))


def test_there_are_such_vehicles() -> None:
    assert len({folder for folder, _ in CASES}) >= 4
