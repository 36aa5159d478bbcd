"""A sample story played from intake to report, with the commands in its README."""

import re
import shlex
from pathlib import Path

import pytest

from circuitmap.cli.ending import end_of
from circuitmap.cli.main import program
from circuitmap.flows.job import open_job
from circuitmap.jobs.job import Job

SAMPLES = Path(__file__).parents[2] / "sample_vehicles"


def story() -> list[list[str]]:
    text = (SAMPLES / "van" / "README.md").read_text("utf-8")
    block = re.search(r"^```sh\n(.*?)^```", text, re.DOTALL | re.MULTILINE)
    assert block is not None
    return [shlex.split(line)[1:] for line in block[1].splitlines()]


@pytest.fixture(scope="module")
def played(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, list[str]]:
    """The folder in which the story was played, and the stage after each command that changed the card."""
    room = tmp_path_factory.mktemp("story")
    (room / "sample_vehicles").symlink_to(SAMPLES, target_is_directory=True)
    stages = []
    with pytest.MonkeyPatch.context() as patch:
        patch.chdir(room)
        for words in story():
            assert end_of(program, words) == 0, words
            if words[:2] == ["card", "add"]:
                stages.append(open_job(room / "van-0417.yaml").standing.stage)
    return room, stages


def the_job(played: tuple[Path, list[str]]) -> Job:
    return open_job(played[0] / "van-0417.yaml")


def test_the_stages_of_the_job(played: tuple[Path, list[str]]) -> None:
    stages = list(dict.fromkeys(played[1]))
    assert stages == ["not-read", "draws", "involved", "mended", "repaired"]


def test_the_verdicts(played: tuple[Path, list[str]]) -> None:
    tries = {one.out: one for one in the_job(played).standing.tries}
    assert tries[("BCM",)].verdict == "cleared"
    relay = tries[("REAR.K2",)]
    assert relay.verdict == "involved" and [test.what for test in relay.failed] == ["inputs"]
    assert {change.place for change in relay.changes} >= {"BAT", "REAR.F72", "REAR.F73", "CAB.F27"}


def test_the_report(played: tuple[Path, list[str]]) -> None:
    page = (played[0] / "van-0417.html").read_text("utf-8")
    headings = ("You told us", "We found", "How we know", "To mend", "We put back")
    for words in (*headings, "REPAIRED", "14.80 A", "0.04 A", "Jessamy Orford"):
        assert words in page
    assert "0.04 A with it out" in page and "A after<" not in page and "Until then" not in page
    assert "What the readings say" in page and "control wire of REAR.K2 to X20.8 and wire X20.8 to BCM.C14" in page
    assert "<svg" in page and "struck: read on the wrong fuse" in page
    assert (played[0] / "van-0417.pdf").read_bytes().startswith(b"%PDF")


def test_the_shared_page_has_no_customer(played: tuple[Path, list[str]]) -> None:
    page = (played[0] / "van-0417-shared.html").read_text("utf-8")
    assert "Jessamy" not in page and "Orford" not in page and "REPAIRED" in page
