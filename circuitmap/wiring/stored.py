"""A platform as plain lists, words and numbers, and back again: quicker to read than the text that was typed. With it
goes what is hands-off by its words: nearly every command asks for that, and looking through all the words takes longer.

Each object is a list: the number of its class and its fields. Of classes with many fields only the fields that differ
from the default are stored, preceded by which ones these are, one bit a field. No class other than those named here can
come back, whatever is in a file.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import MISSING, Field, fields, is_dataclass, replace
from typing import Any

from circuitmap.problems import Problem, Related, Severity
from circuitmap.quantities import Band
from circuitmap.source import SourceFile, Span
from circuitmap.wiring import parts, platform
from circuitmap.wiring.hands_off import HandsOffReason, HandsOffThings, hands_off_things
from circuitmap.wiring.platform import Platform

_TUPLE, _SET, _MAPPING, _SPAN, _SEVERITY = range(5)
_CLASSES: tuple[type, ...] = (
    parts.Terminal, parts.Need, parts.Contact, parts.RelayContact, parts.WakesEvery, Band, Related, Problem,
    parts.Battery, parts.Box, parts.Fuse, parts.Diode, parts.Resistor, parts.Switch, parts.Relay, parts.Load,
    parts.Joint, parts.Ground, parts.OpenEnd, parts.Undeclared,
    platform.Wire, platform.Output, platform.Member, platform.Network, platform.Gateway, platform.Star,
    platform.Stated, platform.Sheet, platform.EquipmentOption, Platform,
    HandsOffReason, HandsOffThings,
)  # fmt: skip
_FIRST = 5
_PLAIN = frozenset((str, int, float, bool, type(None)))
_NUMBER = {its: number for number, its in enumerate(_CLASSES, _FIRST)}


class NotStorable(Exception):
    """Something in the platform is of a kind that cannot be stored, or stands in none of the platform's files."""


def stored(its: Platform) -> list[Any]:
    """The platform as values that JSON can hold, its files left out; raises NotStorable."""
    number_of = {id(source): number for number, source in enumerate(its.sources)}

    def plain(value: Any) -> Any:
        kind = type(value)
        if kind in _PLAIN:
            return value
        if kind is tuple:
            return [_TUPLE, *[one if type(one) in _PLAIN else plain(one) for one in value]]
        if kind is frozenset:
            return [_SET, *sorted(value)]
        if kind is Span:
            number = number_of.get(id(value.source))
            if number is None:
                raise NotStorable(value)
            return [_SPAN, number, value.start, value.end]
        if kind is Severity:
            return [_SEVERITY, int(value)]
        if isinstance(value, Mapping):
            return [_MAPPING, *(part for key, held in value.items() for part in (key, plain(held)))]
        if kind not in _NUMBER:
            raise NotStorable(value)
        if isinstance(value, tuple):
            return [_NUMBER[kind], *[one if type(one) in _PLAIN else plain(one) for one in value]]
        bits, kept = 0, []
        for n, (name, usual) in enumerate(_FIELDS[kind]):
            held = getattr(value, name)
            if kind is Platform and name == "sources":
                continue
            if usual is MISSING or type(held) is not type(usual) or held != usual:
                bits |= 1 << n
                kept.append(held if type(held) in _PLAIN else plain(held))
        return [_NUMBER[kind], bits, *kept]

    return [plain(its), plain(its.derived(hands_off_things))]


def restored(values: list[Any], sources: Sequence[SourceFile]) -> Platform:
    """The platform that was stored, with its files as they have just been read; raises ValueError, TypeError, KeyError
    or IndexError for values that `stored` did not make."""
    given: dict[tuple[int, int], tuple[str, ...]] = {}

    def back(value: Any) -> Any:
        if type(value) is not list:
            return value
        kind = value[0]
        if kind == _TUPLE:
            return tuple([back(one) if type(one) is list else one for one in value[1:]])
        if kind >= _FIRST:
            make = _MAKE[kind]
            if make is not None:
                return make([back(one) if type(one) is list else one for one in value[1:]])
            bits = value[1]
            names = given.get((kind, bits))
            if names is None:
                all_names = _FIELDS[_CLASSES[kind - _FIRST]]
                names = given[kind, bits] = tuple(name for n, (name, _) in enumerate(all_names) if bits >> n & 1)
            held = [back(one) if type(one) is list else one for one in value[2:]]
            return _CLASSES[kind - _FIRST](**dict(zip(names, held, strict=True)))
        if kind == _SPAN:
            _, number, start, end = value
            return Span(sources[number], start, end)
        if kind == _SET:
            return frozenset(value[1:])
        if kind == _MAPPING:
            return {key: back(held) for key, held in zip(value[1::2], value[2::2], strict=True)}
        return Severity(value[1])

    its, things = map(back, values)
    if not isinstance(its, Platform) or not isinstance(things, HandsOffThings):
        raise ValueError("not a platform")
    its = replace(its, sources=tuple(sources))
    its.derived_before(hands_off_things, things)
    return its


def _usual(field: Field[Any]) -> Any:
    return field.default if field.default_factory is MISSING else field.default_factory()


_FIELDS = {its: tuple((f.name, _usual(f)) for f in fields(its)) for its in _CLASSES if is_dataclass(its)}
"""The field names of each class that has many, and their defaults."""
_MAKE: tuple[Callable[[list[Any]], Any] | None, ...] = (
    *(None for _ in range(_FIRST)), *(getattr(its, "_make", None) for its in _CLASSES),
)  # fmt: skip
