"""What a try still asked for is not asked for once the vehicle was mended and draws no longer. Source: common practice,
no source; on the page of a finished job nobody looks for what to do at a switch."""

from circuitmap.evidence.job_card import read_card
from circuitmap.evidence.timeline import evidence_on
from circuitmap.jobs.standing import standing_of
from circuitmap.reports.job.clock import Clock
from circuitmap.reports.job.standing_text import standing_text
from circuitmap.source import SourceFile
from tests.diagnosis.test_opening_contact import READ, STAYS, cabin

MENDED = (
    "at: 09:45, back: [DOOR]",
    'at: 10:00, mended: "wire DOOR.1 to DOORC.5 renewed"',
    "at: 10:01, state: locked",
)
QUIET, STILL = "at: 11:00, total: 0.01A, steady: yes", "at: 11:00, total: 0.45A, steady: yes"


def said(*entries: str) -> str:
    its = cabin("", "shut")
    text = "job: 1\nentries:\n" + "".join(f"  - {{{entry}}}\n" for entry in (*READ, *STAYS, *entries))
    card, problems = read_card(SourceFile("job.yaml", text))
    evidence, more = evidence_on(its.platform, card)
    assert not problems and not more
    return " ".join(
        " ".join(standing_text(its.platform, standing_of(its.platform, card, evidence, its), Clock())).split()
    )


def test_the_bridge_is_asked_for_as_long_as_it_draws() -> None:
    assert "Bridge 1 and 2" in said() and "Bridge 1 and 2" in said(*MENDED, STILL)


def test_nothing_is_asked_for_once_it_draws_no_more() -> None:
    text = said(*MENDED, QUIET)
    assert "CAN'T TELL: DOOR" in text and "That clears nothing" in text
    assert "Bridge" not in text and "tested DOOR bad" not in text
