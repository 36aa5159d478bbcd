"""Of two things at once one is proven, and the other one is not left without a step. Source: worked out by hand; whoever
proves the first would else hear of the second only once the first is mended."""

from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.flows.job import job_from
from circuitmap.reports.suspects.suspects_text import suspects_text
from tests.diagnosis.cards import SAMPLES, circuit


def test_the_other_of_the_two_keeps_its_steps() -> None:
    its = circuit("van")
    card = (SAMPLES / "van" / "jobs" / "0388.yaml").read_text("utf-8")
    evidence = job_from(its.platform, card[: card.index('  - {at: "13:10", cause')], "job.yaml").evidence
    found = diagnose(its, evidence, evidence.options)
    text = " ".join(suspects_text(its.platform, found).split())
    assert text.index("NEXT Prove TOWMOD") < text.index("FOR THE OTHER OF THE TWO (all that is out in again first")
    assert "Unplug DOORD" in text[text.index("FOR THE OTHER OF THE TWO") :]
