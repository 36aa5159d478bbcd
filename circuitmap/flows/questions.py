"""The whole flow, from a folder of text to an answer: the only place where the stages meet.

Each function imports the stages it needs when it is called, so that a command pays only for what it uses.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import pairwise
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from circuitmap.failures import WrongUse
from circuitmap.problems import Problem, in_order
from circuitmap.source import SourceFile
from circuitmap.wiring.fitting import Fitting, fitting_of
from circuitmap.wiring.parts import LOAD_KINDS
from circuitmap.wiring.platform import Platform

if TYPE_CHECKING:
    from circuitmap.circuit.common import InCommon
    from circuitmap.circuit.feeding import Feeding
    from circuitmap.circuit.links import Circuit
    from circuitmap.circuit.network_trace import NetworkTrace
    from circuitmap.circuit.trace import Trace
    from circuitmap.power.classes import LoadClass
    from circuitmap.power.feeds import Feed
    from circuitmap.reports.pages.worksheet import Worksheet
    from circuitmap.wiring.parts import Terminal


def open_platform(folder: Path) -> Platform:
    """Everything that was typed in a folder, as one platform, with the problems found on the way.

    What was read before and has not changed since comes from the cache.
    """
    from circuitmap.notation.folder import read_folder
    from circuitmap.platform_cache import remember, remembered

    sources, problems = read_folder(folder)
    if problems:
        return platform_from(sources, problems)
    platform = remembered(folder, sources)
    if platform is None:
        platform = platform_from(sources)
        remember(folder, platform)
    return platform


def platform_at(folder: Path, revision: str) -> Platform:
    """The platform as it was at a git revision."""
    from circuitmap.changes.revisions import sources_at

    return platform_from(sources_at(folder, revision))


def platform_from(sources: tuple[SourceFile, ...], problems: tuple[Problem, ...] = ()) -> Platform:
    """The platform in these files; `problems` are those of the files themselves."""
    from circuitmap.notation.bounds import RoomLeft
    from circuitmap.notation.reading import read_text
    from circuitmap.wiring.declare import platform_of

    bounds = RoomLeft()
    unread: list[Problem] = list(problems)
    notations = []
    for source in sources:
        notation, its_problems = read_text(source, bounds)
        notations.append(notation)
        unread += its_problems
    return platform_of(notations, sources, unread)


def check(folder: Path) -> Platform:
    """The platform with all problems, including those that only show once it is a circuit."""
    from circuitmap.power.checks import problems_of

    platform = open_platform(folder)
    circuit = Bench(platform, {}).circuit
    return replace(platform, problems=in_order([*platform.problems, *problems_of(circuit)]))


@dataclass(frozen=True)
class Bench:
    """A platform opened for questions about one car: `fitting` is the optional equipment that it has or does not
    have."""

    platform: Platform
    fitting: Fitting

    @cached_property
    def circuit(self) -> "Circuit":
        from circuitmap.circuit.links import circuit_of

        return circuit_of(self.platform)

    @cached_property
    def feeding(self) -> "Feeding":
        from circuitmap.circuit.feeding import feeding_of

        return feeding_of(self.circuit, self.fitting)


def bench_with(circuit: "Circuit", fitting: Fitting) -> Bench:
    """The bench of a platform whose circuit exists already."""
    bench = Bench(circuit.platform, fitting)
    vars(bench)["circuit"] = circuit  # where the cached property keeps it
    return bench


def open_bench(folder: Path, fitted: tuple[str, ...] = (), absent: tuple[str, ...] = ()) -> Bench:
    """Read a platform for a car with the equipment `fitted` and without `absent`."""
    platform = open_platform(folder)
    return Bench(platform, fitting_of(platform, fitted, absent))


class Traced(NamedTuple):
    """One part's circuit, and when its terminals and those of what hangs on it are live."""

    trace: "Trace"
    fed: "Mapping[Terminal, Feed]"


class TracedNetwork(NamedTuple):
    """One network, and when the supply pins of its members are live."""

    trace: "NetworkTrace"
    fed: "Mapping[Terminal, Feed]"


def network_of(platform: Platform, written: str) -> str:
    """The network whose name, or whose star's name, is `written`; empty where a part or nothing at all has that name.

    Raises WrongUse where only a network has nearly that name.
    """
    from circuitmap.wiring.names import find_name, find_part

    try:
        find_part(platform, written)
    except WrongUse as no_part:
        try:
            name = find_name([*platform.networks, *platform.stars], written, "network")
        except WrongUse as no_network:
            if "." in written:  # perhaps a pin of a part: `trace` says so, or says what is wrong with it
                return ""
            if no_part.advice or not no_network.advice or "." in written:
                return ""
            raise WrongUse(f"There is no part and no network {written}.", no_network.advice) from None
        return name if name in platform.networks else platform.stars[name].network
    return ""


def trace_network(bench: Bench, network: str) -> "TracedNetwork":
    """The network of this full name: its members, how each is fed, its gateways and stars."""
    from circuitmap.circuit.network_trace import network_trace
    from circuitmap.power.feeds import feeds_of

    traced = network_trace(bench.feeding, network)
    ends = [terminal for member in traced.members for terminal, _ in member.feeds]
    ends += [pin.terminal for its in traced.wakers for pin in its.pins if pin.supply]
    return TracedNetwork(traced, feeds_of(bench.circuit, bench.fitting, ends))


