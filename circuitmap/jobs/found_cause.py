"""What was found and mended, by the card, and how far all that was read and tried bears it out.

What was out when the draw went is how the cause was found, not what it was: a fuse was pulled, and what hangs on it was
mended. So the cause that somebody wrote down is the subject, and what was out is held against it: it is the same part,
or one that the sheets join to it, or neither.

A part is proven where the draw went with it, came back with it, and stayed away once it was mended, everything else
being as before: then neither what drives it nor what it feeds was at fault, because both are still there.
"""

import re
from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Literal, NamedTuple

from circuitmap.circuit.links import Circuit
from circuitmap.circuit.one_metal import is_one_metal
from circuitmap.diagnosis.faults.kind_said import without_kinds
from circuitmap.diagnosis.seen.experience import part_in
from circuitmap.evidence.checks_at_parts import PinVolts
from circuitmap.evidence.evidence import Evidence
from circuitmap.jobs.after_mending import AfterMending, is_asleep_and_steady
from circuitmap.jobs.named_in_words import WORD, called_first, names_in
from circuitmap.jobs.part_tests import PartTest
from circuitmap.jobs.trying import TryVerdict
from circuitmap.wiring.parts import SECOND, Battery, Fuse, Ground, Load, Relay, Switch, Terminal
from circuitmap.wiring.platform import Platform

SEEN_ON_A_WIRE = ("chafed", "wet")
"""What is seen on a wire or in a plug that is at fault itself, and on one that is not hardly ever (judgement)."""

Grade = Literal["proven", "borne-out", "seen", "told"]
"""`proven`: the draw went with the part, came back with it, and went again with it or stayed away once it was mended;
of a wire, that it was seen there, that the draw went and came with something it leads to, and stayed away since.
`borne-out`: it is quiet since, where it drew, and something on the card had pointed there. `seen`: something points
there, but nobody read since that it is quiet. `told`: only the entry says so."""


class Pointer(NamedTuple):
    """A check that speaks for a cause: where, and what it showed (`bad`, `stuck`, `held`, `wrong`, `chafed` ..)."""

    place: str
    shown: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FoundCause:
    """`parts` are what is named as the cause, `words` what was written of it, without the kind of fault; where no cause
    was written, what was mended; `names` is all that these name. `own` are tries of these parts by themselves, `led`
    tries of what the sheets join to them. `pointers` are checks that found it,
    `measured` are volts at pins of what is named: by themselves they speak neither for it nor against it.
    `and_a_wire`: besides the parts a wire or plug is a cause of its own, which only the words tell."""

    parts: tuple[str, ...]
    words: str
    grade: Grade
    names: tuple[str, ...] = ()
    measured: tuple[PinVolts, ...] = ()
    own: tuple[TryVerdict, ...] = ()
    led: tuple[TryVerdict, ...] = ()
    pointers: tuple[Pointer, ...] = ()
    and_a_wire: bool = False


def found_cause(
    circuit: Circuit,
    said: tuple[str, str],
    evidence: Evidence,
    tries: Sequence[TryVerdict],
    tests: Iterable[PartTest],
    after: AfterMending,
    share_is_gone: bool = False,
) -> FoundCause | None:
    """The cause by the card, where it was mended; `said` is the cause and what was mended, as written last. None where
    neither was written. `share_is_gone`: the draw is less since by what had gone with it, whatever else draws."""
    cause, mended = said
    words = cause or mended
    if not words.strip():
        return None
    platform = circuit.platform
    added = [part.name for part in evidence.added]
    names = names_in(platform, words, added) or names_in(platform, mended, added)
    done = names_in(platform, mended, added) if cause else ()
    parts = tuple(name for name in _subjects(circuit, words, names, added, done) if _is_a_part(platform, name, added))
    if not parts and not cause:
        named = [*(name for name in added if name in words), part_in(platform, words)]
        parts = tuple(name for name in named[:1] if _is_a_part(platform, name, added))
    went = [one for one in tries if one.verdict in ("proven", "involved", "part", "gone-by-itself")]
    own = tuple(one for one in went if one.out and set(one.out) <= set(parts))
    others = [one for one in went if one not in own]
    stayed = [one for one in others if one.verdict != "gone-by-itself"]  # what had gone by itself leads nowhere
    led = tuple(one for one in stayed if any(joined_to(circuit, name, names) for name in one.out))
    pointers = tuple(dict.fromkeys(_pointers(names, evidence, tests)))
    and_a_wire = bool(parts) and _and_a_wire(platform, words, added)
    grade = _grade(platform, parts, own, led, pointers, after, share_is_gone)
    if and_a_wire and grade == "proven":  # of the wire that is not shown
        grade = "borne-out" if is_quiet_since(platform, after) else "seen"
    return FoundCause(
        parts=parts, words=without_kinds(words), grade=grade, and_a_wire=and_a_wire,
        names=tuple(names), own=own, led=led, pointers=pointers,
        measured=tuple(one for one in evidence.volts if one.pin.part in names or str(one.pin) in names),
    )  # fmt: skip


