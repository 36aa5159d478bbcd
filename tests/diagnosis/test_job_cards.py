"""The job cards of the sample vehicles, solved entry by entry from the first reading to the confirmed part.

Checked at every step: what is known so far, the explanation that leads, and that the technician's next action is among
those advised.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import pytest

from circuitmap.diagnosis.diagnosis import Diagnosis
from tests.diagnosis.cards import after, card_of


@dataclass(frozen=True)
class Case:
    """`at_the_end` is the part, and the kind, of the explanation in first place; `advised` are (entry, action, parts)
    that must stand among the choices before that entry was made (entries counted from 1)."""

    card: str
    kinds: tuple[str, ...]
    at_the_end: tuple[str, ...]
    advised: tuple[tuple[int, str, tuple[str, ...]], ...] = ()


CASES = (
    Case("truck/jobs/0412", ("wrong-input",), ("REMOTE",), ((8, "inputs", ()),)),
    Case("truck/jobs/0398", ("by-itself",), ("EQ",), ((5, "unplug", ("EQ",)),)),
    Case("truck/jobs/0377", ("unfused",), ("ALT",), ((5, "clamp", ("MAIN.L1",)),)),
    Case("truck/jobs/0431", ("added",), ("something between the batteries of BAT",), ((3, "clamp", ("BAT.-",)),)),
    Case("van/jobs/0405", ("coil",), ("control wire of REAR.K2 to X20.8",), ((6, "unplug", ("BCM",)),)),
    Case(
        "van/jobs/0388", ("by-itself", "lamp"), ("DOORD", "TOWMOD"),
        ((6, "relay-volts", ("REAR.K3",)), (8, "relay-volts", ("REAR.K3",))),
    ),
    Case("motorhome/jobs/0366", ("contact",), ("KSPLIT",), ((6, "relay-volts", ("KSPLIT",)),)),
)  # fmt: skip


def steps(name: str) -> Iterator[Diagnosis]:
    for entries in range(1, len(card_of(name).entries) + 1):
        yield after(name, entries)


PIECE_BESIDE = {"control wire of REAR.K2 to X20.8": "wire X20.8 to BCM.C14"}
"""The other piece of the wire at fault, where no entry of the card tells the two apart."""


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.card)
def test_the_right_explanation_is_in_first_place_at_the_end(case: Case) -> None:
    diagnosis = after(case.card, len(card_of(case.card).entries))
    top = diagnosis.rows[0]
    assert tuple(sorted(top.explanation.kinds)) == tuple(sorted(case.kinds))
    assert {fault.part for fault in top.faults[0]} == set(case.at_the_end)
    for part in case.at_the_end:
        chances = {p.part: p.probability for p in diagnosis.parts}
        assert chances[part] + chances.get(PIECE_BESIDE.get(part, ""), 0.0) > 0.6
    assert diagnosis.parts[0].part in case.at_the_end


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.card)
def test_what_was_done_next_had_been_advised(case: Case) -> None:
    for entry, doing, parts in case.advised:
        diagnosis = after(case.card, entry - 1)
        offered = [(test.action.doing, test.action.parts) for test in diagnosis.tests.choices]
        # One pin of a module lifted out tells the same of it, and leaves the rest of it in.
        gentler = doing == "unplug" and any(
            its == "connector" and all(pin.rpartition(".")[0] in parts for pin in pins) for its, pins in offered
        )
        assert (doing, parts) in offered or gentler, offered


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.card)
def test_nothing_is_ever_certain_and_all_figures_are_probabilities(case: Case) -> None:
    for diagnosis in steps(case.card):
        assert 0.0 <= diagnosis.something_wrong < 1.0
        for row in diagnosis.rows:
            assert 0.0 <= row.probability < 1.0
            assert row.argument.total == pytest.approx(sum(line.decibans for line in row.argument.lines), abs=1e-9)
        for part in diagnosis.parts:
            assert 0.0 <= part.probability < 1.0
        assert len(diagnosis.tests.choices) <= 3
        for test in diagnosis.tests.choices:
            assert sum(branch.probability for branch in test.branches) == pytest.approx(1.0, abs=1e-6)


def test_a_car_with_nothing_wrong_is_told_so() -> None:
    for diagnosis in list(steps("van/jobs/0420"))[1:]:
        assert diagnosis.something_wrong < 0.1
    assert diagnosis.account is not None and diagnosis.account.total < diagnosis.tests.normal_up_to


def test_the_guilty_module_is_on_no_drawing_fuse() -> None:
    """The fuse of the air suspension was never read, and the lift's two show 0.0 mV: the network leads all the same, and
    what its inputs say decides."""
    diagnosis = after("truck/jobs/0412", 8)
    assert diagnosis.subjects[0].about == "CHASSIS"
    assert diagnosis.parts[0].part == "REMOTE"
    assert "CAB.F30" not in {segment.place for segment in diagnosis.netted.segments}
    shown = {segment.place: segment for segment in diagnosis.netted.segments}
    assert not shown["FRM.F40"].readings[0].shows_current
    assert not shown["FRM.F41"].readings[0].shows_current


def test_unplugging_the_body_computer_was_no_cure() -> None:
    before, since = after("van/jobs/0405", 5), after("van/jobs/0405", 7)

    def chance(diagnosis: Diagnosis, part: str) -> float:
        return next(p.probability for p in diagnosis.parts if p.part == part)

    assert chance(before, "BCM") > 0.2
    assert chance(since, "BCM") < 0.05
    pieces = ("control wire of REAR.K2 to X20.8", "wire X20.8 to BCM.C14")
    assert sum(chance(since, piece) for piece in pieces) > 0.9


def test_the_relays_volts_leave_its_contact() -> None:
    """Its control wire comes from a splice that holds two more relays, so little speaks for it before the look."""
    before, since = after("motorhome/jobs/0366", 5), after("motorhome/jobs/0366", 6)
    assert before.subjects[0].about == since.subjects[0].about == "KSPLIT"
    assert since.parts[0].part == "KSPLIT"
    assert since.parts[0].probability >= before.parts[0].probability > 0.9
