"""Before a wire is followed for long its fuse comes out once, as proof that all of it is behind it (by hand)."""

from tests.diagnosis.test_answers import circuit_from
from tests.diagnosis.test_wires_that_are_left import told

BARGE = """\
platform "Osney barge" supply 12V return body sleep 5min..10min limit 40mA
battery BAT 70Ah
fuse F1 10A mini "hold lamps", F2 10A mini "winch"
connector X4 "hold plug"
lamp ONE "hold lamp" running 5W
switch SW "hold switch" positions off, on closes 1 to 2 in on
module CTRL "winch" supply 1 ground 2 asleep 2mA
ground G1
BAT.- -> G1
BAT.+ -> F1 -> SW.1 in RD 1
SW.2 -> X4.1 -> ONE.1 in RD 1
ONE.2 -> G1 in BN 1
BAT.+ -> F2 -> CTRL.1 in RD 1
CTRL.2 -> G1 in BN 1
"""
READ = (
    "at: 08:00, state: locked, meter: clamp, resolution: 10mA, zeroed: yes",
    "at: 09:00, total: 0.21A, steady: yes, looked: yes",
    "at: 09:05, read: {F1: 0.21A, F2: 0.0mV}",
)


def doing(*entries: str) -> list[tuple[str, tuple[str, ...]]]:
    found = told(circuit_from(BARGE), *READ, *entries)[0]
    return [(test.action.doing, test.action.parts) for test in found.tests.choices]


def test_the_fuse_comes_out_before_its_wire_is_followed() -> None:
    its = doing()
    assert its.index(("pull-fuses", ("F1",))) < its.index(("follow", ("F1",)))


def test_once_it_was_out_it_is_not_asked_for() -> None:
    out = (
        "at: 09:10, out: [F1]",
        "at: 09:15, total: 0.00A, steady: yes",
        "at: 09:16, back: [F1]",
        "at: 09:30, total: 0.21A, steady: yes",
    )
    its = doing(*out)
    assert ("pull-fuses", ("F1",)) not in its
