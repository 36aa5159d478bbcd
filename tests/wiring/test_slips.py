"""Slips that people made who typed in whole sheets, each in its small circuit, with and without."""

import pytest

from circuitmap.wiring.parts import Load
from tests.wiring.written import platform_from

HEAD = """naming SP* splice, W* ground, X* connector
battery G1
key IGN positions off, run closes 30 to 15 in run
fuse F1 10A, F2 5A
module M supply 1 ground 2 wake 30 sense 4, 15
"""
WIRES = """G1.- -> W1
G1.+ -> IGN.30
G1.+ -> F1 -> M.1
IGN.15 -> F2 -> M.30
M.2 -> W1
"""


def told(*wires: str, head: str = "", whole: bool = True, without: str = "") -> list[str]:
    text = HEAD + head + 'sheet "1"' + (" whole" if whole else "") + "\n" + WIRES.replace(without, "")
    platform = platform_from(text + "".join(f"{wire}\n" for wire in wires))
    return [f"{p.severity.word} {p.code}: {p.headline}" for p in platform.problems]


def test_the_circuit_itself_is_sound() -> None:
    assert told() == []


@pytest.mark.parametrize(("written", "meant"), [("51", "15"), ("5", "15"), ("155", "15"), ("16", "15"), ("33", "30")])
def test_digits_of_a_pin(written: str, meant: str) -> None:
    role = {"15": "sense", "30": "wake"}[meant]
    without = "IGN.15 -> F2 -> M.30\n" if meant == "30" else ""
    said = f"warning pin-mistyped: M.{written} has a wire and is not declared; M.{meant} ({role}) has none."
    told_now = told(f"IGN.15 -> F2 -> M.{written}" if meant == "30" else f"SP1 -> M.{written}", without=without)
    assert said in told_now
    assert not any("pin-mistyped" in line for line in told("SP1 -> M.7"))
    assert not any("pin-mistyped" in line for line in told(f"SP1 -> M.{written}", whole=False))


def test_a_wire_too_many_beside_a_pin_without_one() -> None:
    assert "warning pin-mistyped: M.40 has a wire and is not declared; M.30 (wake) has none." in told(
        "SP1 -> M.40", "IGN.15 -> F2 -> M.40", without="IGN.15 -> F2 -> M.30\n"
    )


def test_pins_that_were_said_to_do_something_and_have_no_wire() -> None:
    note = "note pin-no-wire: No wire is typed in at M.8 (output)."
    assert told(head='output M.8 feeds "lamp"\n') == [note]
    assert told(head='output M.8 feeds "lamp"\n', whole=False) == []


def test_a_wake_pin_on_the_splice_of_the_grounds() -> None:
    wires = ("M.2 -> SP2", "SP2 -> W1", "SP2 -> M.30")
    without = "IGN.15 -> F2 -> M.30\n"
    assert "warning input-at-ground: M.30 (wake) is always at ground." in told(*wires, without=without)
    assert "warning input-at-ground: M.4 (sense) is always at ground." in told(*wires[:2], "SP2 -> M.4")
    assert told("M.4 -> W1") == [], "grounded for good to code a variant"
    assert not any("input-at-ground" in line for line in told("IGN.15 -> M.4")), "plus at an input is ordinary"


def test_outputs_that_feed_and_ground_the_same_splice() -> None:
    head = "output M.8 feeds\noutput M.9 grounds\n"
    wires = ("M.8 -> SP1", "M.9 -> SP1", "SP1 -> M.4")
    assert told(*wires, head=head) == ["warning outputs-joined: M.8 feeds and M.9 grounds, and wires join the two."]
    bridge = head + "output M.8 grounds\noutput M.9 feeds\n"
    assert not any("outputs-joined" in line for line in told(*wires, head=bridge)), "both halves of a bridge"


