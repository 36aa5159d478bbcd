"""What comes with equipment that nobody mentioned is told as that, not as something nobody typed in."""

from circuitmap.power.classes import classes_of
from circuitmap.power.perhaps import options_in, perhaps_drawing
from circuitmap.reports.live.live_text import live_text
from circuitmap.unknown import Unknown
from circuitmap.wiring.fitting import Answer
from tests.power.vehicle import live, vehicle

TOWING = vehicle("""
platform "Marlow Heron" supply 12V return body
option TOW
battery BAT 95Ah
ground G1
fuse F1 10A, F2 10A
module TOWMOD supply 30 ground 31
module FLAP supply 1
lamp SIGN
sheet "1" "Cab"
BAT.- -> G1
BAT.+ -> F1
BAT.+ -> F2
F2 -> FLAP.1
sheet "2" "Towing" if TOW
F1 -> TOWMOD.30
TOWMOD.31 -> G1
sheet "3" "Sign" if not TOW
F1 -> SIGN.1
SIGN.2 -> ?
""")
"""No word at the module itself: only its sheet says that it comes with the towing equipment."""


def test_a_load_of_a_sheet_with_a_condition_is_looked_at_as_if_fitted() -> None:
    parked = live(TOWING)
    perhaps = perhaps_drawing(parked, [its for its in parked.loads.values() if its.draws == Answer.MAY_BE])
    assert [its.name for its in perhaps.if_fitted] == ["TOWMOD"]
    assert [its.name for its in perhaps.unknown] == ["SIGN"]
    assert options_in(parked, perhaps.if_fitted) == ["TOW"]
    classes = classes_of(TOWING, {})
    assert classes["TOWMOD"].its == "constant" and classes["SIGN"].its == "unknown"
    assert Unknown("option not said", "TOW") in classes["TOWMOD"].unknown


def test_live_says_the_option_and_not_that_something_is_not_known() -> None:
    text = live_text(live(TOWING), classes_of(TOWING, {}))
    assert "IF FITTED  1: fed when parked, if this car has them (TOW: not said)\n TOWMOD  through F1;" in text
    assert "ground is not known" not in text.partition("MAY BE UNSWITCHED")[0]


def test_once_it_is_said_nothing_is_doubted() -> None:
    text = live_text(live(TOWING, fitting={"TOW": True}), classes_of(TOWING, {"TOW": True}))
    assert "IF FITTED" not in text and " TOWMOD  through F1; nothing turns it off" in text
