"""Which supply a module thinks with, how long it goes on, what a coil takes, what a charger's pin gives, and what currents
return through."""

from pathlib import Path

from circuitmap.power.carried import Carried, carried
from circuitmap.power.dead_modules import dead_modules
from circuitmap.power.expected import expected_draw
from circuitmap.power.feeds import feeds_of
from circuitmap.power.how_long import HowLong, how_long
from circuitmap.quantities import Band
from circuitmap.wiring.fitting import Answer
from circuitmap.wiring.parts import Terminal
from tests.power.vehicle import live, vehicle

TEXT = """
battery G
naming W* ground
fuse F1 10A, F2 10A, F3 5A, F4 10A
module N supply 1, 2 ground 3 needs 1 wake 4 by ground for 10min wake 5 by plus for ever run-on 20s
    asleep 5mA on 1 awake 100mA on 1, 20mA on 2
output N.7 feeds from 2 while awake for 15min
lamp E running 2A
switch D positions shut, open closes 1 to case in open
switch H positions off, on closes 1 to 2 in on
relay K make holds 5min running 150mA
module P supply 1 ground 2 asleep 1mA
network CAN can members N, P run-on 60s
lamp L running 1A
G.- -> W1
G.+ -> F1, F2, F3, F4
F1 -> N.1
F2 -> N.2, P.1
N.3, P.2 -> W1
N.4 -> D.1
F3 -> H.1
H.2 -> N.5, K.86
K.85 -> W1
F4 -> K.30
K.87 -> L -> W1
N.7 -> E -> W1
"""
CIRCUIT = vehicle(TEXT)


def test_a_module_is_dead_without_the_supply_it_needs() -> None:
    whole = live(CIRCUIT, switches={"D": "open"})
    assert whole.awake["N"] == Answer.YES and whole.loads["E"].draws == Answer.YES
    thinking_out = live(CIRCUIT, switches={"D": "open"}, pulled=frozenset({"F1"}))
    assert thinking_out.awake["N"] == thinking_out.loads["N"].draws == thinking_out.loads["E"].draws == Answer.NO
    assert thinking_out.networks["CAN"] == Answer.NO
    assert [(its.name, its.lacks) for its in dead_modules(thinking_out)] == [("N", (Terminal("N", "1"),))]


def test_only_its_outputs_are_dead_without_the_other() -> None:
    outputs_out = live(CIRCUIT, switches={"D": "open"}, pulled=frozenset({"F2"}))
    assert outputs_out.awake["N"] == Answer.YES and outputs_out.loads["E"].draws == Answer.NO
    assert not dead_modules(outputs_out)


def test_a_state_derived_from_its_neighbour_knows_what_a_module_needs() -> None:
    text = TEXT.replace("G.+ -> F1, F2", "G.+ -> F2").replace("F1 -> N.1", "H.2 -> F1 -> N.1")
    feed = feeds_of(vehicle(text), {}, [Terminal("E", "1")])[Terminal("E", "1")]
    told = {frozenset(map(str, its)) for its in feed.conditions}
    assert told == {frozenset(("H=on",))}, "with H on it is fed, and woken as well"


def test_how_long_is_told_of_what_goes_on() -> None:
    by_door = how_long(live(CIRCUIT, switches={"D": "open"}))
    assert HowLong("awake", "N", "N.4", Band(10.0, 10.0)) in by_door
    assert HowLong("on", "N.7", "", Band(15.0, 15.0)) in by_door
    assert HowLong("longer", "CAN", "", Band(1.0, 1.0)) in by_door
    assert not [its for its in by_door if its.kind == "holds"]
    by_switch = how_long(live(CIRCUIT, switches={"H": "on"}))
    assert [its.minutes.high for its in by_switch if its.by == "N.5"] == [float("inf")]
    assert HowLong("holds", "K", "", Band(5.0, 5.0)) in by_switch
    assert not how_long(live(CIRCUIT))


def found(circuit: object = CIRCUIT, **state: object) -> dict[tuple[str, ...], Carried]:
    return {its.names: its for its in carried(live(circuit, **state), {})}  # type: ignore[arg-type]


def test_a_coil_takes_its_current_at_its_fuse() -> None:
    assert found(switches={"H": "on"})[("F3",)].amps == Band(0.15, 0.15)
    assert ("F3",) not in found()
    held = vehicle(TEXT.replace("closes 1 to 2 in on", "closes 1 to 2 in off"))
    coil = next(its for its in expected_draw(held, {}).draws if its.part == "K")
    assert coil.amps == Band(0.15, 0.15) and not coil.assumed