@pytest.mark.parametrize(
    ("head", "wires", "what"),
    [
        ("resistor R\n", ("F1 -> R.1", "R.2 -> SP5", "F1 -> SP5", "SP5 -> ?"), "R.1 and R.2"),
        ("diode V\n", ("F1 -> X1.1 -> V.1", "V.2 -> X1.1"), "V.1 and V.2"),
        ("fuse F3 5A\n", ("F1 -> SP5", "SP5 -> F3.1", "F3.2 -> SP6", "SP6 -> SP5"), "F3.1 and F3.2"),
        ("relay K make\n", ("F1 -> K.30", "K.87 -> SP5", "F1 -> SP5", "SP5 -> ?"), "K.30 and K.87"),
        ("lamp L\n", ("F1 -> L.1", "F1 -> SP5", "SP5 -> L.2"), "L.1 and L.2"),
    ],
)
def test_both_sides_of_a_part_joined_under_different_names(head: str, wires: tuple[str, ...], what: str) -> None:
    found = [line for line in told(*wires, head=head) if "bridged" in line]
    assert len(found) == 1
    assert what in found[0]


def test_wires_of_equipment_that_excludes_each_other_bridge_nothing() -> None:
    head = "option A\nresistor R\n"
    apart = told("R.1 -> SP5 if A", "SP5 -> R.2 if not A", "F1 -> SP5", "F2 -> R.1", "R.2 -> W1", head=head)
    assert not any("bridged" in line for line in apart)


def test_the_same_wire_twice_on_one_sheet() -> None:
    lamp = "lamp L1\n"
    twice = ("F1 -> L1.1", "L1.2 -> W1 in BN 1", "L1.2 -> W1 in BN 1")
    note = "note wire-twice: The wire from L1.2 to W1 is typed a second time on the same sheet."
    assert told(*twice, head=lamp) == [note]
    assert told(*twice[:2], 'sheet "2" whole', twice[2], head=lamp) == [], "two sheets show the same wire"
    named = (*twice[:2], "L1.2 -> W1 in BN 1 named second")
    assert told(*named, head=lamp) == []
    begins_alike = ("F1 -> X1.1 -> L1.1", "F1 -> X1.1 -> L2.1", "L1.2, L2.2 -> W1")
    assert told(*begins_alike, head=lamp + "lamp L2\n") == []


NETWORK = """module A supply 1 ground 2
module B supply 1 ground 2
network CAN can members M (8, 9), A (8, 9), B (8, 9)
"""
FED = ("F1 -> A.1, B.1", "A.2, B.2 -> W1")


@pytest.mark.parametrize(
    ("wires", "crossed"),
    [
        (("M.8, A.8, B.8 -> SP8", "M.9, A.9, B.9 -> SP9"), ""),
        (("M.8, A.8 -> SP8", "M.9, A.9, B.8, B.9 -> SP9"), "B.8 is pin 1"),
        (("M.8, A.8, B.9 -> SP8", "M.9, A.9, B.8 -> SP9"), ""),
        (("M.8, A.8, B.9 -> SP8", "M.9, A.9 -> SP9"), "B.9 is pin 2"),
        (("M.8, A.8 -> SP8",), ""),
    ],
)
def test_lines_of_a_network(wires: tuple[str, ...], crossed: str) -> None:
    found = [line for line in told(*FED, *wires, head=NETWORK) if "lines-crossed" in line]
    assert len(found) == bool(crossed)
    assert all(crossed in line for line in found)


NAMED = "switch S positions off, A, B closes C to W in A closes C to R in B\nlamp E supply W, R, UP, IN\nmodule N supply OUT, UP\n"


@pytest.mark.parametrize(
    ("wires", "crossed"),
    [
        (("S.W -> E.W", "S.R -> E.R"), ""),
        (("S.W -> SP1 -> E.R", "S.R -> E.W"), "E.R leads to S.W, and E.W to S.R: is one the other?"),
        (("S.W -> E.R", "S.R -> E.UP"), ""),
        (("S.W, S.R -> SP1 -> E.W, E.R",), ""),
        (("N.OUT -> E.IN",), ""),
    ],
)
def test_pins_of_each_others_names(wires: tuple[str, ...], crossed: str) -> None:
    found = [line for line in told(*FED, *wires, head=NAMED) if "names-crossed" in line]
    assert len(found) == bool(crossed)
    assert all(crossed in line for line in found)


def test_a_diode_with_one_side() -> None:
    said = "end-no-wire: V has a wire at 1 and none at 2."
    assert told("F1 -> V.1", head="diode V\n") == [f"warning {said}"]
    assert told("F1 -> V.1", head="diode V\n", whole=False) == [f"note {said}"]


