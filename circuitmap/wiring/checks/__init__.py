"""Faults of a platform as it was typed in, and what is not typed in yet. None of these checks needs the circuit."""

from collections.abc import Callable, Iterator

from circuitmap.problems import Problem
from circuitmap.wiring.checks.batteries import batteries_with_one_pole, no_battery, plus_wired_to_minus
from circuitmap.wiring.checks.bridged import bridged_parts
from circuitmap.wiring.checks.clocks import wakings_without_a_pause
from circuitmap.wiring.checks.connectors import (
    cavities_beyond_the_last,
    cavities_with_one_side,
    colours_changing,
    connectors_without_cavities,
)
from circuitmap.wiring.checks.converters import volts_only_in_words
from circuitmap.wiring.checks.copied import not_checked
from circuitmap.wiring.checks.fuses import (
    fuses_joined_behind,
    fuses_without_feed,
    fuses_without_load,
    wires_thinner_than_any,
    wires_too_thin,
)
from circuitmap.wiring.checks.hands_off import hands_off_by_words
from circuitmap.wiring.checks.keys import no_key, two_keys
from circuitmap.wiring.checks.load_wires import wires_thinner_than_their_load
from circuitmap.wiring.checks.loads import loads_with_one_side, pins_the_wrong_way_round
from circuitmap.wiring.checks.names_crossed import names_crossed
from circuitmap.wiring.checks.networks import crossed_lines, gateways_of_one, networks_of_one, unfed_members
from circuitmap.wiring.checks.open_ends import open_ends, open_ends_to_typed_sheets
from circuitmap.wiring.checks.options import options_never_used, wires_in_no_vehicle
from circuitmap.wiring.checks.own_rules import (
    cavities_with_one_wire,
    codes_on_two_wires,
    codes_twice_at_a_splice,
    fuses_of_two_colours,
    splices_of_several_colours,
    switch_contacts_left_open,
    wires_too_thin_behind_contacts,
    wires_without_their_equipment,
)
from circuitmap.wiring.checks.pins import inputs_at_ground, mistyped_pins, outputs_joined, pins_without_wire
from circuitmap.wiring.checks.splices import splices_with_one_wire
from circuitmap.wiring.checks.switching import coils_with_one_side, contacts_with_one_side, parts_with_one_end
from circuitmap.wiring.platform import Platform

Check = Callable[[Platform], Iterator[Problem]]

CHECKS: tuple[Check, ...] = (
    no_battery,
    plus_wired_to_minus,
    batteries_with_one_pole,
    no_key,
    two_keys,
    options_never_used,
    fuses_without_load,
    fuses_without_feed,
    wires_too_thin,
    wires_thinner_than_any,
    wires_thinner_than_their_load,
    fuses_joined_behind,
    loads_with_one_side,
    coils_with_one_side,
    contacts_with_one_side,
    parts_with_one_end,
    bridged_parts,
    mistyped_pins,
    pins_without_wire,
    inputs_at_ground,
    outputs_joined,
    splices_with_one_wire,
    splices_of_several_colours,
    fuses_of_two_colours,
    codes_on_two_wires,
    codes_twice_at_a_splice,
    cavities_with_one_wire,
    switch_contacts_left_open,
    wires_too_thin_behind_contacts,
    wires_without_their_equipment,
    wires_in_no_vehicle,
    cavities_beyond_the_last,
    cavities_with_one_side,
    connectors_without_cavities,
    networks_of_one,
    unfed_members,
    gateways_of_one,
    wakings_without_a_pause,
    crossed_lines,
    names_crossed,
    open_ends,
    open_ends_to_typed_sheets,
    hands_off_by_words,
    volts_only_in_words,
    not_checked,
)


def checked(platform: Platform) -> Platform:
    """The platform with everything that these checks find added to its problems, in the order of the text."""
    problems = list(platform.problems)
    doubted: set[str] = set()
    for names, problem in pins_the_wrong_way_round(platform):
        problems.append(problem)
        doubted.update(names)
    problems += colours_changing(platform.with_problems(problems, doubted))
    platform = platform.with_problems(problems, doubted)
    for check in CHECKS:
        problems += check(platform)
    return platform.with_problems(problems)
