"""What the sheet says about a feed against what follows from the wires."""

from collections.abc import Iterator

from circuitmap.circuit.links import Circuit
from circuitmap.power.feeds import Feed, feeds_of
from circuitmap.power.plan import stated_terminal
from circuitmap.power.possible import Possible
from circuitmap.problems import Problem, Severity
from circuitmap.wiring.platform import Stated


def labels_that_differ(circuit: Circuit, could_be: Possible) -> Iterator[Problem]:
    """A label that stands in for a feed that nobody drew cannot differ from it and is not looked at."""
    stands_in = {id(stated) for _, stated in could_be.plan.stated}
    drawn = [
        (stated, stated_terminal(circuit, stated))
        for stated in circuit.platform.stated
        if id(stated) not in stands_in and stated.part not in circuit.platform.doubted
    ]
    feeds = feeds_of(circuit, {}, dict.fromkeys(terminal for _, terminal in drawn)) if drawn else {}
    for stated, terminal in drawn:
        feed = feeds.get(terminal)
        if feed is not None and _differs(stated, feed):
            yield Problem(
                "label-differs",
                Severity.WARNING,
                f"The sheet says that {terminal} is {_said(stated)}; as it is typed in, it is {_derived(feed)}.",
                stated.span,
                advice="One of the two is a slip, or a wire or contact on the way is missing.",
            )


def _differs(stated: Stated, feed: Feed) -> bool:
    if feed.kind == "unknown":
        return False
    if stated.always:
        return feed.kind != "always"
    if feed.kind == "always":
        return True
    if feed.cut_off:
        return False  # there may be more positions than were found
    known = {changes[0].position for changes in (*feed.conditions, *feed.perhaps) if changes[0].kind == "key"}
    return not known or set(stated.positions) != known if feed.kind == "in" else feed.kind == "never"


def _said(stated: Stated) -> str:
    return "hot at all times" if stated.always else f"hot in {', '.join(stated.positions)}"


def _derived(feed: Feed) -> str:
    if feed.kind == "always":
        return "hot at all times"
    if feed.kind == "in":
        found = dict.fromkeys(" with ".join(map(str, changes)) for changes in feed.conditions or feed.perhaps)
        return "hot only with " + ", or ".join(list(found)[:3])
    return "never hot" if feed.kind == "never" else "hot only when more than two things come together"
