"""Large and odd platforms end in a time that grows with their size. The bounds are wide: they catch what grows with the
square, which takes minutes at these sizes."""

import time

import pytest

from circuitmap.wiring.platform import Platform
from tests.wiring.written import platform_from

COUNT = 3_000


def _chains(count: int) -> str:
    head = "naming X* connector, SP* splice\nbox CAB\nbar CAB.B1\n"
    parts = "".join(f"fuse CAB.F{n} 10A\nmodule M{n} supply 1 ground 2\n" for n in range(count // 3))
    chains = (f"CAB.F{n} -> X{n // 20}.{n % 20} -> SP{n} -> M{n}.1 : RD 1mm2\n" for n in range(count // 3))
    return head + parts + "".join(chains)


ODD = {
    "chains": _chains(COUNT),
    "one wire, again and again": "battery B\nbar A\n" + "".join(f'sheet "{n}"\nB.+ -> A : RD\n' for n in range(COUNT)),
    "a wire that never agrees": "battery B\nbar A\n" + "".join(f"B.+ -> A : 1.{n}mm2\n" for n in range(COUNT)),
    "parallel wires": "battery B\nbar A\n" + "".join(f"B.+ -> A : named w{n}\n" for n in range(COUNT)),
    "one splice": "splice S\n" + "".join(f"lamp L{n}\nS -> L{n}\n" for n in range(COUNT // 2)),
    "open ends": "splice S\n" + "S -> ?\n" * COUNT,
    "one connector": "connector X\nbattery B\n" + "".join(f"B.+ -> X.{n} -> case\n" for n in range(COUNT // 2)),
    "a ring of splices": "naming S* splice\n"
    + "".join(f'sheet "{n % 7}"\nS{n} -> S{(n + 1) % COUNT}\nS{n} -> S{(n + 57) % COUNT}\n' for n in range(COUNT // 2)),
    "names that nobody declared": "battery B\n" + "".join(f"B.+ -> N{n}A.1\n" for n in range(COUNT)),
    "names that look alike": "".join(f"lamp L{n:b}\n" for n in range(COUNT)).replace("0", "O") + "lamp LO1\nlamp L01\n",
    "one long chain": "naming S* splice\n" + " -> ".join(f"S{n}" for n in range(COUNT)) + "\n",
    "a line that cannot be read": "lamp L ,,,\n" + "    at ,,,\n" * COUNT,
    "unread lines": "lamp L ,,,\n" * COUNT,
    "charts": "".join(f"fuse F{n}\nlamp L{n}\nF{n} feeds L{n} if O{n % 300}\noption O{n}\n" for n in range(COUNT // 3)),
}


def _seconds(text: str) -> tuple[float, Platform]:
    start = time.process_time()
    platform = platform_from(text)
    return time.process_time() - start, platform


@pytest.mark.parametrize("name", ODD)
def test_odd_platforms_do_not_take_long(name: str) -> None:
    seconds, platform = _seconds(ODD[name])
    assert seconds < 15
    assert platform.wires or platform.problems or platform.parts


def test_time_grows_with_the_size() -> None:
    """Twice the wires take about twice the time; the bound leaves room for a busy machine."""
    _seconds(_chains(300))
    small = min(_seconds(_chains(COUNT))[0] for _ in range(2))
    large = min(_seconds(_chains(2 * COUNT))[0] for _ in range(2))
    assert large < 3.2 * small
