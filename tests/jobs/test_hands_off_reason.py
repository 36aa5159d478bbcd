"""Where a try is handed over because what was out is hands-off, the reason stands beside it."""

from circuitmap.circuit.links import circuit_of
from circuitmap.reports.job.clock import Clock
from circuitmap.reports.job.standing_text import for_proof
from circuitmap.reports.job.tried_text import try_sentence
from tests.diagnosis.test_figures_that_fit import platform
from tests.jobs.test_standing import DOWN, LOCKED, READ, standing

RESTRAINED = """\
platform "Marlow Linnet" sleep 20min..40min limit 50mA
battery BAT 72Ah
box CAB "Cab fuse box"
fuse CAB.F14 15A mini
relay CAB.K1 make
module SDM supply 1 ground 2 hands-off restraint
BAT.+ -> CAB.F14 -> SDM.1
SDM.2 -> case
BAT.- -> case
"""


def test_it_is_said_what_it_feeds_and_why_that_is_left_alone() -> None:
    its = platform(RESTRAINED)
    assert not circuit_of(its).hands_off.may_touch("CAB.F14")
    found = standing(its, LOCKED, READ, "at: 11:00, out: [F14]", DOWN)
    (one,) = found.tries
    why = "CAB.F14 (feeds SDM, restraint or pyrotechnic)"
    assert one.needs == ("hand-over",)
    assert for_proof(its, found)[0].startswith(f"{why}: nothing more is done to it here.")
    assert f"{why} should not have been touched" in try_sentence(its, one, Clock())
