"""When something is live, in words and as JSON."""

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from circuitmap.power.feeds import Feed
from circuitmap.power.survey import Changes, StateChange
from circuitmap.reports.words.paragraphs import joined
from circuitmap.reports.words.unknown_words import unknown_json

_MOST_ALTERNATIVES = 4
AND_PERHAPS_MORE = ", and perhaps with more (cut off)"
AND_OTHERWISE = ", and perhaps in other ways"
NOT_FOUND_OUT = "when was not found out (cut off)"


def feed_words(feed: Feed, whole: bool = False) -> str:
    """`always live`; `live in run, start`; `live in run with BRAKE pressed`; `may be live: ...`."""
    if feed.kind == "always":
        return f"always live{_but_not_words(feed)}"
    if feed.kind == "never":
        return "no feed found"
    more = AND_PERHAPS_MORE if feed.cut_off else AND_OTHERWISE if feed.other_ways else ""
    if feed.kind == "more":
        if feed.cut_off:
            return f"not always live, {NOT_FOUND_OUT}"
        return "live only when more than two things are different from parked"
    if feed.kind == "unknown":
        certain = f", live {changes_words(feed.conditions, whole)}" if feed.conditions else ""
        return f"may be live{certain}{more}"
    if feed.conditions:
        return f"live {changes_words(feed.conditions, whole)}{_but_not_words(feed)}{more}"
    return f"may be live {changes_words(feed.perhaps, whole)}{more}"


def _but_not_words(feed: Feed) -> str:
    """What takes it away again: `, but not with S3 on`."""
    said = f", but not {_takers_words(feed.but_not)}" if feed.but_not else ""
    return said + (f", and not always {_takers_words(feed.not_in_all)}" if feed.not_in_all else "")


def _takers_words(takers: Sequence[Changes]) -> str:
    """`with S41 pressed or S42 DOWN`."""
    if len(takers) <= _MOST_ALTERNATIVES and all(len(its) == 1 and its[0].kind == "switch" for its in takers):
        return f"with {joined([f'{its.name} {its.position}' for (its,) in takers], 'or')}"
    return changes_words(takers)


def changes_words(alternatives: Sequence[Changes], whole: bool = False) -> str:
    """`in run, start, or while BODY is awake`; many are cut short unless the `whole` is asked for."""
    keys = [changes[0].position for changes in alternatives if [c.kind for c in changes] == ["key"]]
    words = [f"in {', '.join(keys)}"] if keys else []
    others = [changes for changes in alternatives if [c.kind for c in changes] != ["key"]]
    by_change: dict[Changes, list[str]] = {}
    for changes in others:
        rest = tuple(change for change in changes if change.kind != "key")
        by_change.setdefault(rest, []).extend(change.position for change in changes if change.kind == "key")
    rows = _by_position(by_change)
    if len(words) + len(rows) > _MOST_ALTERNATIVES:
        rows = _by_choice(rows)
    for rest, positions in rows.items():
        key = f"in {', '.join(positions)} " if positions else ""
        words.append(key + _together_words(rest))
    if len(words) > _MOST_ALTERNATIVES and not whole:
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


def _by_choice(rows: Mapping[Changes, list[str]]) -> dict[Changes, list[str]]:
    """What differs only in which of two switches is turned as one: `either S40 pressed or S42 UP`. The two that save
    the most words are taken first; a row has one such choice."""
    left = [(keys, list(rest)) for rest, keys in rows.items()]
    found: dict[Changes, list[str]] = {}
    while True:
        choices: dict[tuple[StateChange, StateChange], list[tuple[int, int]]] = {}
        for n, (keys, one) in enumerate(left):
            for at, (its_keys, other) in enumerate(left[n + 1 :], start=n + 1):
                mine, its = ([c for c in a if c not in b] for a, b in ((one, other), (other, one)))
                alike = keys == its_keys and len(one) == len(other) > 1 and len(mine) == len(its) == 1
                if alike and mine[0].kind == its[0].kind == "switch" and mine[0].name != its[0].name:
                    pair = (mine[0], its[0]) if mine[0] < its[0] else (its[0], mine[0])
                    choices.setdefault(pair, []).append((n, at))
        if not choices:
            break
        (first, second), pairs = max(choices.items(), key=lambda item: len(item[1]))
        done: set[int] = set()
        for n, at in pairs:
            if not {n, at} & done:
                keys, one = left[n]
                rest = [change for change in one if change not in (first, second)]
                both = f"{first.position} or {second.name} {second.position}"
                found[(*rest, first._replace(name=f"either {first.name}", position=both))] = keys
                done |= {n, at}
        left = [row for n, row in enumerate(left) if n not in done]
    return {**{tuple(one): keys for keys, one in left}, **found}


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


def takers_json(feed: Feed | None) -> dict[str, Any]:
    """What takes a feed away again."""
    always, sometimes = (feed.but_not, feed.not_in_all) if feed else ((), ())
    return {
        "but_not": [changes_json(changes) for changes in always],
        "not_in_all": [changes_json(changes) for changes in sometimes],
    }


def changes_json(changes: Changes) -> list[dict[str, str]]:
    return [{"kind": change.kind, "name": change.name, "position": change.position} for change in changes]
