"""A plug that was found wet is the fault itself: which of all that hangs on it is asked of one that was not. Source:
common practice, no source."""

import pytest

from circuitmap.circuit.links import Circuit
from circuitmap.evidence.job_card import read_card
from circuitmap.evidence.timeline import evidence_on
from circuitmap.jobs.standing import standing_of
from circuitmap.reports.job.try_words import out_words
from circuitmap.source import SourceFile
from tests.diagnosis.test_answers import circuit_from
from tests.diagnosis.test_water_in_a_plug import BACK, DREW, HATCH, PLUG_OUT

AGAIN = ("at: 10:25, out: [X9]", "at: 10:40, read: {BAT: 0.004A}")


@pytest.fixture(scope="module")
def lorry() -> Circuit:
    return circuit_from(HATCH)


@pytest.mark.parametrize(
    ("entries", "verdict", "needs"),
    [
        ((), "involved", ("out-again", "which-part")),
        (("at: 10:22, found: {X9: wet}",), "involved", ("out-again",)),
        (("at: 10:22, found: {X9.2: wet}",), "involved", ("out-again",)),
        (("at: 10:22, found: {X9: sound}",), "involved", ("out-again", "which-part")),
        (("at: 10:22, found: {X9: wet}", *AGAIN), "proven", ()),
        (AGAIN, "involved", ("which-part",)),
    ],
)
def test_what_is_still_asked_of_a_plug(
    lorry: Circuit, entries: tuple[str, ...], verdict: str, needs: tuple[str, ...]
) -> None:
    text = "job: 1\nentries:\n" + "".join(f"  - {{{entry}}}\n" for entry in (*DREW, *PLUG_OUT, BACK, *entries))
    card, problems = read_card(SourceFile("job.yaml", text))
    evidence, more = evidence_on(lorry.platform, card)
    assert not problems and not more
    (one,) = standing_of(lorry.platform, card, evidence, lorry).tries
    assert (one.verdict, one.needs) == (verdict, needs)


FUSE = (
    "at: 09:45, out: [F1]",
    "at: 10:00, read: {BAT: 0.15A}",
    "at: 10:01, back: [F1]",
    "at: 10:20, read: {BAT: 0.45A}",
)
FUSE_AGAIN = ("at: 10:25, out: [F1]", "at: 10:40, read: {BAT: 0.15A}")


@pytest.mark.parametrize(
    ("sign", "behind", "words"),
    [
        ("chafed", "chafed", "the wiring behind CAB.F1, ramp control, found chafed"),
        ("sound", None, "CAB.F1, ramp control"),
    ],
)
def test_what_is_found_at_a_fuse_is_that_of_the_wiring_behind_it(
    lorry: Circuit, sign: str, behind: str | None, words: str
) -> None:
    """The fuse is not what is to be mended."""
    entries = (*DREW, *FUSE, *FUSE_AGAIN, f"at: 10:45, found: {{F1: {sign}}}")
    card, _ = read_card(SourceFile("job.yaml", "job: 1\nentries:\n" + "".join(f"  - {{{e}}}\n" for e in entries)))
    evidence, _ = evidence_on(lorry.platform, card)
    (one,) = standing_of(lorry.platform, card, evidence, lorry).tries
    assert (one.found_behind, out_words(lorry.platform, one)) == (behind, words)
