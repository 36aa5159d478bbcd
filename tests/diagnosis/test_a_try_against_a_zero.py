"""One try against a place that showed nothing, while what was read beside it accounts for the draw: the try is doubted
first, also where what was out may keep a network awake, and nothing is said of it in the job's standing."""

import pytest

from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.evidence.tries import Try
from circuitmap.flows.diagnosis import TypedEvidence, evidence_typed
from circuitmap.jobs.trying import verdicts_on
from circuitmap.reports.suspects.suspects_text import suspects_text
from tests.diagnosis.cards import circuit


@pytest.mark.parametrize(
    ("vehicle", "read", "out", "drawing"),
    [
        ("van", "BAT=1.20A F22=0A F26=1.17A", "F22=0.03A", "CAB.F26"),
        ("truck", "BAT=0.90A F19=0A F50=0.86A", "F19=0.04A", "FRM.F50"),
    ],
)
def test_the_try_is_made_again_first(vehicle: str, read: str, out: str, drawing: str) -> None:
    its, readings, fuse = circuit(vehicle), tuple(read.split()), out.partition("=")[0]
    typed = TypedEvidence(readings=readings, meter="low-current-clamp", unplugged=(out,))
    found = diagnose(its, evidence_typed(its.platform, typed))
    assert [one.why_not for one in found.tried] == ["odd"]
    assert found.subjects[0].about == drawing
    first = found.tests.choices[0].action
    assert first.doing == "pull-fuses" and [part.rpartition(".")[2] for part in first.parts] == [fuse]
    said = " ".join(suspects_text(its.platform, found).split())
    assert f"1 Put {first.parts[0]} back in: does the draw come back? Then: Take {first.parts[0]} out" in said
    twice = diagnose(its, evidence_typed(its.platform, typed._replace(unplugged=(out, out))))
    assert not any(one.why_not for one in twice.tried)


@pytest.mark.parametrize(("shown", "verdict"), [("0.00A", "cannot-tell"), ("0.86A", "involved")])
def test_a_fuse_that_showed_nothing_is_not_involved_by_one_try(shown: str, verdict: str) -> None:
    its = circuit("truck")
    typed = TypedEvidence(readings=("BAT=0.90A", f"F50={shown}"), meter="low-current-clamp", unplugged=("F50=0.04A",))
    evidence = evidence_typed(its.platform, typed)
    one: Try = evidence.tries[0]
    before = next(reading for reading in evidence.readings if reading.place == "BAT")
    tries = [Try(out=one.out, before=before, after=one.after, written=one.written)]
    [told] = verdicts_on(its.platform, tries, its.hands_off, readings=evidence.readings)
    assert (told.verdict, told.reason) == (verdict, "against-zero" if verdict == "cannot-tell" else "")
