"""Where what is interrupted may be at something hands-off: nobody probes or parts it here, so it is handed over."""

from collections.abc import Iterator

from circuitmap.circuit.hands_off import Untouchable
from circuitmap.dead.breaks import Break
from circuitmap.dead.dead_loads import DeadLoads
from circuitmap.power.functions import function_named
from circuitmap.reports.dead.break_words import break_words
from circuitmap.reports.words.hands_off_words import HAND_OVER, MOST_NAMED, why_words
from circuitmap.reports.words.paragraphs import joined, shortened

_WORTH = 0.02


def not_touched(its: DeadLoads) -> dict[str, Untouchable]:
    """Parts that are suspected, or whose inside or plugs are, and that nobody probes or parts; likeliest first. Where
    no step is left, also those at which a suspected wire ends: it is mended there by nobody either."""
    hands_off = its.circuit.hands_off
    found: dict[str, Untouchable] = {}
    for one, odds in its.suspects:
        if odds < _WORTH or (one.kind == "wire" and its.steps):
            continue
        links = [its.circuit.links[i] for i in one.links]
        for part in sorted({end.part for link in links for end in (link.a, link.b)}):
            why = hands_off.why_not(part) if part in its.circuit.platform.parts else None
            if why is not None:
                found.setdefault(part, why)
    return found


def not_touched_told(its: DeadLoads) -> list[str]:
    """The same in a sentence."""
    told = [why_words(part, why) for part, why in not_touched(its).items()]
    return [f"{shortened(told, MOST_NAMED)}: not probed and not parted here; {HAND_OVER}."] if told else []


def hand_over_told(its: DeadLoads) -> list[str]:
    """What stands in the place of the next step where there is none because of that; else nothing."""
    if its.steps or not not_touched(its):
        return []
    looked_at = [break_words(its.circuit, one) for one in _to_look_at(its)]
    eyes = f"Eyes only on {joined(looked_at[:MOST_NAMED])}: chafed, green or loose." if looked_at else ""
    return [*not_touched_told(its), *([eyes] if eyes else []), "Write down what was cleared, and hand it over."]


def _to_look_at(its: DeadLoads) -> Iterator[Break]:
    """Wires that it may be, and those from a dead load straight to what nobody touches."""
    wires = [one for one, odds in its.suspects if one.kind == "wire" and odds >= _WORTH]
    yield from wires
    functions = (function_named(its.circuit, one.name) for one in its.complaint.dead)
    dead = {one.part for one in functions if one is not None}
    left = not_touched(its)
    for one in its.found.without:
        ends = [end.part for i in one.links for end in (its.circuit.links[i].a, its.circuit.links[i].b)]
        if one.kind == "wire" and one not in wires and dead & set(ends) and set(ends) & set(left):
            yield one
