"""From what the text says to a platform: parts, wires, networks, and what is wrong with them."""

import re
from collections.abc import Iterable, Iterator, Sequence
from typing import Any, cast

from circuitmap.notation.statements import BoxStatement, Notation, PlatformStatement, SheetStatement, SwitchStatement
from circuitmap.problems import Problem, Related, Severity
from circuitmap.source import SourceFile
from circuitmap.wiring.assumed_roles import assume_roles
from circuitmap.wiring.checks import checked
from circuitmap.wiring.checks.look_alikes import look_alikes, pins_that_look_alike, told_look_alikes
from circuitmap.wiring.checks.margins import grounds_at_the_margin
from circuitmap.wiring.declared_networks import (
    declare_gateways,
    declare_networks,
    declare_outputs,
    declare_stars,
    declare_stated,
)
from circuitmap.wiring.declared_parts import declare_parts, declare_words
from circuitmap.wiring.draft import PlatformDraft
from circuitmap.wiring.laid_out import lay_out
from circuitmap.wiring.laying import lay_wires
from circuitmap.wiring.merging import merged_wires
from circuitmap.wiring.natural_order import natural
from circuitmap.wiring.nets import JoinedNets
from circuitmap.wiring.one_path import without_chart_rows_that_are_drawn, without_lines_drawn_in_full
from circuitmap.wiring.open_ends import name_open_ends
from circuitmap.wiring.parts import HandsOff, Need, Undeclared
from circuitmap.wiring.platform import Output, Platform, Sheet, Wire
from circuitmap.wiring.sheets import Placed, placed_statements, sheets_of
from circuitmap.wiring.sides import terminals_of
from circuitmap.wiring.written_names import WrittenNames


def platform_of(
    notations: Iterable[Notation], sources: Sequence[SourceFile] = (), unread: Iterable[Problem] = ()
) -> Platform:
    """The platform that these files describe together; the order of the files does not matter.

    `unread` are the problems found while reading them: they become problems of the platform, and what they may have
    meant is not reported as missing.
    """
    unread = tuple(unread)
    notations = tuple(notations)
    placed, sheets, problems = placed_statements(notations)
    unread_sheets = sheets_of(notations, [its.span for its in unread if its.severity is Severity.ERROR])
    doubted = words_on_unread_lines(unread)
    prefixes = tuple(word[:-1] for word in doubted if word[-1] == "*" and word != "*")
    draft = PlatformDraft(problems=[*unread, *problems], doubted=doubted, doubted_prefixes=prefixes)
    heading = _heading(draft, placed)
    draft.volts = heading.get("supply_volts", draft.volts)
    declare_words(draft, placed)
    declare_parts(draft, placed)
    draft.know_options(
        condition
        for statement in (*(its.statement for its in placed), *sheets)
        for condition in statement.clauses.conditions
    )
    names = WrittenNames(draft)
    for statement, _ in placed:
        if isinstance(statement, SwitchStatement):
            if statement.by is not None:
                names.part(statement.by)
            if statement.inside is not None:
                names.put_inside(statement.name.text, statement.inside)
        elif isinstance(statement, BoxStatement):
            lay_out(draft, names, statement)
    networks = declare_networks(draft, names, placed)
    gateways = declare_gateways(draft, names, placed, networks)
    stars = declare_stars(draft, names, placed, networks)
    outputs = declare_outputs(draft, names, placed)
    stated = declare_stated(draft, names, placed)
    wires, nets = _wires(draft, names, placed, outputs)
    parts, assumed_outputs = assume_roles(draft.parts, wires, nets, outputs)
    alike = tuple(look_alikes(parts.values()))
    draft.problems += [*told_look_alikes(alike), *pins_that_look_alike(draft.parts.values())]
    for load, problem in grounds_at_the_margin(placed, wires):
        draft.problems.append(problem)
        draft.doubted.add(load)
    draft.doubted.update(part.name for pair in alike for part in pair)
    draft.doubted.update(part.name for part in parts.values() if isinstance(part, Undeclared))
    platform = Platform(
        **heading,
        options=dict(sorted(draft.options.items())),
        parts=dict(sorted(parts.items(), key=lambda item: natural(item[0]))),
        wires=tuple(wires),
        outputs=tuple(sorted((*outputs, *assumed_outputs), key=lambda its: (its.terminal, its.action, its.when))),
        networks=networks,
        gateways=gateways,
        stars=stars,
        stated=stated,
        sheets={sheet.name.text: _sheet(sheet, sheet.name.text in unread_sheets) for sheet in sheets},
        sources=tuple(sorted(sources, key=lambda its: its.path)),
        doubted=frozenset(draft.doubted),
        used_options=frozenset(draft.used_options),
        problems=tuple(draft.problems),
    )
    return checked(platform.knowing(nets=nets))


