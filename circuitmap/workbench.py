"""The whole flow, from a folder of text to an answer: the only place where the stages meet.

Each function imports the stages it needs when it is called, so that a command pays only for what it uses.
"""

from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

from circuitmap.problems import Problem, in_order
from circuitmap.wiring.fitting import Fitting, fitting_of
from circuitmap.wiring.platform import Platform

if TYPE_CHECKING:
    from circuitmap.circuit.links import Circuit


def read_platform(folder: Path) -> Platform:
    """Everything that was typed in a folder, as one platform, with the problems found on the way."""
    from circuitmap.notation.folder import read_folder
    from circuitmap.notation.reading import read_text
    from circuitmap.wiring.declare import platform_of

    sources, problems = read_folder(folder)
    found: list[Problem] = list(problems)
    notations = []
    for source in sources:
        notation, its_problems = read_text(source)
        notations.append(notation)
        found += its_problems
    platform = platform_of(notations, sources)
    return replace(platform, problems=in_order([*found, *platform.problems]))


def check(folder: Path) -> Platform:
    """The platform with all problems, also those that only show once it is a circuit."""
    from circuitmap.power.checks import problems_of

    platform = read_platform(folder)
    circuit = Bench(platform, {}).circuit
    return replace(platform, problems=in_order([*platform.problems, *problems_of(circuit)]))


@dataclass(frozen=True)
class Bench:
    """A platform opened for questions about one car: `fitting` is the optional equipment it has or has not."""

    platform: Platform
    fitting: Fitting

    @cached_property
    def circuit(self) -> "Circuit":
        from circuitmap.circuit.links import circuit_of

        return circuit_of(self.platform)


def open_bench(folder: Path, fitted: tuple[str, ...] = (), absent: tuple[str, ...] = ()) -> Bench:
    """Read a platform for a car with the equipment `fitted` and without `absent`."""
    platform = read_platform(folder)
    return Bench(platform, fitting_of(platform, fitted, absent))
