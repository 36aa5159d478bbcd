"""What something is fed through in a state: the last fuse, and what closes the contacts on the way."""

from collections.abc import Sequence

from circuitmap.power.evaluate import Powered
from circuitmap.power.state import SOURCES
from circuitmap.power.why import Reason, WhyStep, why
from circuitmap.wiring.parts import Switch, Terminal
from circuitmap.wiring.platform import Platform

_PROTECTIVE = ("fuse", "link", "breaker")
_MOST_ON_A_WAY = 20


def through_words(powered: Powered, terminal: Terminal) -> str:
    """The last fuse before a terminal and the contacts on the way to it: `CAB.F40, CAB.K4 pulled in`."""
    return way_words(powered.circuit.platform, why(powered, terminal))


def way_words(platform: Platform, reason: Reason) -> str:
    """The last fuse on a way and what closes its contacts; if there are very many, only the first and the last ones."""
    steps = _behind_what_feeds(platform, reason.steps)
    fuses = [step.link.part for step in steps if step.link is not None and step.link.kind in _PROTECTIVE]
    words = fuses[-1:]
    for step in steps:
        word = _because(platform, step)
        if word and word not in words:
            words.append(word)
    if reason.origin == "not drawn":
        words.insert(0, "a place not typed in")
    elif reason.origin == "feeding" and reason.source is not None:
        by_itself = words and words[0].endswith(f" while {reason.source.part} feeds")
        words = words if by_itself else [f"{reason.source.part} feeding", *words]
    elif reason.origin == "label":
        words.insert(0, "a feed known from its label only")
    if len(words) > _MOST_ON_A_WAY:
        half = _MOST_ON_A_WAY // 2
        words = [*words[:half], f"{len(words) - 2 * half} more", *words[-half:]]
    return ", ".join(words) or "no fuse"


def _behind_what_feeds(platform: Platform, steps: Sequence[WhyStep]) -> Sequence[WhyStep]:
    """The way from the output of an alternator or charger on, which gives that plus itself: no battery's fuse is in
    it."""
    for number in range(len(steps) - 1, -1, -1):
        link = steps[number].link
        if link is not None and link.output is not None and platform.parts[link.output.module].kind in SOURCES:
            return steps[number:]
    return steps


def _because(platform: Platform, step: WhyStep) -> str:
    """What closes a contact on the way."""
    if step.bridge:
        return f"{step.start} touching {step.end}"
    link, because = step.link, step.because
    assert link is not None
    if not because:
        return ""
    if because in ("stuck", "always", "on request"):
        return f"{link.contact} {'always on' if because == 'always' else because}"
    if link.output is not None and link.output.when == "live":
        return f"{link.contact} on, {because}"
    if because == "feeding" and link.output is not None:
        return f"{link.contact} while {link.output.module} feeds"
    if because == "awake":
        return f"{link.contact} (awake)"
    if "=" in because:
        name, _, position = because.partition("=")
        return "" if _at_rest(platform, name, position) else f"{name} in {position}"
    return f"{because.removeprefix('not ')} at rest" if because.startswith("not ") else f"{because} pulled in"


def _at_rest(platform: Platform, name: str, position: str) -> bool:
    """A switch in the position of the parked car needs no mention."""
    part = platform.parts.get(name)
    return isinstance(part, Switch) and part.positions[:1] == (position,)
