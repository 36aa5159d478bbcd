"""A job card: what was taken in, and then every entry in the order in which it was made.

Nothing here knows the platform: names and amounts are still as written, each with its place in the card.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass

from circuitmap.evidence.card_text import Listing, Mapping, Node, Text, read_yaml
from circuitmap.problems import Problem, Severity, in_order
from circuitmap.source import SourceFile, Span

INTAKE = (
    "job", "vehicle", "odometer", "complaint", "since", "flat-after", "battery", "battery-volts", "done-before",
    "happens-when", "customer", "phone", "platform", "battery-type", "battery-age", "temperature",
)  # fmt: skip
"""Keys of plain texts in the intake; the arithmetic and the report make of these what they can."""

MOST_KEYS_MEANT = 50
"""For how many unknown keys the program looks for what was meant; nobody reads more."""

DURING = ("floor", "event")
"""Whether what comes and goes was down, or up, at an entry's readings."""

STATES = ("locked", "opened", "key on", "key off", "door opened", "door shut", "charger on", "charger off")


@dataclass(frozen=True, slots=True)
class Pair:
    """`F22: 1.6mV`: a name and what was written beside it."""

    name: Text
    value: Text


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One entry. Every part of it may be missing; `struck` gives the reason why it no longer counts.

    `at` is a clock time or a date and time. `state` says what was done to the vehicle, `zeroed` that the meter was
    zeroed, `steady` that the current was watched and no longer moved, `looked` that somebody looked all round and found
    nothing, `found` what somebody saw, felt or smelt and where, `out` and `back` what was unplugged, pulled or opened,
    and what was put back, `turned` a switch that was set otherwise for good, `change` what became of the draw then,
    without a figure. `during`: what comes and goes was up, or down to the floor, at its readings and checks; `logged`
    is what a recorder's file showed. `by` is who wrote it, `id` what the device that sent it calls it, so that it is
    not taken twice. `dead` and `works` are loads that do not work, and that do; `probed` what a probe showed with them
    switched on. `fitted`, `absent`, `stands` (a switch and its position), `added` (what is on no sheet, and what feeds
    it), `in_slot` (a fuse's slot, and what is in it) and `own_battery` (what has one) speak of the car, whenever they
    were found out.
    """

    span: Span
    at: Text | None = None
    by: Text | None = None
    id: Text | None = None
    state: Text | None = None
    meter: Text | None = None
    resolution: Text | None = None
    zeroed: bool = False
    steady: bool = False
    looked: bool = False
    total: Text | None = None
    read: tuple[Pair, ...] = ()
    during: Text | None = None
    log: tuple[Pair, ...] = ()
    logged: tuple[Pair, ...] = ()
    network: tuple[Pair, ...] = ()
    silent: tuple[Text, ...] = ()
    unsteady: tuple[Text, ...] = ()
    answers: tuple[Text, ...] = ()
    codes: tuple[Text, ...] = ()
    relays: tuple[Pair, ...] = ()
    inputs: tuple[Pair, ...] = ()
    volts: tuple[Pair, ...] = ()
    dead: tuple[Text, ...] = ()
    works: tuple[Text, ...] = ()
    probed: tuple[Pair, ...] = ()
    found: tuple[Pair, ...] = ()
    battery: tuple[Pair, ...] = ()
    fitted: tuple[Text, ...] = ()
    absent: tuple[Text, ...] = ()
    stands: tuple[Pair, ...] = ()
    turned: tuple[Pair, ...] = ()
    added: tuple[Pair, ...] = ()
    own_battery: tuple[Text, ...] = ()
    in_slot: tuple[Pair, ...] = ()
    change: Text | None = None
    out: tuple[Text, ...] = ()
    back: tuple[Text, ...] = ()
    remark: Text | None = None
    photo: Text | None = None
    claim: Text | None = None
    cause: Text | None = None
    mended: Text | None = None
    to_mend: Text | None = None
    until_then: Text | None = None
    tested: tuple[Pair, ...] = ()
    struck: Text | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class JobCard:
    """`intake` by key; `fitted` and `absent` are equipment options or parts; `added` is what no sheet shows."""

    intake: dict[str, Text]
    fitted: tuple[Text, ...] = ()
    absent: tuple[Text, ...] = ()
    added: tuple[Pair, ...] = ()
    entries: tuple[Entry, ...] = ()
    source: SourceFile


ReadCard = tuple[JobCard, tuple[Problem, ...]]
"""A card as it was read, with what is wrong with it."""


def read_card(source: SourceFile) -> ReadCard:
    """The card, with every problem in it; what cannot be read is left out."""
    root, found = read_yaml(source)
    problems = list(found)
    reader = _Reader(problems)
    if root is None:
        return JobCard(intake={}, source=source), tuple(problems)
    if not isinstance(root, Mapping):
        reader.note("card-syntax", "A card begins with keys such as job: and entries:.", root.span)
        return JobCard(intake={}, source=source), in_order(problems)
    lists = ("fitted", "absent")
    known = (*INTAKE, *lists, "added", "entries")
    values = reader.fields(root, known, "a card")
    card = JobCard(
        intake={key: text for key in INTAKE if (text := reader.text(values.get(key))) is not None},
        fitted=reader.texts(values.get("fitted")),
        absent=reader.texts(values.get("absent")),
        added=reader.pairs(values.get("added")),
        entries=tuple(reader.entry(node) for node in reader.listing(values.get("entries"))),
        source=source,
    )
    return card, in_order(problems)


_COMMA = re.compile(r"\s*,\s*")
_NO_COLON = re.compile(r"\s*[,}]")


def _cut_at_commas(node: Mapping) -> dict[int, tuple[str, str]]:
    """The entries of a mapping in braces that are no keys but the rest of a text which has commas and no quotes, by
    number: each with the key of that text, and, the first of them, with the whole text."""
    pieces: dict[int, list[int]] = {}
    owner = 0
    for n in range(1, len(node.entries)):
        (before, value), (key, rest) = node.entries[n - 1 : n + 1]
        text = key.span.source.text
        goes_on = n - 1 in pieces.get(owner, ())
        bare = isinstance(value, Text) and bool(value.value) and text[value.span.start] not in "'\""
        ends = (before if goes_on else value).span.end
        is_rest = isinstance(rest, Text) and not rest.value and _NO_COLON.match(text, key.span.end) is not None
        if (goes_on or bare) and is_rest and _COMMA.fullmatch(text, ends, key.span.start):
            owner = owner if goes_on else n - 1
            pieces.setdefault(owner, []).append(n)
    found: dict[int, tuple[str, str]] = {}
    for owner, more in pieces.items():
        name, value = node.entries[owner]
        whole = name.span.source.text[value.span.start : node.entries[more[-1]][0].span.end]
        found |= {n: (name.value, " ".join(whole.split()) if n == more[0] else "") for n in more}
    return found


def _in_quotes(text: str) -> str:
    doubled = text.replace("'", "''")
    return f"'{doubled}'" if '"' in text or "\\" in text else f'"{text}"'


class _Reader:
    """Nodes to values; what does not fit becomes a problem and is left out."""

    def __init__(self, problems: list[Problem]) -> None:
        self.problems = problems
        self.unknown_keys = 0

    def note(self, code: str, headline: str, span: Span, expected: str = "") -> None:
        self.problems.append(Problem(code, Severity.ERROR, headline, span, expected=expected))

    def fields(self, node: Mapping, known: tuple[str, ...], of: str) -> dict[str, Node]:
        values = {}
        cut = _cut_at_commas(node)
        for n, (key, value) in enumerate(node.entries):
            if n in cut:
                begins, whole = cut[n]
                if whole:
                    self.problems.append(
                        Problem("card-unknown-key", Severity.ERROR,
                                f"{begins}: its text has a comma and no quotes, so it ends at the comma; the rest is "
                                "not read.", key.span, advice=f"Put it in quotes: {begins}: {_in_quotes(whole)}")
                    )  # fmt: skip
            elif key.value in known:
                values[key.value] = value
            else:
                near = _near(key.value, known) if self.unknown_keys < MOST_KEYS_MEANT else ""
                self.unknown_keys += 1
                self.problems.append(
                    Problem("card-unknown-key", Severity.ERROR, f"{key.value} is not a key of {of}.", key.span,
                            expected=", ".join(known), suggestion=near)
                )  # fmt: skip
        return values

    def text(self, node: Node | None) -> Text | None:
        if node is None or (isinstance(node, Text) and not node.value.strip()):
            return None
        if isinstance(node, Text):
            return node
        self.note("card-value", "A single text belongs here.", node.span)
        return None

    def listing(self, node: Node | None) -> tuple[Node, ...]:
        if node is None or (isinstance(node, Text) and not node.value):
            return ()
        if isinstance(node, Listing):
            return node.items
        self.note("card-value", "A list belongs here, each item after a dash.", node.span)
        return ()

    def texts(self, node: Node | None) -> tuple[Text, ...]:
        """A list, or one text separated by commas."""
        if node is None:
            return ()
        if isinstance(node, Text):
            return tuple(_cut(node))
        found = (self.text(item) for item in self.listing(node))
        return tuple(text for text in found if text is not None)

    def pairs(self, node: Node | None) -> tuple[Pair, ...]:
        """A mapping of names to single texts."""
        if node is None or (isinstance(node, Text) and not node.value):
            return ()
        if not isinstance(node, Mapping):
            self.note("card-value", "Names with a value each belong here, such as F22: 1.6mV.", node.span)
            return ()
        found = []
        for name, value in node.entries:
            if isinstance(value, Text) and not value.value.strip():
                self.note("card-value", f"{name.value} has no value.", name.span)
            elif (text := self.text(value)) is not None:
                found.append(Pair(name, text))
        return tuple(found)

    def tests(self, node: Node | None) -> tuple[Pair, ...]:
        """A mapping, or one test as it is spoken: `S12, 1 to 2 open with the door shut`."""
        if not isinstance(node, Text) or not node.value.strip():
            return self.pairs(node)
        part, result = node.value.split(None, 1) if len(node.value.split()) > 1 else (node.value, "")
        if not result.strip(" ,"):
            self.note("card-value", f"{part} was tested: was it fine or bad?", node.span, f"tested: {{{part}: bad}}")
            return ()
        return (Pair(Text(part.strip(" ,:"), node.span), Text(result.strip(" ,:"), node.span)),)

    def yes(self, key: str, node: Node | None) -> bool:
        text = self.text(node)
        if text is not None and text.value not in ("yes", "no"):
            self.note("card-value", f"{key} is yes or no, not {text.value}.", text.span)
        return text is not None and text.value == "yes"

    def entry(self, node: Node) -> Entry:
        if not isinstance(node, Mapping):
            self.note("card-value", "An entry has keys, such as at: 10:50 and read: {F22: 1.6mV}.", node.span)
            return Entry(span=node.span)
        values = self.fields(node, _ENTRY_KEYS, "an entry")
        read: dict[str, object] = {}
        for key, reads in _ENTRY_FIELDS.items():
            read[key.replace("-", "_")] = reads(self, values.get(key))
        scan = values.get("scan")
        if isinstance(scan, Mapping):
            replies = self.fields(scan, ("silent", "unsteady", "answers"), "a scan")
            read |= {key: self.texts(replies.get(key)) for key in ("silent", "unsteady", "answers")}
        elif scan is not None:
            self.note("card-value", "A scan lists who is silent, unsteady, or answers.", scan.span)
        read |= {key: self.yes(key, values.get(key)) for key in ("zeroed", "steady", "looked")}
        state = read["state"]
        if isinstance(state, Text) and state.value not in STATES:
            self.note("card-value", f"{state.value} is not a state of the vehicle.", state.span, ", ".join(STATES))
            read["state"] = None
        during = read["during"]
        if isinstance(during, Text) and during.value not in DURING:
            self.note("card-value", f"{during.value}: was it floor or event while this was read?", during.span)
            read["during"] = None
        return Entry(span=node.span, **read)  # type: ignore[arg-type]


_ENTRY_FIELDS: dict[str, Callable[[_Reader, Node | None], object]] = {
    "at": _Reader.text, "by": _Reader.text, "id": _Reader.text,
    "state": _Reader.text, "meter": _Reader.text, "resolution": _Reader.text,
    "total": _Reader.text, "read": _Reader.pairs, "during": _Reader.text, "log": _Reader.pairs,
    "logged": _Reader.pairs, "network": _Reader.pairs,
    "codes": _Reader.texts, "relays": _Reader.pairs, "inputs": _Reader.pairs, "volts": _Reader.pairs,
    "dead": _Reader.texts, "works": _Reader.texts, "probed": _Reader.pairs,
    "fitted": _Reader.texts, "absent": _Reader.texts, "stands": _Reader.pairs, "turned": _Reader.pairs,
    "found": _Reader.pairs, "battery": _Reader.pairs, "added": _Reader.pairs, "own-battery": _Reader.texts,
    "in-slot": _Reader.pairs,
    "out": _Reader.texts, "back": _Reader.texts, "change": _Reader.text, "remark": _Reader.text,
    "photo": _Reader.text, "claim": _Reader.text, "cause": _Reader.text, "mended": _Reader.text,
    "to-mend": _Reader.text, "until-then": _Reader.text, "tested": _Reader.tests, "struck": _Reader.text,
}  # fmt: skip
_ENTRY_KEYS = (*_ENTRY_FIELDS, "scan", "zeroed", "steady", "looked")


def _cut(node: Text) -> list[Text]:
    """The parts of a text between commas, each with its own place if the text stands as written."""
    parts, at = [], 0
    as_written = node.span.text == node.value
    for piece in node.value.split(","):
        trimmed = piece.strip()
        start = node.span.start + at + len(piece) - len(piece.lstrip())
        span = Span(node.span.source, start, start + len(trimmed)) if as_written else node.span
        if trimmed:
            parts.append(Text(trimmed, span))
        at += len(piece) + 1
    return parts


def _near(word: str, known: tuple[str, ...]) -> str:
    from difflib import get_close_matches

    return next(iter(get_close_matches(word, known, 1, 0.7)), "")
