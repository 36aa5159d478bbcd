"""Wires too thin for what they lead to, codes that stand twice at a splice, a socket's pin for another."""

import pytest

from circuitmap.wiring.platform import Platform
from tests.wiring.written import platform_from


def written(text: str) -> Platform:
    return platform_from(text)


def told(its: Platform, code: str) -> list[str]:
    return [problem.headline for problem in its.problems if problem.code == code]


HEAD = """battery BAT
ground G1
BAT.- -> G1
fuse F1 30A
BAT.+ -> F1
"""


@pytest.mark.parametrize(
    ("declared", "wires", "found"),
    [
        ("motor M running 4A..14A", "F1 -> M -> G1 in RD 2.5, BN 0.25", 0),
        ("motor M supply 1 ground 2 running 4A..14A", "F1 -> M.1 in RD 2.5\nM.2 -> G1 in BN 0.25", 1),
        ("motor M supply 1 ground 2 running 4A..14A", "F1 -> M.1 in RD 2.5\nM.2 -> G1 in BN 2.5", 0),
        ("motor M supply 1 ground 2 running 8A..10A", "F1 -> M.1 in RD 2.5\nM.2 -> G1 in BN 0.35", 0),
        ("motor M supply 1 ground 2, 3 running 14A", "F1 -> M.1 in RD 2.5\nM.2 -> G1 in BN 0.25", 0),
        ("lamp M supply 1, 2 ground 3 running 14A on 1, 1A on 2", "F1 -> M.2 in RD 0.35\nM.3 -> G1 in BN 0.35", 1),
        ("module M supply 1 ground 2 sense 3 running 14A", "M.3 -> G1 in BN 0.25", 0),
    ],
)
def test_a_wire_is_too_thin_for_what_its_load_takes(declared: str, wires: str, found: int) -> None:
    its = [line for line in told(written(f"{HEAD}{declared}\n{wires}\n"), "wire-too-thin") if "takes up to" in line]
    assert len(its) == found
    assert all("M takes up to 14 A, as typed." in line for line in its)


def splices(count: int, *, own: bool) -> str:
    """A text with so many splices of three wires, each wire with a `own` code or all of a splice with one."""
    lines = ["naming SP* splice, L* lamp, F* fuse"]
    for n in range(count):
        codes = (f"{n}1", f"{n}2", f"{n}3") if own else (f"{n}1",) * 3
        lines += [f'F{n} -> SP{n} in RD code "{codes[0]}"', f'SP{n} -> L{n}A in RD code "{codes[1]}"']
        lines += [f'SP{n} -> L{n}B in RD code "{codes[2]}"', f"L{n}A, L{n}B -> case in BN"]
    return "\n".join(lines) + "\n"


def test_a_code_twice_at_a_splice_is_told_where_each_wire_has_its_own() -> None:
    right = splices(40, own=True)
    assert told(written(right), "code-twice") == []
    slip = right.replace('code "73"', 'code "72"')
    assert told(written(slip), "code-twice") == [
        'The code "72" stands on two wires of SP7: at the other splices each wire has its own.'
    ]
    assert told(written(splices(40, own=False)), "code-twice") == []
    few = splices(20, own=True).replace('code "73"', 'code "72"')
    assert told(written(few), "code-twice") == []


def test_a_socket_with_a_bare_supply_pin_beside_one_with_two_wires() -> None:
    text = HEAD + (
        'socket X supply 1 ground 2 signal 3, 4\nmodule A supply 1 ground 2\nsheet "1" whole\n'
        "F1 -> X.{pin}\nX.2 -> G1\nA.5 -> X.3\nA.6 -> X.4\nF1 -> A.1\nA.2 -> G1\n"
    )
    assert told(written(text.format(pin=1)), "pin-mistyped") == []
    assert told(written(text.format(pin=4)), "pin-mistyped") == ["X.4 has 2 wires; X.1 (supply) has none."]
