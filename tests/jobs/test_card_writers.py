"""Nothing torn and nothing acknowledged lost, whoever is killed and however many write at once."""

import os
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from circuitmap.evidence.job_card import read_card
from circuitmap.saving import CannotWrite, update
from circuitmap.source import SourceFile
from tests.saving.killing import BEGIN, DONE, killed_everywhere

ROOT = Path(__file__).parents[2]
PLATFORM = 'platform "Marlow Linnet"\nbattery BAT 72Ah\nbox CAB\nfuse CAB.F22 20A mini\n'
CARD = b"job: '1'\nplatform: van\nentries:\n  - at: 10:02\n    state: locked\n"

ADDING = f"""
import sys
from pathlib import Path
import filelock
from circuitmap import job_bench
{BEGIN}
update = job_bench.update
def marked(path, change):
    mark()
    update(path, change)
job_bench.update = marked
%s
{DONE}
"""
ADD = 'job_bench.add_to_card(Path(sys.argv[1]), "F22=0.46A", at="10:50")'
STRIKE = 'job_bench.strike_on_card(Path(sys.argv[1]), 1, "wrong van")'


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    (tmp_path / "shop/van").mkdir(parents=True)
    (tmp_path / "shop/van/v.circuit").write_text(PLATFORM)
    return tmp_path / "shop"


@pytest.mark.slow
@pytest.mark.parametrize("writer", [ADD, STRIKE], ids=["add", "strike"])
def test_killed_at_every_system_call_a_card_is_old_or_new(shop: Path, writer: str) -> None:
    card = shop / "job.yaml"
    seen = set()
    for acknowledged in killed_everywhere(ADDING % writer, [str(card)], shop, {"job.yaml": CARD}):
        content = card.read_bytes()
        found, problems = read_card(SourceFile("job.yaml", content.decode()))
        assert not problems and len(found.entries) in (1, 2)
        assert content != CARD or not acknowledged
        seen.add(content)
    assert CARD in seen and len(seen) == 2


@pytest.mark.slow
def test_people_writing_at_once_lose_nothing(shop: Path) -> None:
    """Processes of their own, as at several desks; each entry is there once, and the card is whole."""
    card = shop / "job.yaml"
    card.write_bytes(CARD)
    writers, each = 16, 4
    program = (
        "import sys; from pathlib import Path; from circuitmap.job_bench import add_to_card\n"
        f"for n in range({each}): add_to_card(Path(sys.argv[1]), f'remark {{sys.argv[2]}}:{{n}}', at='11:00')"
    )
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}

    def one(number: int) -> int:
        command = [sys.executable, "-c", program, str(card), str(number)]
        return subprocess.run(command, check=False, env=environment).returncode

    with ThreadPoolExecutor(writers) as pool:
        assert set(pool.map(one, range(writers))) == {0}
    found, problems = read_card(SourceFile("job.yaml", card.read_text()))
    assert not problems
    remarks = [entry.remark.value for entry in found.entries if entry.remark is not None]
    assert sorted(remarks) == sorted(f"{w}:{n}" for w in range(writers) for n in range(each))


@pytest.mark.slow
def test_two_hundred_writers_of_twenty_entries_each(shop: Path) -> None:
    """The writer alone, 4,000 times: what each adds is a line of its own, and the file is valid after every one."""
    card = shop / "job.yaml"
    card.write_bytes(CARD)
    refused: list[int] = []
    line = b"  - {at: 11:00, remark: "

    def one(number: int) -> None:
        for entry in range(20):

            def change(now: bytes | None, said: bytes = f"{number}:{entry}".encode()) -> bytes:
                assert now is not None and now.startswith(CARD) and now.endswith(b"\n")
                return now + line + b'"' + said + b'"}\n'

            for _ in range(20):
                try:
                    update(card, change)
                    break
                except CannotWrite:  # refused in so many words after waiting for its turn: try again
                    refused.append(number)
            else:
                raise AssertionError("refused twenty times")

    with ThreadPoolExecutor(200) as pool:
        list(pool.map(one, range(200)))
    found, problems = read_card(SourceFile("job.yaml", card.read_text()))
    assert not problems
    remarks = {entry.remark.value for entry in found.entries if entry.remark is not None}
    assert len(found.entries) == 4001 and len(remarks) == 4000
