"""What turns a part on, tested apart and found fine, is not what there is to mend: a test of each input by itself."""

from dataclasses import replace

import pytest

from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.evidence.job_card import read_card
from circuitmap.evidence.timeline import evidence_on
from circuitmap.source import SourceFile
from tests.diagnosis.cards import circuit

CARD = """entries:
- {{at: "08:00", state: locked}}
- {{at: "09:00", total: {total}}}
- {{at: "09:05", read: {{F12: {read}}}}}
- {{at: "09:10", out: [{lamp}]}}
- {{at: "09:40", read: {{BAT: 0.06A}}}}
- {{at: "09:45", tested: {{{lamp} inputs: fine}}}}
"""


@pytest.mark.parametrize("read", ["0.30A", "0.0A"])
def test_what_turns_it_on_is_acquitted(read: str) -> None:
    its = circuit("truck")
    card, problems = read_card(SourceFile("card.yaml", CARD.format(total="0.36A", read=read, lamp="BUNKL")))
    evidence, more = evidence_on(its.platform, card)
    assert not problems and not more
    found, untested = diagnose(its, evidence), diagnose(its, replace(evidence, tested=()))
    assert untested.subjects[0].about == "BUNKSW"
    assert found.subjects[0].about == "BUNKL" and found.subjects[0].probability > 0.75
    assert next(s.probability for s in found.subjects if s.about == "BUNKSW") < 0.15
