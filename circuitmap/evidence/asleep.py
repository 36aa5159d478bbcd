"""Whether the vehicle sleeps at a moment of the card, and so what a reading made then speaks for.

After locking, the vehicle needs its time to fall asleep; an opened door, a key turned, a scan, a part unplugged or put
back may have woken it, and the time begins again. Whoever watched the current of a battery, and it did not move, knows
better than that clock: until something is done, what is read behind that battery is read of a sleeping vehicle.
"""

from collections.abc import Collection
from dataclasses import dataclass, field

from circuitmap.evidence.entry_clock import asleep_from
from circuitmap.evidence.readings import Reading, Speaks
from circuitmap.quantities import Band


@dataclass
class Asleep:
    """Minutes are of the card's clock. `steady` are the batteries whose current was watched since anything was done
    last, each with the minute of the first such look (None: it had no time). `key_on`: it is in use, and what is read
    is no draw at all. `door`: one was opened, and nobody wrote that it was shut; where a door contact wakes the vehicle
    for as long as it is open (`door_wakes`), it stands open until then."""

    sleep: Band
    locked_at: float | None = None
    woken_at: float | None = None
    unlocked: bool = False
    door: bool = False
    door_wakes: bool = False
    charger: bool = False
    key_on: bool = False
    steady: dict[str, float | None] = field(default_factory=dict)

    @property
    def open(self) -> bool:
        """Whether it does not fall asleep as it stands."""
        return self.unlocked or (self.door and self.door_wakes)

    def state(self, state: str, now: float | None) -> None:
        """The vehicle was locked, opened, a door of it opened or shut, its key turned, a charger put on or off."""
        self.steady.clear()
        self.door = state == "door opened" or (self.door and state not in ("door shut", "locked"))
        self.key_on = state == "key on" or (self.key_on and state not in ("key off", "locked"))
        if state == "locked":
            self.locked_at, self.unlocked = now, False
        elif state == "charger off":
            self.charger = False
        else:
            self.charger = self.charger or state == "charger on"
            self.woken_at = now
            self.unlocked = self.unlocked or state in ("opened", "key on")
            if state == "key off":
                self.unlocked = self.locked_at is None

    def woken(self, now: float | None) -> None:
        """Something was done that may have woken it."""
        self.woken_at = now
        self.steady.clear()

    def done(self) -> None:
        """Something was done that need not wake it, but may change what it draws: what was watched before is over."""
        self.steady.clear()

    def watched(self, batteries: Collection[str], now: float | None) -> None:
        """The current of these batteries was watched, and did not move: whatever woke the vehicle has gone to sleep
        again. Open, or on a charger, it sleeps no sleep that would last."""
        if not batteries:
            return
        self.woken_at = None
        if not self.open and not self.charger:
            for battery in batteries:
                self.steady.setdefault(battery, now)

    def vouched(self, battery: str, batteries: Collection[str]) -> bool:
        """Whether a steady look speaks for what is read now at the post of `battery`, or elsewhere (empty): there, all
        the `batteries` of the vehicle must have been watched, as the card does not say which one feeds a place."""
        needed = [battery] if battery else batteries
        return bool(needed) and all(name in self.steady for name in needed)

    def speaks(self, now: float | None, watched: bool, is_up: bool = False) -> tuple[Speaks, float | None]:
        """What a reading made now speaks for, and the minutes since the vehicle was left alone. `watched`: it did not
        move, or a look that still holds vouches for it. `is_up`: it was read while an event was up. An event comes when
        it comes: only of an open vehicle, or one on a charger, such a reading says as little as any other."""
        if self.open:
            return "woken", None
        if now is None:
            return "parked", None
        since_locked = now - self.locked_at if self.locked_at is not None else None
        since_woken = None
        if self.woken_at is not None and (self.locked_at is None or self.woken_at > self.locked_at):
            since_woken = now - self.woken_at
        minutes = since_woken if since_woken is not None else since_locked
        if watched or minutes is None or (is_up and not self.charger):
            return "parked", minutes
        if since_woken is not None:
            return ("woken" if since_woken < self.sleep.low else "parked"), minutes
        return ("early" if minutes < self.sleep.high else "parked"), minutes

    def since(self, batteries: Collection[str]) -> float | None:
        """The minute from which on a reading at any place speaks of the parked vehicle; None where the card does not
        say, or it is open."""
        if self.open:
            return None
        by_the_clock = asleep_from(self.locked_at, self.woken_at, self.sleep)
        if by_the_clock is None or not self.vouched("", batteries):
            return by_the_clock
        looks = [at for name in batteries if (at := self.steady[name]) is not None]
        return min(by_the_clock, max(looks)) if looks else by_the_clock


def still_to_wait(reading: Reading, sleep: Band, asleep_from: float | None = None) -> float:
    """How many minutes after a reading that came too early one at the same place speaks of the parked vehicle, if
    nothing more is done: until `asleep_from`, the minute of the card's clock from which on all of it does, whatever was
    done since that reading. Where the card does not say, by the same rule by which the reading was judged. One at the
    least; for one with no time on it, the shortest time to fall asleep."""
    if asleep_from is not None and reading.at is not None:
        return max(1.0, asleep_from - reading.at)
    needed = sleep.high if reading.speaks == "early" else sleep.low
    return max(1.0, needed - (reading.minutes or 0.0))