def _grade(
    platform: Platform,
    parts: Sequence[str],
    own: Sequence[TryVerdict],
    led: Sequence[TryVerdict],
    pointers: Sequence[Pointer],
    after: AfterMending,
    share_is_gone: bool,
) -> Grade:
    if parts and all(any(part in one.out and one.verdict == "proven" for one in own) for part in parts):
        return "proven"
    quiet = is_quiet_since(platform, after)
    there_and_gone = all(any(one.out == (part,) and _came_back(one) for one in own) for part in parts)
    seen_there = not parts and any(its.shown in SEEN_ON_A_WIRE for its in pointers)
    if (quiet or share_is_gone) and (there_and_gone if parts else seen_there and any(map(_came_back, led))):
        return "proven"
    if not (own or led or pointers):
        return "told"
    return "borne-out" if quiet else "seen"


def _came_back(one: TryVerdict) -> bool:
    """Whether the draw was there again with the part in; that it was not has a verdict of its own."""
    again = one.back is not None and (one.back.amps is not None or one.back.change == "again")
    return again and one.verdict != "gone-by-itself" and not one.failed


def is_quiet_since(platform: Platform, after: AfterMending) -> bool:
    """Whether each battery of which a draw was read is within its limit since it was mended: in a night's log, or by a
    look at the sleeping vehicle that speaks for more than its moment."""
    if after.outcome == "not-repaired" or after.went_by_itself or not (after.open or after.shown):
        return False
    looked = [reading.place for reading in after.quiet if is_asleep_and_steady(platform, reading)]
    return all(any(place.removesuffix(".-") == battery for place in looked) for battery in after.open)


_CLAUSE, _AND = re.compile(r"\s*[;,]\s*(?:and\s+)?"), re.compile(r"\s+and\s+")
_SO = re.compile(r"^so\s+", re.IGNORECASE)
"""How a clause begins that tells what comes of what was named before."""
_BEFORE_A_NAME = (
    "the", "a", "an", "relay", "module", "switch", "lamp", "contact", "of", "sensor", "battery", "motor", "coil",
    "stuck", "sticking", "welded", "burnt", "faulty", "broken", "bad", "worn", "defective", "wet", "dirty", "new",
)  # fmt: skip
_FOLLOWS = {
    "burns", "burning", "lit", "lights", "glows", "runs", "running", "awake", "woken", "on", "kept", "heats", "draws",
    "takes", "fed", "live", "held",
}  # fmt: skip
"""What is said of a part that does as it is told."""


def _subjects(
    circuit: Circuit, words: str, names: Sequence[str], added: Collection[str], mended: Collection[str] = ()
) -> list[str]:
    """What a cause is about: `DOOR sticks, and ALT leaks` is of both, `DOORD, its wire to BCM` of the first alone, `the
    wire from X1 to SP8` of neither; `DOOR sticks, LAMP burns` of what makes it burn. `K1 sticks, so K2 holds itself`
    is of the first alone, unless the second is among what was `mended`, too."""
    platform = circuit.platform
    found: list[str] = []
    for n, clause in enumerate(_CLAUSE.split(words)):
        comes_of_it = _SO.match(clause) is not None and bool(found)
        for piece in _pieces(platform, _SO.sub("", clause), added):
            its = _begins_with(platform, piece, added)
            if n == 0 and not its and not found:
                return []
            follows = its not in mended if comes_of_it else _only_follows(circuit, piece, its, found)
            if its and not (found and follows):
                found.append(its)
    return [name for name in dict.fromkeys(found) if name in names]


_WIRE = re.compile(
    r"(?:(?:and|the|a|an|one|both|two|that|this)\s+)*"
    r"(?:wires?|wiring|cables?|leads?|loom|harness|plugs?|connectors?|splices?|crimps?)\b",
    re.IGNORECASE,
)
"""How a clause begins that is about a wire or a plug."""


