"""Published bounds, sizes that grow linearly, and what is imported."""

import subprocess
import sys

import pytest

from circuitmap.circuit.feeding import feeding_of
from circuitmap.circuit.links import Circuit, circuit_of
from circuitmap.circuit.trace import trace
from circuitmap.circuit.ways import MOST_PATHS, Ways
from circuitmap.wiring.parts import Battery, Contact, Fuse, Joint, Load, Part, Switch, Terminal
from circuitmap.wiring.platform import Platform, Wire
from tests.work_done import steps_of

T = Terminal


def ladder(rungs: int) -> Circuit:
    """A lamp behind `rungs` switches in parallel: that many ways, and no more."""
    parts: list[Part] = [Battery(name="BAT", kind="battery"), Load(name="L", kind="lamp", roles={"1": "supply"})]
    wires = []
    for n in range(rungs):
        contact = Contact("1", "2", ("on",))
        parts.append(Switch(name=f"S{n}", kind="switch", positions=("off", "on"), contacts=(contact,)))
        wires += [Wire(a=T("BAT", "+"), b=T(f"S{n}", "1")), Wire(a=T(f"S{n}", "2"), b=T("L", "1"))]
    return circuit_of(Platform(parts={part.name: part for part in parts}, wires=tuple(wires)))


@pytest.mark.parametrize(("rungs", "cut_off"), [(MOST_PATHS - 1, False), (MOST_PATHS, False), (MOST_PATHS + 1, True)])
def test_more_ways_than_the_limit_are_cut_off_and_said_so(rungs: int, cut_off: bool) -> None:
    found = Ways(ladder(rungs), {}, "supply").to(T("L", "1"))
    assert found.cut_off is cut_off
    assert len(found.paths) == min(rungs, MOST_PATHS)
    answer = trace(ladder(rungs), "L")
    assert answer.cut_off is cut_off
    assert ("cut off" in {entry.kind for entry in answer.unknown}) is cut_off


def test_a_net_of_bars_everywhere_joined_does_not_hang() -> None:
    """Forty splices, each wired to every other: the number of ways has 46 digits."""
    names = [f"SP{n}" for n in range(40)]
    parts: list[Part] = [Joint(name=name, kind="splice") for name in names]
    parts += [Battery(name="BAT", kind="battery"), Load(name="L", kind="lamp", roles={"1": "supply"})]
    wires = [Wire(a=T(a), b=T(b)) for i, a in enumerate(names) for b in names[:i]]
    wires += [Wire(a=T("BAT", "+"), b=T("SP0")), Wire(a=T("SP39"), b=T("L", "1"))]
    circuit = circuit_of(Platform(parts={part.name: part for part in parts}, wires=tuple(wires)))
    found = Ways(circuit, {}, "supply").to(T("L", "1"))
    assert found.cut_off and len(found.paths) == MOST_PATHS
    assert len(found.paths[0].steps) == 3, "the shortest ways are kept"


def chains(count: int, length: int = 3) -> Platform:
    """`count` circuits on one bar, each of a fuse, `length` splices and a lamp."""
    parts: dict[str, Part] = {"BAT": Battery(name="BAT", kind="battery"), "B": Joint(name="B", kind="bar")}
    wires = [Wire(a=T("BAT", "+"), b=T("B"))]
    for n in range(count):
        parts[f"F{n}"] = Fuse(name=f"F{n}", kind="fuse")
        parts[f"L{n}"] = Load(name=f"L{n}", kind="lamp", roles={"1": "supply", "2": "ground"})
        wires.append(Wire(a=T("B"), b=T(f"F{n}", "1")))
        here = T(f"F{n}", "2")
        for k in range(length):
            parts[f"S{n}_{k}"] = Joint(name=f"S{n}_{k}", kind="splice")
            wires.append(Wire(a=here, b=T(f"S{n}_{k}")))
            here = T(f"S{n}_{k}")
        wires.append(Wire(a=here, b=T(f"L{n}", "1")))
    return Platform(parts=parts, wires=tuple(wires))


def test_a_chain_of_thousands_of_splices_is_not_too_deep() -> None:
    circuit = circuit_of(chains(1, 10_000))
    answer = trace(circuit, "F0")
    assert answer.loads == ("L0",)
    assert len(answer.branches[0].steps) == 10_001


def test_links_and_feeding_grow_linearly() -> None:
    def work(count: int) -> None:
        assert len(feeding_of(circuit_of(platforms[count])).takings) == count

    platforms = {count: chains(count) for count in (10, 100, 200)}
    work(10)  # what is made only once is not counted
    assert steps_of(lambda: work(200)) < 2.2 * steps_of(lambda: work(100))


def test_trace_and_links_import_neither_numpy_nor_networkx() -> None:
    code = (
        "import sys, circuitmap.circuit.trace, circuitmap.circuit.links;"
        "print(sorted({'numpy', 'networkx', 'lark', 'click'} & set(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
