"""Large and odd platforms are read whole, and the work for them grows in proportion, not with the square."""

from collections.abc import Callable
from functools import partial

import pytest

from tests.wiring.written import platform_from
from tests.work_done import steps_of

COUNT = 3_000


def _chains(count: int) -> str:
    head = "naming X* connector, SP* splice\nbox CAB\nbar CAB.B1\n"
    parts = "".join(f"fuse CAB.F{n} 10A\nmodule M{n} supply 1 ground 2\n" for n in range(count // 3))
    chains = (f"CAB.F{n} -> X{n // 20}.{n % 20} -> SP{n} -> M{n}.1 in RD 1mm2\n" for n in range(count // 3))
    return head + parts + "".join(chains)


def _ring(count: int) -> str:
    return "naming S* splice\n" + "".join(
        f'sheet "{n % 7}"\nS{n} -> S{(n + 1) % count}\nS{n} -> S{(n + 57) % count}\n' for n in range(count // 2)
    )


ODD: dict[str, Callable[[int], str]] = {
    "chains": _chains,
    "one wire, again and again": lambda count: (
        "battery B\nbar A\n" + "".join(f'sheet "{n}"\nB.+ -> A in RD\n' for n in range(count // 2))
    ),
    "a wire that never agrees": lambda count: (
        "battery B\nbar A\n" + "".join(f"B.+ -> A in 1.{n}mm2\n" for n in range(count))
    ),
    "parallel wires": lambda count: "battery B\nbar A\n" + "".join(f"B.+ -> A in named w{n}\n" for n in range(count)),
    "one splice": lambda count: "splice S\n" + "".join(f"lamp L{n}\nS -> L{n}\n" for n in range(count // 2)),
    "open ends": lambda count: "splice S\n" + "S -> ?\n" * count,
    "one connector": lambda count: (
        "connector X\nbattery B\n" + "".join(f"B.+ -> X.{n} -> case\n" for n in range(count // 2))
    ),
    "a ring of splices": _ring,
    "names that nobody declared": lambda count: "battery B\n" + "".join(f"B.+ -> N{n}A.1\n" for n in range(count)),
    "names that look alike": lambda count: (
        "".join(f"lamp L{n:b}\n" for n in range(count)).replace("0", "O") + "lamp LO1\nlamp L01\n"
    ),
    "one long chain": lambda count: "naming S* splice\n" + " -> ".join(f"S{n}" for n in range(count)) + "\n",
    "a line that cannot be read": lambda count: "lamp L ,,,\n" + "    at ,,,\n" * count,
    "unread lines": lambda count: "lamp L ,,,\n" * count,
    "charts": lambda count: "".join(
        f"fuse F{n}\nlamp L{n}\nF{n} feeds L{n} if O{n % 300}\noption O{n}\n" for n in range(count // 3)
    ),
}


@pytest.mark.parametrize("name", ODD)
def test_odd_platforms_are_read_to_their_end(name: str) -> None:
    platform = platform_from(ODD[name](COUNT))
    assert platform.wires or platform.problems or platform.parts


@pytest.mark.parametrize("name", ODD)
def test_twice_the_lines_are_about_twice_the_work(name: str) -> None:
    platform_from(ODD[name](60))  # what is made only once is not counted
    small, large = (steps_of(partial(platform_from, ODD[name](count))) for count in (800, 1600))
    print(f"{large / small:.2f} times the work")
    assert large < 2.4 * small
