"""What changed between two states of a platform, in the trade's words."""

from collections.abc import Iterator, Sequence
from itertools import groupby

from circuitmap.changes.between import Change, ChangedValue

_NOTHING = "Nothing changed in what is said of the vehicle."
_ORDER = ("platform", "option", "sheet", "battery", "box", "key", "switch", "relay", "fuse", "link", "breaker", "bar")


def changes_text(changes: Sequence[Change]) -> str:
    """A line of counts, then every element under its kind: `+` came, `-` went, `~` changed."""
    if not changes:
        return _NOTHING
    return "\n".join([_counts(changes), *_by_kind(changes)])


def changes_json(changes: Sequence[Change]) -> dict[str, object]:
    """The same as data."""
    return {
        "changes": [
            {
                "action": change.action,
                "kind": change.kind,
                "name": change.name,
                "values": [value._asdict() for value in change.values],
                "place": change.span.place() if change.span is not None else None,
            }
            for change in changes
        ]
    }


def _counts(changes: Sequence[Change]) -> str:
    words = {"added": "added", "removed": "gone", "changed": "changed"}
    counted = ((sum(c.action == action for c in changes), word) for action, word in words.items())
    return ", ".join(f"{count} {word}" for count, word in counted if count) + "."


def _by_kind(changes: Sequence[Change]) -> Iterator[str]:
    def rank(change: Change) -> tuple[int, str]:
        known = change.kind in _ORDER
        return (_ORDER.index(change.kind) if known else len(_ORDER), change.kind)

    for (_, kind), group in groupby(sorted(changes, key=rank), key=rank):
        yield f"\n{kind.upper()}"
        for change in group:
            yield from _lines(change)


def _lines(change: Change) -> Iterator[str]:
    sign = {"added": "+", "removed": "-", "changed": "~"}[change.action]
    place = f"   {change.span.place()}" if change.span is not None and change.action != "removed" else ""
    if change.action == "changed":
        yield f" {sign} {change.name}{place}"
        yield from (f"     {value.label}: {_or_not_said(value.before)} -> {_or_not_said(value.after)}"
                    for value in change.values)  # fmt: skip
        return
    yield f" {sign} {change.name}{_said(change.values)}{place}"


def _said(values: Sequence[ChangedValue]) -> str:
    said = [f"{value.label} {value.after or value.before}" for value in values]
    return f": {', '.join(said)}" if said else ""


def _or_not_said(value: str) -> str:
    return value or "not said"
