"""Two batteries that a fault joins share what another fault takes: the share goes with the load, at both of them, and
all of it comes from its own battery once the contact is open."""

import pytest

from circuitmap.circuit.links import Circuit
from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.faults.without import Without
from circuitmap.diagnosis.next_test.expectations import Expectations, moments_of
from circuitmap.diagnosis.prepared import Prepared, prepared_for
from circuitmap.evidence.evidence import Evidence
from circuitmap.flows.diagnosis import TypedEvidence, evidence_typed
from tests.diagnosis.test_answers import circuit_from

FERRY = """
platform "Sulwick Ferryman" sleep 5min..10min limit 50mA
battery SB "starter battery" 90Ah
battery HB "cabin battery" 110Ah
fuse FA 80A, FB 80A, FH 30A regular, FL 10A regular, FC 5A regular, FD 10A regular
relay TIE "separating relay" make
alternator ALT
module CLK "clock" supply 1 ground 2 asleep 5mA awake 120mA
module LOG "heater control" supply 1 ground 2 asleep 3mA awake 250mA
heater WARM "locker heater" running 2A
switch WS positions off, on closes 1 to 2 in on
lamp HORN "front lamp" running 1A
switch LS positions off, on closes 1 to 2 in on
terminal BA, BB
ground GND
SB.+ -> BA
BA -> FA -> TIE.30
TIE.87 -> FB -> BB
HB.+ -> BB
ALT.D+ -> TIE.86
TIE.85 -> GND
BA -> FC -> CLK.1
CLK.2 -> GND
BA -> FD -> LS.1
LS.2 -> HORN.1
HORN.2 -> GND
BB -> FH -> WS.1
WS.2 -> WARM.1
WARM.2 -> GND
BB -> FL -> LOG.1
LOG.2 -> GND
SB.- -> GND
HB.- -> GND
"""
"""A heater that was fitted later takes 1.20 A at FL. With the relay closed 0.55 A of it come from the starter side."""

CARD = ("SB=0.555A", "HB=0.655A")
CLOSED = ("FA=0.55A", "FL=1.20A", "FC=0.005A", "FH=0A", "FD=0A")
OUT = ("night heater@SB=0.005A", "night heater@HB=0.003A")
OPEN = ("TIE@SB=0.005A", "TIE@HB=1.203A")


@pytest.fixture(scope="module")
def ferry() -> Circuit:
    return circuit_from(FERRY)


@pytest.fixture(scope="module")
def ready(ferry: Circuit) -> Prepared:
    return prepared_for(ferry, {}, Evidence())


def asked(its: Circuit, *words: str, out: tuple[str, ...] = ()) -> Diagnosis:
    typed = TypedEvidence(
        readings=words, meter="clamp", resolution="1mA", unplugged=out, fitted=("night heater from FL",)
    )
    return diagnose(its, evidence_typed(its.platform, typed), {})


def joined_pairs(ready: Prepared) -> list[tuple[Fault, Fault, Fault]]:
    """Each fault that stands for one that joins the batteries and one that takes, with the two."""
    found = []
    for pair in ready.together:
        both = ready.joint[pair.as_fault - len(ready.faults)]
        joins, takes = ready.faults[pair.first], ready.faults[pair.second]
        if any(flow.joins_batteries for flow in joins.brings):
            found.append((both, joins, takes))
    return found


def at(flows, place: str) -> float:  # type: ignore[no-untyped-def]
    return moments_of(flow for flow in flows if place in flow.way.places).mean


def side_of(fault: Fault) -> set[str]:
    return {flow.way.places[-1] for flow in fault.brings if flow.way.places}


def test_there_are_such_pairs_on_either_side(ready: Prepared) -> None:
    sides = {frozenset(side_of(takes)) for _, joins, takes in joined_pairs(ready) if joins.part == "TIE"}
    assert {frozenset({"HB"}), frozenset({"SB"})} <= sides


def test_what_the_other_battery_gives_hangs_on_the_load(ready: Prepared) -> None:
    """For all of them: with the load out the other battery gives nothing over the contact; with the contact out the
    load takes what it takes, from its own battery."""
    for both, joins, takes in joined_pairs(ready):
        (own,) = side_of(takes)
        other = "SB" if own == "HB" else "HB"
        crossing = [flow for flow in both.brings if flow.joins_batteries]
        assert at(crossing, other) > 0.0
        culprit = takes.module or takes.part
        if culprit in ready.parked.platform.parts:
            left = Without(ready.parked, (culprit,)).left_of(both)
            assert not any(flow.joins_batteries for flow in left), (joins.part, takes.part)
        if joins.part in ready.parked.platform.parts:
            left = Without(ready.parked, (joins.part,)).left_of(both)
            assert at(left, other) == 0.0 and at(left, own) == pytest.approx(at(takes.brings, own))


