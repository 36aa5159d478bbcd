"""Networks and wake lines that reach the fuses that draw, with the modules that they keep awake."""

from collections.abc import Iterable, Iterator, Mapping
from typing import NamedTuple

from circuitmap.circuit.feeding import SIGNALS, Feeding, Taking
from circuitmap.circuit.waking import Woken, members_of, wake_lines_of, wakes_by_itself, woken_by
from circuitmap.effort import Effort
from circuitmap.unknown import Unknown
from circuitmap.wiring.platform import Platform

MOST_NETWORKS = 20
"""How many networks and wake lines are told (judgement: the samples have at most six)."""
MOST_MEMBERS = 300_000
"""How many members are counted over all networks, each with those that it wakes (judgement: about a second)."""


class CommonMember(NamedTuple):
    """A module that a network or wake line keeps awake, with the fuses that the module is on.

    `network` is the one it is on; through a gateway this may be another than the one asked about. `fuses` and `quiet`
    are the listed ones among `all_fuses`. A member on no listed fuse can be the cause without any drawing fuse.
    """

    part: str
    network: str
    fuses: tuple[str, ...]
    quiet: tuple[str, ...]
    all_fuses: tuple[str, ...]

    @property
    def unlisted(self) -> bool:
        return not self.fuses and not self.quiet


class SharedNetwork(NamedTuple):
    """A network (or a wake line: `kind` `wake`, `name` its contact or output) that reaches the drawing fuses.

    A fuse is reached if a load on it is on the network (it is then one of `direct`) or on one that it wakes through a
    gateway (`through`). `missing` is the one drawing fuse that is not reached, if any; `quiet` the quiet fuses that
    are: a module there should draw as well while the network is awake. `others` are the loads of the reached fuses that
    it does not wake.
    """

    name: str
    kind: str
    fuses: tuple[str, ...]
    direct: tuple[str, ...]
    missing: tuple[str, ...]
    quiet: tuple[str, ...]
    members: tuple[CommonMember, ...]
    through: tuple[Woken, ...]
    others: tuple[str, ...]

    @property
    def by_gateway(self) -> bool:
        """Some of the fuses draw because of it only through another network that it wakes."""
        return self.direct != self.fuses

    @property
    def unlisted(self) -> tuple[str, ...]:
        """Members on no listed fuse."""
        return tuple(member.part for member in self.members if member.unlisted)


class _Reaching(NamedTuple):
    """A network or wake line that reaches drawing fuses; the smallest `rank` tells most; its last entry is the name."""

    rank: tuple[int, bool, int, int, str]
    kind: str
    on: tuple[str, ...]
    direct: tuple[str, ...]
    quiet: tuple[str, ...]
    members: Mapping[str, str]
    through: tuple[Woken, ...]


