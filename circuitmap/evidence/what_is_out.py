"""What is out at a moment of a card, and which switches stand otherwise than they stood: each until it is put back."""

from collections.abc import Collection, Iterable
from dataclasses import dataclass, field

from circuitmap.evidence.gone_for_good import GoneForGood
from circuitmap.evidence.job_card import Entry
from circuitmap.evidence.tries import Try
from circuitmap.wiring.parts import Switch
from circuitmap.wiring.platform import Platform


@dataclass
class WhatIsOut:
    """`names` are out now, in the order in which they were taken out; `turned` are switches, each with the position
    that it was last turned to. `since` is the minute of the card's clock at which this changed."""

    platform: Platform
    names: tuple[str, ...] = ()
    turned: dict[str, str] = field(default_factory=dict)
    since: float | None = None
    away: GoneForGood = field(init=False)

    def __post_init__(self) -> None:
        self.away = GoneForGood(self.platform)

    def waited(self, now: float | None) -> float | None:
        """Minutes since this changed; None where no clock says so."""
        return None if now is None or self.since is None else now - self.since

    def take(self, names: Iterable[str], now: float | None) -> None:
        self.names, self.since = tuple(dict.fromkeys((*self.names, *names))), now

    def put_back(self, names: Collection[str], now: float | None) -> None:
        self.names, self.since = tuple(name for name in self.names if name not in names), now

    def put_right(self, names: Collection[str], now: float | None) -> None:
        """What was renewed is in again; a switch that was turned stands as it was turned."""
        self.put_back([name for name in names if name not in self.turned], now)

    def take_away(self, entry: Entry, added: Collection[str]) -> None:
        """What is on no sheet and stays out for good is not out any more: the vehicle is whole without it."""
        self.put_back(self.away.entry(entry, self.names, added), self.since)

    def turn(self, switch: str, position: str, stood: str | None, now: float | None) -> None:
        """A switch was turned, and is left so: from then on its contacts stand otherwise, as if it were out. Turned
        back to where it `stood` it is as it was; where nobody said how it stood, a switch of two positions was at
        the other."""
        before = self.turned.get(switch)
        if before is not None and before != position and self._is_where_it_was(switch, position, stood):
            del self.turned[switch]
            self.put_back((switch,), now)
        else:
            self.turned[switch] = position
            self.take((switch,), now)

    def _is_where_it_was(self, switch: str, position: str, stood: str | None) -> bool:
        part = self.platform.parts.get(switch)
        return position == stood or (stood is None and isinstance(part, Switch) and len(part.positions) == 2)

    def turned_of(self, out: Iterable[str]) -> tuple[tuple[str, str], ...]:
        """Those of what is out that are switches and were turned, each with its position."""
        return tuple((name, self.turned[name]) for name in out if name in self.turned)

    def forget_what_made_no_difference(
        self, made: Iterable[Try], earlier: Iterable[Try], posts: Collection[str]
    ) -> None:
        """Switches that were turned, after which nothing went wherever it was read (`made`: the tries of one moment)
        are no longer out: all is as it was. Where a battery post was read, that tells, whatever other places showed.
        One with which something went before stays out."""
        its = [one for one in made if one.turned and one.after.speaks == "parked"]
        its = [one for one in its if one.after.place in posts] or its
        if not its or any(one.fell or one.took_a_part for one in its):
            return
        took = {name for one in earlier if one.fell or one.took_a_part for name in one.out}
        self.names = tuple(name for name in self.names if name not in self.turned or name in took)
