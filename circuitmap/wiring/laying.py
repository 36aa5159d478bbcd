"""From wire statements, bars and fuse charts to single wires, each between two points."""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import NamedTuple

from circuitmap.failures import LimitReached
from circuitmap.notation.statements import NO_LOOK, End, FeedsStatement, WireLook, WireStatement, Word
from circuitmap.notation.trade_words import joined
from circuitmap.quantities import Band
from circuitmap.source import Span
from circuitmap.wiring.colours import NAME_OF, codes_meant, colour_codes
from circuitmap.wiring.draft import PlatformDraft, hands_off
from circuitmap.wiring.parts import (
    ANY_PIN,
    SECOND,
    Battery,
    Condition,
    HandsOff,
    Load,
    Part,
    Relay,
    Role,
    Switch,
    Undeclared,
    is_unnamed,
    pin_by_chart,
)
from circuitmap.wiring.platform import WireKind
from circuitmap.wiring.sheets import OnSheet, Placed
from circuitmap.wiring.written_names import OPEN, WireEnd, WrittenNames


class LaidLook(NamedTuple):
    """What a wire looks like, with the places of colour and size so that a disagreement can point at them."""

    colour: tuple[str, ...] = ()
    size: float | None = None
    size_written: str = ""
    name: str = ""
    code: str = ""
    colour_span: Span | None = None
    size_span: Span | None = None
    length: Band | None = None


class Laid(NamedTuple):
    """One wire as one sheet shows it, from `a` to `b` in reading order.

    `before` and `after` are the points from which the chain came and to which it goes on. `remark` is what the sheet
    says at an open end.
    """

    a: WireEnd
    b: WireEnd
    kind: WireKind
    look: LaidLook
    on: OnSheet
    condition: Condition
    copied: str
    span: Span
    hands_off: HandsOff = ""
    before: WireEnd | None = None
    after: WireEnd | None = None
    remark: str = ""


PLAIN = LaidLook()
MOST_WIRES = 30_000
"""How many wires one platform may have; where two lists are joined with each other, every wire counts (judgement: ten
large vehicles)."""


def lay_wires(draft: PlatformDraft, names: WrittenNames, placed: Iterable[Placed]) -> list[Laid]:
    """Every wire of every statement, in the order of the text."""
    laid: list[Laid] = []
    for statement, on in placed:
        if type(statement) is WireStatement:
            _lay_chain(draft, names, statement, on, laid)
        elif type(statement) is FeedsStatement:
            _lay_feeds(draft, names, statement, on, laid)
    return _rows_at_their_pins(draft, laid)


def _lay_chain(
    draft: PlatformDraft, names: WrittenNames, statement: WireStatement, on: OnSheet, laid: list[Laid]
) -> None:
    condition = draft.condition(on, statement.clauses)
    copied_word = statement.clauses.copied or on.copied
    copied = copied_word.text if copied_word else ""
    its = hands_off(on, statement.clauses)
    rows = [statement.first, *(step.ends for step in statement.steps)]
    to_ground = any(names.is_ground(end.name) for row in rows for end in row)
    points = [
        [_point(names, end, "" if to_ground else "supply" if number else "output") for end in row]
        for number, row in enumerate(rows)
    ]
    last = len(rows) - 1
    look_written, look = NO_LOOK, PLAIN
    for number, step in enumerate(statement.steps):
        if look_written is not step.look:  # a look that several wires share is checked once
            look_written, look = step.look, _look(draft, step.look)
        before = points[number - 1][0] if number else None
        after = points[number + 2][0] if number + 2 <= last else None
        _count(len(laid) + len(rows[number]) * len(rows[number + 1]))
        for end_a, a in zip(rows[number], points[number], strict=True):
            for end_b, b in zip(rows[number + 1], points[number + 1], strict=True):
                span = Span(end_a.name.span.source, end_a.name.span.start, end_b.name.span.end)
                if a == b:
                    report_same_end(draft, a, span)
                    continue
                if before == b and after is None and a.sided:
                    _report_bridge(draft, a, b, span)
                remark = end_a.remark if end_a.name.text == OPEN else end_b.remark
                text = remark.text if remark else ""
                laid.append(Laid(a, b, "wire", look, on, condition, copied, span, its, before, after, text))


