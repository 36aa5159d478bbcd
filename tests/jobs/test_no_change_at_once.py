"""`no change` in the moment that something was taken out: an answer where nobody falls asleep later for it."""

import pytest

from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.jobs.job import Job, job_of, times_of
from circuitmap.notation.reading import read_text
from circuitmap.reports.job.clock import Clock
from circuitmap.reports.job.standing_text import standing_text
from circuitmap.reports.suspects.not_known import not_known_sentences
from circuitmap.source import SourceFile
from circuitmap.wiring.declare import platform_of

FLATBED = """\
platform "Heron Drayman" sleep 12min..30min limit 50mA
sheet "3" "All of it" whole
battery BAT 90Ah
fuse F1 10A mini, F2 15A mini, F3 10A mini, F4 20A mini, F5 10A mini
relay KTOW "towing relay" make
relay KBODY "body relay" make
module TAILL "tail lift" supply 1 ground 2
module DOORM "door module" supply 1 ground 2 sense 3
module LAMPM "lamp module" supply 1 ground 2
heater SEATH running 3A
switch DSW "door switch" positions shut, open closes 1 to 2 in open
connector XD cavities 2
network BODY can members DOORM, LAMPM
ground G
BAT.+ -> F1 -> TAILL.1
BAT.+ -> F2 -> KTOW.30
KTOW.87 -> SEATH -> G
BAT.+ -> F3 -> DOORM.1
BAT.+ -> F4 -> KBODY.30
KBODY.87 -> LAMPM.1
BAT.+ -> F5 -> XD.2 -> TAILL.1
DOORM.3 -> XD.1 -> DSW.1
DSW.2 -> G
TAILL.2 -> G
DOORM.2 -> G
LAMPM.2 -> G
BAT.- -> G
"""


def job(*entries: str, text: str = FLATBED) -> Job:
    notation, found = read_text(SourceFile("flatbed.circuit", text))
    assert not found
    lines = ["job: 9", "platform: flatbed", "entries:", '  - {at: "13:00", state: locked}', *entries]
    return job_of(platform_of([notation]), SourceFile("job.yaml", "\n".join(lines) + "\n"))


def out_for_nothing(name: str, how: str, before: str = "13:40") -> Job:
    its = job(f'  - {{at: "{before}", total: 0.62A}}', f'  - {{at: "13:50", out: [{name}], {how}}}')
    assert not its.problems
    return its


def diagnosed(its: Job) -> Diagnosis:
    return diagnose(its.circuit, its.evidence)


AS_SAID = ("change: no change", "total: 0.62A")


@pytest.mark.parametrize("how", AS_SAID)
@pytest.mark.parametrize("name", ["TAILL", "F1", "KTOW", "F2", "SEATH"])
def test_what_keeps_nobody_awake_is_cleared_at_once_and_is_no_gap(name: str, how: str) -> None:
    its = out_for_nothing(name, how)
    assert [one.verdict for one in its.standing.tries] == ["cleared"]
    assert not any(f"{name} out" in said for said in not_known_sentences(its.platform, diagnosed(its)))


@pytest.mark.parametrize("how", AS_SAID)
@pytest.mark.parametrize("name", ["DOORM", "F3", "DSW", "XD", "KBODY", "LAMPM"])
def test_what_may_keep_others_awake_has_to_wait_and_it_is_told_what_is_known(name: str, how: str) -> None:
    its = out_for_nothing(name, how)
    one = its.standing.tries[0]
    assert (one.verdict, one.reason, one.wait) == ("too-early", "not-asleep", 12.0)
    said = " ".join("\n".join(standing_text(its.platform, its.standing, Clock(times_of(its.card)))).split())
    assert "it may keep others awake. Wait until 14:02, read again." in said
    assert any(f"With {name} out" in said for said in not_known_sentences(its.platform, diagnosed(its)))


@pytest.mark.parametrize(("name", "verdict"), [("TAILL", "too-early"), ("KTOW", "cleared"), ("SEATH", "cleared")])
def test_where_its_sheet_is_not_whole_a_module_may_be_on_a_network_that_nobody_typed(name: str, verdict: str) -> None:
    entries = ('  - {at: "13:40", total: 0.62A}', f'  - {{at: "13:50", out: [{name}], change: no change}}')
    its = job(*entries, text=FLATBED.replace(" whole", ""))
    assert [one.verdict for one in its.standing.tries] == [verdict]


@pytest.mark.parametrize("how", AS_SAID)
def test_of_a_vehicle_that_was_not_asleep_before_it_is_no_answer(how: str) -> None:
    assert out_for_nothing("TAILL", how, before="13:05").standing.tries[0].verdict == "too-early"


def test_of_a_vehicle_that_stands_open_it_is_no_answer() -> None:
    its = job('  - {at: "13:40", total: 0.62A}', '  - {at: "13:45", state: opened}',
              '  - {at: "13:50", out: [TAILL], change: no change}')  # fmt: skip
    assert its.standing.tries[0].verdict == "too-early"
