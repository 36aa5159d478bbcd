"""The faults of one car as plain lists, words and numbers, and back again: finding them is the slow part of an answer,
and no reading changes them.

What occurs in many of them, the same currents, ways and states, stands once, in front of whatever refers to it. A
reference is a list of one number; other lists do not occur inside an item. No class other than those named here can
come back, whatever is in a file.
"""

from collections.abc import Callable, Hashable, Mapping, Sequence
from dataclasses import MISSING, fields
from typing import Any, NamedTuple

from circuitmap.diagnosis.car.picture import Flow, FlowKey
from circuitmap.diagnosis.car.ways import Way
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.weighing.weights import Together
from circuitmap.power.state import VehicleState
from circuitmap.wiring.parts import Terminal

_TUPLE, _SET, _MAPPING, _FAULT, _STATE, _FIRST = range(6)
_VALUES: tuple[Any, ...] = (Flow, FlowKey, Way, Together, Terminal)
_FIELDS = {_FAULT: tuple(its.name for its in fields(Fault)), _STATE: tuple(its.name for its in fields(VehicleState))}
_USUAL = {
    _FAULT: {its.name: its.default for its in fields(Fault) if its.default is not MISSING},
    _STATE: {its.name: its.default for its in fields(VehicleState) if its.default is not MISSING},
}
_PLAIN = frozenset((str, int, float, bool, type(None)))


class FoundFaults(NamedTuple):
    """All faults of one car, those that stand for two at once, what it was too much work to find out, and how much of
    that work is left."""

    faults: tuple[Fault, ...]
    joint: tuple[Fault, ...]
    together: tuple[Together, ...]
    left_out: tuple[str, ...]
    work_left: int


class CannotStore(Exception):
    """Something in a fault is of a kind that cannot be stored."""


def stored(found: FoundFaults) -> list[Any]:
    """The faults as values that JSON can hold; raises CannotStore."""
    items: list[list[Any]] = []
    known: dict[Hashable, int] = {}

    def refer(value: Any) -> Any:
        kind = type(value)
        if kind in _PLAIN:
            return value
        if isinstance(value, Mapping):
            key: Hashable = (dict, *((name, type(held), held) for name, held in value.items()))
        else:
            key = (kind, id(value)) if _is_one(value) else (kind, value)
        number = known.get(key)
        if number is None:
            item = made(kind, value)
            number = known[key] = len(items)
            items.append(item)
        return [number]

    def made(kind: type, value: Any) -> list[Any]:
        if kind is tuple:
            return [_TUPLE, *map(refer, value)]
        if kind is frozenset:
            return [_SET, *map(refer, sorted(value))]
        if isinstance(value, Mapping):
            return [_MAPPING, *(part for key, held in value.items() for part in (key, refer(held)))]
        if kind in _VALUES:
            return [_FIRST + _VALUES.index(kind), *map(refer, value)]
        if kind is Fault or kind is VehicleState:
            number = _FAULT if kind is Fault else _STATE
            usual, kept = _USUAL[number], []
            bits = 0
            for n, name in enumerate(_FIELDS[number]):
                held = getattr(value, name)
                if name not in usual or type(held) is not type(usual[name]) or held != usual[name]:
                    bits |= 1 << n
                    kept.append(refer(held))
            return [number, bits, *kept]
        raise CannotStore(value)

    top = [refer(value) for value in found]
    return [items, top]


def _is_one(value: Any) -> bool:
    """Whether something is known by being the same object. Two faults may bring the same currents out of different
    states, and go on differently with something out: what one state brings stays one object, what two bring two."""
    alone = (Fault, VehicleState)
    return type(value) in alone or (type(value) is tuple and any(type(one) in (Fault, Flow) for one in value[:1]))


def restored(values: Sequence[Any]) -> FoundFaults:
    """The faults that were stored; raises ValueError, TypeError, KeyError, IndexError or AttributeError for values that
    `stored` did not make."""
    items, top = values
    known: list[Any] = []
    given: dict[tuple[int, int], tuple[str, ...]] = {}
    add = known.append

    for kind, *parts in items:
        held = [known[one[0]] if type(one) is list else one for one in parts]
        if kind >= _FIRST:
            add(_VALUES[kind - _FIRST]._make(held))
        elif kind == _TUPLE:
            add(tuple(held))
        elif kind == _SET:
            add(frozenset(held))
        elif kind == _MAPPING:
            add(dict(zip(held[::2], held[1::2], strict=True)))
        else:
            make: Callable[..., Any] = Fault if kind == _FAULT else VehicleState
            bits = held[0]
            names = given.get((kind, bits))
            if names is None:
                names = tuple(name for n, name in enumerate(_FIELDS[kind]) if bits >> n & 1)
                given[kind, bits] = names
            add(make(**dict(zip(names, held[1:], strict=True))))
    its = FoundFaults._make([known[one[0]] if type(one) is list else one for one in top])
    if not all(type(fault) is Fault for fault in (*its.faults, *its.joint)):
        raise ValueError("not faults")
    return its
