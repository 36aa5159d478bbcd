"""A wire that leads off the drawn sheets is held to feed what is hands-off only where the text leaves room for it: a
cable of the vehicle's own supply does not feed a mains inlet because both lead somewhere."""

import pytest

from tests.circuit.test_hands_off import map_of

BARGE = """\
platform "Grain barge" supply 24V
battery HOUSE 200Ah
fuse N1 60A "feed of the panel", N2 10A mini "to the next sheet", N3 15A mini "bilge pump"
relay TIE make
box PANEL
motor BILGE supply 1 ground 2
connector QUAY "quay inlet"{inlet}
breaker RES.L 16A, RES.N 16A
charger CHG "charger" supply + sense L, N
module AIR "corner unit" supply 1 ground 2{air}
ground G1
HOUSE.+ -> N1 -> TIE.30
TIE.87 -> N2
N2 -> ? {goes_on}
HOUSE.+ -> N3 -> BILGE.1
BILGE.2 -> G1
? {mains} -> QUAY.L
? {mains} -> QUAY.N
QUAY.L -> RES.L -> CHG.L
QUAY.N -> RES.N -> CHG.N
CHG.+ -> HOUSE.+
? {airs} -> AIR.1
AIR.2 -> G1
HOUSE.- -> G1
"""
INLET = " hands-off high-voltage"


def held(
    goes_on: str, mains: str = '"quay mains"', inlet: str = INLET, air: str = "", airs: str = '"spare"'
) -> set[str]:
    found = map_of(BARGE.format(goes_on=goes_on, mains=mains, inlet=inlet, air=air, airs=airs))
    return {name for name in ("N1", "N2", "TIE", "N3") if not found.may_touch(name)}


@pytest.mark.parametrize("goes_on", ('"sheet 12, not supplied"', '"winch, see the yard"', ""))
def test_the_own_supply_does_not_feed_a_mains_inlet(goes_on: str) -> None:
    assert held(goes_on) == set()


@pytest.mark.parametrize("goes_on", ('"quay mains"', '"Quay  mains"'))
def test_where_the_label_is_the_same_the_safe_side_stays(goes_on: str) -> None:
    assert {"N1", "N2"} <= held(goes_on)


@pytest.mark.parametrize("why", ("restraint", "gas"))
def test_two_sheets_seldom_use_the_same_words_for_the_feed_of_a_restraint(why: str) -> None:
    assert {"N1", "N2"} <= held('"sheet 12"', air=f" hands-off {why}", airs='"from the fuse box"')


@pytest.mark.parametrize(
    ("goes_on", "airs"), (('"sheet 12"', '"from the fuse box"'), ('"driver"', '"driver"'), ("", ""))
)
def test_a_unit_at_high_voltage_may_be_fed_by_what_leads_off_the_sheets(goes_on: str, airs: str) -> None:
    assert {"N1", "N2"} <= held(goes_on, air=" hands-off high-voltage", airs=airs)


def test_what_has_no_open_end_stays_free_in_any_case() -> None:
    assert "N3" not in held('"quay mains"')