def _wires(
    draft: PlatformDraft, names: WrittenNames, placed: Sequence[Placed], outputs: Sequence[Output]
) -> tuple[list[Wire], JoinedNets]:
    """All wires, and the nets that the drawn ones make."""
    laid = name_open_ends(draft, lay_wires(draft, names, placed))
    arrived = {wire.b for wire in laid if wire.kind == "wire"}
    names.report_unknown({wire.a for wire in laid if wire.kind == "wire" and wire.a in arrived})
    wires = merged_wires(draft, laid, terminals_of(draft, laid))
    wires = without_lines_drawn_in_full(draft, wires)
    nets = JoinedNets((wire.a, wire.b) for wire in wires if wire.kind != "chart")
    wires = without_chart_rows_that_are_drawn(wires, draft.parts, outputs)
    return sorted(wires, key=lambda wire: (wire.a, wire.b, wire.name, wire.condition)), nets


def _heading(draft: PlatformDraft, placed: Iterable[Placed]) -> dict[str, Any]:
    first: PlatformStatement | None = None
    for statement, _ in placed:
        if not isinstance(statement, PlatformStatement):
            continue
        if first is None:
            first = statement
        else:
            draft.error(
                "declared-twice",
                "A folder is one platform, and this is its second heading.",
                statement.name.span,
                related=(Related(first.name.span, "the first one"),),
            )
    if first is None:
        return {}
    heading: dict[str, Any] = {"name": first.name.text, "declared": first.span}
    if first.years:
        heading["years"] = first.years.text
    if first.supply:
        heading["supply_volts"] = first.supply.band.low
    if first.returns:
        heading["body_return"] = first.returns.text == "body"
    if first.sleep:
        heading["sleep"] = first.sleep.band
    if first.limit:
        heading["limit"] = first.limit.band.low
    return heading


def _sheet(statement: SheetStatement, unread: bool) -> Sheet:
    copied = statement.clauses.copied
    return Sheet(
        name=statement.name.text,
        title=statement.title.text if statement.title else "",
        whole=statement.whole and not unread,
        unread=unread,
        condition=tuple(sorted({Need(word.text, fitted) for word, fitted in statement.clauses.conditions})),
        copied=copied.text if copied else "",
        hands_off=cast(HandsOff, statement.clauses.hands_off.text) if statement.clauses.hands_off else "",
        span=statement.name.span,
    )


_WORDS = re.compile(r"[A-Za-z0-9_/+.-]+\*?")


def words_on_unread_lines(problems: Iterable[Problem]) -> set[str]:
    """Every word of the statements that could not be read, each name also without its last levels: what these
    statements say is not known, so nothing about these words is reported as missing. Prefixes on a `naming` line end in
    `*`."""
    unread: dict[str, tuple[SourceFile, set[int]]] = {}
    for problem in problems:
        if problem.severity is Severity.ERROR:
            its_lines = range(problem.span.line, problem.span.end_line + 1)
            unread.setdefault(problem.span.path, (problem.span.source, set()))[1].update(its_lines)
    found: set[str] = set()
    for source, numbers in unread.values():
        for statement in _statements_with(source, numbers):
            words = _WORDS.findall(statement)
            if words[:1] == ["naming"]:
                words += [word.rstrip("+*") + "*" for word in words]
            for word in words:
                while word and word not in found:
                    found.add(word)
                    word = word.rpartition(".")[0]
    return found


def _statements_with(source: SourceFile, numbers: set[int]) -> Iterator[str]:
    """All lines, continuation lines included, of each statement that has one of these lines."""
    lines: list[str] = []
    wanted = False
    for number in range(1, len(source.line_starts) + 1):
        line = source.line(number)
        if line[:1] not in (" ", "\t"):
            if wanted:
                yield "\n".join(lines)
            lines, wanted = [], False
        lines.append(line)
        wanted = wanted or number in numbers
    if wanted:
        yield "\n".join(lines)
