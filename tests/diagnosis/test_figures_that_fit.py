"""A reading that equals what was typed in of one thing behind the fuse names it; a network that sleeps is no subject."""

from random import Random

import pytest

from circuitmap.circuit.links import circuit_of
from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.flows.diagnosis import TypedEvidence, evidence_typed
from circuitmap.notation.reading import read_text
from circuitmap.reports.suspects.figures_words import figures_sentences
from circuitmap.reports.suspects.suspects_text import suspects_text
from circuitmap.source import SourceFile
from circuitmap.wiring.declare import platform_of
from circuitmap.wiring.platform import Platform


def platform(text: str) -> Platform:
    read, problems = read_text(SourceFile("small.circuit", text))
    assert not [p for p in problems if p.severity.name == "ERROR"], problems
    return platform_of([read])


def asked(its: Platform, *readings: str) -> Diagnosis:
    evidence = evidence_typed(its, TypedEvidence(readings=readings, meter="low-current-clamp", resolution="1mA"))
    return diagnose(circuit_of(its), evidence)


def told(found: Diagnosis) -> str:
    return " ".join(figures_sentences(found))


HEATER = """\
platform "Body" sleep 5min..10min limit 30mA
battery G2 95Ah
box C "Box C"
fuse C.FC3 20A mini, C.FC1 20A mini
relay K7 "blower" make running 150mA
motor M8 "blower" supply 1 ground 2 running 6A
module N5 "controller" supply 1 ground 2 asleep 2mA awake 200mA
ground G1
G2.+ -> C.FC3 -> SP38
G2.+ -> C.FC1 -> N5.1
splice SP38
SP38 -> K7.30
SP38 -> K7.86
K7.85 -> N5.13
K7.87 -> M8.1
M8.2 -> G1
N5.2 -> G1
G2.- -> G1
output N5.13 grounds "relay K7"
"""


def test_a_coil_is_named_by_its_figure() -> None:
    its = platform(HEATER)
    said = told(asked(its, "FC3=150mA", "FC1=2mA", "G2=152mA"))
    assert "the coil of K7 takes that, as typed in" in said
    assert told(asked(its, "FC3=90mA", "FC1=2mA", "G2=92mA")) == ""


def test_what_a_pulled_in_relay_would_feed_from_the_same_fuse_is_told_beside_its_coil() -> None:
    said = told(asked(platform(HEATER), "FC3=150mA", "FC1=2mA", "G2=152mA"))
    assert "with M8 running, on its contact, it would be 6.15 A" in said
    elsewhere = HEATER.replace("SP38 -> K7.30", "C.FC1 -> K7.30")
    assert "on its contact" not in told(asked(platform(elsewhere), "FC3=150mA", "FC1=2mA", "G2=152mA"))
    rests = HEATER.replace('"blower" make', '"blower" break')
    assert "on its contact" not in told(asked(platform(rests), "FC3=150mA", "FC1=2mA", "G2=152mA"))


STOP = """\
platform "Minibus" sleep 5min..10min limit 30mA
battery G1 95Ah
box FB "Fuse box"
fuse FB.FB6 10A mini
switch S8 "brake pedal" positions released, pressed closes 1 to 2 in pressed
lamp E5 supply 1 ground 2 running 21W
lamp E6 supply 1 ground 2 running 21W
lamp E8 supply 1 ground 2 running 16W
splice SP1
ground W1
G1.+ -> FB.FB6 -> S8.1
S8.2 -> SP1
SP1 -> E5.1
SP1 -> E6.1
SP1 -> E8.1
E5.2 -> W1
E6.2 -> W1
E8.2 -> W1
G1.- -> W1
"""


def test_lamps_on_one_contact_are_told_with_the_one_that_cannot_burn() -> None:
    said = told(asked(platform(STOP), "FB6=3.40A"))
    assert "E5 running and E6 running take that together" in said and "with E8 running" in said
    assert told(asked(platform(STOP), "FB6=4.83A")) == "", "all three: that is what the answer says"


@pytest.mark.parametrize("seed", range(10))
def test_whatever_alone_takes_what_was_read_is_told_or_explained(seed: int) -> None:
    """A law over random figures: of loads behind one fuse, each on its own switch, the one that takes just what was read
    is in the answer or beside it, and no other is beside it."""
    random = Random(seed)
    watts = random.sample([5, 10, 16, 21, 35, 55, 80], 4)
    text = (
        'platform "P" sleep 5min..10min limit 30mA\nbattery B 95Ah\nbox F\nfuse F.F1 30A mini\nground G1\nB.- -> G1\n'
    )
    for n, watt in enumerate(watts):
        text += f"lamp L{n} supply 1 ground 2 running {watt}W\nswitch S{n} positions off, on closes 1 to 2 in on\n"
        text += f"F.F1 -> S{n}.1\nS{n}.2 -> L{n}.1\nL{n}.2 -> G1\n"
    text = text.replace("fuse F.F1", "splice SP\nfuse F.F1").replace("F.F1 ->", "SP ->") + "B.+ -> F.F1 -> SP\n"
    its = platform(text)
    found = asked(its, f"F1={watts[0] / 12.0:.3f}A")
    said = told(found)
    faults = found.rows[0].faults[0]
    answer = {flow.owner for fault in faults for flow in fault.brings}
    assert "L0" in answer or "L0 running takes that" in said
    assert not any(f"L{n} running takes" in said for n in range(1, 4))


