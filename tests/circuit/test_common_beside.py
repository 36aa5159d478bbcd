"""What belongs to a fuse's circuit beside the way of its current: signals, modules that switch, feeds of some."""

from circuitmap.circuit.common import in_common
from circuitmap.reports.circuit.common_text import common_text

from .told import circuit

TWO_MODULES = """
battery G1 95Ah
battery G2 95Ah
fuse F1 10A, F2 10A, F3 10A, F4 10A
naming GP* ground, SP* splice, X* connector
G1.- -> GP1
G2.- -> GP1
G1.+ -> F1, F2
G2.+ -> F3, F4
module N1 supply 1 ground 2
output N1.3 feeds from 1 while awake
output N1.4 grounds
output N1.5 feeds from 1
module N2 supply 1 ground 2 wake 3 wake 4 by ground
module N3 supply 1 ground 2
relay K1 make
lamp L1
lamp L2
motor M1
switch S1 positions shut, open closes 1 to 2 in open
network BUS can members N2 (6), N3 (6)
F1 -> N1.1
N1.2 -> GP1
N1.3 -> N2.3
F2 -> K1.30, K1.86
K1.85 -> N1.4
K1.87 -> L1 -> GP3
N1.5 -> X1.1 -> M1 -> GP3
F3 -> N2.1
N2.2 -> GP2
F4 -> N3.1
N3.2 -> GP2
N2.4 -> X1.3 -> S1.1
S1.2 -> X1.4 -> GP3
N2.6 -> X2.1 -> N3.6
F4 -> X1.5 -> L2 -> GP3
"""


def test_the_ground_of_an_input_on_an_output_is_not_shared() -> None:
    """Only the wake pin of N2 hangs on F1, over an output of N1: N2 draws nothing from there."""
    its = circuit(TWO_MODULES)
    assert [entry.name for entry in in_common(its, ["F1", "F3"]).grounds] == []
    assert [entry.name for entry in in_common(its, ["F3", "F4"]).grounds] == ["GP2"]


def test_a_module_that_pulls_the_relay_behind_a_fuse_is_shared() -> None:
    answer = in_common(circuit(TWO_MODULES), ["F1", "F2"])
    (module,) = (entry for entry in answer.of_kind("module") if entry.name == "N1")
    assert module.how == {"F1": ("load",), "F2": ("switches",)}
    assert answer.common_loads == ()
    text = " ".join(common_text(circuit(TWO_MODULES).platform, answer).split())
    assert "Load N1: fed by F1; an output of it switches what hangs on F2." in text


def test_a_module_that_grounds_what_hangs_on_a_fuse_is_shared() -> None:
    text = TWO_MODULES.replace("K1.87 -> L1 -> GP3", "F2 -> L1 -> N1.4").replace("K1.85 -> N1.4", "K1.85 -> GP3")
    (module,) = (its for its in in_common(circuit(text), ["F1", "F2"]).of_kind("module") if its.name == "N1")
    assert module.how["F2"] == ("switches",)


def test_a_plug_that_only_an_input_passes_is_shared() -> None:
    """X1 has the motor of N1 in 1, the door contact of N2 in 3 and 4; a chafed loom there meets both fuses."""
    answer = in_common(circuit(TWO_MODULES), ["F1", "F3"])
    (plug,) = answer.of_kind("connector")
    assert (plug.name, plug.how) == ("X1", {"F1": ("downstream",), "F3": ("signal",)})
    assert plug.cavities == {"F1": ("1",), "F3": ("3", "4")}
    assert answer.of_kind("cavity") == ()


def test_a_plug_that_only_data_passes_is_told_without_its_cavities() -> None:
    answer = in_common(circuit(TWO_MODULES), ["F3", "F4"])
    plugs = {entry.name: entry.how for entry in answer.of_kind("connector")}
    assert plugs["X2"] == {"F3": ("signal",), "F4": ("signal",)}
    assert plugs["X1"] == {"F3": ("signal",), "F4": ("downstream",)}
    text = " ".join(common_text(circuit(TWO_MODULES).platform, answer).split())
    assert "Connector X2: in the signal wires of what hangs on both." in text


def test_fuses_without_a_feed_in_common_of_which_some_have_one() -> None:
    answer = in_common(circuit(TWO_MODULES), ["F1", "F3", "F4"])
    assert [(its.fuses, its.supply.nearest and its.supply.nearest.name) for its in answer.feed_of_some] == [
        (("F3", "F4"), "G2.+")
    ]
    text = " ".join(common_text(circuit(TWO_MODULES).platform, answer).split())
    assert "They have no feed in common, but F3 and F4 have: the nearest place that feeds both is G2." in text
    assert in_common(circuit(TWO_MODULES), ["F1", "F2"]).feed_of_some == ()


def test_a_switch_that_never_feeds_both_is_told_so() -> None:
    text = """
battery G1
fuse F1 10A, F2 10A
G1.+ -> F1, F2
switch S1 positions off, on closes 1 to 3 in off closes 2 to 3 in on
lamp L1
F1 -> S1.1
F2 -> S1.2
S1.3 -> L1 -> case
"""
    (switch,) = in_common(circuit(text), ["F1", "F2"]).of_kind("switch")
    assert switch.apart == {"F1": ("off",), "F2": ("on",)}
    both = text.replace("closes 1 to 3 in off", "closes 1 to 3 in off, on")
    (switch,) = in_common(circuit(both), ["F1", "F2"]).of_kind("switch")
    assert switch.apart == {}
