"""What makes no sense on this platform is refused when it is typed, and the card stays as it was."""

from pathlib import Path

import pytest

from circuitmap.failures import WrongUse
from circuitmap.flows.job import add_to_card, open_job

CAMPER = """\
platform "Ostrey Dunlin" sleep 5min..20min limit 40mA
battery BAT 95Ah
battery LEIS 100Ah
box HAB
fuse HAB.F1 15A mini
"""


@pytest.fixture
def card(tmp_path: Path) -> Path:
    (tmp_path / "camper").mkdir()
    (tmp_path / "camper" / "c.circuit").write_text(CAMPER)
    path = tmp_path / "job.yaml"
    path.write_text("job: 1\nplatform: camper\nentries:\n")
    return path


@pytest.mark.parametrize("line", ["total 11.4A", "HAB mV: F1 2.0; total 11.4"])
def test_a_total_of_two_batteries_names_the_forms_that_do(card: Path, line: str) -> None:
    with pytest.raises(WrongUse, match="total is for vehicles with one battery") as refused:
        add_to_card(card, line)
    its = "Name the battery: BAT=11.4A or LEIS=11.4A (in a card: read: {BAT: 11.4A})."
    assert refused.value.advice == its
    assert open_job(card).card.entries == ()


@pytest.mark.parametrize(("when", "said"), [("if LIVES", "absent: [LIVES]"), ("if not CARGO", "fitted: [CARGO]")])
def test_with_a_second_battery_that_it_may_not_have_it_tells_what_to_say_first(
    card: Path, when: str, said: str
) -> None:
    text = CAMPER.replace("battery LEIS", "option LIVES\noption CARGO\nbattery LEIS")
    second = next(line for line in text.splitlines() if line.startswith("battery LEIS"))
    (card.parent / "camper" / "c.circuit").write_text(text.replace(second, f"{second} {when}"))
    with pytest.raises(WrongUse, match="one battery") as refused:
        add_to_card(card, "total 11.4A")
    assert refused.value.advice.endswith(f"Or say that it has no LEIS, and total does: {said}.")
    card.write_text(f"job: 1\nplatform: camper\n{said}\nentries:\n")
    add_to_card(card, "total 11.4A")
    assert len(open_job(card).card.entries) == 1


def test_the_same_slip_a_second_time_is_refused_too(card: Path) -> None:
    card.write_text("job: 1\nplatform: camper\nentries:\n  - {total: 11.4A}\n")
    with pytest.raises(WrongUse, match="one battery"):
        add_to_card(card, "total 11.4A")


@pytest.mark.parametrize("log", ["floor 0.02A peak 0.01A mean 0.03A", "floor 0.02A peak 0.09A mean 0.01A"])
def test_a_log_whose_mean_is_outside_is_refused(card: Path, log: str) -> None:
    with pytest.raises(WrongUse, match="between its floor and its peak"):
        add_to_card(card, f"log BAT {log} for 9h")


def test_a_log_without_its_place_is_told_the_form(card: Path) -> None:
    with pytest.raises(WrongUse, match="at which place") as refused:
        add_to_card(card, "log floor 0.02A peak 0.09A mean 0.03A")
    assert "log BAT floor 0.05A peak 1.2A mean 0.31A" in refused.value.advice
