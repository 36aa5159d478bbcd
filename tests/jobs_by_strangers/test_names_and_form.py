"""The jobs keep to the form that README.md here describes, and name nothing that their platform does not have."""

import itertools
import re
import shlex
from pathlib import Path
from typing import Any

import pytest
import yaml

HERE = Path(__file__).parent
ROOT = HERE.parents[1]
JOBS = sorted(HERE.glob("*.yaml"))
WORDS = {"something is wrong", "nothing is wrong", "no second fault", "settled", "not settled", "wait"}
LISTS = {"first", "not first", "both", "cleared", "not cleared", "doubted", "next is one of", "next is not"}
NAME = re.compile(r"[A-Z][\w/+]*(?:[-.][\w/+]+)*(?:\.[+-])?")
READING = re.compile(r"([A-Z][\w.]*)=-?[\d.]+A")


def names_of(platform: Path) -> set[str]:
    """Every name in the text without its remarks and quoted words, and every part that a terminal or fuse belongs to."""
    found: set[str] = set()
    for file in platform.glob("*.circuit"):
        text = re.sub(r'"[^"]*"|#.*', "", file.read_text(encoding="utf-8"))
        for first, last in re.findall(r"([\w.]*\d+)\.\.([A-Z]+\d+)", text):
            stem, low = re.sub(r"\d+$", "", first), int(re.findall(r"\d+$", first)[0])
            found.update(f"{stem}{number}" for number in range(low, int(re.findall(r"\d+$", last)[0]) + 1))
        for name in NAME.findall(text):
            levels = name.split(".")
            found.update(".".join(levels[:count]) for count in range(1, len(levels) + 1))
    return found


def wires_of(platform: Path) -> set[frozenset[str]]:
    """Each two neighbours that the text writes with an arrow between them, or as a line of a fuse chart."""
    found: set[frozenset[str]] = set()
    for file in platform.glob("*.circuit"):
        for line in file.read_text(encoding="utf-8").splitlines():
            bare = re.sub(r'"[^"]*"|#.*', "", line)
            points = [
                [re.split(r"\s", end.strip())[0] for end in point.split(",")] for point in re.split("->| feeds ", bare)
            ]
            for left, right in itertools.pairwise(points):
                found.update(frozenset((one, other)) for one in left for other in right)
    return found


def named(value: Any) -> list[str]:
    if isinstance(value, list):
        return [name for item in value for name in named(item)]
    return [str(value)]


def subjects(job: dict[str, Any]) -> list[str]:
    told = [job["truth"][key] for key in ("subject", "second") if key in job["truth"]]
    for step in job["steps"]:
        told += [name for item in step["expected"] if isinstance(item, dict) for name in named(list(item.values()))]
    return [name for name in told if name not in {"nothing", "on no sheet"}]


def places(job: dict[str, Any]) -> list[str]:
    """What the entries and the words of intake name."""
    found: list[str] = []
    entries = [entry for step in job["steps"] for entry in step["said"]] + job.get("new", [])
    for entry in entries:
        line = entry if isinstance(entry, str) else entry.get("line", entry.get("strike"))
        found += READING.findall(line)
        found += re.findall(r"(?:^|; )(?:out|back|relay|network|input) ([A-Z][\w.]*)", line)
        for option, value in re.findall(r"--([a-z]+) ([A-Z][^=\s]*)", line):
            if option in {"unplugged", "relay", "input", "network", "set", "option", "without"}:
                found += re.split("[,@]", value)
    return found


@pytest.mark.parametrize("path", JOBS, ids=lambda path: path.stem)
def test_a_job_keeps_to_the_form(path: Path) -> None:
    job = yaml.safe_load(path.read_text(encoding="utf-8"))
    assert set(job) <= {"platform", "by", "new", "truth", "fitted", "steps", "own_way"}
    assert job["by"] in {"suspects", "card"}
    assert ("new" in job) == (job["by"] == "card")
    assert {"subject", "why"} <= set(job["truth"]) <= {"subject", "second", "why"}
    for step in job["steps"]:
        assert set(step) == {"said", "expected"}
        for item in step["expected"]:
            words = {item} if isinstance(item, str) else set(item)
            assert words <= (WORDS if isinstance(item, str) else LISTS)
        for entry in step["said"]:
            if job["by"] == "suspects":
                assert shlex.split(entry)
            else:
                assert set(entry) <= {"at", "line", "meter", "resolution"} or set(entry) == {"strike", "because"}
    assert {row[0] for row in job["own_way"]} == set(range(len(job["steps"]) + 1))


@pytest.mark.parametrize("path", JOBS, ids=lambda path: path.stem)
def test_minutes_stand_within_the_table(path: Path) -> None:
    table = {
        kind: (int(low), int(high or low))
        for kind, low, high in re.findall(
            r"^\| `([a-z ]+)` \| (\d+)(?: to (\d+))?", (HERE / "README.md").read_text(encoding="utf-8"), re.M
        )
    }
    for _, kind, minutes in yaml.safe_load(path.read_text(encoding="utf-8"))["own_way"]:
        low, high = table[kind]
        assert low <= minutes <= high, (kind, minutes)


@pytest.mark.parametrize("path", JOBS, ids=lambda path: path.stem)
def test_every_name_is_in_the_text_of_the_platform(path: Path) -> None:
    job = yaml.safe_load(path.read_text(encoding="utf-8"))
    platform = ROOT / job["platform"]
    known, wires = names_of(platform) | set(job.get("fitted", [])), wires_of(platform)
    assert [name for name in places(job) if name not in known] == []
    for subject in subjects(job):
        if " -> " in subject:
            assert frozenset(subject.split(" -> ")) in wires, subject
        else:
            assert subject in known, subject


def test_there_are_twenty_jobs_on_five_platforms_or_more() -> None:
    jobs = [yaml.safe_load(path.read_text(encoding="utf-8")) for path in JOBS]
    assert len(jobs) == 20
    assert len({job["platform"] for job in jobs}) >= 5
