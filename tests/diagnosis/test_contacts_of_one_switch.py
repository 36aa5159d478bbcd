"""A switch with several contacts: one of them alone may say what is not so. From a stranger's paper and its questions."""

from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.flows.diagnosis import TypedEvidence, evidence_typed
from circuitmap.reports.suspects.suspects_text import suspects_text
from tests.diagnosis.test_answers import circuit_from

KEY_AND_SOCKET = """
battery BAT
fuse F1 10A, F2 10A, F3 10A
module N supply 1 ground 2 wake 7 by ground asleep 5mA awake 200mA
module M supply 1 ground 2 asleep 5mA awake 200mA
network C can members N, M
{load}
key S positions 0, ACC closes 1 to 2 in ACC closes 5 to 6 in ACC
BAT.+ -> F1 -> N.1
BAT.+ -> F3 -> M.1
BAT.+ -> F2 -> S.1
S.2 -> X.1
N.7 -> S.5
N.2, X.2, S.6, M.2, BAT.- -> case
"""
READ = ("F1=200mA", "F3=200mA", "F2=0A", "BAT=400mA")


def asked(text: str, *readings: str) -> tuple[Diagnosis, str]:
    its = circuit_from(text)
    evidence = evidence_typed(its.platform, TypedEvidence(readings=readings, meter="low-current-clamp"))
    found = diagnose(its, evidence)
    return found, " ".join(suspects_text(its.platform, found).split())


def chance_of(found: Diagnosis, part: str) -> float:
    return next((its.probability for its in found.parts if its.part == part), 0.0)


def test_one_contact_alone_may_be_stuck_and_the_other_ones_fuse_says_nothing_of_it() -> None:
    for load in ("socket X", "lamp X running 1A"):
        found, text = asked(KEY_AND_SOCKET.format(load=load), *READ)
        assert chance_of(found, "S") > 0.01, load
        assert "NOT S" not in text


def test_the_whole_switch_left_on_shows_at_its_other_fuse() -> None:
    left_on = ("F1=200mA", "F3=200mA", "F2=1.0A", "BAT=1.4A")
    found, _ = asked(KEY_AND_SOCKET.format(load="lamp X running 1A"), *left_on)
    assert found.subjects[0].about == "S" and found.parts[0].part == "S"


PER_PIN = """
battery BAT
fuse F1 10A, F5 10A, F2 10A
module N supply 1, 8 ground 2 asleep 3mA on 1, 0mA on 8 awake 150mA on 1, 0mA on 8
module M supply 1 ground 2 asleep 2mA awake 100mA
network C can members N, M
BAT.+ -> F1 -> N.1
BAT.+ -> F5 -> N.8
BAT.+ -> F2 -> M.1
BAT.-, N.2, M.2 -> case
"""


def test_no_current_at_a_pin_is_something_that_was_said() -> None:
    found, text = asked(PER_PIN, "F1=150mA", "F5=0A", "F2=100mA", "BAT=250mA")
    assert found.subjects[0].about == "C"
    assert "assumed" not in text.partition("WHY")[0]


SWITCHED_BAR = """
battery BAT
fuse F3 60A, F7 10A, F8 10A, F1 10A, F2 10A, F5 10A
bar B15 feeds F7, F8
module N supply 1 ground 2 wake 6 by plus asleep 5mA awake 200mA
module M supply 1 ground 2 asleep 5mA awake 200mA
network C can members N, M
switch S5 positions off, on closes 1 to 2 in on
key S positions 0, I closes 1 to 3 in I
relay K make
motor W
BAT.+ -> F1 -> N.1
BAT.+ -> F2 -> M.1
BAT.+ -> F3 -> K.30
K.87 -> B15
BAT.+ -> F5 -> S.1
S.3 -> K.86
F8 -> N.6
F7 -> S5.1
S5.2 -> W.1
N.2, M.2, W.2, K.85, BAT.- -> case
"""


def test_a_switch_that_only_shares_a_bar_with_a_wake_pin_wakes_nobody() -> None:
    found, _ = asked(SWITCHED_BAR, "F1=200mA", "F2=200mA", "F5=0A", "F3=0A", "BAT=400mA")
    assert chance_of(found, "S5") < 0.001
    assert chance_of(found, "K") > 0.01
