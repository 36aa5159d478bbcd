"""The whole flow, from a folder of text to an answer: the only place where the stages meet.

Each function imports the stages it needs when it is called, so that a command pays only for what it uses.
"""

from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

from circuitmap.problems import Problem, in_order
from circuitmap.source import SourceFile
from circuitmap.wiring.fitting import Fitting, fitting_of
from circuitmap.wiring.platform import Platform

if TYPE_CHECKING:
    from circuitmap.circuit.links import Circuit


def open_platform(folder: Path) -> Platform:
    """Everything that was typed in a folder, as one platform, with the problems found on the way."""
    from circuitmap.notation.folder import read_folder

    sources, problems = read_folder(folder)
    return platform_from(sources, problems)


def platform_at(folder: Path, revision: str) -> Platform:
    """The platform as it was at a git revision."""
    from circuitmap.changes.revisions import sources_at

    return platform_from(sources_at(folder, revision))


def platform_from(sources: tuple[SourceFile, ...], problems: tuple[Problem, ...] = ()) -> Platform:
    """The platform in these files; `problems` are those of the files themselves."""
    from circuitmap.notation.reading import read_text
    from circuitmap.wiring.declare import platform_of

    unread: list[Problem] = list(problems)
    notations = []
    for source in sources:
        notation, its_problems = read_text(source)
        notations.append(notation)
        unread += its_problems
    return platform_of(notations, sources, unread)


def check(folder: Path) -> Platform:
    """The platform with all problems, also those that only show once it is a circuit."""
    from circuitmap.power.checks import problems_of

    platform = open_platform(folder)
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
    platform = open_platform(folder)
    return Bench(platform, fitting_of(platform, fitted, absent))