def _count(wires: int) -> None:
    if wires > MOST_WIRES:
        raise LimitReached(
            f"More than {MOST_WIRES:,} wires are typed in.", "A platform is one vehicle; a folder holds one platform."
        )


def _point(names: WrittenNames, end: End, wanted: Role) -> WireEnd:
    return _OPEN_POINT if end.name.text == OPEN else names.point(end.name, wanted)


_OPEN_POINT = WireEnd(OPEN, "", False)


def report_same_end(draft: PlatformDraft, point: WireEnd, span: Span) -> None:
    """A wire that joins a point to itself."""
    if point.part == OPEN:
        draft.error("wire-to-nowhere", "A wire from undrawn to undrawn says nothing.", span)
    elif point.pin != ANY_PIN:
        draft.doubted.add(point.part)
        draft.error("wire-to-itself", f"Both ends of this wire are at {point}.", span)


def _report_bridge(draft: PlatformDraft, part: WireEnd, both: WireEnd, span: Span) -> None:
    draft.doubted.update((part.part, both.part))
    draft.error("bridged", f"Both sides of {part} are joined to {both}: it would be bridged.", span)


def _look(draft: PlatformDraft, written: WireLook) -> LaidLook:
    if not any(written):
        return PLAIN
    return LaidLook(
        () if written.colour is None else _colour(draft, written.colour),
        None if written.size is None else written.size.band.low,
        "" if written.size is None else written.size.written,
        written.name.text if written.name else "",
        written.code.text if written.code else "",
        None if written.colour is None else written.colour.span,
        None if written.size is None else written.size.span,
        None if written.length is None else written.length.band,
    )


def _colour(draft: PlatformDraft, word: Word) -> tuple[str, ...]:
    codes = colour_codes(word.text, draft.letters)
    if not isinstance(codes, str):
        return codes
    if "colours" not in draft.doubted:
        wrong = [part for part in word.text.split("/") if isinstance(colour_codes(part, draft.letters), str)]
        wrong = [part for part in wrong if part not in draft.letters and part not in draft.doubted]
        if wrong:  # else its own line has been reported
            _report_colour(draft, word, wrong)
    return ()


def _report_colour(draft: PlatformDraft, word: Word, wrong: Sequence[str]) -> None:
    """One problem for a colour, whether one of its parts means nothing or several."""
    if len(wrong) == 1:
        written, meant = wrong[0], codes_meant(wrong[0])
        at = word.span.start + f"/{word.text}/".index(f"/{written}/")
        span, said = replace(word.span, start=at, end=at + len(written)), f"{written} is no colour code"
    else:
        written, meant = word.text, _whole_colour_meant(draft, word)
        span, said = word.span, f"{' and '.join(wrong)} are no colour codes"
    first = wrong[0]
    of_first = codes_meant(first)
    line = f"colours {first} {of_first[0]}" if len(of_first) == 1 else f"colours {first} and the code it stands for"
    draft.error(
        "unknown-colour",
        f"{said}, nor one of the maker's letters.",
        span,
        expected=" ".join((*sorted(draft.letters), *NAME_OF)),
        suggestion=joined(meant),
        advice=""
        if all(codes_meant(part) and len(part) > 1 for part in wrong)
        else f"If the maker prints {first} throughout: a line that says {line}.",
    )


def _whole_colour_meant(draft: PlatformDraft, word: Word) -> tuple[str, ...]:
    """`RD/BK` for `red/black`; none where one of its parts may mean several colours."""
    parts = [(draft.letters.get(part, ""), codes_meant(part)) for part in word.text.split("/")]
    codes = [known or (meant[0] if len(meant) == 1 else "") for known, meant in parts]
    return ("/".join(codes),) if all(codes) else ()


