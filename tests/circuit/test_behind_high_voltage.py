"""What an inlet of mains voltage feeds is no more touched than the inlet, as far as the load that it ends at."""

from circuitmap.circuit.hands_off import HandsOffMap
from tests.circuit.test_hands_off import map_of

HOOK_UP = """\
platform "Coachbuilt" sleep 5min..10min limit 40mA
battery LEIS 100Ah
box MB "mains unit, left locker"
breaker MB.B1 10A, MB.B2 6A
box LV "living panel"
fuse LV.F1 20A mini, LV.F2 10A mini
connector INL "hook-up inlet"{typed}
switch RCD "residual current switch" positions off, on closes 1 to 2 in on
charger CHG "charger" supply + sense L
heater BOIL "mains heating rod" supply 1 ground 2
lamp E1 supply 1 ground 2 running 5W
ground G1
? "hook-up" -> INL.L
INL.L -> RCD.1
RCD.2 -> SPM
splice SPM
SPM -> MB.B1 -> CHG.L
SPM -> MB.B2 -> BOIL.1
BOIL.2 -> G1
CHG.+ -> LV.F1 -> SPL
splice SPL
LEIS.+ -> SPL
SPL -> LV.F2 -> E1.1
E1.2 -> G1
LEIS.- -> G1
"""


def its(typed: str) -> HandsOffMap:
    return map_of(HOOK_UP.format(typed=typed))


def test_switches_breakers_and_their_box_behind_the_inlet_are_left_alone() -> None:
    found = its(" hands-off high-voltage")
    for name in ("INL", "RCD", "MB.B1", "MB.B2", "MB", "CHG.L", "BOIL.1"):
        why = found.why_not(name)
        assert why is not None and why.of == "INL" and why.reason.why == "high-voltage", name
    assert not found.may_clamp("MB")


def test_what_lies_beyond_the_charger_stays_free() -> None:
    found = its(" hands-off high-voltage")
    for name in ("LV.F1", "LV.F2", "LV", "E1", "CHG", "CHG.+"):
        assert found.may_touch(name), name


def test_nothing_of_it_is_where_the_inlet_was_not_typed_so() -> None:
    assert its("").may_touch("MB.B1") and its("").may_touch("MB")
