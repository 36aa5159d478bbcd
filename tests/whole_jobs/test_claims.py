"""What is said with 95 % and more is true at every step of jobs that strangers wrote, and the end of each is told."""

import re
import tempfile
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any, NamedTuple

import pytest
import yaml

from tests.jobs_by_strangers.asking import run

HERE = Path(__file__).parent
ROOT = HERE.parents[1]
JOBS = sorted(HERE.glob("*.yaml"))
SURE = 0.95
SOUND = 0.5
KNOWN = HERE / "known.txt"


class Answer(NamedTuple):
    """What was answered after a step; `told`: the cause was on the card by then."""

    step: int
    fields: dict[str, Any]
    told: bool


def answers(path: Path) -> Iterator[Answer]:
    """The card after each step, put to the program."""
    job = yaml.safe_load(path.read_text(encoding="utf-8"))
    platform = ROOT / job["platform"]
    card = f"job: {path.stem}\nplatform: {platform}\n{job['intake']}entries:\n"
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "card.yaml"
        for number, step in enumerate(job["steps"], 1):
            entries = step if isinstance(step, str) else step["entries"]
            if not isinstance(step, str):
                at = f'at: "{step["strike"]}"\n'
                card = card.replace(at, f'{at}    struck: "{step["because"]}"\n', 1)
            card += "".join(f"  {line}\n" for line in entries.splitlines())
            file.write_text(card, encoding="utf-8")
            fields = run("suspects", str(platform), "--card", str(file), "--json", "--without-earlier-jobs")
            yield Answer(
                number, fields, bool(re.search(r"^ +(- \{.*)?cause: ", card, re.MULTILINE)) or "cause:" in card
            )


def false_claims(fields: dict[str, Any], truth: Iterable[str]) -> list[str]:
    """The parts and subjects that are said to be at fault and are not."""
    its = [(one["part"], one["probability"]) for one in fields["parts"]]
    its += [(one["about"], one["probability"]) for one in fields["subjects"]]
    return [name for name, probability in its if probability >= SURE and not is_true(name, truth)]


def is_true(name: str, truth: Iterable[str]) -> bool:
    return any(re.fullmatch(one, name) for one in truth)


def problems(path: Path) -> list[str]:
    """All that does not hold of a job, each in one line."""
    truth = yaml.safe_load(path.read_text(encoding="utf-8"))["truth"]
    found = []
    all_answers = list(answers(path))
    for step, fields, told in all_answers:
        if "error" in fields:
            return [*found, f"{path.stem} {step} refused: {fields['error']['message']}"]
        if not told:
            found += [f"{path.stem} {step} says {name}" for name in false_claims(fields, truth)]
    before = [its.fields for its in all_answers if not its.told][-1]
    if truth:
        heads = [before["parts"][0]["part"], before["subjects"][0]["about"]]
        if not any(is_true(head, truth) for head in heads):
            found.append(f"{path.stem} does not find it: {', '.join(heads)}")
    last = all_answers[-1].fields["something_wrong"]
    if last > SOUND:
        found.append(f"{path.stem} still seeks at the end")
    return found


@pytest.mark.parametrize("path", JOBS, ids=[path.stem for path in JOBS])
def test_what_is_claimed_is_true(path: Path) -> None:
    lines = KNOWN.read_text(encoding="utf-8").splitlines()
    known = {line.partition("  #")[0] for line in lines if line.startswith(f"{path.stem} ")}
    assert set(problems(path)) == known


def test_a_false_claim_is_seen() -> None:
    said = {"parts": [{"part": "K1", "probability": 0.96}], "subjects": [{"about": "N", "probability": 0.94}]}
    assert false_claims(said, ["K2", "N"]) == ["K1"]
    assert not false_claims(said, ["K1"])
    assert not false_claims(said, ["K."])
