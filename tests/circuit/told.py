"""Circuits from notation, and paths on one line, for tests that read from top to bottom."""

from circuitmap.circuit.feeding import Feeding
from circuitmap.circuit.links import Circuit, circuit_of
from circuitmap.circuit.path import Path
from circuitmap.notation.reading import read_text
from circuitmap.problems import Severity
from circuitmap.source import SourceFile
from circuitmap.wiring.declare import platform_of


def circuit(text: str) -> Circuit:
    """The circuit of a platform in one file; the text must contain no error."""
    source = SourceFile("told.circuit", 'platform "Told" supply 12V return body\n' + text)
    notation, problems = read_text(source)
    assert not problems, [problem.headline for problem in problems]
    platform = platform_of([notation], [source])
    errors = [problem.headline for problem in platform.problems if problem.severity is Severity.ERROR]
    assert not errors, errors
    return circuit_of(platform)


def told(path: Path) -> str:
    """Every terminal of a path, contacts as `-(K1.87)-`, then what must hold for it to conduct."""
    line = str(path.start)
    for step in path.steps:
        line += f" -({step.link.contact})- " if step.link.contact else " - "
        line += str(step.end)
    demands = "; ".join(
        f"{subject.name} {'/'.join(sorted(states))}" for subject, states in sorted(path.demands.items())
    )
    marks = ("~ " if path.roundabout else "") + ("" if path.known else "? ")
    return marks + line + (f" [{demands}]" if demands else "")


def told_all(paths: tuple[Path, ...]) -> list[str]:
    return [told(path) for path in paths]


def fuses_of(feeding: Feeding) -> dict[str, tuple[str, ...]]:
    """For each fitted load, the fuses on its ways from the batteries."""
    return {
        load: tuple(
            dict.fromkeys(
                fuse
                for taking in feeding.of_part.get(load, ())
                if taking.kind in ("load", "reversed")
                for fuse in taking.fuses
            )
        )
        for load in feeding.circuit.loads
        if feeding.fitted(load)
    }
