"""Names for the places where a sheet goes on: `?SP5`, `?SP5+2`. They do not depend on the order of the text."""

from collections import Counter
from collections.abc import Sequence

from circuitmap.wiring.draft import PlatformDraft
from circuitmap.wiring.laying import Laid
from circuitmap.wiring.parts import OpenEnd
from circuitmap.wiring.written_names import OPEN, WireEnd


def name_open_ends(draft: PlatformDraft, laid: Sequence[Laid]) -> list[Laid]:
    """`laid` with every `?` replaced by an open end of its own, entered among the parts.

    What looks the same (direction, remark, look) on two sheets is one open end; on one sheet it is two.
    """
    at: dict[tuple[str, str], list[int]] = {}
    for number, wire in enumerate(laid):
        if wire.a.part == OPEN:
            at.setdefault((wire.b.part, wire.b.pin), []).append(number)
        elif wire.b.part == OPEN:
            at.setdefault((wire.a.part, wire.a.pin), []).append(number)
    named = list(laid)
    taken: set[str] = set()
    for (part, pin), numbers in sorted(at.items()):
        stem = "?" + (f"{part}.{pin}" if pin else part)
        ranks = _ranked(laid, numbers)
        names = _free_names(stem, max(ranks.values()) + 1, taken)
        for number, rank in ranks.items():
            name, wire = names[rank], laid[number]
            _enter(draft, wire, name)
            point = WireEnd(name, "", False)
            named[number] = wire._replace(a=point) if wire.a.part == OPEN else wire._replace(b=point)
    return named


def _free_names(stem: str, count: int, taken: set[str]) -> list[str]:
    """`?SP5`, `?SP5+2`, ...; a part that is really called `SP5+2` does not get in the way."""
    names: list[str] = []
    number = 1
    while len(names) < count:
        name = stem if number == 1 else f"{stem}+{number}"
        number += 1
        if name not in taken:
            taken.add(name)
            names.append(name)
    return names


def _ranked(laid: Sequence[Laid], numbers: Sequence[int]) -> dict[int, int]:
    """The rank of each open end at one place; equal ones on different sheets get the same rank."""
    if len(numbers) == 1:
        return {numbers[0]: 0}
    seen: Counter[tuple[object, ...]] = Counter()
    keys: dict[int, tuple[tuple[object, ...], int]] = {}
    for number in numbers:
        wire = laid[number]
        look = (wire.look.colour, wire.look.size_written, wire.look.name, wire.look.code)
        identity = (wire.a.part == OPEN, wire.remark, *look, wire.condition)
        keys[number] = (identity, seen[wire.on.sheet, identity])
        seen[wire.on.sheet, identity] += 1
    ranks = {key: rank for rank, key in enumerate(sorted(set(keys.values()), key=repr))}
    return {number: ranks[key] for number, key in keys.items()}


def _enter(draft: PlatformDraft, wire: Laid, name: str) -> None:
    known = draft.parts.get(name)
    sheets = (wire.on.sheet,) if wire.on.sheet else ()
    if known is not None:
        sheets = tuple(sorted({*known.sheets, *sheets}))
    draft.parts[name] = OpenEnd(
        name=name,
        kind="open end",
        description=wire.remark,
        from_supply=wire.a.part == OPEN,
        condition=wire.condition,
        sheets=sheets,
        first_use=known.first_use if known else wire.span,
    )
