"""What must hold for a path to conduct: relays in or at rest, switch positions, outputs on, options fitted.

Two contacts that are never closed at once do not make a path: the make and the break contact of one relay, two
positions of one switch, an output that feeds and the same output grounding.
"""

from collections.abc import Iterable, Mapping
from typing import Literal, NamedTuple

from circuitmap.circuit.link import Link
from circuitmap.wiring.parts import Switch
from circuitmap.wiring.platform import Platform


class DemandSubject(NamedTuple):
    """What a demand is about: a relay, a switch, a module that must be awake, an output, or an equipment option."""

    kind: Literal["relay", "switch", "module", "output", "option"]
    name: str


PULLED_IN, AT_REST = frozenset(("pulled in",)), frozenset(("at rest",))
AWAKE, FEEDS, GROUNDS = frozenset(("awake",)), frozenset(("feeds",)), frozenset(("grounds",))
FITTED, ABSENT = frozenset(("fitted",)), frozenset(("absent",))

Demands = Mapping[DemandSubject, frozenset[str]]
"""For each subject, the states in which the path conducts: positions of a switch, or one of the words above."""


def key_of(platform: Platform) -> str:
    """The name of the ignition switch, or empty."""
    return next((p.name for p in platform.parts.values() if isinstance(p, Switch) and p.is_key), "")


def demands_of(link: Link, key: str) -> tuple[tuple[DemandSubject, frozenset[str]], ...]:
    """What one link asks for; `key` is the name of the ignition switch."""
    found: list[tuple[DemandSubject, frozenset[str]]] = []
    output = link.output
    if output is not None:
        found.append((DemandSubject("output", link.contact), FEEDS if output.action == "feeds" else GROUNDS))
        if output.when == "awake":
            found.append((DemandSubject("module", output.module), AWAKE))
        elif output.when == "in" and key:
            found.append((DemandSubject("switch", key), frozenset(output.positions)))
    elif link.energised is not None:
        found.append((DemandSubject("relay", link.part), PULLED_IN if link.energised else AT_REST))
    elif link.contact:
        found.append((DemandSubject("switch", link.part), frozenset(link.closed_in)))
    for need in link.condition:
        found.append((DemandSubject("option", need.option), FITTED if need.fitted else ABSENT))
    return tuple(found)


def together(demands: Demands, more: Iterable[tuple[DemandSubject, frozenset[str]]]) -> Demands | None:
    """Both at once; None if they contradict each other."""
    result: dict[DemandSubject, frozenset[str]] | None = None
    for subject, states in more:
        known = (result or demands).get(subject)
        if known is not None:
            if known <= states:
                continue
            states = known & states
        if not states:
            return None
        if result is None:
            result = dict(demands)
        result[subject] = states
    return demands if result is None else result
