"""A fault: what could be wrong at one place of this platform, what it would bring, and what it hangs on."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from typing import NamedTuple

from circuitmap.diagnosis.car.parked import Parked
from circuitmap.diagnosis.car.picture import Flow
from circuitmap.diagnosis.faults.fault_kinds import FAULT_KINDS, Kind, Trait
from circuitmap.diagnosis.faults.inputs import Opening
from circuitmap.power.state import VehicleState


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """One fault that could be there.

    `part` is what there is to mend, as people would say it; `about` what it is all about, so that faults can be told
    together: a network, a contact, a fuse, a part. `module` is the module at fault or misled, `network` the network
    that is kept awake, `contact` what is stuck or held, `place` where an unknown current is taken from,
    `pin` the only one of several supply pins that it is taken at.

    `odds` against nothing being wrong. `brings` are the currents it adds to the parked vehicle; `state` is the state
    that brings them about (None: its currents are its own and no contact or module takes part). `lives_by` are the
    supplies that keep it going, one of which must be left; empty: nothing is known that would end it. `wakes` are
    networks it keeps awake. `perhaps`: it only exists with equipment that nobody said is fitted. `undrawn`: what it is
    about is on no sheet. `colour` is that of a wire at fault, as typed in. `of` are the two faults whose joint
    effect this is. `by_opening`: its switch is wrong by being open, so that it is as wrong with the switch out.
    `against` is the fuse whose wire a wire is rubbed on. `hangs` are outputs
    of its module that do not turn off besides. `leak` are the two cavities of a plug between which water lets current
    through.
    `partly`: its output lets only a part of its load's current through.
    `dead` are loads that it turns on and that take nothing all the same; `works`: its module is not only awake but at
    work. `asleep` are networks that its module could wake, and does not. `or_its_wire`: a switch that stands for the
    wire from it, too, because nobody has looked at it yet. `ends` are all terminals of the wires that may be chafed,
    where that is known: elsewhere nobody finds it. `half_awake`: its module hangs between asleep and awake.
    `fed_past` are relays that are open, and yet live on both sides of their contact by it. `holds` are relays that hold
    themselves by it once they were pulled in, and let go for good where that is parted.
    """

    kind: Kind
    part: str
    about: str
    odds: float
    brings: tuple[Flow, ...]
    module: str = ""
    network: str = ""
    contact: str = ""
    place: str = ""
    pin: str = ""
    others: tuple[str, ...] = ()
    state: VehicleState | None = None
    lives_by: tuple[frozenset[str], ...] = ()
    wakes: frozenset[str] = frozenset()
    perhaps: bool = False
    undrawn: bool = False
    colour: str = ""
    of: tuple["Fault", ...] = field(default=(), repr=False)
    dead: tuple[str, ...] = ()
    works: bool = False
    asleep: tuple[str, ...] = ()
    or_its_wire: bool = False
    by_opening: Opening = ""
    against: str = ""
    hangs: tuple[str, ...] = ()
    leak: tuple[str, ...] = ()
    partly: bool = False
    ends: tuple[str, ...] = ()
    half_awake: bool = False
    fed_past: frozenset[str] = frozenset()
    holds: tuple[str, ...] = ()

    @property
    def identity(self) -> tuple[str, ...]:
        """What tells it from every other fault of the platform."""
        own = (self.kind, self.part, self.module, self.network, self.contact, self.place, self.pin)
        how = (*(("at work",) if self.works else ()), *(("partly",) if self.partly else ()))
        how += ("half awake",) if self.half_awake else ()
        besides = (*self.dead, *self.asleep, *how, *self.hangs, *self.leak, *self.ends, *self.holds)
        return (*own, *besides, self.against) if self.against else (*own, *besides)

    def has(self, trait: Trait) -> bool:
        """Whether its kind shows itself, or can be got at, in this way."""
        return trait in FAULT_KINDS[self.kind].traits

    @property
    def owners(self) -> frozenset[str]:
        return frozenset(flow.owner for flow in self.brings)


class Candidate(NamedTuple):
    """A fault before the share of its kind is divided: `weight` counts among its kind, `factor` multiplies its own
    odds."""

    fault: Fault
    weight: float = 1.0
    factor: float = 1.0


class FaultSource(NamedTuple):
    """A way to find candidates in the circuit, and the kinds of fault that it finds."""

    kinds: tuple[Kind, ...]
    candidates: Callable[[Parked], Iterator[Candidate]]
