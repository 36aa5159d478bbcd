"""The same wire on two sheets is one wire: each fills in what the other lacks, and a disagreement is a problem."""

from collections.abc import Sequence
from dataclasses import replace

from circuitmap.problems import Problem, Related, Severity
from circuitmap.quantities import Band
from circuitmap.source import Span
from circuitmap.wiring.draft import PlatformDraft
from circuitmap.wiring.laying import Laid, LaidLook, report_same_end
from circuitmap.wiring.parts import Condition, Terminal
from circuitmap.wiring.platform import Wire
from circuitmap.wiring.written_names import WireEnd

Pair = tuple[Terminal, Terminal]


def merged_wires(draft: PlatformDraft, laid: Sequence[Laid], ends: Sequence[Pair]) -> list[Wire]:
    """One wire for each unordered pair of ends (and name)."""
    groups: dict[Pair, list[int]] = {}
    for number, (a, b) in enumerate(ends):
        if a == b:
            report_same_end(draft, laid[number].a, laid[number].span)
            continue
        groups.setdefault((a, b) if a <= b else (b, a), []).append(number)
    wires: list[Wire] = []
    for numbers in groups.values():
        if len(numbers) == 1:
            number = numbers[0]
            wires.append(_wire(*ends[number], laid[number]))
            continue
        numbers.sort(key=lambda n: (laid[n].on.order, ends[n], repr(laid[n].look[:5]), laid[n].condition))
        for named in _by_name(draft, [laid[n] for n in numbers], numbers):
            wires.extend(_merged(draft, laid, ends, named))
    return wires


def _wire(a: Terminal, b: Terminal, laid: Laid) -> Wire:
    look, sheet = laid.look, laid.on.sheet
    return Wire(
        a=a,
        b=b,
        kind=laid.kind,
        colour=look.colour,
        size=look.size,
        size_written=look.size_written,
        name=look.name,
        code=look.code,
        length=look.length,
        condition=laid.condition,
        copied=laid.copied,
        hands_off=laid.hands_off,
        sheets=(sheet,) if sheet else (),
        spans=(laid.span,),
    )


def _by_name(draft: PlatformDraft, group: Sequence[Laid], numbers: Sequence[int]) -> list[list[int]]:
    """Wires side by side have names. One without a name is the named one, if there is just one of those."""
    by_name: dict[str, list[int]] = {}
    for wire, number in zip(group, numbers, strict=True):
        by_name.setdefault(wire.look.name, []).append(number)
    if len(by_name) == 2 and "" in by_name:
        return [list(numbers)]
    if len(by_name) > 2 and "" in by_name:
        unnamed = next(wire for wire in group if not wire.look.name)
        names = ", ".join(sorted(name for name in by_name if name))
        draft.warning(
            "which-wire",
            "Several wires run side by side here: which of them is this?",
            unnamed.span,
            expected=f"named {names}",
        )
    return list(by_name.values())


def _merged(draft: PlatformDraft, laid: Sequence[Laid], ends: Sequence[Pair], numbers: Sequence[int]) -> list[Wire]:
    """Wires with the same ends and name; more than one only when they belong to different equipment."""
    done: list[tuple[list[int], Condition]] = []
    for number in sorted(numbers, key=lambda n: laid[n].kind == "chart"):
        condition = laid[number].condition
        for place, (members, theirs) in enumerate(done):
            # A row of a fuse chart says less than a wire: it is kept where not every such vehicle has the wire.
            row_of_wire = laid[number].kind == "chart" and laid[members[0]].kind != "chart"
            if set(theirs) <= set(condition) or (set(condition) <= set(theirs) and not row_of_wire):
                members.append(number)
                done[place] = members, min(theirs, condition, key=len)
                break
        else:
            done.append(([number], condition))
    return [_one_wire(draft, [laid[n] for n in members], ends[members[0]], its) for members, its in done]