def _lay_feeds(
    draft: PlatformDraft, names: WrittenNames, statement: FeedsStatement, on: OnSheet, laid: list[Laid]
) -> None:
    """`bar B feeds F1, F2` is copper; `F1 feeds PUMP` is a row of a fuse chart."""
    condition = draft.condition(on, statement.clauses)
    copied_word = statement.clauses.copied or on.copied
    copied = copied_word.text if copied_word else ""
    its = hands_off(on, statement.clauses)
    feeding = draft.parts[names.part_and_pin(statement.name)[0]]
    kind: WireKind = "copper" if statement.is_bar or feeding.kind == "bar" else "chart"
    in_chart = kind == "chart"
    feeder = (_pin_of_chart_row(names, statement.name, feeding, True) if in_chart else None) or names.point(
        statement.name
    )
    if in_chart and feeder.pin == ANY_PIN:
        return  # which pin feeds has already been asked
    _count(len(laid) + len(statement.fed))
    for word in statement.fed:
        fed = _fed(draft, names, word, in_chart)
        if fed == feeder:
            report_same_end(draft, fed, word.span)
            continue
        laid.append(Laid(feeder, fed, kind, PLAIN, on, condition, copied, word.span, its))


def _fed(draft: PlatformDraft, names: WrittenNames, word: Word, in_chart: bool) -> WireEnd:
    """Where a bar or a chart row arrives. A module may be named without its pin: the chart does not say which pin."""
    name, pin = names.part_and_pin(word)
    part = draft.parts[name]
    if isinstance(part, Load) and not pin and (part.kind == "module" or part.pins_with("supply")):
        return WireEnd(name, ANY_PIN, False)
    return (_pin_of_chart_row(names, word, part, False) if in_chart else None) or names.point(word)


def _rows_at_their_pins(draft: PlatformDraft, laid: list[Laid]) -> list[Laid]:
    """Each row that names a load and no pin at a pin of its own: two rows of one load are two feeds. A single row is at
    the only pin that it can mean, if there is just one."""
    rows: dict[str, list[int]] = {}
    for number, its in enumerate(laid):
        names_no_pin = is_unnamed(its.b.pin) or (its.b.sided and not its.b.pin)
        if its.kind != "wire" and names_no_pin and isinstance(draft.parts.get(its.b.part), Load | Undeclared):
            rows.setdefault(its.b.part, []).append(number)
    for name, numbers in rows.items():
        part = draft.parts[name]
        supplies = part.pins_with("supply") if isinstance(part, Load) else ()
        several = len({_feeder(laid[number].a) for number in numbers}) > 1
        for number in numbers:
            row = laid[number]
            if not several and len(supplies) == 1:
                laid[number] = row._replace(b=WireEnd(name, supplies[0], False))
            elif several or not row.b.sided:
                laid[number] = row._replace(b=WireEnd(name, pin_by_chart(_feeder(row.a)), False))
    return laid


def _feeder(end: WireEnd) -> str:
    """What feeds a row, however it was typed: a fuse feeds from its outgoing side."""
    return end.part if end.pin in ("", SECOND) else str(end)


def _pin_of_chart_row(names: WrittenNames, word: Word, part: Part, feeds: bool) -> WireEnd | None:
    """A fuse chart names batteries, relays and switches without their terminals: this is the only terminal that it can
    mean, or else "some terminal". None where the name itself gives the pin, and where it would have to."""
    name, pin = names.part_and_pin(word)
    if pin:
        return None
    if isinstance(part, Battery) and feeds:
        return WireEnd(name, "+", False)
    if isinstance(part, Relay) and feeds and len(part.contacts) == 1:
        return WireEnd(name, part.contacts[0].pin_b, False)
    if isinstance(part, Relay) and not feeds:
        return WireEnd(name, ANY_PIN, False)  # its coil or its contact
    if isinstance(part, Switch) and not feeds:
        common = [p for p in part.contacts[0][:2] if all(p in c[:2] for c in part.contacts)] if part.contacts else []
        return WireEnd(name, common[0] if len(part.contacts) > 1 and len(common) == 1 else ANY_PIN, False)
    return None
