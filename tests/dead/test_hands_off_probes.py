"""What a search for something interrupted does about hands-off things: no probe there, and the words for handing over."""

from pathlib import Path

import pytest

from circuitmap.failures import WrongUse
from circuitmap.flows.questions import Bench, open_bench
from circuitmap.reports.dead.dead_json import dead_json
from circuitmap.reports.dead.dead_text import dead_text
from circuitmap.reports.dead.handing_over import hand_over_told
from circuitmap.reports.dead.resting import dead_rests_on
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


GROUNDED = """platform "P" supply 12V return body sleep 5min..10min limit 30mA
battery BAT 60Ah
fuse F1 10A, F2 30A
splice SP
ground G1, G2
module BAG supply 1 ground 2 hands-off restraint
heater SCREEN running 15A
heater MIRROR running 2A

sheet "1"
BAT.+ -> F1 -> BAG.1
BAG.2 -> G1
BAT.+ -> F2 -> SP -> SCREEN.1
SP -> MIRROR -> G2
SCREEN.2 -> G1
BAT.- -> G1, G2
"""


@pytest.mark.parametrize("works", ["MIRROR", "MIRROR BAG"])
def test_a_ground_that_nobody_may_loosen_is_handed_over(tmp_path: Path, works: str) -> None:
    (tmp_path / "p.circuit").write_text(GROUNDED, encoding="utf-8")
    bench = open_bench(tmp_path)
    its = asked(bench, "SCREEN", works=works, key="", saw="SCREEN.1=12.1V SCREEN.2=12.0V")
    assert its.steps == ()
    text = " ".join(dead_text(bench.platform, its).split())
    assert "HANDS OFF G1 (grounds BAG, restraint or pyrotechnic): not probed and not parted here" in text
    assert "Eyes only on wire SCREEN.2 to G1" in text and "NEXT" not in text
    told = dead_json(bench.platform, its)
    assert told["hand_over"] and told["hands_off"][0]["name"] == "G1" and told["hands_off"][0]["how"] == "grounds"


def test_a_fuse_that_feeds_such_a_thing_is_named_as_not_probed(tmp_path: Path) -> None:
    """Before, only what is or carries one was told of; a fuse that feeds it fell out of the steps without a word."""
    text = GROUNDED.replace("BAT.+ -> F2 -> SP", "BAT.+ -> F2 -> SP -> BAG.4").replace("SP -> SCREEN", "SP -> SCREEN")
    text = text.replace("SP -> BAG.4 -> SCREEN.1", "SP -> BAG.4\nSP -> SCREEN.1").replace("supply 1 ", "supply 1, 4 ")
    (tmp_path / "p.circuit").write_text(text, encoding="utf-8")
    bench = open_bench(tmp_path)
    its = asked(bench, "SCREEN MIRROR")
    assert any("F2 (feeds BAG, restraint or pyrotechnic)" in its for its in dead_rests_on(its) + hand_over_told(its))


def test_where_nothing_is_hands_off_nothing_is_handed_over(tmp_path: Path) -> None:
    (tmp_path / "p.circuit").write_text(GROUNDED.replace("hands-off restraint", "not hands-off"), encoding="utf-8")
    bench = open_bench(tmp_path)
    its = asked(bench, "SCREEN", works="MIRROR", saw="SCREEN.1=12.1V SCREEN.2=12.0V")
    assert hand_over_told(its) == [] and dead_json(bench.platform, its)["hand_over"] is None
