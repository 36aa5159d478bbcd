"""Earlier jobs move the odds as counts do."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import betabinom, dirichlet_multinomial

from circuitmap.circuit.links import circuit_of
from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.faults.fault_kinds import Kind
from circuitmap.diagnosis.faults.kind_said import kinds_in, without_kinds
from circuitmap.diagnosis.seen.experience import WORTH, Experience, experience_seen, new_kinds, new_shares
from circuitmap.evidence.evidence import Evidence
from circuitmap.evidence.job_card import read_card
from circuitmap.evidence.meters import meter_named
from circuitmap.evidence.written_readings import written_reading
from circuitmap.jobs.earlier import Beginning, ClosedJob, beginning_of, closed_job, each_once, experience_for
from circuitmap.notation.reading import read_text
from circuitmap.source import SourceFile
from circuitmap.wiring.declare import platform_of
from circuitmap.wiring.platform import Platform

VAN = """\
platform "Marlow Linnet"
battery BAT
box CAB
relay CAB.K4 "screen relay" make
module LIFT supply 1 ground 2
module HEATER supply 1 ground 2
"""


@pytest.fixture(scope="module")
def van() -> Platform:
    return platform_of([read_text(SourceFile("van.circuit", VAN))[0]])


def job(number: str, part: str, platform: str = "Marlow Linnet", kind: str = "module") -> ClosedJob:
    return ClosedJob(job=number, platform=platform, part=part, kind=kind, cause=f"{part} did it")


def fault(kind: Kind, part: str, odds: float) -> Fault:
    return Fault(kind=kind, part=part, about=part, odds=odds, brings=())


@pytest.mark.parametrize(
    ("cause", "part"),
    [("LIFT keeps the network awake", "LIFT"), ("the contact of K4 sticks", "CAB.K4"), ("CAB.K4, stuck", "CAB.K4"),
     ("a chafed wire", ""), ("lift", "")],
)  # fmt: skip
def test_the_part_in_a_cause(van: Platform, cause: str, part: str) -> None:
    card, problems = read_card(SourceFile("c.yaml", f'job: 1\nentries:\n  - cause: "{cause}"\n'))
    assert not problems
    closed = closed_job(van, card)
    assert closed is not None and closed.part == part


def test_a_job_without_a_confirmed_cause_teaches_nothing(van: Platform) -> None:
    for entry in ("remark: x", "cause: LIFT\n    struck: it was not"):
        card, _ = read_card(SourceFile("c.yaml", f"job: 1\nentries:\n  - {entry}\n"))
        assert closed_job(van, card) is None


def test_a_job_of_loads_that_do_not_work_says_nothing_of_what_draws(van: Platform) -> None:
    text = 'platform: ..\nentries:\n  - {at: "09:00", dead: [LIFT]}\n  - {at: "10:00", cause: "LIFT; kind chafed"}\n'
    card, _ = read_card(SourceFile("job.yaml", text))
    assert card is not None
    assert closed_job(van, card) is None
    struck, _ = read_card(SourceFile("job.yaml", text.replace("[LIFT]}", "[LIFT], struck: wrong car}")))
    assert struck is not None
    assert closed_job(van, struck) is not None


def test_a_card_copied_twice_counts_once(van: Platform) -> None:
    jobs = [job("7", "LIFT"), job("7", "LIFT"), job("8", "LIFT"), job("", "LIFT"), job("", "LIFT")]
    assert len(each_once(jobs)) == 3
    assert experience_for(van, jobs).same == {"LIFT": 3}
    assert experience_for(van, jobs, leave_out=Beginning("8")).same == {"LIFT": 2}


# Against a general library: the chance that the next one is a success is that of a Beta-Binomial of one draw after the
# counts.
@given(st.floats(0.001, 0.999), st.integers(0, 30), st.integers(0, 30))
def test_shares_are_beta_binomial(share: float, own: int, other: int) -> None:
    shares = {"A": share, "B": 1.0 - share}
    got = new_shares(shares, {"A": "module", "B": "relay"}, Experience(same={"A": own, "B": other}, others={}))
    wanted = betabinom(1, WORTH * share + own, WORTH * (1.0 - share) + other).pmf(1)
    assert got["A"] == pytest.approx(wanted, rel=1e-9)


def test_one_case_moves_the_odds_and_does_not_drown_them() -> None:
    shares = {f"P{n}": 0.01 for n in range(100)}
    kinds = dict.fromkeys(shares, "module")
    after = new_shares(shares, kinds, Experience(same={"P0": 1}, others={}))
    assert 0.05 < after["P0"] < 0.06
    assert sum(after.values()) == pytest.approx(1.0)


def test_other_platforms_move_the_kind_and_more_weakly() -> None:
    shares = {"K1": 0.1, "K2": 0.1, "M1": 0.8}
    kinds = {"K1": "relay", "K2": "relay", "M1": "module"}
    heard = new_shares(shares, kinds, Experience(same={}, others={"relay": 1}))
    own = new_shares(shares, kinds, Experience(same={"K1": 1}, others={}))
    assert heard["K1"] == heard["K2"] > 0.1
    assert heard["K1"] + heard["K2"] - 0.2 < 0.3 * (own["K1"] - 0.1)


@given(
    st.lists(st.floats(0.001, 1), min_size=1, max_size=6),
    st.dictionaries(st.sampled_from(("P0", "P1", "gone")), st.integers(0, 50)),
    st.dictionaries(st.sampled_from(("module", "relay", "lamp")), st.integers(0, 50)),
)
def test_shares_stay_shares(weights: list[float], same: dict[str, int], others: dict[str, int]) -> None:
    shares = {f"P{n}": weight / sum(weights) for n, weight in enumerate(weights)}
    kinds = {part: ("module", "relay")[n % 2] for n, part in enumerate(shares)}
    after = new_shares(shares, kinds, Experience(same=same, others=others))
    assert sum(after.values()) == pytest.approx(1.0)
    assert all(0.0 < share <= 1.0 + 1e-12 for share in after.values())


@pytest.mark.parametrize(
    ("cause", "kind"),
    [("X20.8, rubbed through; kind chafed", "chafed"), ("LIFT, kind keeps-awake.", "keeps-awake"),
     ("K4 sticks", None), ("K4; kind of odd", None), ("K4; kind none-of-these", None), ("kind chafed", None)],
)  # fmt: skip
def test_the_kind_of_fault_in_a_cause(van: Platform, cause: str, kind: str | None) -> None:
    card, _ = read_card(SourceFile("c.yaml", f'job: 1\nentries:\n  - cause: "{cause}"\n'))
    closed = closed_job(van, card)
    assert closed is not None and closed.fault_kinds == ((kind,) if kind else ())
    assert experience_for(van, [closed]).fault_kinds == ({kind: 1} if kind else {})


# Against a general library: the chance that the next one is of a kind is that of one draw from a Dirichlet-multinomial
# distribution after the counts.
@given(st.lists(st.floats(0.01, 1.0), min_size=3, max_size=3), st.lists(st.integers(0, 30), min_size=3, max_size=3))
def test_kinds_of_fault_are_dirichlet_multinomial(weights: list[float], counts: list[int]) -> None:
    kinds: tuple[Kind, ...] = ("added", "lamp", "chafed")
    shares = {kind: weight / sum(weights) for kind, weight in zip(kinds, weights, strict=True)}
    after = new_kinds(shares, dict(zip(kinds, counts, strict=True)))
    alpha = [WORTH * shares[kind] + count for kind, count in zip(kinds, counts, strict=True)]
    for number, kind in enumerate(kinds):
        one = [int(n == number) for n in range(3)]
        assert after[kind] == pytest.approx(dirichlet_multinomial(alpha, 1).pmf(one), rel=1e-9)


def test_what_kinds_a_shop_found_moves_faults_of_these_kinds(van: Platform) -> None:
    faults = [fault("added", "LIFT", 0.03), fault("chafed", "HEATER", 0.01)]
    [seen] = experience_seen(Experience(same={}, others={}, fault_kinds={"chafed": 10}), faults, van)
    odds = [one.odds * seen.chances[seen.touched[n]] for n, one in enumerate(faults)]
    # 20 x 1/4 + 10 of 30 jobs are of the second kind.
    assert odds[1] / sum(odds) == pytest.approx(0.5)


CARD = """\
complaint: flat after two nights
platform: ..
entries:
  - {at: "09:00", state: locked}
  - {at: "10:00", total: 1.19A}
