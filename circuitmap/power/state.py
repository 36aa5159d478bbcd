"""The state a vehicle is in: what is switched, awake, stuck, unplugged or pulled."""

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from circuitmap.failures import WrongUse
from circuitmap.wiring.fitting import Fitting
from circuitmap.wiring.parts import Relay, Switch, Terminal
from circuitmap.wiring.platform import Platform

SOURCES = ("alternator", "charger")
"""Kinds of part that feed the vehicle besides its batteries."""
LONG_AFTER = math.inf
"""Minutes after locking by which all run-on is over and everything has gone to sleep."""
BEGUN = 0.0
"""Minutes for which all has stood that has just begun."""


@dataclass(frozen=True, slots=True, kw_only=True)
class VehicleState:
    """One state of a vehicle; whatever is not given is as in the car parked, shut, locked and asleep.

    `key` is the position of the ignition switch and `switches` the position of others, both "at rest" when not given.
    `awake` are networks, or single modules, that something keeps awake; everything else is asleep unless the circuit
    itself wakes it. `stuck` are contacts of switches and relays, and outputs, that conduct whatever happens
    (`CAB.K4.87`, `BCM.C3`); `driven` are relays whose coil is held whatever its control says, `released` those whose
    coil is taken to pull in none of the ways that its pins allow, unless it is driven. `was_in` are relays that were
    pulled in before: they stay so where they hold themselves, and let go where they do not. `unplugged` are parts,
    single plugs (`BCM.A`), battery posts (`BAT.-`), network stars and their legs (`X60.1`); `pulled` are fuses and
    relays out of their sockets; `inserted` are fuses that stand in a slot which this equipment leaves empty. `bridged`
    are pairs of points that touch where they should not. `minutes` have passed since the vehicle was locked: at first
    parts still run on and networks may be awake. All has `stood` as it is for minutes: what goes on for a time only is
    over by then; none, unless said: it has just begun.
    """

    key: str = ""
    switches: Mapping[str, str] = field(default_factory=dict)
    awake: frozenset[str] = frozenset()
    stuck: frozenset[str] = frozenset()
    driven: frozenset[str] = frozenset()
    released: frozenset[str] = frozenset()
    was_in: frozenset[str] = frozenset()
    unplugged: frozenset[str] = frozenset()
    pulled: frozenset[str] = frozenset()
    inserted: frozenset[str] = frozenset()
    feeding: frozenset[str] = frozenset()
    bridged: frozenset[tuple[Terminal, Terminal]] = frozenset()
    fitting: Fitting = field(default_factory=dict)
    minutes: float = LONG_AFTER
    stood: float = BEGUN


PARKED = VehicleState()
"""Parked, shut, locked, asleep, nothing wrong; nothing said about equipment."""


def rest_position(switch: Switch) -> str:
    """The position of a switch in the car parked, shut and locked; empty for a switch without positions."""
    return switch.positions[0] if switch.positions else ""


def keys_of(platform: Platform) -> tuple[Switch, ...]:
    """The ignition switch, as a tuple: a platform that is half typed in may have none, a wrong one two."""
    return tuple(p for p in platform.parts.values() if isinstance(p, Switch) and p.is_key)


def charging_alternators(platform: Platform, state: VehicleState) -> frozenset[str]:
    """The alternators that feed in a state: their other outputs (D+, W) have plus while they charge."""
    return frozenset(name for name in state.feeding if platform.parts[name].kind == "alternator")


def check_state(platform: Platform, state: VehicleState, contacts: Iterable[str] = ()) -> None:
    """Raise WrongUse for a position, network, relay or contact that the platform does not have.

    Names are full names. `contacts` are the names of all contacts and outputs (`Circuit.contacts`).
    """
    if state.key:
        known = {position for key in keys_of(platform) for position in key.positions}
        known |= {position for output in platform.outputs for position in output.positions}
        if state.key not in known:
            offered = ", ".join(sorted(known)) or "no ignition switch is typed in"
            raise WrongUse(f"The ignition switch has no position {state.key}.", f"Positions: {offered}.")
    for name, position in state.switches.items():
        switch = platform.parts.get(name)
        if not isinstance(switch, Switch):
            raise WrongUse(f"{name} is not a switch.")
        if position not in switch.positions:
            offered = ", ".join(switch.positions) or "none is typed in"
            raise WrongUse(f"{name} has no position {position}.", f"Positions: {offered}.")
    for name in sorted(state.awake):
        if name not in platform.networks and name not in platform.parts:
            offered = ", ".join(platform.networks) or "none is typed in"
            raise WrongUse(f"There is no network {name}.", f"Networks: {offered}.")
    for name in sorted(state.feeding):
        if platform.parts[name].kind not in SOURCES:
            raise WrongUse(f"{name} is no alternator or charger: it does not feed.")
    known_contacts = frozenset(contacts)
    for name in sorted(state.stuck):
        if name not in known_contacts:
            owner = name.rpartition(".")[0]
            offered = ", ".join(sorted(c for c in known_contacts if c.rpartition(".")[0] in (owner, name)))
            advice = f"Contacts there: {offered}." if offered else "A contact is written RELAY.PIN, such as K4.87."
            raise WrongUse(f"There is no contact or output {name}.", advice)
    for name in sorted(state.driven):
        if not isinstance(platform.parts.get(name), Relay):
            raise WrongUse(f"{name} is not a relay.")
    for name in sorted((*state.unplugged, *state.pulled)):
        if not _can_be_taken_off(platform, name):
            raise WrongUse(f"There is no part {name} to unplug or pull.")


def _can_be_taken_off(platform: Platform, name: str) -> bool:
    if name in platform.parts or name in platform.stars:
        return True
    owner, _, tail = name.rpartition(".")
    if owner in platform.stars:
        return tail.isdecimal() and 1 <= int(tail) <= len(platform.stars[owner].legs)
    while owner and owner not in platform.parts:
        owner = owner.rpartition(".")[0]
    return bool(owner)
