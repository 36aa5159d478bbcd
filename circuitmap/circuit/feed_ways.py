"""The ways from the batteries into the fuses, held side by side: what every way passes, and what only some pass."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import NamedTuple

from circuitmap.circuit.demands import AT_REST, Demands, DemandSubject
from circuitmap.circuit.feeding import Feeding
from circuitmap.circuit.parked import opened_by
from circuitmap.circuit.path import Path
from circuitmap.wiring.fitting import Fitting
from circuitmap.wiring.parts import Switch
from circuitmap.wiring.platform import Platform


class Partly(NamedTuple):
    """On how many of the main ways into its fuses a thing lies, and what must hold for all of these to conduct.

    Ways that differ only in their battery count as one. `of` is 0 when it is not the same for all of the fuses.
    """

    on: int
    of: int
    demands: Demands


class Above(NamedTuple):
    """A listed fuse that feeds another only while `demands` hold, from these batteries."""

    fuse: str
    batteries: tuple[str, ...]
    demands: Demands


class SecondFeed(NamedTuple):
    """Batteries that feed `fuses` only through these contacts, open when parked, besides the one that drives them."""

    batteries: tuple[str, ...]
    contacts: tuple[str, ...]
    fuses: tuple[str, ...]
    demands: Demands


def main_of(paths: Iterable[Path]) -> tuple[Path, ...]:
    return tuple(path for path in paths if not path.second)


def easiest(platform: Platform, paths: Sequence[Path]) -> tuple[Path, ...]:
    """The ways that need the fewest contacts closed that are open when parked."""
    needed = [len(opened_by(platform, path)) for path in paths]
    return tuple(path for path, count in zip(paths, needed, strict=True) if count == min(needed, default=0))


def partly(ways: Sequence[Sequence[Path]], passing: Sequence[Sequence[Path]], needs: "Needs") -> Partly:
    """`ways` into each fuse, and those of them that pass the thing."""
    counts = {(len(_told_once(its)), len(_told_once(all_of))) for its, all_of in zip(passing, ways, strict=True)}
    on, of = counts.pop() if len(counts) == 1 else (0, 0)
    return Partly(on, of, needs.of_all(path for its in passing for path in its))


def _told_once(paths: Iterable[Path]) -> set[tuple[str, ...]]:
    """The ways without their batteries: known by the fuses and contacts that they pass."""
    return {tuple(link.contact or link.part for link in p.links if link.contact or link.part in p.fuses) for p in paths}


class Needs:
    """What ways need beyond what holds anyway: in the parked vehicle, or because it was said of this car."""

    def __init__(self, platform: Platform, fitting: Fitting) -> None:
        self.platform, self.fitting = platform, fitting

    def of_all(self, paths: Iterable[Path]) -> Demands:
        """What each one of these ways needs."""
        needs: Demands | None = None
        for path in paths:
            if needs is None:
                needs = path.demands
            else:
                needs = {subject: states for subject, states in needs.items() if path.demands.get(subject) == states}
        return {subject: states for subject, states in (needs or {}).items() if not self._holds(subject, states)}

    def of_any(self, paths: Iterable[Path]) -> Demands:
        """What any of these ways needs."""
        found = {subject: states for path in paths for subject, states in path.demands.items()}
        return {subject: states for subject, states in found.items() if not self._holds(subject, states)}

    def _holds(self, subject: DemandSubject, states: frozenset[str]) -> bool:
        part = self.platform.parts.get(subject.name)
        if subject.kind == "option":
            return subject.name in self.fitting
        if subject.kind == "switch":
            return isinstance(part, Switch) and bool({*part.positions[:1]} & states)
        return states == AT_REST


def fuses_above(
    feeds: Mapping[str, Sequence[Path]], needs: Needs
) -> tuple[Mapping[str, tuple[str, ...]], Mapping[str, tuple[Above, ...]]]:
    """For each listed fuse, the listed ones that feed it; and those that feed it only while something differs from the
    parked state and from what the fuse needs anyway."""
    always: dict[str, tuple[str, ...]] = {}
    only_if: dict[str, tuple[Above, ...]] = {}
    for fuse, paths in feeds.items():
        main = main_of(paths)
        found: dict[str, None] = {}
        perhaps: list[Above] = []
        for above in dict.fromkeys(f for path in paths for f in path.fuses if f in feeds and f != fuse):
            through = [path for path in paths if above in path.fuses]
            first = [path for path in through if not path.second]
            if first and (len(first) == len(main) or not needs.of_all(first)):
                found[above] = None
            else:
                chosen = first or through
                batteries = dict.fromkeys(path.start.part for path in chosen)
                perhaps.append(Above(above, tuple(batteries), needs.of_all(chosen)))
        always[fuse] = tuple(found)
        if perhaps:
            only_if[fuse] = tuple(perhaps)
    return always, only_if


def second_feeds(feeding: Feeding, feeds: Mapping[str, Sequence[Path]], needs: Needs) -> Iterator[SecondFeed]:
    """Which other batteries feed the fuses, those with the fewest contacts first."""
    platform = feeding.circuit.platform
    by_contacts: dict[tuple[str, ...], list[tuple[str, Path]]] = {}
    for fuse, paths in feeds.items():
        for path in paths:
            if path.second:
                by_contacts.setdefault(opened_by(platform, path), []).append((fuse, path))
    for contacts in sorted(by_contacts, key=lambda its: (len(its), its)):
        found = by_contacts[contacts]
        yield SecondFeed(
            tuple(dict.fromkeys(path.start.part for _, path in found)),
            contacts,
            tuple(dict.fromkeys(fuse for fuse, _ in found)),
            needs.of_all(path for _, path in found),
        )


class Join(NamedTuple):
    """A battery and other batteries with a part between them, and what must be closed for the way over the part to
    conduct. `paths` run from the one to each of the others."""

    battery: str
    others: tuple[str, ...]
    contacts: tuple[str, ...]
    demands: Demands
    paths: tuple[Path, ...]


def batteries_joined_by(feeding: Feeding, part: str) -> tuple[Join, ...]:
    """The batteries that a part lies between: each pair once, by the way that needs least, options left aside."""
    platform = feeding.circuit.platform
    needs = Needs(platform, feeding.fitting)
    pairs: dict[tuple[str, str], Path] = {}
    for path in feeding.between_batteries_over.get(part, ()):
        start, end = path.start.part, path.end.part
        in_order = (bool(platform.parts[start].condition), start) < (bool(platform.parts[end].condition), end)
        if in_order and path.passes(part):
            pairs.setdefault((start, end), path)
    found: dict[tuple[str, frozenset[str]], list[tuple[str, Path]]] = {}
    for (battery, other), path in pairs.items():
        found.setdefault((battery, frozenset(opened_by(platform, path))), []).append((other, path))
    return tuple(
        Join(
            battery,
            tuple(other for other, _ in its),
            opened_by(platform, its[0][1]),
            {s: states for s, states in needs.of_all(path for _, path in its).items() if s.kind != "option"},
            tuple(path for _, path in its),
        )
        for (battery, _), its in found.items()
    )