def _and_a_wire(platform: Platform, words: str, added: Collection[str]) -> bool:
    """Whether a later clause is about a wire or plug of its own: it begins with it, and says where it is. `Its wire` is
    still what was named before, and says where that is at fault."""
    pieces = [piece.strip() for clause in _CLAUSE.split(words) for piece in _AND.split(_SO.sub("", clause))]
    return any(_WIRE.match(piece) and names_in(platform, piece, added) for piece in pieces[1:])


def _pieces(platform: Platform, clause: str, added: Collection[str]) -> list[str]:
    """What a clause says of one thing after the other. A bare name behind `and` is one of the names before it."""
    first, *others = _AND.split(clause)
    starts = _begins_with(platform, first, added)
    of_it = bool(starts) and len({n for n in names_in(platform, first, added) if n in platform.parts}) < 2
    return [first, *(piece for piece in others if of_it or len(piece.split()) > 1)]


def _only_follows(circuit: Circuit, piece: str, name: str, before: Sequence[str]) -> bool:
    """Whether what is said of a load is that it is on, or awake, and what was named before switches it, or is joined to
    it."""
    parts = circuit.platform.parts
    if not isinstance(parts.get(name), Load) or not _FOLLOWS & set(piece.casefold().split()):
        return False
    return any(isinstance(parts.get(one), Switch | Relay) or joined_to(circuit, one, [name]) for one in before)


def _begins_with(platform: Platform, clause: str, added: Collection[str]) -> str:
    text = clause.strip()
    for name in added:
        if text.startswith(name):
            return name
    for word in WORD.finditer(text):
        if word[0].casefold() in _BEFORE_A_NAME:
            called = called_first(platform, text[word.start() :])
            if called:
                return called
            continue
        return part_in(platform, word[0]) or called_first(platform, text[word.start() :])
    return ""


def _is_a_part(platform: Platform, name: str, added: Collection[str]) -> bool:
    """Whether something can be at fault by itself; a plug or splice is where a wire is."""
    return name in added or isinstance(platform.parts.get(name), Load | Relay | Switch | Fuse | Battery)


def _pointers(names: Collection[str], evidence: Evidence, tests: Iterable[PartTest]) -> Iterator[Pointer]:
    latest = {(test.part, test.what): test for test in tests if test.part in names}
    bad = [part for (part, what), test in latest.items() if what == "itself" and not test.passed]
    yield from (Pointer(part, "bad") for part in bad)
    yield from (
        Pointer(f"{part} {what}", "not passed")
        for (part, what), test in latest.items() if what != "itself" and not test.passed
    )  # fmt: skip
    yield from (
        Pointer(one.battery, "failed") for one in evidence.batteries if one.battery in names and one.passed is False
    )
    for found in evidence.found:
        if found.sign != "sound" and any(found.place == name or found.place.startswith(f"{name}.") for name in names):
            yield Pointer(found.place, found.sign)
    for relay in evidence.relays:
        if relay.relay in names and relay.state != "open":
            yield Pointer(relay.relay, relay.state)
    for seen in evidence.inputs:
        if seen.part in names and not seen.right and seen.part not in bad:
            yield Pointer(seen.part, "wrong")


_CROSSED = ("contact", "resistor", "diode")


def joined_to(circuit: Circuit, out: str, names: Collection[str]) -> bool:
    """Whether the sheets join something that was out to something that is named: it is the same, a plug of it, or wire
    and contacts alone lead from the one to the other. A fuse leads on from its outgoing side only; nothing leads
    through another fuse, a load or a ground point."""
    if out in names or out.rpartition(".")[0] in names:
        return True
    parts = circuit.platform.parts
    ends = {end for i in circuit.opened_by(out) for end in circuit.ends[i]}
    ends |= {circuit.number[terminal] for terminal in circuit.terminals_of.get(out, ())}
    if isinstance(parts.get(out), Fuse):
        after = circuit.number.get(Terminal(out, SECOND))
        ends = {after} if after is not None else set()
    todo, seen = [*ends], set(ends)
    while todo:
        node = todo.pop()
        part = circuit.nodes[node].part
        if part in names:
            return True
        if isinstance(parts.get(part), Ground | Battery):
            continue
        for i in circuit.at[node]:
            link = circuit.links[i]
            if is_one_metal(link) or link.kind in _CROSSED:
                new = [end for end in circuit.ends[i] if end not in seen]
                seen.update(new)
                todo += new
    return False
