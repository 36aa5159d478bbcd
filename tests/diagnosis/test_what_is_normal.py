"""What draws by design is no suspect, and the total is looked for at the battery that feeds what was found. From a
stranger's paper and its questions."""

from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.flows.diagnosis import TypedEvidence, evidence_typed
from tests.diagnosis.test_answers import circuit_from

TWO = """
platform "Two batteries" limit 30mA
battery A
battery G
fuse F1 10A, F2 30A, F3 10A
breaker Q1 80A
relay K5 latching coil 3 to 5 reset 4 to 5 contact 1 to 2
relay K9 make
module N supply 1 ground 2 asleep 3mA awake 150mA
output N.16 grounds
lamp S14 "signal lamp" running {signal}
motor M7 "compressor" running 4.5A
module M supply 1 ground 2 asleep 2mA
A.+ -> F1 -> M.1
G.+ -> Q1 -> F2 -> K9.30, K9.86
K9.85 -> N.16
K9.87 -> M7.1
Q1 -> F3 -> N.1
Q1 -> K5.1
K5.2 -> S14.1
S14.2, M7.2, N.2, M.2, K5.5, A.-, G.- -> case
"""


def asked(text: str, *readings: str, **stands: str) -> Diagnosis:
    its = circuit_from(text)
    positions = tuple(f"{name}={position}" for name, position in stands.items())
    told = TypedEvidence(readings=readings, meter="low-current-clamp", positions=positions)
    return diagnose(its, evidence_typed(its.platform, told))


def test_without_a_total_the_battery_is_clamped_that_feeds_what_was_found() -> None:
    for reading, battery in (("F2=20mA", "G"), ("F1=20mA", "A")):
        first = asked(TWO.format(signal="10mA"), reading).tests.choices[0].action
        assert (first.doing, first.parts) == ("clamp", (battery,))


def test_where_a_fuse_alone_shows_more_than_is_normal_nobody_asks_whether_there_is_a_draw() -> None:
    first = asked(TWO.format(signal="10mA"), "F2=4.65A").tests.choices[0].action
    assert (first.doing, first.parts) == ("relay-volts", ("K9",))


def test_a_signal_lamp_that_is_fed_burns_by_design() -> None:
    read = ("G=13mA", "F2=0mA", "F3=3mA")
    assert asked(TWO.format(signal="10mA"), *read, K5="set").something_wrong < 0.5
    # A lamp that takes more burns because something keeps it on.
    much = ("G=503mA", "F2=0mA", "F3=3mA")
    assert asked(TWO.format(signal="500mA"), *much, K5="set").something_wrong > 0.5