class NetworksInCommon:
    """The networks for one question: `fuses` that draw, `quiet` ones, the `loads` on each; `least` of the fuses must be
    reached. `cut_off`: there are more than were looked at or are told."""

    def __init__(
        self,
        feeding: Feeding,
        fuses: tuple[str, ...],
        quiet: tuple[str, ...],
        loads: Mapping[str, tuple[str, ...]],
        least: int,
    ) -> None:
        self.feeding, self.platform = feeding, feeding.circuit.platform
        self.fuses, self.quiet, self.loads, self.least = fuses, quiet, loads, least
        self.effort = Effort(MOST_MEMBERS)
        self.cut_off = False

    def networks(self) -> tuple[SharedNetwork, ...]:
        reaching = (self._reaching(its.name, its.kind) for its in self.platform.networks.values() if its.kind != "wake")
        return self._most_telling(reaching)

    def wake_lines(self) -> tuple[SharedNetwork, ...]:
        reaching = [self._reaching(its.name, "wake") for its in self.platform.networks.values() if its.kind == "wake"]
        for line in wake_lines_of(self.feeding):
            reaching.append(self._reached_by(line.name, "wake", dict.fromkeys(line.members, line.name), ()))
        return self._most_telling(reaching)

    def _most_telling(self, found: Iterable["_Reaching | None"]) -> tuple[SharedNetwork, ...]:
        """The networks that reach the fuses, the most telling first; where there are very many, only the first ones."""
        reaching: list[_Reaching] = []
        for its in found:
            if its is not None:
                reaching.append(its)
            if self.effort.used_up:
                self.cut_off = True
                break
        reaching.sort(key=lambda its: its.rank)
        self.cut_off = self.cut_off or len(reaching) > MOST_NETWORKS
        return tuple(self._shared_network(its) for its in reaching[:MOST_NETWORKS])

    def _reaching(self, network: str, kind: str) -> "_Reaching | None":
        if self.effort.used_up:
            return None
        fitting = self.feeding.fitting
        through = tuple(
            its
            for its in woken_by(self.platform, network, fitting)
            if self.effort.used_up or wakes_by_itself(self.platform, network, its.network, fitting)
        )
        members: dict[str, str] = {}
        for name in (network, *(woken.network for woken in through)):
            for part in members_of(self.platform, name, fitting):
                members.setdefault(part, name)
        self.effort.spend(len(through) + len(members))
        return self._reached_by(network, kind, members, through)

    def _reached_by(
        self, name: str, kind: str, members: Mapping[str, str], through: tuple[Woken, ...]
    ) -> "_Reaching | None":
        on = tuple(fuse for fuse in self.fuses if any(load in members for load in self.loads[fuse]))
        if len(on) < self.least or not on:
            return None
        used = {members[load] for fuse in on for load in self.loads[fuse] if load in members}
        needed = _needed(name, through, used)
        members = {part: its for part, its in members.items() if its == name or its in needed or not through}
        through = tuple(woken for woken in through if woken.network in needed)
        direct = tuple(fuse for fuse in on if any(members.get(load) == name for load in self.loads[fuse]))
        quiet = tuple(fuse for fuse in self.quiet if any(load in members for load in self.loads[fuse]))
        rank = len(self.fuses) - len(on), direct != on, len(quiet), len(members), name
        return _Reaching(rank, kind, on, direct, quiet, members, through)

    def _shared_network(self, its: "_Reaching") -> SharedNetwork:
        return SharedNetwork(
            name=its.rank[-1],
            kind=its.kind,
            fuses=its.on,
            direct=its.direct,
            missing=tuple(fuse for fuse in self.fuses if fuse not in its.on),
            quiet=its.quiet,
            members=tuple(self._member(part, network) for part, network in its.members.items()),
            through=its.through,
            others=tuple(
                dict.fromkeys(load for fuse in its.on for load in self.loads[fuse] if load not in its.members)
            ),
        )

    def _member(self, part: str, network: str) -> CommonMember:
        takings: tuple[Taking, ...] = self.feeding.of_part.get(part, ())
        fuses = tuple(dict.fromkeys(fuse for taking in takings if taking.kind not in SIGNALS for fuse in taking.fuses))
        return CommonMember(
            part,
            network,
            tuple(fuse for fuse in self.fuses if fuse in fuses),
            tuple(fuse for fuse in self.quiet if fuse in fuses),
            fuses,
        )


def _needed(network: str, through: tuple[Woken, ...], used: set[str]) -> set[str]:
    """The networks in `used` and those that lie between them and `network`."""
    by = {woken.network: woken.by for woken in through}
    needed: set[str] = set()
    for here in used:
        while here != network and here in by and here not in needed:
            needed.add(here)
            here = by[here]
    return needed


def copied_members(platform: Platform, shared: Iterable[SharedNetwork]) -> Iterator[Unknown]:
    """The networks whose members nobody checked against the sheet."""
    for its in (platform.networks.get(one.name) for one in shared):
        if its is not None and its.copied:
            yield Unknown("copied", its.name, its.copied, its.sheets)
