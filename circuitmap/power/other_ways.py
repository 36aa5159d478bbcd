"""Whether something may be live by more changes at once than are tried: a third switch, a flasher, a stalk.

Every single change is tried, and every pair; what takes three is not. It is not left out silently: where a way leads to
a terminal and no alternative that was found accounts for it, the answer says that there are others.
"""

from collections.abc import Mapping
from dataclasses import replace

from circuitmap.circuit.feeding import Feeding
from circuitmap.circuit.path import Path
from circuitmap.power.classes import LoadClass
from circuitmap.power.evaluate import Powered
from circuitmap.power.feeds import Feed, survey_with
from circuitmap.power.nets import NO
from circuitmap.power.why import why
from circuitmap.wiring.parts import Terminal


def with_other_ways(feeding: Feeding, feeds: Mapping[Terminal, Feed]) -> Mapping[Terminal, Feed]:
    """The feeds, with `other_ways` set where there are other ways."""
    return {
        terminal: replace(feed, other_ways=True) if has_other_ways(feeding, terminal, feed) else feed
        for terminal, feed in feeds.items()
    }


def told_of_other_ways(feeding: Feeding, classes: Mapping[str, LoadClass]) -> Mapping[str, LoadClass]:
    """The classes, with `other_ways` set where a load's supply has other ways."""
    return {
        name: replace(its, other_ways=True)
        if its.its == "switched"
        and its.drawn_in
        and any(has_other_ways(feeding, pin.terminal, pin.feed) for pin in its.pins)
        else its
        for name, its in classes.items()
    }


def has_other_ways(feeding: Feeding, terminal: Terminal, feed: Feed) -> bool:
    """Whether some way from a battery conducts in none of the states that were found, and does not need everything that
    one of these needs."""
    if feed.kind != "in" or not feed.conditions or feed.cut_off:
        return False
    survey, _ = survey_with(feeding.circuit, feeding.fitting, feed.if_fitted)
    ways = [path for path in feeding.supply.to(terminal).main if path.known and path.contacts]
    for changes in (*feed.conditions, *feed.perhaps):
        if not ways or not survey.has(changes):
            return False
        then = survey.after(changes)
        needed = {name for name in why(then, terminal).contacts if survey.parked.contacts[name] == NO}
        ways = [path for path in ways if not _conducts(then, path) and not needed <= _passed(path)]
    return bool(ways)


def _passed(path: Path) -> set[str]:
    return {link.contact for link in path.contacts}


def _conducts(powered: Powered, path: Path) -> bool:
    return all(powered.contacts[link.contact] != NO for link in path.contacts)
