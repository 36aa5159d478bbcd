"""When something is live, in words and as JSON."""

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from circuitmap.circuit.demands import Demands
from circuitmap.power.feeds import Feed
from circuitmap.power.survey import Changes, StateChange
from circuitmap.reports.words.paragraphs import joined, shortened
from circuitmap.reports.words.unknown_words import unknown_json
from circuitmap.wiring.parts import Switch
from circuitmap.wiring.platform import Platform

_MOST_ALTERNATIVES = 4
_MOST_DEMANDS = 16
AND_PERHAPS_MORE = ", and perhaps with more (cut off)"
AND_OTHERWISE = ", and perhaps in other ways"
NOT_FOUND_OUT = "when was not found out (cut off)"


def feed_words(feed: Feed) -> str:
    """`always live`; `live in run, start`; `live in run with BRAKE pressed`; `may be live: ...`."""
    if feed.kind == "always":
        return "always live"
    if feed.kind == "never":
        return "no feed found"
    more = AND_PERHAPS_MORE if feed.cut_off else AND_OTHERWISE if feed.other_ways else ""
    if feed.kind == "more":
        if feed.cut_off:
            return f"not always live, {NOT_FOUND_OUT}"
        return "live only when more than two things are different from parked"
    if feed.kind == "unknown":
        certain = f", live {changes_words(feed.conditions)}" if feed.conditions else ""
        return f"may be live{certain}{more}"
    if feed.conditions:
        return f"live {changes_words(feed.conditions)}{more}"
    return f"may be live {changes_words(feed.perhaps)}{more}"


def changes_words(alternatives: Sequence[Changes]) -> str:
    """`in run, start, or while BODY is awake`."""
    keys = [changes[0].position for changes in alternatives if [c.kind for c in changes] == ["key"]]
    words = [f"in {', '.join(keys)}"] if keys else []
    others = [changes for changes in alternatives if [c.kind for c in changes] != ["key"]]
    by_change: dict[Changes, list[str]] = {}
    for changes in others:
        rest = tuple(change for change in changes if change.kind != "key")
        by_change.setdefault(rest, []).extend(change.position for change in changes if change.kind == "key")
    for rest, positions in _by_position(by_change).items():
        key = f"in {', '.join(positions)} " if positions else ""
        words.append(key + _together_words(rest))
    if len(words) > _MOST_ALTERNATIVES:
        words = [*words[: _MOST_ALTERNATIVES - 1], f"in {len(words) - _MOST_ALTERNATIVES + 1} more conditions"]
    return ", or ".join(words)


def _by_position(by_change: Mapping[Changes, list[str]]) -> dict[Changes, list[str]]:
    """What differs in the position of one switch only as one: `S10 1, 2 or 3`."""
    rows = [(keys, [(change, [change.position]) for change in rest]) for rest, keys in by_change.items()]
    merged = True
    while merged:
        merged = False
        for keys, one in list(rows):
            for other_keys, other in [its for its in rows if its[1] is not one]:
                apart = [k for k, (a, b) in enumerate(zip(one, other, strict=False)) if a[1] != b[1]]
                alike = keys == other_keys and [c.name for c, _ in one] == [c.name for c, _ in other]
                if alike and len(apart) == 1 and one[apart[0]][0].kind == "switch":
                    more = [its for its in other[apart[0]][1] if its not in one[apart[0]][1]]
                    one[apart[0]][1].extend(more)
                    rows = [its for its in rows if its[1] is not other]
                    merged = True
            if merged:
                break
    return {
        tuple(change._replace(position=joined(positions, "or")) for change, positions in its): keys
        for keys, its in rows
    }


def _together_words(changes: Changes) -> str:
    """`with A on and B on while BODY is awake`."""
    switches = [f"{change.name} {change.position}" for change in changes if change.kind == "switch"]
    others = [_change_words(change) for change in changes if change.kind != "switch"]
    words = [f"with {joined(switches)}"] if switches else []
    return " ".join([*words, joined(others)]) if others else "".join(words)


def _change_words(change: StateChange) -> str:
    if change.kind == "switch":
        return f"with {change.name} {change.position}"
    if change.kind in ("network", "module"):
        return f"while {change.name} is awake"
    if change.kind == "output":
        return f"while {change.name} is on"
    return f"in {change.position}"


def demand_words(demands: Demands, resting: Platform | None = None) -> str:
    """What must hold for a path to conduct: `CAB.K4 is pulled in and IGN is run or start`; empty for nothing.

    With `resting`, what already holds in the parked vehicle (a switch in its first position) is left out.
    """
    about_outputs = {subject.name.rpartition(".")[0] for subject in demands if subject.kind == "output"}
    words = []
    for subject, states in demands.items():
        if subject.kind == "switch":
            part = resting.parts.get(subject.name) if resting is not None else None
            if isinstance(part, Switch) and part.positions[0] in states:
                continue
        if subject.kind == "output":
            words.append(f"{subject.name} is on")
        elif subject.kind != "module":
            words.append(f"{subject.name} is {joined(sorted(states), 'or')}")
        elif subject.name not in about_outputs:
            words.append(f"{subject.name} is awake")
    return shortened(words, _MOST_DEMANDS)


def with_words(demands: Demands) -> str:
    """What must be different from the parked state, to stand after a verb: `with KSPLIT pulled in and LIVSW on`; empty
    for nothing."""
    about_outputs = {subject.name.rpartition(".")[0] for subject in demands if subject.kind == "output"}
    words = []
    for subject, states in demands.items():
        if subject.kind == "output":
            words.append(f"{subject.name} on")
        elif subject.kind != "module":
            words.append(f"{subject.name} {joined(sorted(states), 'or')}")
        elif subject.name not in about_outputs:
            words.append(f"{subject.name} awake")
    return f"with {shortened(words, _MOST_DEMANDS)}" if words else ""


def feed_json(feeds: Iterable[Feed]) -> dict[str, Any]:
    """Several pins of one part together: always live if any is, else in whatever makes any of them live."""
    feeds = list(feeds)
    conditions = dict.fromkeys(changes for feed in feeds for changes in feed.conditions)
    perhaps = dict.fromkeys(changes for feed in feeds for changes in feed.perhaps)
    unknown = dict.fromkeys(entry for feed in feeds for entry in feed.unknown)
    return {
        "always": any(feed.kind == "always" for feed in feeds),
        "in": [changes_json(changes) for changes in conditions],
        "perhaps": [changes_json(changes) for changes in perhaps],
        "may_be": any(feed.kind == "unknown" for feed in feeds),
        "unknown": [unknown_json(entry) for entry in unknown],
        "other_ways": any(feed.other_ways for feed in feeds),
        "cut_off": any(feed.cut_off for feed in feeds),
    }


def changes_json(changes: Changes) -> list[dict[str, str]]:
    return [{"kind": change.kind, "name": change.name, "position": change.position} for change in changes]
