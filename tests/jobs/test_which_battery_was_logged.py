"""A log of a vehicle with two batteries that does not say at which: refused, with how it is written where it stands."""

from circuitmap.flows.job import job_from
from circuitmap.notation.reading import read_text
from circuitmap.source import SourceFile
from circuitmap.wiring.declare import platform_of

CAMPER = platform_of(
    [read_text(SourceFile("c.circuit", 'platform "Elder Wren 6"\nbattery B1 70Ah\nbattery B2 90Ah\n'))[0]]
)
FIGURES = "floor: 0.01A, peak: 4.66A, mean: 1.56A, for: 12h"


def test_the_entry_is_shown_as_it_would_be_read() -> None:
    text = f'job: 1\nplatform: x\nentries:\n  - {{at: "07:00", log: {{{FIGURES}}}}}\n'
    (problem,) = job_from(CAMPER, text, "job.yaml").problems
    told = f"log: {{place: B1, {FIGURES}}}"
    assert problem.advice.startswith(f"Write {told} (place: B2 for another one).")
    assert "In a short line: log B1 floor" in problem.advice
    assert job_from(CAMPER, text.replace(f"log: {{{FIGURES}}}", told), "job.yaml").problems == ()
