"""What is left of each fault once parts are unplugged, pulled or opened."""

from collections import Counter
from collections.abc import Container, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from functools import cached_property

from circuitmap.diagnosis.car.asked_amount import let_through
from circuitmap.diagnosis.car.parked import Parked
from circuitmap.diagnosis.car.picture import Flow
from circuitmap.diagnosis.faults.at_work import taking_more
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.faults.input_wires import parts_a_wire
from circuitmap.power.evaluate import Powered
from circuitmap.power.state import VehicleState
from circuitmap.wiring.fitting import Answer
from circuitmap.wiring.parts import Battery, Fuse, Load, Terminal
from circuitmap.wiring.platform import Platform


class Out:
    """Parts that are unplugged, pulled or opened together: how much of a fault, and of its currents, ends with them.
    Used alike for judging a try and for predicting one."""

    def __init__(self, platform: Platform, names: Iterable[str], own_battery: Container[str] = ()) -> None:
        """`own_battery` are parts that go on without a supply."""
        self.platform, self.own_battery = platform, own_battery
        self.names = frozenset(names)
        self.plugs = tuple(sorted(name for name in self.names if self.owner_of(name)))

    def owner_of(self, name: str) -> str:
        """The part that a plug belongs to; empty if it is not a plug."""
        owner = name.rpartition(".")[0]
        return owner if name not in self.platform.parts and owner in self.platform.parts else ""

    def going_on(self, fault: Fault) -> Fault | None:
        """What is left of a fault: all of it; of a joint fault, perhaps one of the two; None where it has ended."""
        left = [one for one in fault.of or (fault,) if not self.ends(one)]
        if len(left) == len(fault.of or (fault,)):
            return fault
        return left[0] if left else None

    def ends(self, fault: Fault) -> bool:
        """Whether what is at fault is out itself, or has lost every supply it lives by."""
        if fault.module and fault.module in self.names:
            return True
        if fault.part in self.names and not fault.by_opening:  # what is wrong by being open is as open when it is out
            return True
        if self.plugs and fault.has("network-pins") and self._plug_with_network_is_out(fault):
            return True
        if fault.module in self.own_battery and fault.wakes:
            return False
        return bool(fault.lives_by) and all(through & self.names for through in fault.lives_by)

    def kept(self, flows: Sequence[Flow], of_owner: Mapping[str, Sequence[Flow]] | None = None) -> tuple[Flow, ...]:
        """The currents that do not hang on what is out. What a part takes goes through the supply pins that are left to
        it. Where the flows are not all of a fault's, `of_owner` are all of each part that takes by several pins."""
        left = [flow for flow in flows if self.names.isdisjoint(flow.way.through)]
        if of_owner is None:
            return tuple(left) if len(left) == len(flows) else _shared_out(left, Counter(flow.owner for flow in left))
        pins = {owner: sum(self.names.isdisjoint(f.way.through) for f in its) for owner, its in of_owner.items()}
        return _shared_out(left, pins)

    def _plug_with_network_is_out(self, fault: Fault) -> bool:
        network = self.platform.networks.get(fault.network)
        plugs = [name for name in self.plugs if self.owner_of(name) == fault.module]
        if network is None or not plugs:
            return False
        pins = [pin for member in network.members if member.part == fault.module for pin in member.pins]
        return bool(pins) and all(
            any(f"{fault.module}.{pin}".startswith(f"{plug}.") or f"{fault.module}.{pin}" == plug for plug in plugs)
            for pin in pins
        )