def test_it_is_foretold_as_it_is_weighed(ready: Prepared) -> None:
    expected = Expectations(ready.parked, ready.tree, ready.joint)
    for out in ("TIE", "LOG", "CLK", "FL", "FA", "FB", "FD"):
        without = Without(ready.parked, (out,))
        for place in ("SB", "HB"):
            numbers, left = expected.left((out,), place)
            foretold = dict(zip(numbers.tolist(), left[0].tolist(), strict=True))
            for n, both in enumerate(ready.joint):
                told = foretold.get(n, at(both.brings, place))
                assert told == pytest.approx(at(without.left_of(both), place), abs=0.01), (out, place, both.part)


def test_the_load_out_proves_both(ferry: Circuit) -> None:
    """The very try that goes at both batteries does not speak against the contact that joins them."""
    before, after = asked(ferry, *CARD, *CLOSED), asked(ferry, *CARD, *CLOSED, out=OUT)
    assert after.two_faults > 0.9
    assert chance_of(after, "TIE") > 0.5 and chance_of(after, "night heater") > 0.9
    assert chance_of(after, "something on FA") < max(chance_of(before, "something on FA"), 0.02)
    assert after.unexplained_tries == ()


def test_the_contact_out_proves_both(ferry: Circuit) -> None:
    found = asked(ferry, *CARD, *CLOSED, out=(*OUT, *OPEN))
    assert [one.outcome for one in found.tried] == ["normal", "normal", "normal", "took over"]
    assert chance_of(found, "TIE") > 0.9 and chance_of(found, "night heater") > 0.9


def test_a_load_that_goes_at_its_own_battery_alone_leaves_the_contact_closed_or_not(ferry: Circuit) -> None:
    """0.55 A go on at the starter side: they are not the heater's, and no share of it."""
    goes_on = ("night heater@SB=0.555A", "night heater@HB=0.003A")
    found = asked(ferry, *CARD, "FC=0.005A", "FH=0A", "FD=0A", out=goes_on)
    both_go = asked(ferry, *CARD, "FC=0.005A", "FH=0A", "FD=0A", out=OUT)
    assert chance_of(found, "TIE") < 0.2 < 0.5 < chance_of(both_go, "TIE")


def chance_of(found: Diagnosis, part: str) -> float:
    return sum(its.probability for its in found.parts if part in its.part)


def test_with_the_load_known_what_joins_the_batteries_is_proven_next(ferry: Circuit) -> None:
    """Its proof is what is left: the load was out, and took all that went."""
    its = {"readings": (*CARD, *CLOSED), "meter": "clamp", "resolution": "1mA", "fitted": ("night heater from FL",)}
    stuck = {"relays": ("TIE=stuck",)}
    before = diagnose(ferry, evidence_typed(ferry.platform, TypedEvidence(**its, **stuck)), {})
    after = diagnose(ferry, evidence_typed(ferry.platform, TypedEvidence(**its, **stuck, unplugged=OUT)), {})
    assert before.tests.mend != "TIE" and after.tests.mend == "TIE"


def test_a_fuse_on_either_side_of_the_contact_parts_what_crosses(ready: Prepared) -> None:
    """And none that only stands between the load and its own battery."""
    for both, joins, takes in joined_pairs(ready):
        if joins.part != "TIE" or side_of(takes) != {"HB"}:
            continue
        for fuse in ("FA", "FB"):
            left = Without(ready.parked, (fuse,)).left_of(both)
            assert not any(flow.joins_batteries and flow.mean > 0.0 for flow in left), (fuse, takes.part)


def test_the_contact_parted_by_its_fuse_leaves_all_at_its_own_battery(ferry: Circuit) -> None:
    """FA out: the starter side gives nothing more, and the cabin battery all of it."""
    out = ("FA@SB=0.005A", "FA@HB=1.203A")
    found = asked(ferry, *CARD, *CLOSED, out=out)
    assert [one.outcome for one in found.tried] == ["normal", "took over"]
    assert chance_of(found, "TIE") > 0.5 and found.unexplained_tries == ()