ALONE = """\
platform "Minibus" sleep 5min..10min limit 30mA
battery B 95Ah
box F "Box"
fuse F.F1 10A mini, F.F2 10A mini, F.F3 10A mini
module A5 "gateway" supply 1 ground 2 asleep 1mA awake 370mA
module A6 "door" supply 1 ground 2 wake 7 by ground asleep 1mA awake 180mA
module A2 "body" supply 1 ground 2 asleep 1mA awake 480mA
network CANB can members A5 (4, 5), A6 (8, 9) listens, A2 (4, 5)
switch S18 "door push" positions shut, open closes 1 to 2 in open
ground G1
B.+ -> F.F1 -> A5.1
B.+ -> F.F2 -> A6.1
B.+ -> F.F3 -> A2.1
A5.2 -> G1
A6.2 -> G1
A2.2 -> G1
S18.2 -> G1
S18.1 -> A6.7
B.- -> G1
"""


def test_a_module_that_is_awake_alone_is_the_subject_and_not_its_network() -> None:
    its = platform(ALONE)
    found = asked(its, "F2=0.18A", "F1=0.00A", "F3=0.00A", "B=0.18A")
    assert found.subjects[0].about == "A6"
    assert "CANB" not in suspects_text(its, found).partition("WHY")[0]


def test_a_coil_that_was_typed_is_not_called_assumed() -> None:
    its = platform(HEATER)
    found = asked(its, "FC3=6.15A", "G2=6.15A")
    assumed = {name for gap in found.incomplete if gap.kind == "current assumed" for name in gap.names}
    assert "K7" not in assumed


def test_nobody_is_sent_for_a_total_to_learn_whether_anything_draws() -> None:
    its = platform(STOP)
    assert "whether there is a draw at all" not in suspects_text(its, asked(its, "FB6=3.40A"))
    text = suspects_text(its, asked(its, "FB6=0.000A"))
    assert "whether there is a draw at all" not in text
    assert "NO DRAW SEEN at FB.FB6" in text  # all that is live was read: the total comes once, among the other steps


SOCKETS = """\
platform "Minibus" sleep 5min..10min limit 30mA
battery G2 95Ah
box FC "Fuse box"
fuse FC.FC7 15A mini
socket X30 "cool box" supply 1 ground 2
socket X32 "USB" supply 1 ground 2
splice SP1
ground W1
G2.+ -> FC.FC7 -> SP1
SP1 -> X30.1
SP1 -> X32.1
X30.2 -> W1
X32.2 -> W1
G2.- -> W1
"""


def test_sockets_behind_a_fuse_that_draws_are_to_be_unplugged() -> None:
    said = told(asked(platform(SOCKETS), "FC7=4.00A", "G2=4.00A"))
    assert "what is plugged in at X30 or X32 may take that; unplug it first" in said


PLUGGED = """\
platform "Tipper" supply 24V sleep 5min..10min limit 60mA
battery G2 180Ah
fuse F52 15A mini
connector X61 cavities 2
connector X70 cavities 2
socket T1 "trailer socket" supply 1 ground 2
socket T2 "deck socket" supply 1 ground 2
splice SP70
ground W1
G2.+ -> F52 -> X61.1 -> SP70
SP70 -> X70.1 -> T1.1
SP70 -> T2.1
T1.2 -> X70.2 -> W1
T2.2 -> W1
G2.- -> W1
"""


@pytest.mark.parametrize(
    ("out", "left"),
    [
        ((), "T2 or T1"),
        (("T1=420mA",), "T2"),
        (("X70=420mA",), "T2"),
        (("T2=420mA",), "T1"),
        (("T1=10mA",), "T2 or T1"),
        (("X70=420mA", "T2=420mA"), ""),
        (("X61=420mA",), ""),
    ],
)
def test_a_socket_that_was_out_for_nothing_is_not_to_be_unplugged_first(out: tuple[str, ...], left: str) -> None:
    """By hand: whatever was plugged in at a socket was out with the socket, and with any plug that is its only way."""
    its = platform(PLUGGED)
    typed = TypedEvidence(readings=("F52=420mA",), total="420mA", unplugged=out, resolution="1mA")
    found = diagnose(circuit_of(its), evidence_typed(its, typed))
    said = told(found)
    assert [one.outcome for one in found.tried] == ["normal" if "=10mA" in one else "stays" for one in out]
    assert ("unplug it first" in said) == bool(left)
    assert f"plugged in at {left} may take that" in said or not left
    assert ("what is plugged in" in suspects_text(its, found)) == bool(left)


HITCH = """\
platform "Hitch" supply 12V sleep 1min..2min limit 20mA
battery BAT 70Ah
fuse F1 20A mini "hitch", F2 10A mini "relay"
ground G1
module H "hitch" supply 1 ground 2 asleep 2mA awake 400mA
motor M "motor" running 4.5A
output H.3, H.4 feeds from 1
output H.3, H.4 grounds
relay K "lamps" make running 150mA
switch S "lamp switch" positions off, on closes 1 to 2 in on
lamp L "lamp" running 2A
BAT.- -> G1
BAT.+ -> F1 -> H.1
BAT.+ -> F2 -> S.1
S.2 -> K.86
BAT.+ -> K.30
K.87 -> L -> G1
K.85, H.2 -> G1
H.3 -> M -> H.4
"""


def test_what_only_shares_a_ground_hangs_on_another_fuse() -> None:
    """The hitch's outputs go to ground as well as to plus; the lamps' relay is grounded there and fed by F2."""
    its = platform(HITCH)
    assert "coil of K" not in told(asked(its, "F1=150mA", "BAT=152mA"))
    assert "the coil of K takes that" in told(asked(its, "F2=150mA", "BAT=152mA"))
    assert "M running takes that" in told(asked(its, "F1=4.5A", "BAT=4.5A"))
