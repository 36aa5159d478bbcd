"""A total on a vehicle that has, or may have, several batteries: of which one is it?"""

from collections.abc import Mapping, Sequence

from circuitmap.failures import WrongUse
from circuitmap.wiring.parts import Need
from circuitmap.wiring.platform import Platform


def of_several(platform: Platform, batteries: Sequence[str], said: Mapping[str, bool], amount: str) -> WrongUse:
    """Why a total is refused, with the forms that do: each battery by its name; and where one alone is there with any
    equipment, what to say of the equipment that the others come with."""
    names = " or ".join(f"{battery}={amount}" for battery in batteries)
    surely = min(batteries, key=lambda name: len(_not_said(platform, name, said)))
    advice = f"Name the battery: {names} (in a card: read: {{{surely}: {amount}}})."
    open_needs = {name: _not_said(platform, name, said) for name in batteries}
    others = [name for name, needs in open_needs.items() if needs]
    if len(others) == len(batteries) - 1:
        without = dict.fromkeys(open_needs[name][0] for name in others)
        words = " and ".join(f"{'absent' if need.fitted else 'fitted'}: [{need.option}]" for need in without)
        advice += f" Or say that it has no {' and no '.join(others)}, and total does: {words}."
    return WrongUse("total is for vehicles with one battery.", advice)


def _not_said(platform: Platform, battery: str, said: Mapping[str, bool]) -> tuple[Need, ...]:
    return tuple(need for need in platform.parts[battery].condition if need.option not in said)
