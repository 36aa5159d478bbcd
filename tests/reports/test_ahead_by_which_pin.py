"""A controller among what leads so far is named with the pin by which it would do it (worked out by hand)."""

from circuitmap.reports.suspects.open_answer import ahead_rows
from tests.diagnosis.test_answers import circuit_from
from tests.diagnosis.test_wires_that_are_left import told

LIGHTER = """\
platform "Marle lighter" supply 12V return body sleep 5min..10min limit 40mA
battery BAT 70Ah
fuse F1 10A mini "lamps", F2 10A mini "deck controller"
module CTRL "deck controller" supply 1 ground 2 asleep 2mA awake 150mA
lamp CABL "cabin lamp" running 10W
lamp LOCKL "locker lamp" running 10W
switch LOCKSW "locker lid switch" positions shut, open closes 1 to 2 in open
output CTRL.8 grounds "cabin lamp"
ground G1
BAT.- -> G1
BAT.+ -> F1 -> CABL -> CTRL.8 in RD/BN 1
F1 -> LOCKL -> LOCKSW.1 in BN/GN 1
LOCKSW.2 -> G1 in BN 1
BAT.+ -> F2 -> CTRL.1 in RD 1
CTRL.2 -> G1 in BN 1
"""
ENTRIES = (
    "at: 08:00, state: locked, meter: clamp, resolution: 10mA, zeroed: yes",
    "at: 09:00, total: 0.84A, steady: yes, looked: yes",
    "at: 09:05, read: {F1: 0.84A, F2: 0.0mV}",
)


def ahead(*entries: str) -> dict[str, str]:
    its = circuit_from(LIGHTER)
    rows = ahead_rows(its.platform, told(its, *ENTRIES, *entries)[0])
    return {row.words.partition(",")[0]: row.words for row in rows}


def test_a_module_ahead_says_by_which_of_its_pins() -> None:
    assert ahead()["CTRL"] == "CTRL, deck controller, by its pin 8"


def test_what_has_no_output_of_its_own_in_it_names_no_pin() -> None:
    found = ahead()
    assert "LOCKSW" in found
    assert "pin" not in found["LOCKSW"]
