"""Volts at any place, with anything out: plus where none should be says what feeds it, or which wire it touches."""

from dataclasses import replace
from functools import cache
from itertools import product

import pytest

from circuitmap.circuit.links import Circuit
from circuitmap.diagnosis.car.parked import Parked
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.evidence.written_names import written_volts
from circuitmap.failures import WrongUse
from circuitmap.power.evaluate import evaluate
from circuitmap.reports.suspects.suspects_text import suspects_text
from circuitmap.wiring.fitting import Answer
from circuitmap.wiring.parts import SECOND, Terminal
from tests.diagnosis.test_answers import circuit_from
from tests.diagnosis.test_wires_that_are_left import chances, told

WAKE_LINE = """\
platform "Small van" sleep 5min..10min limit 30mA
battery BAT 95Ah
box CAB
fuse CAB.F1 10A mini, CAB.F2 10A mini, CAB.F3 10A mini, CAB.F4 10A mini
bar CAB.B1 feeds CAB.F1, CAB.F2, CAB.F3, CAB.F4
module GATE "gateway" supply 1 ground 2 wake 12 by plus asleep 1mA awake 120mA
module HATCH "hatch controller" supply 1 ground 2 wake 6 by opening asleep 2mA awake 180mA
module LAMPS "lamp controller" supply 1 ground 2 asleep 2mA awake 300mA
output HATCH.14 feeds from 1 while 6 "wake line"
switch HATCHSW "hatch contact" positions shut, open closes 1 to 2 in shut
switch PUMPSW positions off, on closes 1 to 2 in on
motor PUMP running 3A
connector X1 "floor plug", X2 "hatch plug"
network BODY can members GATE (4, 5) drives, LAMPS (4, 5) listens
ground G1
BAT.- -> G1
BAT.+ -> CAB.B1 in RD 16
CAB.F1 -> GATE.1 in RD 1
CAB.F2 -> X1.9 -> X2.4 -> HATCH.1 in RD 1
CAB.F3 -> X1.1 -> LAMPS.1 in RD 1
CAB.F4 -> PUMPSW.1 in RD 1
PUMPSW.2 -> PUMP -> G1 in GN 1
GATE.2, LAMPS.2, HATCH.2 -> G1 in BN 1
HATCH.14 -> X2.3 -> X1.8 -> GATE.12 in YE 0.5
HATCHSW.1 -> HATCH.6 in GY 0.5
HATCHSW.2 -> G1 in BN 0.5
GATE.4 -> LAMPS.4 in OG 0.35
GATE.5 -> LAMPS.5 in GN 0.35
"""
READ = ("at: 08:00, state: locked", "at: 09:00, read: {BAT: 0.422A}, steady: yes")

RAIL = """\
platform "Small truck" sleep 5min..10min limit 30mA
battery BAT 95Ah
box CAB
fuse CAB.F1 30A mini, CAB.F2 10A mini, CAB.F7 10A mini, CAB.F8 10A mini
bar CAB.B1 feeds CAB.F1, CAB.F2
bar CAB.R15 feeds CAB.F7, CAB.F8
key IGN positions off, run closes 30 to 15 in run
relay K3 "ignition relay" make
module WIPER "wiper control" supply 1 ground 2 awake 20mA
module HEATW "window heater timer" supply 1 ground 2 awake 20mA
splice SP7
ground G1
BAT.- -> G1
BAT.+ -> CAB.B1 in RD 16
CAB.F2 -> IGN.30 in RD 2
IGN.15 -> K3.86 in BK 1
K3.85 -> G1 in BN 1
CAB.F1 -> K3.30 in RD 4
K3.87 -> CAB.R15 in BK/YE 4
CAB.F7 -> SP7 -> WIPER.1 in BK 1
CAB.F8 -> HEATW.1 in BK 1
WIPER.2, HEATW.2 -> G1 in BN 1
"""


@cache
def small() -> Circuit:
    return circuit_from(WAKE_LINE)


def asked(*entries: str) -> Diagnosis:
    return told(small(), *READ, *entries)[0]


def touching(found: Diagnosis) -> dict[str, float]:
    return {part: chance for part, chance in chances(found).items() if part.startswith("wake wire of GATE.12")}


def test_plus_at_a_wake_pin_speaks_for_what_brings_it_and_none_against_it() -> None:
    before = sum(touching(asked()).values())
    plus = asked("at: 09:05, volts: {GATE.12: 12.4V}")
    none = asked("at: 09:05, volts: {GATE.12: 0V}")
    assert sum(touching(plus).values()) > 3.0 * before
    brings = ("HATCH", "HATCHSW", "wake wire of GATE.12")  # its output, its contact, plus from elsewhere
    assert sum(chances(plus)[part] for part in brings) > 0.9
    assert sum(touching(none).values()) < 0.2 * before
    assert chances(plus)["GATE"] < 0.5 * chances(asked())["GATE"]


