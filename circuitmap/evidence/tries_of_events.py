"""What a look with something out says where the draw comes and goes over a sound floor.

Between two events all is as on a sound vehicle, whatever is out: such a look says nothing. An event that began with it
out came without it: that clears it, however early. What goes is what is open: it may have ended by itself.
"""

from collections.abc import Sequence
from dataclasses import replace

from circuitmap.evidence.log_states import state_shown
from circuitmap.evidence.logs import Log
from circuitmap.evidence.own_share import is_own_by_the_sheets
from circuitmap.evidence.tries import EventSeen, Try
from circuitmap.wiring.platform import Platform
from circuitmap.wiring.usual import sleep_of


def with_event_seen(platform: Platform, one: Try, logged: Log | None, is_low: bool) -> Try:
    """The try with what its look shows of what comes and goes, by the latest log with everything in. `is_low`: it is as
    low as that of a sound vehicle, which is all that is known of its floor where there is no log."""
    return replace(one, event=_event_seen(platform, one, logged, is_low))


def _event_seen(platform: Platform, one: Try, logged: Log | None, is_low: bool) -> EventSeen:
    after = one.after
    if after.log is not None:
        return ""
    if after.during == "floor":
        if logged is None or not (logged.comes_and_goes or logged.floor_draws):
            return "between" if is_low else ""
        sound = logged.floor <= (logged.limit or 0.0)
        # Of a floor that is itself too much something may have gone; what goes on there says nothing of the events.
        return "between" if logged.comes_and_goes and (sound or not (one.fell or one.took_a_part)) else ""
    if logged is None or not logged.comes_and_goes or state_shown(after, logged) != "event":
        return ""
    longest = logged.up_for or logged.apart or sleep_of(platform).high
    return "came" if one.waited is not None and one.waited >= longest else ""


def came_without(platform: Platform, one: Try) -> bool:
    """Whether an event that began with all of it out was as high as with it in, but for what that takes itself."""
    if one.event != "came" or one.before is None or one.before.amps is None:
        return False
    return not one.fell or is_own_by_the_sheets(platform, one)


def with_the_most_telling(platform: Platform, same: Sequence[Try], new: Try) -> list[Try]:
    """Of the tries with the same out at the same place, and a `new` one, those that are kept. The last one is, but what
    is low between two events is not held against what was seen before it, nor what is low later against an event that
    came without what is out."""
    came = [one for one in same if came_without(platform, one)]
    if same and new.event == "between":
        return list(same)
    if came and new.after.log is None and new.fell and not came_without(platform, new):
        return [replace(came[-1], waited=new.waited)]
    return [new]
