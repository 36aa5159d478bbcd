"""What is done once the live data named an input: the volts at its pin, and the switch out, before what more hangs on."""

from circuitmap.reports.bay.steps import step_values
from circuitmap.reports.suspects.suspects_text import suspects_text
from tests.diagnosis.test_answers import circuit_from
from tests.diagnosis.test_steps_worth_doing import live_data, on_card, steps
from tests.diagnosis.test_two_things import BOX_VAN

AWAKE = (
    'at: "09:00", state: locked',
    'at: "09:30", meter: low current clamp, read: {BAT: 0.31A, BX.F1: 0.15A, BX.F2: 0.09A, BX.F3: 0A, BX.F4: 0.07A}, '
    "network: {LINK: 2.5V}",
)
NAMED = 'at: "09:40", inputs: {SLIDE: wrong, REAR: right}'
# Its other contact feeds something that nobody may touch: the switch is hands-off, the pin that it tells is not.
SEALED = (
    BOX_VAN.replace('closes 1 to case in open at "side door"', "closes 1 to case in open closes 3 to 4 in shut")
    .replace("BX.F4 10A mini\n", "BX.F4 10A mini, BX.F5 10A mini\n")
    .replace("feeds BX.F1..F4", "feeds BX.F1..F5")
    .replace('sheet "1"', 'module STEP "side step guard" supply 1 ground 2 hands-off sealed\nsheet "1"')
    + "BX.F5 -> SLIDE.3\nSLIDE.4 -> STEP.1\nSTEP.2 -> case\n"
)


def test_once_an_input_was_named_its_pin_and_its_switch_are_the_steps() -> None:
    its = circuit_from(BOX_VAN)
    found = steps(on_card(its, *AWAKE, NAMED))
    assert ("input-volts", ("DOORM.3",)) in found and ("unplug", ("SLIDE",)) in found


def test_of_a_switch_that_is_hands_off_the_volts_at_its_modules_pin_are_the_step() -> None:
    its = circuit_from(SEALED)
    assert not its.hands_off.may_touch("SLIDE") and its.hands_off.may_touch("DOORM.3")
    found = on_card(its, *AWAKE, NAMED)
    assert ("input-volts", ("DOORM.3",)) in steps(found)
    assert not any("SLIDE" in parts for _, parts in steps(found))
    text = " ".join(suspects_text(its.platform, found).split())
    assert "Volts to ground at DOORM.3, from behind the plug of DOORM, door control; nothing unplugged." in text
    assert "near 0 V: as in use" in text and "not near 0 V: as at rest" in text
    assert "Probe from behind, pierce nothing" in text


def test_volts_that_were_read_are_not_asked_for_again() -> None:
    its = circuit_from(SEALED)
    found = on_card(its, *AWAKE, NAMED, 'at: "09:45", volts: {DOORM.3: 0.0V}')
    assert not any(doing == "input-volts" for doing, _ in steps(found))


def test_live_data_touch_nothing_and_name_what_is_hands_off_too() -> None:
    its = circuit_from(SEALED)
    assert {"SLIDE", "REAR"} == {fault.part for fault in live_data(on_card(its, *AWAKE)).look_for}


def test_on_the_page_near_nothing_is_a_tap_and_all_else_a_number() -> None:
    """Water in a plug shows some volts: they are typed, not taken for battery volts."""
    its = circuit_from(SEALED)
    [step] = [one for one in step_values(its.platform, on_card(its, *AWAKE, NAMED), lambda _: True) if one["pin"]]
    assert step["pin"] == "DOORM.3"
    taps = {one["words"]: (one["lines"], one["place"]) for one in step["outcomes"]}
    assert taps["near 0 V: as in use"] == (["volts DOORM.3 0.0V"], "")
    assert taps["not near 0 V: as at rest"] == ([], "DOORM.3")
