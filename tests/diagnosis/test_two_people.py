"""Two people read one place in one state further apart than their meters: it is said, never silently the later."""

import pytest

from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.jobs.job import Job, job_of
from circuitmap.notation.reading import read_text
from circuitmap.reports.suspects.suspects_json import suspects_json
from circuitmap.reports.suspects.suspects_text import suspects_text
from circuitmap.source import SourceFile
from circuitmap.wiring.declare import platform_of

NOTATION = """\
platform "Ostrey Dunlin" sleep 10min..15min limit 40mA
battery BAT 95Ah
box HAB "Living box"
fuse HAB.F1 15A mini "step"
fuse HAB.F2 15A mini "airbag"
motor STEP "entry step"
module SDM "airbag module"
HAB.F1 feeds STEP
HAB.F2 feeds SDM
"""
LOCKED = "platform: camper\nentries:\n  - {at: 10:00, state: locked}\n  - {at: 10:30, total: 0.6A, by: Ida}\n"
IDA, TOM = "  - {at: 10:31, by: Ida, read: {F1: 0.6mV}}\n", "  - {at: 10:31:20, by: Tom, read: {F1: 1.9mV}}\n"


def job(text: str) -> Job:
    platform = platform_of([read_text(SourceFile("c.circuit", NOTATION))[0]])
    its = job_of(platform, SourceFile("job.yaml", text))
    assert not its.problems
    return its


def told(text: str) -> str:
    its = job(text)
    return " ".join(suspects_text(its.platform, diagnose(its.circuit, its.evidence, {})).split())


def test_it_is_said_who_read_what_with_its_caution() -> None:
    text = told(LOCKED + IDA + TOM)
    assert "READ AGAIN HAB.F1: Ida 0.6mV, then Tom 1.9mV, further apart than the meters. Until somebody has" in text
    assert "nothing moved since the reading that is doubted" in text
    its = job(LOCKED + IDA + TOM)
    data = suspects_json(its.platform, diagnose(its.circuit, its.evidence, {}), 3)["read_again"]
    assert data == [
        {"place": "HAB.F1", "readings": [{"by": "Ida", "reading": "F1 0.6mV"}, {"by": "Tom", "reading": "F1 1.9mV"}]}
    ]


@pytest.mark.parametrize(
    "entries",
    [
        IDA + TOM.replace("Tom", "ida"),  # one person who reads again means the later
        IDA + TOM.replace("by: Tom, ", ""),  # nobody knows whether it was somebody else
        IDA + TOM.replace("1.9mV", "0.6mV"),
        IDA + TOM + "  - {at: 10:33, by: Tom, read: {F1: 1.9mV}}\n",
        IDA + TOM + "  - {at: 10:33, by: Tom, read: {F1: 0.6mV}}\n",
        IDA + "  - {at: 10:33, by: Tom, out: [F2], read: {F1: 1.9mV}}\n",  # another state
        IDA + "  - {at: 10:33, state: opened}\n  - {at: 10:34, by: Tom, read: {F1: 1.9mV}}\n",
    ],
)
def test_it_is_not_said(entries: str) -> None:
    assert "further apart" not in told(LOCKED + entries)


def test_a_third_value_settles_nothing() -> None:
    assert "Tom 1.9mV, then Eve 4.0mV" in told(LOCKED + IDA + TOM + "  - {at: 10:33, by: Eve, read: {F1: 4.0mV}}\n")


def test_nobody_is_sent_to_what_is_hands_off() -> None:
    its = LOCKED + (IDA + TOM).replace("F1", "F2").replace("0.6mV", "0.1A").replace("1.9mV", "0.4A")
    platform = job(its).platform
    assert "F2" in {name.rpartition(".")[2] for name in platform.parts}
    text = told(its)
    assert "HAB.F2: Ida 0.1A, then Tom 0.4A" in text
    assert "not pulled, unplugged, parted, probed or measured here" in text