def _tell_twice(draft: PlatformDraft, group: Sequence[Laid]) -> None:
    """The same line typed twice on one sheet: mostly the line that should stand there is missing. Two lines may begin
    with the same wire, and a fuse chart may repeat one; two that differ in colour or size are told as such."""
    first_of: dict[tuple[str, WireEnd, WireEnd, WireEnd | None], Laid] = {}
    for wire in sorted(group, key=lambda its: its.span):
        if wire.kind != "wire" or wire.before is not None or wire.look.name:
            continue
        first = first_of.setdefault((wire.on.sheet, wire.a, wire.b, wire.after), wire)
        if first is not wire and first.span.line != wire.span.line and first.look[:5] == wire.look[:5]:
            draft.problems.append(
                Problem(
                    "wire-twice",
                    Severity.NOTE,
                    f"The wire from {wire.a} to {wire.b} is typed a second time on the same sheet.",
                    wire.span,
                    related=(Related(first.span, "typed first here"),),
                    advice="If these are two wires side by side, give them names.",
                )
            )
            return


def _one_wire(draft: PlatformDraft, group: Sequence[Laid], ends: Pair, condition: Condition) -> Wire:
    first = group[0]
    _tell_twice(draft, group)
    look = first.look
    for again in group[1:]:
        look = _filled_in(draft, look, again.look, first.span, again.span)
    real = [wire for wire in group if wire.kind == "wire" and wire.look[:2] != ((), None)]
    kinds = {wire.kind for wire in group}
    kind = (
        "wire" if real or kinds == {"wire"} else "copper" if "copper" in kinds else min(kinds, key="wire chart".index)
    )
    sheets = {wire.on.sheet: None for wire in sorted(group, key=lambda its: its.on.order) if wire.on.sheet}
    copied = min((wire.copied for wire in group), key=len) if all(wire.copied for wire in group) else ""
    hands_off = next((wire.hands_off for wire in group if wire.hands_off not in ("", "not")), first.hands_off)
    merged = first._replace(kind=kind, look=look, condition=condition, copied=copied, hands_off=hands_off)
    return replace(_wire(*ends, merged), sheets=tuple(sheets), spans=tuple(wire.span for wire in group))


def _same_size(look: LaidLook, again: LaidLook) -> bool:
    """Whether two sizes are the same: makers' metric equivalents of a wire gauge are nominal, so 18awg may be
    0.75mm2."""
    assert look.size is not None and again.size is not None
    if look.size_written.endswith("awg") != again.size_written.endswith("awg"):
        return abs(look.size - again.size) <= _NOMINAL * max(look.size, again.size)
    return look.size == again.size


_NOMINAL = 0.2
"""The widest difference between a gauge and its usual metric equivalent (common practice, no source)."""


def _metres(length: Band) -> str:
    return f"{length.low:g}m" if length.low == length.high else f"{length.low:g}m..{length.high:g}m"


def _filled_in(draft: PlatformDraft, look: LaidLook, again: LaidLook, first: Span, second: Span) -> LaidLook:
    """`look` filled in with what only `again` says."""
    differing: list[tuple[str, Span, Span]] = []
    if look.colour and again.colour and look.colour != again.colour:
        said = f"{'/'.join(look.colour)} or {'/'.join(again.colour)}"
        differing.append((said, look.colour_span or first, again.colour_span or second))
    if look.size is not None and again.size is not None and not _same_size(look, again):
        said = f"{look.size_written} or {again.size_written}"
        differing.append((said, look.size_span or first, again.size_span or second))
    if look.code and again.code and look.code != again.code:
        differing.append((f'code "{look.code}" or "{again.code}"', first, second))
    if look.length and again.length and look.length != again.length:
        said = f"length {_metres(look.length)} or {_metres(again.length)}"
        differing.append((said, first, second))
    if differing:
        draft.warning(
            "wire-disagrees",
            f"The same wire is described in two ways: {', '.join(said for said, _, _ in differing)}.",
            differing[0][2],
            advice="If these are two wires side by side, give them names.",
            related=(Related(differing[0][1], "described first here"),),
        )
    return LaidLook(
        look.colour or again.colour,
        again.size if look.size is None else look.size,
        look.size_written or again.size_written,
        look.name or again.name,
        look.code or again.code,
        look.colour_span or again.colour_span,
        look.size_span or again.size_span,
        look.length or again.length,
    )
