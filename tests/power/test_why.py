"""Why a terminal is live or grounded: the way as data, or the contacts that keep it away."""

from circuitmap.circuit.links import circuit_of
from circuitmap.power.evaluate import evaluate
from circuitmap.power.why import Reason, why
from circuitmap.wiring.fitting import Answer
from tests.power.random_platforms import random_circuit, random_state
from tests.power.vehicle import MAY_BE, NO, YES, live, terminal, vehicle

CIRCUIT = vehicle("""
naming SP* splice, X* connector, G* ground
battery BAT 60Ah
key IGN positions off, run closes 30 to 15 in run
relay K make
fuse F1 20A, F2 10A
module M supply 1 ground 2
output M.7 grounds while awake
network BODY can members M
lamp L
BAT.- -> G1
BAT.+ -> F1 -> K.30
BAT.+ -> F2 -> IGN.30
F2 -> M.1
M.2 -> G1
IGN.15 -> K.86
K.85 -> M.7
K.87 -> X1.4 -> SP1 -> L -> G2
? "sheet 9" -> SP2
SP2 -> SP3
""")


def way(reason: Reason) -> list[str]:
    steps = [f"{step.end}{' ' + step.because if step.because else ''}" for step in reason.steps]
    return [str(reason.source), *dict.fromkeys(steps)]


def test_the_way_from_the_battery_with_what_closes_each_contact() -> None:
    powered = live(CIRCUIT, key="run", awake=frozenset({"BODY"}))
    reason = why(powered, terminal("L.1"))
    assert (reason.answer, reason.origin) == (YES, "battery")
    assert way(reason) == ["BAT.+", "F1.1", "F1.2", "K.30", "K.87 K", "X1.4", "SP1", "L.1"]
    assert reason.contacts == ("K.87",)
    assert reason.parts == ("F1", "K", "X1")
    assert way(why(powered, terminal("K.86"))) == ["BAT.+", "F2.1", "F2.2", "IGN.30", "IGN.15 IGN=run", "K.86"]
    assert way(why(powered, terminal("K.85"), "ground")) == ["BAT.-", "G1", "M.2", "M.7 awake", "K.85"]


def test_what_keeps_it_away() -> None:
    powered = live(CIRCUIT)
    assert why(powered, terminal("L.1")).open_contacts == ("K.87",)
    assert why(powered, terminal("K.86")).open_contacts == ("IGN.15",)
    assert why(powered, terminal("K.85"), "ground").open_contacts == ("M.7",)


def test_a_stuck_contact_and_a_chafed_wire_are_said() -> None:
    stuck = why(live(CIRCUIT, stuck=frozenset({"K.87"})), terminal("L.1"))
    assert [step.because for step in stuck.steps if step.because] == ["stuck"]
    bridge = frozenset({(terminal("SP1"), terminal("F2.2"))})
    bridged = why(live(CIRCUIT, bridged=bridge), terminal("L.1"))
    assert way(bridged) == ["BAT.+", "F2.1", "F2.2", "SP1", "L.1"]
    assert [step.bridge for step in bridged.steps].count(True) == 1


def test_a_place_that_is_not_drawn() -> None:
    reason = why(live(CIRCUIT), terminal("SP3"))
    assert (reason.answer, reason.origin) == (MAY_BE, "not drawn")
    assert str(reason.source).startswith("?")


def test_a_terminal_that_does_not_exist_is_just_not_live() -> None:
    assert why(live(CIRCUIT), terminal("NOWHERE.1")).answer == NO


def test_every_live_terminal_has_a_way_and_every_step_of_it_conducts() -> None:
    """On random vehicles in random states: the way begins at a source, hangs together, and is as sure as the answer."""
    certain = perhaps = 0
    for seed in range(120):
        circuit = random_circuit(seed)
        powered = evaluate(circuit, random_state(circuit, seed))
        for side in ("supply", "ground"):
            answers = powered.supply if side == "supply" else powered.ground
            for node in circuit.nodes:
                reason = why(powered, node, side)
                assert reason.answer == answers[node]
                if reason.answer == NO:
                    assert reason.steps == ()
                    continue
                ends = [reason.source, *(step.end for step in reason.steps)]
                assert [step.start for step in reason.steps] == ends[:-1]
                assert ends[-1] == node
                surest = min((step.answer for step in reason.steps), default=Answer.YES)
                if reason.answer == YES:
                    assert surest == YES
                    assert reason.origin != "not drawn"
                    certain += 1
                else:
                    unsure = reason.origin == "not drawn" or surest == MAY_BE
                    assert unsure or _may_be_missing(powered, reason), (seed, side, node)
                    perhaps += 1
    assert certain > 500
    assert perhaps > 500


def _may_be_missing(powered: object, reason: Reason) -> bool:
    """The way begins at a battery that this vehicle may not have, or at a label that may not apply."""
    assert reason.source is not None
    part = powered.circuit.platform.parts[reason.source.part]  # type: ignore[attr-defined]
    return bool(part.condition) or reason.origin == "label"


def test_no_reason_rests_on_a_circuit_that_was_changed() -> None:
    """Two states of one circuit do not disturb each other."""
    circuit = circuit_of(CIRCUIT.platform)
    on, off = live(circuit, stuck=frozenset({"K.87"})), live(circuit)
    assert why(off, terminal("L.1")).answer == NO
    assert why(on, terminal("L.1")).answer == YES


def test_a_voltage_that_a_meter_reads_through_a_lamp_is_no_supply() -> None:
    circuit = vehicle("""
naming SP* splice, G* ground
battery BAT 60Ah
switch DOOR positions shut, open closes 1 to case in open
lamp DOME
BAT.- -> G1
BAT.+ -> DOME -> SP1 -> DOOR.1
""")
    reason = why(live(circuit), terminal("DOOR.1"))
    assert reason.answer == NO
    assert reason.backfed_by == ("DOME",)
    held_down = why(live(circuit, switches={"DOOR": "open"}), terminal("DOOR.1"))
    assert held_down.answer == NO
    assert held_down.backfed_by == ()  # a meter reads 0 V there: the contact holds it to ground


def test_a_label_that_counts_with_equipment_that_nobody_mentioned_may_feed() -> None:
    circuit = vehicle("""
key IGN positions off, run
    closes 30 to 15 in run
option COLD "cold country"
fuse F1 5A
stated F1 in run if COLD
""")
    reasons = {key: why(live(circuit, key=key), terminal("F1.2")) for key in ("off", "run")}
    assert {key: reason.answer for key, reason in reasons.items()} == {"off": NO, "run": MAY_BE}
    assert reasons["run"].origin == "label" and str(reasons["run"].source) == "F1.1"
    told = {
        fitted: why(live(circuit, key="run", fitting={"COLD": fitted}), terminal("F1.2")) for fitted in (True, False)
    }
    assert {fitted: reason.answer for fitted, reason in told.items()} == {True: YES, False: NO}
