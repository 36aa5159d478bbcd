"""What somebody put straight on a battery's post has no fuse by any sheet: the battery's cautions stand wherever it is
taken off or goes back. Common practice, no source."""

import pytest

from circuitmap.circuit.links import circuit_of
from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.flows.job import job_from
from circuitmap.flows.questions import platform_from
from circuitmap.reports.job.standing_text import for_proof
from circuitmap.reports.suspects.suspects_text import suspects_text
from circuitmap.reports.words.cautions import StepKind, cautions_at
from circuitmap.source import SourceFile
from circuitmap.wiring.platform import Platform

SKIFF = """\
platform "Skiff" supply 12V sleep 1min..2min limit 3mA
battery BAT 40Ah
terminal POST "plus bar"
fuse F1 20A mini "all", F2 10A mini "pump"
splice SP1 "behind the pump's fuse"
heater H1 "locker heater", H2 "bilge heater"
ground G1
BAT.+ -> POST
POST -> F1 -> H1.1
POST -> F2 -> SP1
SP1 -> H2.1
H1.2 -> G1
H2.2 -> G1
BAT.- -> G1
"""
SAYS = "ground lead off first, on last; never left in without a fuse at the post"


@pytest.fixture(scope="module")
def skiff() -> Platform:
    return platform_from((SourceFile("skiff.circuit", SKIFF),))


@pytest.mark.parametrize("step", ("unplug", "prove", "refit"))
@pytest.mark.parametrize(
    ("fed_from", "said"), [("BAT", True), ("POST", True), ("F1", False), ("SP1", False), ("H1", False)]
)
def test_it_stands_where_no_fuse_is_between(skiff: Platform, step: StepKind, fed_from: str, said: bool) -> None:
    told = {its.code: its.text for its in cautions_at(skiff, step, ("spare lead",), fed_from={"spare lead": fed_from})}
    assert ("on-the-post" in told) == said
    assert not said or ("gas" in told["on-the-post"] and "no sparks" in told["on-the-post"])


def test_a_clamp_round_it_takes_nothing_off_and_other_parts_have_no_such_caution(skiff: Platform) -> None:
    fed_from = {"spare lead": "BAT"}
    assert "on-the-post" not in {its.code for its in cautions_at(skiff, "clamp", ("spare lead",), fed_from=fed_from)}
    assert "on-the-post" not in {its.code for its in cautions_at(skiff, "unplug", ("H1",), fed_from=fed_from)}


BEGINS = """\
job: 1
platform: skiff
battery: 40Ah
entries:
  - {at: "14:00", state: locked, meter: low current clamp, resolution: 1mA, zeroed: yes}
  - {at: "14:20", total: 32mA, read: {F1: 0mA, F2: 0mA}, steady: yes}
  - {at: "14:30", added: {spare lead: FED}}
"""
OUT = """\
  - {at: "14:34", out: [spare lead]}
  - {at: "14:40", total: 0mA, steady: yes}
"""
BACK = """\
  - {at: "14:42", back: [spare lead]}
  - {at: "14:48", total: 32mA, steady: yes}
"""


@pytest.mark.parametrize(("fed_from", "said"), [("BAT", True), ("SP1", False)])
def test_the_card_says_it_before_it_is_taken_off_and_at_the_proof(skiff: Platform, fed_from: str, said: bool) -> None:
    """By hand: 32 mA with it, 0 mA without, 32 mA again: out once more is the proof, and again at the post."""
    begins = BEGINS.replace("FED", fed_from)
    before = job_from(skiff, begins, "job.yaml")
    steps = " ".join(suspects_text(skiff, diagnose(circuit_of(skiff), before.evidence)).split())
    assert (SAYS in steps) == said
    after = job_from(skiff, begins + OUT + BACK, "job.yaml")
    assert not after.problems, after.problems
    asks = [line for line in for_proof(skiff, after.standing) if line.startswith("! ")]
    assert asks and (SAYS in " ".join(asks)) == said
