"""Names as people type them at a command."""

import pytest

from circuitmap.failures import WrongUse
from circuitmap.wiring.names import find_part, find_terminal
from circuitmap.wiring.near_names import NearNames
from circuitmap.wiring.parts import Terminal
from tests.wiring.written import platform_from

PLATFORM = platform_from(
    "naming X* connector, SP* splice\nbox CAB\nbox ENG\nbattery BAT\nfuse CAB.F22 5A, ENG.F1 5A, CAB.F1 5A\n"
    "module HEATER supply A.1\nCAB.F22 -> X1.2 -> SP3 -> HEATER.A.1\nSP3 -> ?\nBAT.+ -> ENG.F1 -> CAB.F1\nlamp LAMP\n"
)


@pytest.mark.parametrize(
    ("typed", "meant"), [("CAB.F22", "CAB.F22"), ("F22", "CAB.F22"), ("f22", "CAB.F22"), ("heater", "HEATER")]
)
def test_any_unique_tail_will_do(typed: str, meant: str) -> None:
    assert find_part(PLATFORM, typed) == meant


def test_a_tail_of_two_parts_lists_them() -> None:
    with pytest.raises(WrongUse, match="F1 is not one part") as raised:
        find_part(PLATFORM, "F1")
    assert raised.value.advice == "CAB.F1, ENG.F1"


@pytest.mark.parametrize(
    ("typed", "near"), [("HEATR", "HEATER"), ("F2", "CAB.F22"), ("CAB.F222", "CAB.F22"), ("SPLITTER", "")]
)
def test_a_name_that_is_not_there_says_what_is_near(typed: str, near: str) -> None:
    with pytest.raises(WrongUse, match=f"There is no part {typed}") as raised:
        find_part(PLATFORM, typed)
    assert raised.value.advice == (f"Did you mean {near}?" if near else "")


@pytest.mark.parametrize(
    ("typed", "terminal"),
    [
        ("HEATER.A.1", Terminal("HEATER", "A.1")),
        ("F22.2", Terminal("CAB.F22", "2")),
        ("X1.2", Terminal("X1", "2", "a")),
        ("SP3", Terminal("SP3")),
        ("BAT.+", Terminal("BAT", "+")),
    ],
)
def test_terminals(typed: str, terminal: Terminal) -> None:
    assert find_terminal(PLATFORM, typed) == terminal


def test_a_terminal_that_is_not_there() -> None:
    with pytest.raises(WrongUse, match="HEATER has no terminal B7"):
        find_terminal(PLATFORM, "HEATER.B7")
    with pytest.raises(WrongUse, match=r"Which terminal of ENG\.F1"):
        find_terminal(PLATFORM, "ENG.F1")
    with pytest.raises(WrongUse, match="There is no part NOBODY"):
        find_terminal(PLATFORM, "NOBODY.7")


@pytest.mark.parametrize(
    ("written", "near"),
    [("HAETER", "HEATER"), ("HEATRE", "HEATER"), ("HEATE", "HEATER"), ("XHEATER", "HEATER"), ("heater", "HEATER"),
     ("F2Z", ""), ("SPI", "SP1"), ("SPO", "SP0"), ("HEAT", ""), ("", ""), ("F23", "")],
)  # fmt: skip
def test_near_names(written: str, near: str) -> None:
    assert NearNames(["HEATER", "F22", "F21", "SP1", "SP0", "BATTERY"]).near(written) == near
