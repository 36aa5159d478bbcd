"""A switch that was turned and is left so is what was done, not what is blamed; a reading that came too early is told
with its time, and no longer once the place was read asleep."""

import contextlib
import io
from pathlib import Path

import pytest

from circuitmap.cli.ending import end_of
from circuitmap.cli.main import program
from circuitmap.reports.job.clock import Clock
from circuitmap.reports.job.standing_text import headline, standing_text
from circuitmap.wiring.platform import Platform
from tests.jobs.test_found_cause import bus, job  # noqa: F401

VAN = Path(__file__).parents[2] / "sample_vehicles" / "van"
READ = ('at: "17:00", state: locked, meter: low-current clamp', 'at: "18:20", total: 0.93A')
TURNED = ('at: "18:30", turned: {S12: "open"}', 'at: "19:40", total: 0.01A')
MENDED = ('at: "20:00", mended: "STEP renewed"', 'at: "20:10", state: locked', 'at: "21:30", total: 0.60A')


def test_a_switch_turned_is_what_was_done(bus: Platform) -> None:  # noqa: F811
    found = job(bus, *READ, *TURNED).standing
    assert headline(bus, found) == "TURNED, AND LEFT SO: S12, door contact, turned to open."
    taken_out = job(bus, *READ, 'at: "18:30", out: [S12]', TURNED[1]).standing
    assert headline(bus, taken_out).startswith("INVOLVED, NOT YET GUILTY")


def test_a_switch_turned_back_is_not_left_so(bus: Platform) -> None:  # noqa: F811
    back = ('at: "19:50", turned: {S12: "shut"}', 'at: "20:50", total: 0.93A')
    (one,) = job(bus, *READ, *TURNED, *back).standing.tries
    assert (one.verdict, one.needs) == ("involved", ("which-part",))
    assert "LEFT SO" not in headline(bus, job(bus, *READ, *TURNED, *back).standing)
    again = ('at: "20:55", turned: {S12: "open"}', 'at: "22:00", total: 0.01A')
    assert headline(bus, job(bus, *READ, *TURNED, *back, *again).standing).startswith("TURNED, AND LEFT SO")


@pytest.mark.parametrize(
    ("total", "says"),
    [("0.01A", "0.010 A with it so, which is normal"), ("0.20A", "0.20 A with it so, which is still too much")],
)
def test_after_mending_the_rest_is_held_against_the_limit(bus: Platform, total: str, says: str) -> None:  # noqa: F811
    turned = ('at: "21:40", turned: {S12: "open"}', f'at: "23:00", total: {total}')
    found = job(bus, *READ, MENDED[0], MENDED[1], 'at: "21:30", total: 0.60A', *turned).standing
    text = " ".join(" ".join(standing_text(bus, found, Clock())).split())
    assert "SINCE TURNED, AND LEFT SO: S12" in text and says in text
    assert "not yet guilty" not in text.casefold()


def shown(folder: Path, *entries: str) -> str:
    card = folder / "job.yaml"
    card.write_text(f"job: 1\nplatform: {VAN}\nentries:\n" + "".join(f"  - {{{one}}}\n" for one in entries), "utf-8")
    printed = io.StringIO()
    with contextlib.redirect_stdout(printed):
        end_of(program, ["card", "show", str(card)])
    return " ".join(printed.getvalue().split())


def test_too_early_is_told_with_its_time_until_it_is_read_again(tmp_path: Path) -> None:
    begun = ('at: "08:00", state: locked', 'at: "08:06", read: {CAB.F22: 0.3mV}', 'at: "09:00", total: 1.13A')
    assert "CAB.F22 (6 min after locking) was read too early" in shown(tmp_path, *begun)
    assert "was read too early" not in shown(tmp_path, *begun, 'at: "09:05", total: 1.13A, read: {CAB.F22: 0.3mV}')