class Without:
    """The vehicle with parts out, evaluated once for each state that a fault may have put it in."""

    def __init__(self, parked: Parked, out: Sequence[str], plugged_in: frozenset[str] = frozenset()) -> None:
        """`plugged_in` are places that are dead on a sound vehicle, and from which something was fed that is on no
        sheet, and is out: what a fault brings there may have been that."""
        self.parked, self.plugged_in = parked, plugged_in
        self.parts = Out(parked.platform, parked.with_joint(frozenset(out)), parked.own_battery)
        self.out = self.parts.names
        self.powered, self.asleep = parked.asleep_without(self.out)
        self._left: dict[tuple[frozenset[str], int], tuple[Flow, ...]] = {}
        self._stars = {name for name in out if name in parked.platform.stars or _star_of(parked, name)}
        self._networks = self._networks_touched()

    def left_of(self, fault: Fault) -> tuple[Flow, ...]:
        """What the fault still brings."""
        going_on = self.parts.going_on(fault)
        if going_on is None:
            return ()
        if not self.touches(going_on):
            return going_on.brings
        if going_on.state is None or (going_on.by_opening and going_on.part in self.out):
            return self.parts.kept(going_on.brings)
        state = self._state_left(going_on)
        key = (state.awake, id(going_on.state))
        left = self._left.get(key)
        if left is None:
            left = self.parked.brought_without(state, self.out, self.powered, self.asleep)
            self._left[key] = left
        others, beside = self._of_others(going_on), self._beside_its_state(going_on)
        left = tuple(flow for flow in left if flow.owner not in others and not flow.joins_batteries)
        if going_on.works:
            left = taking_more(left, self.parked.platform.parts[going_on.module])
        if going_on.partly:
            left = let_through(left)
        return left + tuple(flow for flow in beside if not flow.way.through & self.out)

    def _of_others(self, fault: Fault) -> frozenset[str]:
        """What its state turns on besides, and is told as a fault of its own, or does not work."""
        assert fault.state is not None
        return frozenset(flow.owner for flow in self.parked.brought_in(fault.state)) - fault.owners

    def _beside_its_state(self, fault: Fault) -> tuple[Flow, ...]:
        """What a fault brings beyond what its state draws: between batteries, and through what nobody typed in."""
        assert fault.state is not None
        known = {flow.key for flow in self.parked.brought_in(fault.state)}
        return tuple(flow for flow in fault.brings if flow.key not in known)

    def left_at_once(self, fault: Fault) -> tuple[Flow, ...]:
        """What the fault still brings before anything that it kept awake has fallen asleep: what flowed through what is
        out has stopped, all else goes on."""
        if not fault.wakes:
            return self.left_of(fault)
        return self.parts.kept(tuple(map(self._by_its_own_way, fault.brings)))

    def _by_its_own_way(self, flow: Flow) -> Flow:
        """What a module takes awake at a pin that is live anyway flows there whatever woke it: it does not pass what
        has to be out for it to end."""
        number = self.parked.circuit.number.get(Terminal(flow.key.owner, flow.key.pin))
        if flow.key.taken != "awake" or number is None or not self.parked.ways.is_certain(number):
            return flow
        way = self.parked.ways.to_node(number)
        return flow if way is None else flow._replace(way=way)

    def left_if_plugged_in(self, fault: Fault) -> tuple[Flow, ...]:
        """What the fault still brings if what it brought through the places where something was plugged in was that.
        Behind a converter one current is two flows, of one owner."""
        flows = self.left_of(fault)
        its = {flow.owner for flow in flows if self.plugged_in.intersection(flow.way.places)}
        return tuple(flow for flow in flows if flow.owner not in its) if its else flows

    def is_doubted(self, fault: Fault) -> bool:
        """Whether a switch is out of which no sheet says whether it is wrong by being open or by being closed."""
        return any(one.by_opening == "likely" and one.part in self.out for one in fault.of or (fault,))

    def may_be_behind(self, fault: Fault) -> bool:
        """Whether what is out stands behind the fuse that a fault of unknown place is behind: the fault may hang on it
        or not."""
        if fault.state is not None or not fault.place or fault.kind not in ("added", "chafed"):
            return False
        return fault.place in (self._fuses_before if fault.ends else self._fuses_before | self._fuses_before_plugs)

    @cached_property
    def _fuses_before(self) -> frozenset[str]:
        """The last fuse before each thing that is out and passes current on, but plugs and diodes: wiring that is
        typed in is cut there."""
        return self._last_fuses(name for name in self.out if not parts_a_wire(self.parked.platform, name))

    @cached_property
    def _fuses_before_plugs(self) -> frozenset[str]:
        return self._last_fuses(name for name in self.out if parts_a_wire(self.parked.platform, name))

    def _last_fuses(self, names: Iterable[str]) -> frozenset[str]:
        found: set[str] = set()
        for name in names:
            part = self.parked.platform.parts.get(name)
            if part is None or isinstance(part, Load | Fuse | Battery):
                continue
            ways = map(self.parked.ways.to, self.parked.circuit.terminals_of.get(name, ()))
            found.update(way.places[0] for way in ways if way is not None and way.places)
        return frozenset(found)

    def touches(self, fault: Fault) -> bool:
        """Whether anything of what the fault does could change."""
        if any(flow.way.through & self.out or flow.owner in self.out for flow in fault.brings):
            return True
        if self.out & fault.wakes or self._networks & fault.wakes:
            return True
        if self._parts_a_wire and self._wakes_by_a_wire(fault):
            return True
        if any(name.startswith(f"{flow.owner}.") for name in self.out for flow in fault.brings):
            return True
        return fault.state is not None and any(
            not self._near.isdisjoint(flow.way.through) or flow.owner in self._near for flow in fault.brings
        )

    @cached_property
    def _near(self) -> frozenset[str]:
        """What a state that goes by what is out may be worked out anew for: the parts of terminals and plugs that are
        out, and all loads and relays of which the sound vehicle gets nothing to ground any more."""
        lost = set(_ground_lost(self.parked, self.powered))
        return frozenset(lost | {owner for name in self.out if (owner := self.parts.owner_of(name))})

    @cached_property
    def _parts_a_wire(self) -> bool:
        """Whether a plug, a cavity or a diode is out."""
        return any(parts_a_wire(self.parked.platform, name) for name in self.parts.names)

    def _wakes_by_a_wire(self, fault: Fault) -> bool:
        """Whether a fault wakes what it wakes by what comes over a wire: by a contact, or by what a wire rubs on. What
        is wrong by being open is as open with its wire parted."""
        sound = self.parked.state
        made = fault.state
        if (
            made is None
            or fault.by_opening
            or (made.switches, made.stuck, made.bridged) == (sound.switches, sound.stuck, sound.bridged)
        ):
            return False
        return any(flow.key.taken == "awake" for flow in fault.brings)

    def _state_left(self, fault: Fault) -> VehicleState:
        """With a star open, it matters which member keeps the network awake."""
        assert fault.state is not None
        if self._stars and fault.module and self.parked.fed(fault.module) != Answer.NO:
            return replace(fault.state, awake=frozenset({fault.module}))
        return fault.state

    def _networks_touched(self) -> frozenset[str]:
        """Networks that have a gateway or a star out: waking may no longer cross."""
        platform = self.parked.platform
        found = {network for gateway in platform.gateways if gateway.module in self.out for network in gateway.joins}
        found |= {platform.stars[star].network for name in self.out if (star := _star_of(self.parked, name))}
        found |= {platform.stars[name].network for name in self.out if name in platform.stars}
        return frozenset(found)


