"""What hangs on a part only in doubt, or on a way that nobody means: to be told apart from what surely hangs on it."""

from collections.abc import Iterable, Iterator, Mapping
from typing import Literal, NamedTuple

from circuitmap.circuit.feeding import Feeding, Taking
from circuitmap.circuit.link import Link
from circuitmap.circuit.path import Path


class SetApart(NamedTuple):
    """Why something is told apart, and `by` what. `supply not said`: it hangs on outputs of these modules, of which no
    sheet says which supply pin they feed from, and the part does not feed all of these. `against`: current comes to it
    only through these contacts the other way round than they usually feed (a flasher contact that reaches the light
    switch from behind)."""

    why: Literal["supply not said", "against"]
    by: tuple[str, ...]


class Usual:
    """The direction in which each contact usually passes current: that of the easiest way to each place."""

    def __init__(self, feeding: Feeding) -> None:
        self._feeding = feeding
        self._directions: Mapping[int, set[bool]] | None = None

    def apart(self, part: str, paths: Iterable[Path]) -> SetApart | None:
        """Why what these ways from the part lead to is told apart, where it is; every way must have a reason."""
        paths = tuple(paths)
        against = [tuple(self._against(_after(path, part))) for path in paths]
        if paths and all(against):
            return SetApart("against", tuple(dict.fromkeys(name for names in against for name in names)))
        unsaid = [tuple(self._unsaid(part, _after(path, part))) for path in paths]
        if paths and all(unsaid):
            return SetApart("supply not said", tuple(dict.fromkeys(name for names in unsaid for name in names)))
        return None

    def _supplies(self, module: str) -> tuple[Taking, ...]:
        return tuple(its for its in self._feeding.of_part.get(module, ()) if its.kind == "load")

    def _unsaid(self, part: str, links: Iterable[tuple[Link, bool]]) -> Iterator[str]:
        for link, _ in links:
            output = link.output
            if output is None or output.action != "feeds" or output.source or output.module == part:
                continue
            if any(not taking.ahead(part) for taking in self._supplies(output.module)):
                yield output.module

    def _against(self, links: Iterable[tuple[Link, bool]]) -> Iterator[str]:
        if self._directions is None:
            self._directions = _directions(self._feeding)
        for link, forward in links:
            usual = self._directions.get(id(link))
            if link.kind == "contact" and usual and forward not in usual:
                yield link.contact


def _after(path: Path, part: str) -> Iterator[tuple[Link, bool]]:
    """The contacts that a way passes once it has met the part."""
    at = next((n for n, end in enumerate(path.terminals) if end.part == part), 0)
    return ((step.link, step.forward) for step in path.steps[at:] if step.link.contact and step.link.part != part)


def _directions(feeding: Feeding) -> Mapping[int, set[bool]]:
    found: dict[int, set[bool]] = {}
    for taking in feeding.takings:
        known = [path for path in taking.ways_ahead if path.known]
        fewest = min((len(path.contacts) for path in known), default=0)
        for path in known:
            if len(path.contacts) == fewest:
                for step in path.steps:
                    if step.link.kind == "contact":
                        found.setdefault(id(step.link), set()).add(step.forward)
    return found
