"""Where a text names something: each part, network, star, option and sheet, with its place, and whether it is declared
there."""

from collections.abc import Iterable, Iterator
from typing import Literal, NamedTuple, assert_never

from circuitmap.notation import statements as said
from circuitmap.notation.statements import Notation, Statement, Word
from circuitmap.source import Span
from circuitmap.wiring.platform import Platform
from circuitmap.wiring.splitting import split_name

NamedKind = Literal["part", "network", "option", "sheet"]


class NameUse(NamedTuple):
    """`name` in full; `span` covers what stands for it in the text, without a pin behind it. `whole`: the text there is
    the full name or its tail (`written`), not one name of a row such as F50..F59."""

    kind: NamedKind
    name: str
    written: str
    span: Span
    declares: bool
    whole: bool


class _Named(NamedTuple):
    kind: NamedKind
    word: Word
    declares: bool = False
    box: str = ""


def names_in(platform: Platform, notations: Iterable[Notation]) -> Iterator[NameUse]:
    """All of them in the order of the text. What is written with a pin counts for its part."""
    for notation in notations:
        for statement in notation.statements:
            for its in _of(statement):
                yield from _use(platform, its)


def _use(platform: Platform, its: _Named) -> Iterator[NameUse]:
    word = its.word
    name = part_named(platform, word.text, its.box) if its.kind == "part" else word.text
    if not name:
        return
    written = name if word.text.startswith(name) else name[len(its.box) + 1 :]
    span = Span(word.span.source, word.span.start, word.span.start + len(written))
    quote = int(its.kind == "sheet")  # a sheet's name stands in quotes
    span = Span(span.source, span.start + quote, span.end + quote)
    whole = span.text == written and ".." not in word.span.text
    yield NameUse(its.kind, name, written, span if whole else word.span, its.declares, whole)


def part_named(platform: Platform, text: str, box: str = "") -> str:
    """The part whose name `text` is or begins with, by the rules of the notation; empty where there is none."""
    parts = platform.parts
    if box and not text.startswith(f"{box}."):
        text = f"{box}.{text}"
    name = split_name(text, parts, ()).name
    return name if name in parts else ""


def _of(statement: Statement) -> Iterator[_Named]:
    match statement:
        case said.PlatformStatement() | said.NamingStatement() | said.ColoursStatement():
            return
        case said.OptionStatement():
            yield _Named("option", statement.name, True)
            yield from (_Named("option", word) for word in statement.others)
        case said.BatteryStatement() | said.RelayStatement() | said.LoadStatement():
            yield _Named("part", statement.name, True)
        case said.BoxStatement():
            yield _Named("part", statement.name, True)
            yield from (_Named("part", word, box=statement.name.text) for row in statement.rows for word in row)
        case said.SwitchStatement():
            yield _Named("part", statement.name, True)
            yield from (_Named("part", word) for word in (statement.by, statement.inside) if word is not None)
        case said.FuseStatement():
            yield from (_Named("part", its.name, True) for its in statement.fuses)
        case said.TwoTerminalStatement() | said.JointStatement():
            yield from (_Named("part", its.name, True) for its in statement.items)
        case said.FeedsStatement():
            yield _Named("part", statement.name, statement.is_bar)
            yield from (_Named("part", word) for word in statement.fed)
        case said.StatedStatement():
            yield from (_Named("part", word) for word in statement.names)
        case said.OutputStatement():
            yield from (_Named("part", word) for word in statement.pins)
        case said.NetworkStatement():
            yield _Named("network", statement.name, True)
            yield from (_Named("part", member.name) for member in statement.members)
        case said.StarStatement():
            yield _Named("network", statement.network)
            yield from (_Named("part", word) for leg in statement.legs for word in leg)
        case said.GatewayStatement():
            yield _Named("part", statement.name)
            yield from (_Named("network", word) for word in statement.joins)
            yield from (_Named("network", word) for passage in statement.passes for word in passage)
        case said.SheetStatement():
            yield _Named("sheet", statement.name, True)
        case said.WireStatement():
            for point in (statement.first, *(step.ends for step in statement.steps)):
                yield from (_Named("part", end.name) for end in point if not end.is_open)
        case _:
            assert_never(statement)
    if not isinstance(statement, said.PlatformStatement | said.NamingStatement | said.ColoursStatement):
        yield from (_Named("option", its.option) for its in statement.clauses.conditions)