"""
CAUSE = '  - {at: "11:00", cause: "HEATER stays awake; kind keeps-awake"}\n'


def beginning(text: str) -> Beginning:
    return beginning_of(read_card(SourceFile("c.yaml", text))[0])


def closed(van: Platform, text: str) -> ClosedJob:
    found = closed_job(van, read_card(SourceFile("c.yaml", text))[0])
    assert found is not None
    return found


def test_a_card_without_a_number_is_no_earlier_job_of_itself(van: Platform) -> None:
    jobs = [closed(van, CARD + CAUSE)]
    assert experience_for(van, jobs).same == {"HEATER": 1}
    for at_hand in (CARD + CAUSE, CARD, CARD + CAUSE + '  - {at: "12:00", mended: new plug}\n'):
        assert experience_for(van, jobs, leave_out=beginning(at_hand)).same == {}
    for other in ("1.18A", "0.60A"):
        another = beginning(CARD.replace("1.19A", other))
        assert experience_for(van, jobs, leave_out=another).same == {"HEATER": 1}
    assert experience_for(van, jobs, leave_out=beginning("job: 7\n" + CARD)).same == {}


def test_copies_of_a_card_are_one_job_and_two_jobs_with_one_cause_are_two(van: Platform) -> None:
    later = CARD + '  - {at: "10:30", out: [HEATER]}\n' + CAUSE.replace("stays awake", "never sleeps")
    assert (
        len(each_once([closed(van, CARD + CAUSE), closed(van, later), closed(van, "vehicle: x\n" + CARD + CAUSE)])) == 2
    )
    numbers = [closed(van, f"job: {n}\n{CARD}{CAUSE}") for n in (7, 8, 8)]
    assert len(each_once(numbers)) == 2


def test_other_vehicles_do_not_say_which_of_two_readings_was_a_slip() -> None:
    """A battery that gives ten times what its main fuse shows: something at its post, or a slip of the pen."""
    text = VAN + "fuse CAB.F1 50A\nlamp DOME supply 1 ground 2\nBAT.+ -> CAB.F1 -> DOME.1\n"
    circuit = circuit_of(platform_of([read_text(SourceFile("van.circuit", text))[0]]))
    readings = [written_reading(circuit.platform, said, meter_named("clamp")) for said in ("BAT=0.40A", "F1=0.04A")]
    evidence = Evidence(readings=tuple(readings))
    alone = diagnose(circuit, evidence, {}, Experience(same={}, others={}))
    heard = diagnose(circuit, evidence, {}, Experience(same={}, others={"lamp": 1}, fault_kinds={"added": 3}))
    assert heard.something_wrong == pytest.approx(alone.something_wrong) and 0.1 < alone.something_wrong < 0.999
    moved = [
        abs(a.probability - b.probability)
        for a in alone.parts for b in heard.parts if a.part == b.part
    ]  # fmt: skip
    assert max(moved) > 0.005


@pytest.mark.parametrize(
    ("cause", "rest", "kinds"),
    [
        ("K8 welded; and the wire to SP7, chafed; kind contact, kind chafed", "K8 welded; and the wire to SP7, chafed",
         ("contact", "chafed")),
        ("K8 welded, SP7 rubbed; kind contact and kind chafed.", "K8 welded, SP7 rubbed", ("contact", "chafed")),
        ("K8 welded, SP7 rubbed; kind contact; kind chafed", "K8 welded, SP7 rubbed", ("contact", "chafed")),
        ("K8 welded, SP7 rubbed; kind stuck, kind chafed", "K8 welded, SP7 rubbed", ("chafed",)),
        ("S12 burns all night; kind stuck contact", "S12 burns all night", ()),
        ("one of a kind and kind to nobody", "one of a kind and kind to nobody", ()),
    ],
)  # fmt: skip
def test_each_of_two_causes_may_say_its_kind(cause: str, rest: str, kinds: tuple[Kind, ...]) -> None:
    assert (without_kinds(cause), kinds_in(cause)) == (rest, kinds)


def test_both_kinds_teach(van: Platform) -> None:
    text = 'job: 1\nentries:\n  - cause: "LIFT, and its wire; kind by-itself, kind chafed"\n'
    closed = closed_job(van, read_card(SourceFile("c.yaml", text))[0])
    assert closed is not None
    assert experience_for(van, [closed]).fault_kinds == {"by-itself": 1, "chafed": 1}
