"""What to say about the car before anything else is measured: equipment, and how a switch stands, if the answer hangs
on it."""

from collections.abc import Sequence

from circuitmap.diagnosis.diagnosis import Diagnosis, World
from circuitmap.power.state import rest_position
from circuitmap.reports.suspects.fault_words import subject_name, subject_words
from circuitmap.reports.suspects.leading import LIKELY
from circuitmap.reports.words.chance_words import chance
from circuitmap.reports.words.paragraphs import joined, section, wrapped
from circuitmap.reports.words.part_words import in_full
from circuitmap.wiring.parts import Switch
from circuitmap.wiring.platform import Platform

MOST = 4


def asked_lines(platform: Platform, diagnosis: Diagnosis, width: int) -> list[str]:
    """What was not said, what the answer would be either way, and how to say it; empty where it would change
    nothing."""
    worlds = diagnosis.worlds
    if not worlds:
        return []
    switches = list(dict.fromkeys(name for world in worlds for name, _ in world.positions))
    options = list(dict.fromkeys(name for world in worlds for name, _ in world.fitting))
    otherwise = _otherwise(diagnosis)
    questions = [
        f"how does {in_full(platform, name)}, stand? (Taken as {_at_rest(platform, name)}, as in a parked "
        f"car{otherwise}.)"
        for name in switches
    ]
    questions += [f"is {_equipment(platform, option)} fitted?" for option in options]
    asked = " ".join(f"{question[0].upper()}{question[1:]}" for question in questions)
    lines = section("SAY FIRST", [asked], width)
    for told in _together(platform, worlds[:MOST]):
        lines += wrapped(told, " " * 11, " " * 13, width)
    how = [f"--set {name}=.." for name in switches] + [f"--option {name} or --without {name}" for name in options]
    on_card = [f"set {name} .." for name in switches] + [f"option {name} or without {name}" for name in options]
    return lines + section("", [f"Ask again with {joined(how)} (on a card: {joined(on_card)})."], width)


def _otherwise(diagnosis: Diagnosis) -> str:
    taking = joined([reading.place for reading in diagnosis.netted.charging])
    return f": then {taking} is cut off from the rest" if taking else ""


def _at_rest(platform: Platform, name: str) -> str:
    part = platform.parts[name]
    return rest_position(part) if isinstance(part, Switch) else ""


def world_words(*worlds: World) -> str:
    """`LIVSW on and without BOOST`; for several with the same equipment `LIVSW on or off and without BOOST`."""
    stands: dict[str, dict[str, None]] = {}
    for name, position in (pair for world in worlds for pair in world.positions):
        stands.setdefault(name, {})[position] = None
    said = [f"{name} {joined(list(positions), 'or')}" for name, positions in stands.items()]
    return joined([*said, *(f"{'with' if fitted else 'without'} {name}" for name, fitted in worlds[0].fitting)])


def _equipment(platform: Platform, option: str) -> str:
    described = platform.options[option].description if option in platform.options else ""
    return f"{option} ({described})" if described else option


def _together(platform: Platform, worlds: Sequence[World]) -> list[str]:
    """A line for each, those with the same equipment and the same answer in one."""
    groups: dict[tuple[object, str], list[World]] = {}
    for world in worlds:
        about = world.subject.about if world.subject.probability >= LIKELY else ""
        groups.setdefault((world.fitting, about), []).append(world)
    return [_told(platform, group) for group in groups.values()]


def _told(platform: Platform, group: Sequence[World]) -> str:
    stands, top = world_words(*group), group[0].subject
    if top.probability < LIKELY and len(group) == 1 and group[0].level:
        alike = [subject_name(platform, subject) for subject in (top, *group[0].level)]
        return f"{stands}: {joined(alike, 'or')} ({chance(top.probability)} each)"
    if top.probability < LIKELY:
        return f"{stands}: nothing leads yet"
    shares = [world.subject.probability for world in group]
    least_to_most = " to ".join(dict.fromkeys((chance(min(shares)), chance(max(shares)))))
    return f"{stands}: {subject_words(platform, top).rstrip('.')} ({least_to_most})"