TWO = """naming SP* splice, W* ground
battery B1
battery B2
key IGN positions off, run
fuse F1 10A, F2 10A
lamp L1
lamp L2
"""
TWO_WIRED = """B1.+ -> F1 -> L1 -> W1
B2.+ -> F2 -> L2 -> W1
B1.- -> W1
B2.- -> W1
"""


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("B1.- -> W1", "B2.- -> W1", "note battery-no-minus: B1 has a wire at + and none at -."),
        ("B1.+ -> F1", "B2.+ -> F1", "note battery-no-plus: B1 has a wire at - and none at +."),
        ("B2.- -> W1\n", "", "note battery-no-minus: B2 has a wire at + and none at -."),
        ("B2.- -> W1\n", "? -> B2.-\n", ""),
        ("B1.- -> W1", "B1.- -> B2.+", ""),
        ("B1.+ -> F1 -> L1 -> W1", "B1 feeds F1\nF1 -> L1 -> W1", ""),
        ("", "", ""),
    ],
)
def test_a_battery_of_which_one_pole_is_wired(old: str, new: str, said: str) -> None:
    """One battery's minus typed as another's: the paper of neither sheet need be there as a whole."""
    platform = platform_from(f'{TWO}sheet "1"\n{TWO_WIRED.replace(old, new, 1)}')
    found = [f"{p.severity.word} {p.code}: {p.headline}" for p in platform.problems]
    assert [line for line in found if " battery-no" in line] == ([said] if said else [])


def test_a_battery_of_which_nothing_but_the_plus_is_typed_yet() -> None:
    """Where no way back is typed at all, the sheet with the grounds is still to come."""
    for wires in ("B1.+ -> F1\n", "B1.+ -> F1\nB2.+ -> F2\n", "B1.- -> W1\n", "B1.-, B2.- -> W1\n"):
        platform = platform_from(f'{TWO}sheet "1"\n{wires}')
        assert not [p for p in platform.problems if p.code.startswith("battery-no")]


def test_a_battery_without_a_minus() -> None:
    without = "G1.- -> W1\n"
    assert told(without=without) == ["warning battery-no-minus: G1 has a wire at + and none at -."]
    assert told(without=without, whole=False) == ["note battery-no-minus: G1 has a wire at + and none at -."]


def test_an_open_end_to_a_sheet_that_is_typed_in() -> None:
    ends = ('F1 -> ? "goes on to sheet 2"', 'F2 -> ? "sheet 3"', 'sheet "2" whole', "F1 -> W1 if A")
    found = [line for line in told(*ends[:3], head="option A\n") if "open-end-typed" in line]
    assert found == ["warning open-end-typed: F1.2 goes on to sheet 2, which is typed in as a whole."]


def test_fuses_fed_from_different_places_and_joined_behind() -> None:
    note = "note fuses-joined: F1 and F2 are joined behind, by wires alone: either feeds what hangs on the other."
    assert told("F1 -> SP1", "SP1 -> F2.2") == [note]
    assert told("G1.+ -> F3 -> SP1", "SP1 -> F1.2", head="fuse F3 5A\n") == [], "side by side from one place"


def test_a_data_pin_may_be_said_to_be_one_and_be_on_its_network() -> None:
    """`signal CH, CL` and `members U1 (CH, CL)` say the same."""
    head = "module N1 supply 1 ground 2 signal CH, CL\nmodule N2\nnetwork CAN can members N1 (CH, CL), N2\n"
    platform = platform_from(HEAD + head)
    assert not [p for p in platform.problems if p.code == "pin-two-roles"]
    part = platform.parts["N1"]
    assert isinstance(part, Load) and part.roles["CH"] == part.roles["CL"] == "network"


def test_a_supply_pin_that_also_wakes_has_a_mend() -> None:
    (wrong,) = (p for p in platform_from("module N1 supply 30, 15 wake 15\n").problems if p.code == "pin-two-roles")
    assert wrong.advice == "Where nothing in it works without, say: supply 15 needs 15."
    (wrong,) = (p for p in platform_from("module N1 supply 30 ground 30\n").problems if p.code == "pin-two-roles")
    assert wrong.advice == ""
