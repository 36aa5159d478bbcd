"""A file as blocks that can be moved one by one: a statement, with the comments and empty lines above it."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import singledispatch

from circuitmap.notation.reading import read_text
from circuitmap.notation.statements import (
    BatteryStatement,
    BoxStatement,
    ColoursStatement,
    FeedsStatement,
    FuseStatement,
    GatewayStatement,
    JointStatement,
    LoadStatement,
    NamingStatement,
    NetworkStatement,
    OptionStatement,
    OutputStatement,
    PlatformStatement,
    RelayStatement,
    SheetStatement,
    StarStatement,
    StatedStatement,
    Statement,
    SwitchStatement,
    TwoTerminalStatement,
    WireStatement,
)
from circuitmap.source import SourceFile

Key = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Block:
    """A statement as text with its line end, and what stands above it since the last one (`above`).

    `sheet` is the sheet it is on. `keys` tell what it speaks of: two blocks of one sheet that share a key are versions
    of the same statement. The last block of a file may have an empty text: what follows the last statement.
    """

    sheet: str
    keys: frozenset[Key]
    above: str
    text: str


def blocks_of(source: SourceFile) -> list[Block]:
    """The whole file, cut up; joining `above` and `text` of every block gives it back."""
    notation, _ = read_text(source)
    text = source.text
    by_line: dict[int, Statement] = {statement.span.line: statement for statement in notation.statements}
    blocks: list[Block] = []
    sheet = ""
    done = 0
    for start, end in _statement_lines(source):
        statement = by_line.get(source.position(start)[0])
        keys = frozenset(_keys(statement)) if statement is not None else frozenset({("unread", text[start:end])})
        if isinstance(statement, SheetStatement):
            sheet = statement.name.text
        blocks.append(Block(sheet, keys, text[done:start], text[start:end]))
        done = end
    if done < len(text):
        blocks.append(Block(sheet, frozenset({("end of file",)}), text[done:], ""))
    return blocks


def _statement_lines(source: SourceFile) -> Iterator[tuple[int, int]]:
    """Whole lines of each statement, with line ends: from its first line to its last."""
    from circuitmap.notation.lines import statement_texts

    starts = source.line_starts
    for place in statement_texts(source):
        first, _ = source.position(place.start)
        last, _ = source.position(max(place.start, place.end - 1))
        yield starts[first - 1], starts[last] if last < len(starts) else len(source.text)


@singledispatch
def _keys(statement: Statement) -> Iterator[Key]:
    raise AssertionError(f"no key for {type(statement).__name__}")


@_keys.register
def _(statement: PlatformStatement) -> Iterator[Key]:
    yield ("platform",)


@_keys.register
def _(statement: OptionStatement) -> Iterator[Key]:
    yield ("option", statement.name.text)


@_keys.register
def _(statement: NamingStatement) -> Iterator[Key]:
    yield from (("naming", pattern.text) for pattern, _ in statement.patterns)


@_keys.register
def _(statement: ColoursStatement) -> Iterator[Key]:
    yield from (("colour", letters.text) for letters, _ in statement.letters)


@_keys.register(BatteryStatement)
@_keys.register(BoxStatement)
@_keys.register(SwitchStatement)
@_keys.register(RelayStatement)
@_keys.register(LoadStatement)
def _(
    statement: BatteryStatement | BoxStatement | SwitchStatement | RelayStatement | LoadStatement,
) -> Iterator[Key]:
    yield ("part", statement.name.text)


@_keys.register
def _(statement: FuseStatement) -> Iterator[Key]:
    yield from (("part", fuse.name.text) for fuse in statement.fuses)


@_keys.register(TwoTerminalStatement)
@_keys.register(JointStatement)
def _(statement: TwoTerminalStatement | JointStatement) -> Iterator[Key]:
    yield from (("part", item.name.text) for item in statement.items)


@_keys.register
def _(statement: FeedsStatement) -> Iterator[Key]:
    yield ("feeds", statement.name.text)


@_keys.register
def _(statement: StatedStatement) -> Iterator[Key]:
    yield from (("stated", name.text) for name in statement.names)


@_keys.register
def _(statement: OutputStatement) -> Iterator[Key]:
    yield from (("output", pin.text) for pin in statement.pins)


@_keys.register
def _(statement: NetworkStatement) -> Iterator[Key]:
    yield ("network", statement.name.text)


@_keys.register
def _(statement: StarStatement) -> Iterator[Key]:
    yield ("star", statement.name.text)


@_keys.register
def _(statement: GatewayStatement) -> Iterator[Key]:
    yield ("gateway", statement.name.text)


@_keys.register
def _(statement: SheetStatement) -> Iterator[Key]:
    yield ("sheet", statement.name.text)


@_keys.register
def _(statement: WireStatement) -> Iterator[Key]:
    starts = statement.first
    for step in statement.steps:
        look = step.look if step.look is not None else statement.look
        named = look.name.text if look.name is not None else ""
        for a in starts:
            for b in step.ends:
                pair = sorted(end.name.text + (end.remark.text if end.remark else "") for end in (a, b))
                yield ("wire", *pair, named)
        starts = step.ends