def _shown(out: tuple[str, ...], at: Terminal, live: Terminal) -> str:
    """What a meter shows at the wake pin of a car on which a point of its wire touches a live point."""
    its = small()
    state = replace(
        Parked(its, {}).state, bridged=frozenset({(at, live)}), pulled=frozenset(out), unplugged=frozenset(out)
    )
    return "12.4V" if evaluate(its, state).supply[Terminal("GATE", "12")] == Answer.YES else "0V"


@pytest.mark.parametrize(
    ("at", "fuse"),
    tuple(product((Terminal("X2", "3", "l"), Terminal("X1", "8", "l"), Terminal("HATCH", "14")), ("CAB.F2", "CAB.F3"))),
    ids=str,
)
def test_what_is_out_when_the_volts_go_says_where_and_what_it_touches(at: Terminal, fuse: str) -> None:
    """Of each piece of the wire and each live wire that it may touch: measured as it then is, that is what leads."""
    if at not in small().number:
        at = replace_half(at)
    tries = ((), ("X2",), ("X1",), ("CAB.F2",), ("CAB.F3",))
    entries = []
    for n, out in enumerate(tries):
        volts = _shown(out, at, Terminal(fuse, SECOND))
        names = f"out: [{out[0]}], " if out else ""
        entries.append(f"at: 09:{10 + 2 * n}, {names}volts: {{GATE.12: {volts}}}")
        entries += [f"at: 09:{11 + 2 * n}, back: [{out[0]}]"] if out else []
    its = touching(asked(*entries))
    leads = max(its, key=lambda part: its[part])
    assert leads.endswith(f"against the wire of {fuse}")
    near = {"HATCH": ("HATCH.14 to X2.3",), "X2": ("X2.3 to X1.8",), "X1": ("X1.8 to GATE.12", "GATE.12 to X1.8")}
    spelt = {one for ends in near[at.part] for one in (ends, " to ".join(reversed(ends.split(" to "))))}
    assert any(ends in leads for ends in spelt), leads


def replace_half(at: Terminal) -> Terminal:
    return next(node for node in small().nodes if node.part == at.part and node.pin == at.pin)


@pytest.mark.parametrize("point", ["CAB.F7.1", "CAB.F8", "CAB.R15", "SP7", "WIPER.1", "K3.87"])
def test_plus_on_a_rail_that_should_be_dead_speaks_for_what_feeds_it(point: str) -> None:
    its = circuit_from(RAIL)
    read = ("at: 08:00, state: locked", "at: 09:00, read: {BAT: 45mA}, steady: yes")
    before = chances(told(its, *read)[0])
    found = told(its, *read, f"at: 09:05, volts: {{{point}: 12.4V}}")[0]
    of_relay = ("K3", "control wire of K3")
    assert sum(chances(found).get(part, 0.0) for part in of_relay) > 0.5
    dead = chances(told(its, *read, f"at: 09:05, volts: {{{point}: 0V}}")[0])
    assert sum(dead.get(part, 0.0) for part in of_relay) < 0.2 * sum(before.get(part, 0.0) for part in of_relay)


def test_what_was_out_meanwhile_is_told() -> None:
    text = suspects_text(
        small().platform, asked("at: 09:05, volts: {GATE.12: 12.4V}", "at: 09:08, out: [X2], volts: {GATE.12: 12.4V}")
    )
    assert "GATE.12 has 12.4 V to ground, with X2 out" in " ".join(text.split())


def test_the_halves_of_a_parted_plug_are_not_taken_for_each_other() -> None:
    """Nobody said at which half the probe was."""
    before = asked("at: 09:05, volts: {GATE.12: 12.4V}", "at: 09:08, out: [X2]")
    assert chances(before) == chances(
        asked("at: 09:05, volts: {GATE.12: 12.4V}", "at: 09:08, out: [X2], volts: {X2.3: 0V}")
    )


def test_how_a_place_is_typed() -> None:
    its = circuit_from(RAIL).platform
    assert written_volts(its, "F7", "12.4").pin == Terminal("CAB.F7", "2")
    assert written_volts(its, "F7.1", "12.4").pin == Terminal("CAB.F7", "1")
    assert written_volts(its, "R15", "12.4").pin == Terminal("CAB.R15")
    for name in ("BAT", "WIPER", "NOWHERE"):
        with pytest.raises(WrongUse):
            written_volts(its, name, "12.4")
