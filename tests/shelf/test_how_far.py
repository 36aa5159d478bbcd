"""The shelf says of each job how far it has come."""

import pytest

from circuitmap.evidence.job_card import read_card
from circuitmap.shelf.entry import entry_of_job
from circuitmap.source import SourceFile

CAUSE, MENDED = "  - cause: CAB.K1\n", "  - mended: relay replaced\n"
LOG = "  - log: {BAT: floor 0.01A peak 0.1A mean 0.02A for 11h}\n"


@pytest.mark.parametrize(
    ("entries", "line"),
    [
        ("  - state: locked\n", "open"),
        (CAUSE, "cause: CAB.K1, open: not mended"),
        (LOG + CAUSE + MENDED, "cause: CAB.K1, mended: relay replaced, open: no log after mending"),
        (CAUSE + MENDED + LOG, "cause: CAB.K1, mended: relay replaced, logged after mending"),
    ],
)
def test_how_far_a_job_is(entries: str, line: str) -> None:
    card, _ = read_card(SourceFile("job.yaml", f"platform: van\njob: '4'\nentries:\n{entries}"))
    assert entry_of_job("job.yaml", card).line == line
