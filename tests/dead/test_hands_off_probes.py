"""What a search for something interrupted does about hands-off things: no probe there, and the words for handing over."""

from pathlib import Path

import pytest

from circuitmap.failures import WrongUse
from circuitmap.flows.questions import Bench, open_bench
from tests.dead.complaints import asked

VEHICLE = """platform "P" supply 12V return body sleep 5min..10min limit 30mA
battery BAT 60Ah
fuse F1 10A, F2 15A, F3 30A
splice SP1
connector X9
ground G1, G2
module BAG supply 1 ground 2 hands-off restraint
module HEATC supply 1 ground 2
heater HEAT running 5A
heater OTHER running 5A
output HEATC.8 feeds from 1 in run
output HEATC.9 feeds from 1 in run
key IGN positions off, run closes 30 to 15 in run
module BELT supply 1 ground 2 hands-off restraint
lamp LAMP running 1A
lamp MIRROR running 1A
switch SW positions off, on closes 1 to 2 in on

sheet "1"
BAT.+ -> F1 -> BAG.1
BAG.2 -> G1
BAG.11 -> X9.1 -> BAG.12
BAT.+ -> F2 -> HEATC.1
HEATC.2 -> G2
HEATC.8 -> X9.7 -> HEAT -> G2
HEATC.9 -> OTHER -> G2
BAT.+ -> F3 -> SP1 -> BELT.1
BELT.2 -> G2
SP1 -> SW.1
SW.2 -> LAMP -> G2
SP1 -> MIRROR -> G2
BAT.- -> G1, G2
"""


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    (tmp_path / "p.circuit").write_text(VEHICLE, encoding="utf-8")
    return open_bench(tmp_path)


def test_no_probe_goes_into_a_plug_that_may_not_be_parted(bench: Bench) -> None:
    """Between the controller's output and the heater lies only that plug: what is left to probe are the two pins."""
    its = asked(bench, "HEAT", works="OTHER", key="run")
    points = {str(step.step.point) for step in its.steps if step.step.point is not None}
    assert points and points <= {"HEATC.8", "HEAT.1", "HEAT.2"}
    assert not bench.circuit.hands_off.may_touch("X9")


def test_no_probe_goes_to_the_copper_of_a_feed(bench: Bench) -> None:
    its = asked(bench, "LAMP", key="run", switches="SW=on")
    points = {str(step.step.point) for step in its.steps if step.step.point is not None}
    assert "SW.2" in points
    assert not points & {"SW.1", "MIRROR.1", "F3.2"}


@pytest.mark.parametrize("point", ["X9.7", "SW.1"])
def test_what_was_read_there_is_refused(bench: Bench, point: str) -> None:
    with pytest.raises(WrongUse, match="hands-off: not probed"):
        asked(bench, "LAMP HEAT", key="run", switches="SW=on", saw=f"{point}=12V")
