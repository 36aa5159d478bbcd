"""What hangs on a fuse only in doubt, or only backwards through a contact, is told apart in the headline."""

from circuitmap.circuit.links import Circuit
from circuitmap.circuit.trace import trace
from circuitmap.flows.questions import Bench
from circuitmap.flows.questions import trace as asked
from circuitmap.reports.circuit.trace_text import trace_text

from .told import circuit

TWO_SUPPLIES = """
battery BAT
fuse F0 50A, F1 10A, F2 10A
bar B1 feeds F1, F2
BAT.+ -> F0 -> B1
module M supply 1, 2 ground 3, 4
output M.5 feeds
output M.6 feeds from 1
output M.7 grounds
ground G1, G2
lamp L5
lamp L6
lamp L7
F1 -> M.1
F2 -> M.2
M.3 -> G1
M.4 -> G2
M.5 -> L5 -> case
M.6 -> L6 -> case
F1 -> L7 -> M.7
"""


def head(its: Circuit, part: str) -> str:
    bench = Bench(its.platform, {})
    traced = asked(bench, part)
    text = trace_text(bench.platform, traced.trace, traced.fed)
    return " ".join(text.partition("\n\n")[0].split())


def apart(text: str, part: str) -> dict[tuple[str, tuple[str, ...]], tuple[str, ...]]:
    return {(its.why, its.by): names for its, names in trace(circuit(text), part).loads_apart.items()}


def test_what_an_output_may_feed_from_another_supply_pin_is_told_apart() -> None:
    assert apart(TWO_SUPPLIES, "F1") == apart(TWO_SUPPLIES, "F2") == {("supply not said", ("M",)): ("L5",)}
    assert apart(TWO_SUPPLIES, "F0") == {}, "it feeds both pins: there is no doubt"
    assert apart(TWO_SUPPLIES, "M") == {}
    its = circuit(TWO_SUPPLIES)
    assert "3 loads on it: L6, L7 and M. Perhaps also L5: from which supply pin M feeds it is not typed in." in head(
        its, "F1"
    )
    assert "1 load on it: M. Perhaps also L5" in head(its, "F2")
    said = TWO_SUPPLIES.replace("output M.5 feeds", "output M.5 feeds from 2")
    assert apart(said, "F2") == {} and trace(circuit(said), "F1").loads == ("L6", "L7", "M")


def test_what_hangs_on_such_an_output_says_so() -> None:
    its = circuit(TWO_SUPPLIES)
    assert "L5.1 is fed through F1 or F2: live while M.5 is on. From which supply pin M feeds this" in head(its, "L5")
    assert "L6.1 is fed through F1: live while M.6 is on." in head(its, "L6")
    assert "not typed in" not in head(its, "L6")
    assert "Ground: G1 or G2; which of its ground pins M uses is not typed in." in head(its, "L7")


FLASH = """
battery BAT
fuse F1 10A, F2 10A
key IGN positions off, run closes 30 to 15 in run
switch LIGHT positions off, on closes X to 56 in on
switch DIP positions dip, main closes 56 to 56a in main closes 56 to 56b in dip
lamp LOW
DIP.56b -> LOW -> case
switch FLASH positions free, pulled closes 30 to 56a in pulled
lamp HIGH
motor VENT
switch S positions off, on closes 1 to 2 in on
BAT.+ -> IGN.30
IGN.15 -> F1 -> SP1
splice SP1
SP1 -> LIGHT.X
LIGHT.56 -> DIP.56
DIP.56a -> HIGH -> case
BAT.+ -> F2 -> FLASH.30
FLASH.56a -> DIP.56a
SP1 -> S.1
S.2 -> VENT -> case
"""


def test_what_only_hangs_on_a_fuse_backwards_through_a_contact_is_told_apart() -> None:
    """With the flasher pulled, main beam and lights on, plus runs back through the dip switch to the vent."""
    assert apart(FLASH, "F2") == {("against", ("LIGHT.56",)): ("VENT",)}
    its = circuit(FLASH)
    assert "1 load on it: HIGH. Only backwards through LIGHT.56" in head(its, "F2")
    assert apart(FLASH, "F1") == {}
    assert trace(its, "F1").loads == ("HIGH", "LOW", "VENT")


def test_what_an_alternator_makes_itself_hangs_on_no_fuse_before_it() -> None:
    its = circuit("""
battery BAT
fuse F1 100A, F2 5A
alternator GEN supply B+ ground 31
output GEN.D+ feeds
relay K1 make
lamp L
BAT.+ -> F1 -> GEN.B+
GEN.D+ -> K1.86
K1.85 -> case
GEN.D+ -> F2 -> L -> case
""")
    assert "K1.86 is fed by GEN itself: live while GEN.D+ is on." in head(its, "K1")
    assert "L.1 is fed through F2: live while GEN.D+ is on." in head(its, "L")


def test_the_first_ground_point_comes_before_where_its_strap_leads() -> None:
    its = circuit("""
battery BAT
fuse F1 10A
naming G* ground
ground G2 wired
BAT.- -> G1
BAT.+ -> F1
lamp L
F1 -> L -> G2
G2 -> G1
lamp L1
F1 -> L1 -> G1
""")
    assert "Ground: G2, and from there G1." in head(its, "L")
    assert "Ground: G1." in head(its, "L1")
