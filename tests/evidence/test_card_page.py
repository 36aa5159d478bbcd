"""The page on job cards: its example is read, and every key a card may have stands on it."""

import re
from pathlib import Path

from circuitmap.evidence import job_card
from circuitmap.evidence.job_card import INTAKE, STATES, read_card
from circuitmap.evidence.timeline import evidence_on
from circuitmap.flows.questions import open_platform
from circuitmap.source import SourceFile

PAGE = Path(job_card.__file__).with_suffix(".md").read_text("utf-8")
TRUCK = Path(__file__).parents[2] / "sample_vehicles" / "truck"


def test_the_example_is_read_without_a_problem() -> None:
    match = re.search(r"```yaml\n(.*?)```", PAGE, re.S)
    assert match is not None
    card, problems = read_card(SourceFile("card.yaml", match[1]))
    evidence, more = evidence_on(open_platform(TRUCK), card)
    assert (problems, more) == ((), ())
    assert len(evidence.readings) >= 8 and len(evidence.tries) == 1


def test_every_key_stands_on_the_page() -> None:
    told = set(re.findall(r"`([a-z-]+)`", PAGE))
    keys = {*INTAKE, "fitted", "absent", "added", "entries", *job_card._ENTRY_KEYS}
    assert keys <= told


def test_every_state_stands_on_the_page() -> None:
    assert all(f"`{state}`" in PAGE for state in STATES)
