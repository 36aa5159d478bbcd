"""A job card's YAML as plain texts, lists and mappings, each with its place.

Every scalar stays a text (`yes`, `010` and `12:30` mean themselves). Tags, anchors, several documents and duplicate
keys are problems, so that a card can never name code, grow out of bounds or silently lose an entry.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import yaml

from circuitmap.evidence.yaml_events import LONGEST_READ_SLOWLY, TooLongForThis, events_of
from circuitmap.problems import Problem, Related, Severity
from circuitmap.source import SourceFile, Span

DEEPEST = 12
LONGEST = 1_000_000
MOST_VALUES = 20_000
"""Most texts, lists and mappings on a card, keys counted. A year of entries does not come near it (judgement)."""


@dataclass(frozen=True, slots=True)
class Text:
    value: str
    span: Span


@dataclass(frozen=True, slots=True)
class Listing:
    items: tuple["Node", ...]
    span: Span


@dataclass(frozen=True, slots=True)
class Mapping:
    entries: tuple[tuple[Text, "Node"], ...]
    span: Span

    def get(self, key: str) -> "Node | None":
        return next((value for name, value in self.entries if name.value == key), None)


Node = Text | Listing | Mapping


def read_yaml(source: SourceFile) -> tuple[Node | None, tuple[Problem, ...]]:
    """The card as nodes; None with the reason when it is not YAML at all."""
    if len(source.text) > LONGEST:
        return None, (_problem("card-too-long", f"The card is longer than {LONGEST:,} characters.", _whole(source)),)
    problems: list[Problem] = []
    try:
        builder = _Builder(source, problems)
        return builder.document(events_of(source.text, 2 * MOST_VALUES + _AROUND)), tuple(problems)
    except _GiveUp:
        return None, tuple(problems)
    except TooLongForThis:
        headline = (
            f"The card is longer than {LONGEST_READ_SLOWLY:,} characters, and something in it takes long to read: a "
            "tab, a question mark outside quotes, a tag, or what is no YAML."
        )
        return None, (_problem("card-too-long", headline, _whole(source)),)
    except yaml.YAMLError as error:
        problems.append(_not_yaml(source, error))
        return None, tuple(problems)


_AROUND = 8
"""Events around the values: the stream and the document begin and end."""


class _GiveUp(Exception):
    """The card cannot be read any further; the problem is noted."""


class _Builder:
    def __init__(self, source: SourceFile, problems: list[Problem]) -> None:
        self.source = source
        self.problems = problems
        self.values = 0

    def document(self, events: Iterator[yaml.Event]) -> Node | None:
        found: Node | None = None
        for event in events:
            if isinstance(event, yaml.DocumentStartEvent) and found is not None:
                self.give_up("card-syntax", "A card is one document: a second one begins here.", self.at(event))
            if isinstance(event, yaml.NodeEvent):
                found = self.node(event, events, 1)
        return found

    def node(self, event: yaml.NodeEvent, events: Iterator[yaml.Event], depth: int) -> Node:
        span = self.at(event)
        self.values += 1
        if self.values > MOST_VALUES:
            self.give_up("card-too-long", f"The card has more than {MOST_VALUES:,} values.", span,
                         "Begin another card: what stands from here on was not read.")  # fmt: skip
        if isinstance(event, yaml.AliasEvent) or event.anchor is not None:
            self.give_up("card-syntax", "Anchors and aliases (& and *) have no meaning in a card.", span,
                         "Put the text into quotes if it really begins with this sign.")  # fmt: skip
        if getattr(event, "tag", None) is not None:
            self.give_up("card-syntax", "Tags (!) have no meaning in a card: every value is a text.", span,
                         "Put the text into quotes if it really begins with this sign.")  # fmt: skip
        if depth > DEEPEST:
            self.give_up("card-syntax", f"More than {DEEPEST} levels inside each other.", span)
        if isinstance(event, yaml.ScalarEvent):
            return Text(event.value, span)
        if isinstance(event, yaml.SequenceStartEvent):
            items = []
            while not isinstance(following := next(events), yaml.SequenceEndEvent):
                assert isinstance(following, yaml.NodeEvent)
                items.append(self.node(following, events, depth + 1))
            return Listing(tuple(items), span.to(self.at(following)))
        entries: dict[str, tuple[Text, Node]] = {}
        while not isinstance(following := next(events), yaml.MappingEndEvent):
            assert isinstance(following, yaml.NodeEvent)
            key = self.node(following, events, depth + 1)
            value_event = next(events)
            assert isinstance(value_event, yaml.NodeEvent)
            value = self.node(value_event, events, depth + 1)
            if not isinstance(key, Text):
                self.problems.append(_problem("card-syntax", "A key is one word.", key.span))
            elif key.value in entries:
                self.problems.append(_twice(key, entries[key.value][0]))
            else:
                entries[key.value] = (key, value)
        return Mapping(tuple(entries.values()), span.to(self.at(following)))

    def at(self, event: yaml.Event) -> Span:
        assert event.start_mark is not None and event.end_mark is not None
        start, end = event.start_mark.index, event.end_mark.index
        return Span(self.source, min(start, len(self.source.text)), min(max(start, end), len(self.source.text)))

    def give_up(self, code: str, headline: str, span: Span, advice: str = "") -> None:
        self.problems.append(_problem(code, headline, span, advice))
        raise _GiveUp


def _problem(code: str, headline: str, span: Span, advice: str = "") -> Problem:
    return Problem(code, Severity.ERROR, headline, span, advice=advice)


def _twice(key: Text, first: Text) -> Problem:
    return Problem(
        "card-twice", Severity.ERROR, f"{key.value} stands here a second time.", key.span,
        advice="Which of the two holds? Keep one, or make it a new entry.",
        related=(Related(first.span, "first here"),),
    )  # fmt: skip


def _whole(source: SourceFile) -> Span:
    return Span(source, 0, min(1, len(source.text)))


def _not_yaml(source: SourceFile, error: yaml.YAMLError) -> Problem:
    if isinstance(error, yaml.MarkedYAMLError) and error.problem_mark is not None:
        at = min(error.problem_mark.index, len(source.text))
        what = f"The card cannot be read here: {error.problem or 'something else was expected'}."
        return _problem("card-syntax", what, Span(source, at, min(at + 1, len(source.text))))
    at = min(int(getattr(error, "position", 0)), len(source.text))
    return _problem("card-syntax", "There is a character that has no place in a text.", Span(source, at, at))