def trace(bench: Bench, written: str) -> "Traced":
    """The part whose name `written` is a tail of, in its circuit, with when each of its terminals is live; or, for
    `X2.30`, one terminal of it."""
    from circuitmap.circuit.trace import trace_in
    from circuitmap.power.feeds import feeds_of
    from circuitmap.power.other_ways import with_other_ways
    from circuitmap.wiring.names import find_part, find_terminal

    feeding = bench.feeding
    try:
        traced = trace_in(feeding, find_part(bench.platform, written))
    except WrongUse as no_part:
        try:
            terminal = find_terminal(bench.platform, written)
        except WrongUse as no_terminal:
            raise (no_terminal if _has_pins(bench.platform, written) else no_part) from None
        from circuitmap.circuit.trace_at import trace_at

        traced = trace_at(feeding, terminal)
    its_pins = [pin for pin in traced.pins if pin.supply]
    if traced.kind in LOAD_KINDS and len(its_pins) > 1:  # what feeds its outputs does not tell when it is fed
        its_pins = [pin for pin in its_pins if pin.role in ("supply", "wake", "control")]
    ends = [pin.terminal for pin in its_pins]
    ends += [there.taking.terminal for there in traced.downstream if there.taking.kind == "load"]
    ends += [pin.terminal for its in traced.worked for pin in its.pins if pin.supply]
    return Traced(traced, with_other_ways(feeding, feeds_of(bench.circuit, bench.fitting, ends)))


def _has_pins(platform: Platform, written: str) -> bool:
    """Whether the text before a point names a part that has pins, not a box in which parts sit."""
    from circuitmap.wiring.names import find_part, owners_in

    for owner, _ in owners_in(written):
        if owner == written:
            continue
        try:
            return platform.parts[find_part(platform, owner)].kind != "box"
        except WrongUse:
            continue
    return False


def in_common(bench: Bench, drawing: Iterable[str], quiet: Iterable[str] = ()) -> "InCommon":
    """What the fuses named by the tails in `drawing` share; raises WrongUse for a name that is not a fuse, or is given
    as both."""
    from circuitmap.circuit.common import in_common_in

    drawn = find_fuses(bench.platform, drawing)
    silent = find_fuses(bench.platform, quiet)
    both = set(drawn) & set(silent)
    if both:
        raise WrongUse(f"{min(both)} cannot draw and be quiet at once.")
    return in_common_in(bench.feeding, drawn, silent)


def find_fuses(platform: Platform, written: Iterable[str]) -> tuple[str, ...]:
    """Full names of fuses from tails of them; a tail that fits only one fuse will do."""
    from circuitmap.wiring.names import find_name, find_part

    fuses = [fuse.name for fuse in platform.fuses]
    found = []
    for text in written:
        try:
            found.append(find_name(fuses, text, "fuse"))
        except WrongUse:
            part = find_part(platform, text)  # that message says it better if it is some other part, or nothing at all
            raise WrongUse(f"{part} is not a fuse.") from None
    return tuple(dict.fromkeys(found))


def hanging_on(bench: Bench) -> dict[str, dict[str, str]]:
    """Fuse -> what hangs on it directly: loads, relays, and the fuses right below it. Each is followed by its pin, if
    that is not its supply."""
    from circuitmap.reports.words.part_words import signal_words

    hanging: dict[str, dict[str, str]] = {}
    for taking in bench.feeding.takings:
        for path in taking.paths.main:
            fuses = path.fuses
            for above, below in pairwise(fuses):
                hanging.setdefault(above, {})[below] = ""
            if fuses and fuses[-1] != taking.part:
                its = hanging.setdefault(fuses[-1], {})
                by = signal_words(taking.kind)
                its[taking.part] = by if its.get(taking.part, by) else ""
    return hanging


def classes_of_loads(bench: Bench) -> "Mapping[str, LoadClass]":
    from circuitmap.power.classes import classes_of
    from circuitmap.power.other_ways import told_of_other_ways

    return told_of_other_ways(bench.feeding, classes_of(bench.circuit, bench.fitting))


def fed_words(bench: Bench) -> dict[str, str]:
    """Load -> how it is fed, in words: constant, switched, by message only."""
    from circuitmap.reports.live.class_words import class_words

    return {load: class_words(its) for load, its in classes_of_loads(bench).items()}


def worksheet_values(bench: Bench) -> "Worksheet":
    """Every fuse, box by box, with what hangs on it."""
    from circuitmap.power.feeds import feeds_of
    from circuitmap.reports.pages.worksheet import worksheet_of

    circuit, fitting = bench.circuit, bench.fitting
    pins = [pin for pins in circuit.loads.values() for pin in pins.supplies]
    return worksheet_of(bench.feeding, feeds_of(circuit, fitting, pins), classes_of_loads(bench))


def worksheet(bench: Bench, form: str) -> bytes:
    """The list of fuses to carry to the car, as the content of a `pdf`, `html` or `txt` file."""
    sheet = worksheet_values(bench)
    if form == "pdf":
        from circuitmap.reports.pages.worksheet_pdf import worksheet_pdf

        return worksheet_pdf(sheet)
    if form == "html":
        from circuitmap.reports.pages.worksheet_html import worksheet_html

        return worksheet_html(sheet).encode()
    from circuitmap.reports.pages.worksheet_text import worksheet_text

    return worksheet_text(sheet).encode()
