"""A line typed at the car, as far as it was read: the fields of the entry, and what was not taken at its word."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import NamedTuple

from circuitmap.circuit.hands_off import HandsOffMap
from circuitmap.circuit.links import Circuit
from circuitmap.failures import WrongUse
from circuitmap.jobs.card_writing import Value
from circuitmap.jobs.typed_row import NotAsItStands
from circuitmap.wiring.platform import Platform


class CarOnCard(NamedTuple):
    """What a line may refer to: what is `out` now, what was `added` to this car and is on no sheet, how switches
    `stand`; the `circuit` of its platform, where that exists already."""

    out: tuple[str, ...] = ()
    added: tuple[str, ...] = ()
    stand: Mapping[str, str] = MappingProxyType({})
    circuit: Circuit | None = None


NOTHING_YET = CarOnCard()


@dataclass
class LineSoFar:
    """What was found so far, and what the person should be told about how it was understood."""

    platform: Platform
    hands_off: HandsOffMap
    car: CarOnCard = NOTHING_YET
    read: dict[str, str] = field(default_factory=dict)
    fields: dict[str, Value] = field(default_factory=dict)
    remarks: list[str] = field(default_factory=list)
    said: dict[str, list[tuple[str, str, str]]] = field(default_factory=dict)

    def says_anew(self, what: str, key: str, value: str, words: str) -> bool:
        """Whether this has not yet been said of `what` (`key`: under which it stands on the card). The same value twice
        is told; raises NotAsItStands where the line already has another value."""
        before = self.said.setdefault(what, [])
        for _, its, first in before:
            if its != value:
                raise NotAsItStands(
                    f"{what} stands twice in this line: {first}, and {words}.",
                    "Which of the two holds? Write it once; two readings are two entries.",
                )
        again = any(its_key == key for its_key, _, _ in before)
        if again:
            self.remarks.append(f"{key} stands twice in this line, both times {value}: it is written down once.")
        before.append((key, value, words))
        return not again

    def put(self, key: str, value: Value) -> None:
        if key in self.fields:
            raise WrongUse(f"{key} stands twice in this line.", "Make it two entries.")
        self.fields[key] = value

    def also(self, key: str, what: str, pairs: Iterable[tuple[str, str]]) -> None:
        """Adds names with what was said of each; the same name twice in one line must say the same."""
        more = [(name, said) for name, said in pairs if self.says_anew(f"{what} {name}", name, said, f"{name} {said}")]
        self.fields[key] = (*self.fields.get(key, ()), *more)

    @property
    def added(self) -> tuple[str, ...]:
        """What is on no sheet, by the card or by this line."""
        here = self.fields.get("added", ())
        return (*self.car.added, *(pair[0] for pair in here if not isinstance(pair, str)))
