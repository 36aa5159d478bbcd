"""The whole flow, from a folder of text to an answer: the only place where the stages meet.

Each function imports the stages it needs when it is called, so that a command pays only for what it uses.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import pairwise
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from circuitmap.failures import WrongUse
from circuitmap.problems import Problem, in_order
from circuitmap.source import SourceFile
from circuitmap.wiring.fitting import Fitting, fitting_of
from circuitmap.wiring.parts import Fuse
from circuitmap.wiring.platform import Platform

if TYPE_CHECKING:
    from circuitmap.circuit.common import InCommon
    from circuitmap.circuit.links import Circuit
    from circuitmap.circuit.trace import Trace
    from circuitmap.power.feeds import Feed
    from circuitmap.reports.worksheet import Drop
    from circuitmap.wiring.parts import Terminal


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


@dataclass(frozen=True)
class Traced:
    """One part's circuit, and when its terminals and those of what hangs on it are live."""

    trace: "Trace"
    fed: "Mapping[Terminal, Feed]"


def trace(bench: Bench, written: str) -> "Traced":
    """The part that `written` is a tail of, in its circuit, with when each terminal of it is live."""
    from circuitmap.circuit.feeding import feeding_of
    from circuitmap.circuit.trace import trace_in
    from circuitmap.power.feeds import feeds_of
    from circuitmap.wiring.names import find_part

    part = find_part(bench.platform, written)
    traced = trace_in(feeding_of(bench.circuit, bench.fitting), part)
    ends = [pin.terminal for pin in traced.pins if pin.supply]
    ends += [there.taking.terminal for there in traced.downstream if there.taking.kind == "load"]
    return Traced(traced, feeds_of(bench.circuit, bench.fitting, ends))


def in_common(bench: Bench, drawing: Iterable[str], quiet: Iterable[str] = ()) -> "InCommon":
    """What the fuses share that `drawing` are tails of; raises WrongUse for what is no fuse, or both."""
    from circuitmap.circuit.common import in_common as shared_by

    drawn = find_fuses(bench.platform, drawing)
    silent = find_fuses(bench.platform, quiet)
    both = set(drawn) & set(silent)
    if both:
        raise WrongUse(f"{min(both)} cannot draw and be quiet at once.")
    return shared_by(bench.circuit, drawn, silent, bench.fitting)


def find_fuses(platform: Platform, written: Iterable[str]) -> tuple[str, ...]:
    """Full names of fuses from tails of them; a tail that only one fuse has will do."""
    from circuitmap.wiring.names import find_name, find_part

    fuses = [fuse.name for fuse in platform.fuses]
    found = []
    for text in written:
        try:
            found.append(find_name(fuses, text, "fuse"))
        except WrongUse:
            part = find_part(platform, text)  # says it better when it is some other part, or nothing at all
            raise WrongUse(f"{part} is not a fuse.") from None
    return tuple(dict.fromkeys(found))


def worksheet(bench: Bench, form: Literal["pdf", "html", "txt"]) -> bytes:
    """The list of fuses to carry to the car, as the content of a file."""
    from circuitmap.circuit.feeding import feeding_of
    from circuitmap.power.classes import classes_of
    from circuitmap.reports.class_words import class_words
    from circuitmap.reports.worksheet import worksheet_of

    hanging: dict[str, dict[str, None]] = {}
    for taking in feeding_of(bench.circuit, bench.fitting).takings:
        for path in taking.paths.direct:
            fuses = path.fuses
            for above, below in pairwise(fuses):
                hanging.setdefault(above, {})[below] = None
            if fuses and fuses[-1] != taking.part:
                hanging.setdefault(fuses[-1], {})[taking.part] = None
    fed = {load: class_words(its) for load, its in classes_of(bench.circuit, bench.fitting).items()}
    sheet = worksheet_of(bench.platform, {f: tuple(names) for f, names in hanging.items()}, fed, _drop_of)
    if form == "pdf":
        from circuitmap.reports.worksheet_pdf import worksheet_pdf

        return worksheet_pdf(sheet)
    if form == "html":
        from circuitmap.reports.worksheet_html import worksheet_html

        return worksheet_html(sheet).encode()
    from circuitmap.reports.worksheet_text import worksheet_text

    return worksheet_text(sheet).encode()


def _drop_of(fuse: Fuse) -> "Drop | None":
    from circuitmap.evidence.fuse_drop import cold_resistance, hidden_below, millivolts_at
    from circuitmap.reports.worksheet import CURRENTS, Drop

    resistance = cold_resistance(fuse.style, fuse.rating)
    if resistance is None or fuse.kind != "fuse":
        return None
    drops = tuple(millivolts_at(amps, resistance) for amps in CURRENTS)
    return Drop(drops, hidden_below(resistance), resistance.is_estimate)