CHARGER = """
battery G1
battery G2
naming W* ground, SP* splice
fuse F1 100A, F40 60A, F3 10A, F4 10A
module C supply 1, 3, 5 ground 2 wake 4 asleep 2mA on 3 needs 5
output C.3 feeds from 1 while awake
switch S positions off, on closes 1 to 2 in on
breaker Q1 80A
lamp L running 2A
G1.-, G2.- -> W1
G1.+ -> F1 -> C.1
G1.+ -> F3 -> S.1, C.5
S.2 -> C.4
C.3 -> F40 -> SP1
G2.+ -> Q1 -> SP1
SP1 -> F4 -> L -> W1
C.2 -> W1
"""


def test_a_supply_pin_may_give_current_too_where_it_is_said_from_which_other_pin() -> None:
    circuit = vehicle(CHARGER)
    assert not [its for its in circuit.platform.problems if its.code == "output-on-supply"]
    assert found(circuit)[("F40",)].amps == Band(0.002, 0.002)
    gives = live(circuit, switches={"S": "on"}, pulled=frozenset({"Q1"}))
    assert gives.loads["L"].draws == Answer.YES
    assert live(circuit, pulled=frozenset({"Q1"})).loads["L"].draws == Answer.NO
    slip = vehicle(CHARGER.replace("feeds from 1", "feeds"))
    assert [its for its in slip.platform.problems if its.code == "output-on-supply"]


RETURNS = """
battery B1
battery B2
naming N* terminal
resistor R1
ground GC wired
lamp L1 running 2A
lamp L2 running 1A
lamp L3 running 5A
lamp L4 running 500mA
fuse F1 10A, F2 10A
B1.+ -> F1 -> L1, L2
B2.+ -> F2 -> L3, L4
B1.- -> N1
B2.- -> R1 -> N1
N1 -> case
L1, L3 -> GC
GC -> N1 in named STRAP
L2 -> N1
L4 -> B2.-
"""


def test_what_returns_through_a_shunt_and_a_strap_is_summed_by_battery() -> None:
    its = found(vehicle(RETURNS))
    assert its[("R1",)] == Carried("return", ("R1",), Band(5.0, 5.0), ("L3",), (), ())
    assert its[("STRAP",)] == Carried("return", ("STRAP",), Band(7.0, 7.0), ("L1", "L3"), (), ())
    twin = vehicle(RETURNS.replace("L2 -> N1\n", "L2 -> N1\nGC -> N1 in named SECOND\n"))
    assert ("STRAP",) not in found(twin), "two straps side by side: how much is in each nobody knows"


def test_what_a_converter_feeds_returns_to_it_and_as_its_own_current_from_there() -> None:
    text = """
platform "Converter" supply 24V return wired
battery B
fuse F1 10A
module CONV supply 1 ground 2
output CONV.3 feeds 12V from 1 always
lamp L running 2A
ground GC wired
B.+ -> F1 -> CONV.1
CONV.3 -> L -> CONV.2
CONV.2 -> GC
GC -> B.- in named STRAP
"""
    assert found(vehicle(text))[("STRAP",)].amps == Band(1.0, 1.0)


def test_the_words(tmp_path: Path, capsys: object) -> None:
    from circuitmap.cli.ending import end_of
    from circuitmap.cli.main import program

    (tmp_path / "a.circuit").write_text(TEXT, "utf-8")

    def said(*words: str) -> str:
        assert end_of(program, list(words)) == 0
        return " ".join(capsys.readouterr().out.split())  # type: ignore[attr-defined]

    text = said("live", str(tmp_path), "--set", "H=on")
    assert (
        "N awake by N.5 without limit" in text and "after 1 min 20 s N and P, with CAN: N 20 s, then CAN 1 min" in text
    )
    assert "K stays in 5 min when its coil goes off" in text and "N.7 on at most 15 min" in text
    text = said("live", str(tmp_path), "--set", "D=open", "--pull", "F1")
    assert "DEAD 1: fed, but without what they need N no plus at N.1" in text
    assert "N awake 100 mA; through F1" in said("live", str(tmp_path), "--set", "D=open", "--pull", "F2")
    text = said("trace", str(tmp_path), "E")
    assert "wake pin N.4: grounded when D is open, at most 10 min" in text and "output N.7: at most 15 min" in text
    assert "It is dead without N.1." in said("trace", str(tmp_path), "N")
