"""The state is half of the answer: what is off by the sheet, what needs another position, what a lost ground does."""

from circuitmap.circuit.links import Circuit, circuit_of
from circuitmap.dead.breaks import breaks_in
from circuitmap.dead.dead_loads import Complaint, DeadLoads, dead_loads
from circuitmap.dead.without import without
from circuitmap.dead.written_told import written_told
from circuitmap.power.evaluate import evaluate
from circuitmap.power.functions import functions_of
from circuitmap.power.state import VehicleState
from circuitmap.reports.dead.dead_text import dead_text
from tests.power.random_platforms import platform_from

HEAD = """platform "Made up" supply 12V return body
naming SP* splice, X* connector, G* ground
battery BAT 70Ah
BAT.- -> G1
"""


def circuit(text: str) -> Circuit:
    return circuit_of(platform_from(HEAD + text))


def asked(its: Circuit, dead: str, works: str = "", **switches: str) -> DeadLoads:
    told = [written_told(its, one, False) for one in dead.split()]
    told += [written_told(its, one, True) for one in works.split()]
    return dead_loads(its, VehicleState(switches=switches), Complaint(tuple(told), {}))


def killed(its: Circuit, name: str, **switches: str) -> set[str]:
    sound = evaluate(its, VehicleState(switches=switches))
    found = next(one for one in breaks_in(sound) if one.name == name and one.kind in ("ground", "wire", "fuse"))
    functions = functions_of(its)
    return {functions[n].name for n in without(sound, found).kills}


BUTTON = circuit("""fuse F1 10A
switch SW positions off, on closes 1 to 2 in on
lamp L1 running 1A
lamp L2 running 1A
BAT.+ -> F1 -> SP1
SP1 -> L2 -> G1
SP1 -> SW.1
SW.2 -> L1 -> G1
""")


def test_what_is_off_by_the_sheet_is_said_before_anything_is_suspected() -> None:
    its = asked(BUTTON, "L1", "L2", SW="off")
    assert [(one.what, one.to) for one in its.watched.otherwise] == [("SW", "on")]
    text = " ".join(dead_text(BUTTON.platform, its).split())
    assert text.index("put SW at on first") < text.index("if still dead with SW at on")
    assert {"SW.2"} <= {one.name for one, _ in its.suspects}


def test_what_works_as_it_was_said_needs_no_other_position() -> None:
    assert asked(BUTTON, "L1", SW="on").watched.otherwise == ()


STALK = circuit("""fuse F1 10A
switch SW positions off, left, right closes 1 to L in left closes 1 to R in right
lamp L1 running 1A
lamp L2 running 1A
BAT.+ -> F1 -> SW.1
SW.L -> L1 -> G1
SW.R -> L2 -> G1
""")


def test_what_needs_another_position_of_the_same_switch_gets_a_state_of_its_own() -> None:
    its = asked(STALK, "L1 L2")
    assert not its.lacking and len(its.watched.states) == 2
    assert "F1" in {one.name for one in its.weighed.groups[0].breaks}


FLASHER = circuit("""fuse F1 10A
relay K1 flasher
lamp L1 running 2A
ground G2 wired
BAT.+ -> F1 -> K1.49
K1.49a -> L1 -> G1
K1.31 -> G2
G2 -> G1
""")


def test_a_flasher_that_lost_its_ground_flashes_no_lamp() -> None:
    assert "L1" in killed(FLASHER, "G2")


BAR = circuit("""fuse F1 10A
ground G2 "minus bar" wired
lamp L1 running 1A
lamp L2 running 1A
BAT.+ -> F1 -> SP1
SP1 -> L1 -> G2
SP1 -> L2 -> G2
G2 -> G1
""")


def test_a_lost_ground_point_keeps_its_loads_together_on_it() -> None:
    """Only its way back is gone: a probe held to it shows battery volts."""
    sound = evaluate(BAR, VehicleState())
    ground = next(one for one in breaks_in(sound) if one.kind == "ground" and one.name == "G2")
    ends = {str(end) for i in ground.links for end in (BAR.links[i].a, BAR.links[i].b)}
    assert len(ground.links) == 1 and ends == {"G2", "G1"}
    assert killed(BAR, "G2") == {"L1", "L2"}


ALTERNATOR = circuit("""fuse F1 10A, F2 10A
alternator ALT supply B+ ground 31
output ALT.D+ feeds from B+ in run
relay K1 make
lamp L1 running 2A
BAT.+ -> ALT.B+
ALT.31 -> G1
ALT.D+ -> K1.86
K1.85 -> G1
BAT.+ -> F1 -> K1.30
K1.87 -> L1 -> G1
""")


def test_an_alternator_that_feeds_has_its_outputs_alive() -> None:
    powered = evaluate(ALTERNATOR, VehicleState(key="run", feeding=frozenset(("ALT",))))
    lamp = powered.plan.loads.index("L1")
    assert powered.draws[lamp] == 2
    assert evaluate(ALTERNATOR, VehicleState(feeding=frozenset(("ALT",)))).draws[lamp] == 0


def test_feeding_may_be_said_of_one_load() -> None:
    told = written_told(ALTERNATOR, "L1@feeding=ALT@key=run", True)
    assert told.words == "L1 with ALT feeding with the key at run"
    assert written_told(ALTERNATOR, told.typed, True) == told
