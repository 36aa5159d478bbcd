"""What changed between two states of a platform, fact by fact; where it was typed or in what order is no change."""

from dataclasses import dataclass
from typing import Literal, NamedTuple

from circuitmap.changes.facts import StatedFact, facts_of
from circuitmap.source import Span
from circuitmap.wiring.platform import Platform


class ChangedValue(NamedTuple):
    """One property that is not what it was; an empty text means "not said"."""

    label: str
    before: str
    after: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """One element that came, went or changed. `span` is where it stands now, or where it stood if it is gone."""

    action: Literal["added", "removed", "changed"]
    kind: str
    name: str
    values: tuple[ChangedValue, ...]
    span: Span | None


def changes_between(before: Platform, after: Platform) -> tuple[Change, ...]:
    """Every difference in meaning, sorted by kind and name. An empty result means that both say the same of the
    vehicle."""
    old, new = _by_key(before), _by_key(after)
    changes = [
        change for key in sorted(old.keys() | new.keys()) if (change := _change(old.get(key), new.get(key))) is not None
    ]
    return tuple(changes)


def _by_key(platform: Platform) -> dict[tuple[str, str, int], StatedFact]:
    """Facts by kind and name; where two share these, as variants for two equipment options do, also by their number."""
    found: dict[tuple[str, str, int], StatedFact] = {}
    for fact in sorted(facts_of(platform), key=lambda f: (f.kind, f.name, sorted(f.says.items()))):
        number = 0
        while (fact.kind, fact.name, number) in found:
            number += 1
        found[fact.kind, fact.name, number] = fact
    return found


def _change(old: StatedFact | None, new: StatedFact | None) -> Change | None:
    if old is None and new is not None:
        values = tuple(ChangedValue(label, "", value) for label, value in new.says.items())
        return Change(action="added", kind=new.kind, name=new.name, values=values, span=new.span)
    if new is None and old is not None:
        values = tuple(ChangedValue(label, value, "") for label, value in old.says.items())
        return Change(action="removed", kind=old.kind, name=old.name, values=values, span=old.span)
    assert old is not None and new is not None
    labels = dict.fromkeys((*old.says, *new.says))
    values = tuple(
        ChangedValue(label, old.says.get(label, ""), new.says.get(label, ""))
        for label in labels
        if old.says.get(label, "") != new.says.get(label, "")
    )
    if not values:
        return None
    return Change(action="changed", kind=new.kind, name=new.name, values=values, span=new.span)