def _ground_lost(parked: Parked, now: Powered) -> Iterator[str]:
    """The loads, and the relays by an end of their coil, of which a ground that the parked vehicle gives is gone."""
    plan, was = parked.plan, parked.powered
    before, after = was.settled.reach.ground, now.settled.reach.ground
    ends = [(plan.loads[its.load], its.ground) for its in plan.paths]
    ends += [(coil.relay, end) for coil in plan.coils for end in (coil.plus, coil.minus)]
    for name, node in ends:
        if before[was.nets.net_of[node]] and not after[now.nets.net_of[node]]:
            yield name


def _shared_out(flows: list[Flow], left: Mapping[str, int]) -> tuple[Flow, ...]:
    """What a part takes goes through the supply pins that are left to it, or what it took at the others is gone: nobody
    knows which, so each is as likely. `left` is how many of its currents each part has left."""
    found = []
    for flow in flows:
        pins = left[flow.owner] if flow.pins > 1 else 1
        if pins < flow.pins:
            all_of_it, own = flow.whole[0] / pins, flow.mean
            mean = (all_of_it + own) / 2.0
            variance = (flow.whole[1] / pins + flow.variance) / 2.0 + ((all_of_it - own) / 2.0) ** 2
            whole = (pins * mean, pins * variance)
            flow = flow._replace(pins=pins, mean=mean, variance=variance, whole=whole)
        found.append(flow)
    return tuple(found)


def _star_of(parked: Parked, name: str) -> str:
    owner, _, leg = name.rpartition(".")
    return owner if owner in parked.platform.stars and leg.isdecimal() else ""
