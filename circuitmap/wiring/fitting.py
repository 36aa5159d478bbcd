"""Which optional equipment this car has: fitted, not fitted, or not said."""

from collections.abc import Mapping
from enum import IntEnum

from circuitmap.failures import WrongUse
from circuitmap.wiring.parts import Condition
from circuitmap.wiring.platform import Platform


class Answer(IntEnum):
    """Yes, may be, or no; `min` is "both", `max` is "either"."""

    NO = 0
    MAY_BE = 1
    YES = 2

    @property
    def words(self) -> str:
        return ("no", "may be", "yes")[self]


Fitting = Mapping[str, bool]
"""Option -> fitted or not; an option that is not in it was not said: it may be fitted."""


def holds(condition: Condition, fitting: Fitting) -> Answer:
    """Whether a statement with this condition is true of the car."""
    answer = Answer.YES
    for need in condition:
        known = fitting.get(need.option)
        if known is None:
            answer = min(answer, Answer.MAY_BE)
        elif known != need.fitted:
            return Answer.NO
    return answer


def needs_of(platform: Platform, name: str) -> Condition:
    """What a part comes with: its own condition, and what all of its wires need (where it stands only on a towing
    sheet, say)."""
    part = platform.parts.get(name)
    own = part.condition if part is not None else ()
    wires = platform.wires_at.get(name, ())
    if not wires or not wires[0].condition:
        return own
    shared = (need for need in wires[0].condition if all(need in wire.condition for wire in wires[1:]))
    return tuple(dict.fromkeys((*own, *shared)))


def fitting_of(platform: Platform, fitted: tuple[str, ...] = (), absent: tuple[str, ...] = ()) -> Fitting:
    """The fitting from option names, upper or lower case; raises WrongUse for an unknown option, or one given as both
    fitted and not fitted."""
    from circuitmap.wiring.names import as_declared

    fitted, absent = (tuple(as_declared(name, platform.options) for name in names) for names in (fitted, absent))
    for name in (*fitted, *absent):
        if name not in platform.options:
            known = ", ".join(platform.options) or "none is declared"
            raise WrongUse(f"There is no equipment option {name}.", f"Options of this platform: {known}.")
    both = set(fitted) & set(absent)
    if both:
        raise WrongUse(f"The option {min(both)} cannot be fitted and absent at once.")
    return with_alternatives(platform, {**dict.fromkeys(fitted, True), **dict.fromkeys(absent, False)})


def with_alternatives(platform: Platform, fitting: Fitting) -> Fitting:
    """The fitting with what follows from it where a vehicle has exactly one of several: the others are not there, or
    the last one left is. Raises WrongUse where it would have two of them, or none."""
    found = dict(fitting)
    for option in platform.options.values():
        together = (option.name, *option.others)
        if len(together) < 2:
            continue
        there = [name for name in together if found.get(name) is True]
        if len(there) > 1:
            raise WrongUse(f"{there[0]} and {there[1]} are never fitted together.")
        left = [name for name in together if found.get(name) is None]
        if there:
            found.update(dict.fromkeys(left, False))
        elif not left:
            raise WrongUse(f"A vehicle has one of {', '.join(together)}.")
        elif len(left) == 1:
            found[left[0]] = True
    return found
