"""The flow of a drawing: from names and readings at a command to the content of a file."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, NamedTuple

from circuitmap.failures import WrongUse
from circuitmap.flows.questions import Bench, find_fuses

if TYPE_CHECKING:
    from contextlib import AbstractContextManager

    from circuitmap.diagnosis.diagnosis import Diagnosis
    from circuitmap.drawings.placing.graphviz_layout import GraphvizProcess
    from circuitmap.drawings.scene.scene import Scene


@dataclass(frozen=True)
class DrawingAsked:
    """What is to be drawn, names as they were typed: tails will do. `readings` as for `suspects`: `F22=0.46A`."""

    parts: tuple[str, ...] = ()
    drawing: tuple[str, ...] = ()
    quiet: tuple[str, ...] = ()
    unread: tuple[str, ...] = ()
    suspect: tuple[str, ...] = ()
    readings: tuple[str, ...] = ()
    sheet: str = ""
    everything: bool = False


class Marks(NamedTuple):
    """Parts by full name and how each is marked."""

    drawing: tuple[str, ...] = ()
    quiet: tuple[str, ...] = ()
    unread: tuple[str, ...] = ()
    suspect: tuple[str, ...] = ()


@dataclass(frozen=True)
class Drawn:
    """A drawing as the `content` of a file, with what is in it; `notes` say what is not known or was left out."""

    content: bytes
    title: str
    parts: tuple[str, ...]
    sheets: tuple[str, ...]
    marks: Marks
    notes: tuple[str, ...]


def drawing_process(form: str) -> "AbstractContextManager[GraphvizProcess | None]":
    """Graphviz, loading in its own process while the platform is read; None for a form that does not need it."""
    from contextlib import nullcontext

    if form == "dot":
        return nullcontext()
    from circuitmap.drawings.placing.graphviz_layout import GraphvizProcess

    return GraphvizProcess()


def diagram(bench: Bench, asked: DrawingAsked, form: str, process: "GraphvizProcess | None" = None) -> Drawn:
    """The subset of the wiring that was asked for, drawn as `svg`, `png`, `pdf` or `dot`."""
    from circuitmap.drawings.draw import draw, scene_of
    from circuitmap.drawings.scene.wanted import Wanted
    from circuitmap.wiring.names import find_name, find_part

    platform = bench.platform
    marks = _marks(bench, asked)
    whole = asked.everything and not any((asked.parts, asked.sheet, *marks))
    wanted = Wanted(
        named=tuple(dict.fromkeys(find_part(platform, written) for written in asked.parts)),
        drawing=marks.drawing,
        quiet=marks.quiet,
        unread=marks.unread,
        suspect=marks.suspect,
        sheet=find_name(platform.sheets, asked.sheet, "sheet") if asked.sheet else "",
        everything=asked.everything,
        also=_all_parts(bench) if whole else (),
        title="The whole vehicle, as far as it was typed in" if whole else "",
    )
    scene = with_notes(scene_of(bench.feeding, wanted))
    return Drawn(
        draw(lambda: scene, form, graphviz=process),
        scene.title,
        tuple(dict.fromkeys(part.name for part in scene.parts if part.name in platform.parts)),
        tuple(sheet.name for sheet in scene.sheets),
        marks,
        scene.notes,
    )


def with_notes(scene: "Scene") -> "Scene":
    """A scene with the gaps in its knowledge put in words: `drawings` has no words of its own."""
    from circuitmap.reports.words.unknown_words import drawing_sentences

    return replace(scene, notes=drawing_sentences(scene.unknown))


def _all_parts(bench: Bench) -> tuple[str, ...]:
    """What a drawing of the whole vehicle is about: everything that takes, switches, protects or gives current."""
    from circuitmap.wiring.fitting import Answer, holds
    from circuitmap.wiring.parts import Battery, Fuse, Load, Relay, Switch

    return tuple(
        part.name
        for part in bench.platform.parts.values()
        if isinstance(part, Battery | Fuse | Load | Relay | Switch)
        and not (isinstance(part, Fuse) and part.empty)
        and holds(part.condition, bench.fitting) != Answer.NO
    )


def _marks(bench: Bench, asked: DrawingAsked) -> Marks:
    """Those that were named, and those that follow from the readings; what was named comes first."""
    from circuitmap.wiring.names import find_part

    platform = bench.platform
    named = Marks(
        find_fuses(platform, asked.drawing),
        find_fuses(platform, asked.quiet),
        find_fuses(platform, asked.unread),
        tuple(dict.fromkeys(find_part(platform, written) for written in asked.suspect)),
    )
    both = set(named.drawing) & set(named.quiet)
    if both:
        raise WrongUse(f"{min(both)} cannot draw and be quiet at once.")
    if not asked.readings:
        return named
    read = marks_from_readings(bench, asked.readings)
    return Marks(*(tuple(dict.fromkeys((*a, *b))) for a, b in zip(named, read, strict=True)))


def marks_from_readings(bench: Bench, readings: Iterable[str]) -> Marks:
    """What the readings say of each fuse, what they point to, and the fuses of those parts that were not read."""
    from circuitmap.flows.diagnosis import TypedEvidence, evidence_typed, suspects

    platform = bench.platform
    fuses = {fuse.name for fuse in platform.fuses}
    evidence = evidence_typed(platform, TypedEvidence(readings=tuple(readings)))
    read = {reading.place: reading for reading in evidence.readings if reading.place in fuses}
    pointed_to = _leading(suspects(bench, evidence), platform.parts)
    return Marks(
        drawing=tuple(name for name, reading in read.items() if reading.shows_current),
        quiet=tuple(name for name, reading in read.items() if not reading.shows_current),
        unread=tuple(name for name in _fuses_of(bench, pointed_to) if name not in read),
        suspect=pointed_to,
    )


def _leading(diagnosis: "Diagnosis", known: Iterable[str]) -> tuple[str, ...]:
    """The parts of the leading explanation: several, if they cannot be told apart yet."""
    if not diagnosis.rows:
        return ()
    parts = (fault.part for member in diagnosis.rows[0].faults for fault in member)
    return tuple(dict.fromkeys(part for part in parts if part in known))


def _fuses_of(bench: Bench, parts: Iterable[str]) -> tuple[str, ...]:
    """The fuses that these parts hang on directly."""
    takings = bench.feeding.of_part
    return tuple(dict.fromkeys(f for part in parts for taking in takings.get(part, ()) for f in taking.last_fuses))
