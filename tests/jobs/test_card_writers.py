"""Nothing acknowledged is lost and a card is whole, however many write at once."""

import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from circuitmap.evidence.job_card import read_card
from circuitmap.saving import CannotWrite, update
from circuitmap.source import SourceFile

ROOT = Path(__file__).parents[2]
CARD = b"job: '1'\nplatform: van\nentries:\n  - at: 10:02\n    state: locked\n"


@pytest.mark.slow
@pytest.mark.skipif(sys.platform == "win32", reason="processes are forked")
def test_people_adding_at_once_lose_nothing() -> None:
    """The command itself, in processes of their own, as at several desks; 200 writers of 20 entries take a quarter of
    an hour: `python -m tests.jobs.many_writers`."""
    command = [sys.executable, "-m", "tests.jobs.many_writers", "30", "5"]
    done = subprocess.run(command, check=False, cwd=ROOT, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    assert "30 writers x 5 entries: 150 acknowledged and there, card whole" in done.stdout


@pytest.mark.slow
@pytest.mark.skipif(sys.platform == "win32", reason="processes are forked")
def test_they_lose_nothing_where_locks_do_not_lock() -> None:
    command = [sys.executable, "-m", "tests.jobs.many_writers", "30", "5", "--no-locks"]
    done = subprocess.run(command, check=False, cwd=ROOT, capture_output=True, text=True, timeout=600)
    assert done.returncode == 0, done.stderr
    assert "30 writers x 5 entries: 150 acknowledged and there, card whole" in done.stdout


@pytest.mark.slow
def test_two_hundred_writers_of_nineteen_entries_each(tmp_path: Path) -> None:
    """The writer alone, 3,800 times, nearly as much as a card may hold: what each adds is a line of its own, and the file
    is valid after every one."""
    card = tmp_path / "job.yaml"
    card.write_bytes(CARD)
    refused: list[int] = []
    line = b"  - {at: 11:00, remark: "

    def one(number: int) -> None:
        for entry in range(19):

            def change(now: bytes | None, said: bytes = f"{number}:{entry}".encode()) -> bytes:
                assert now is not None and now.startswith(CARD) and now.endswith(b"\n")
                return now + line + b'"' + said + b'"}\n'

            for _ in range(20):
                try:
                    update(card, change)
                    break
                except CannotWrite:  # refused in plain words after waiting for its turn: try again
                    refused.append(number)
            else:
                raise AssertionError("refused twenty times")

    with ThreadPoolExecutor(200) as pool:
        list(pool.map(one, range(200)))
    found, problems = read_card(SourceFile("job.yaml", card.read_text()))
    assert not problems
    remarks = {entry.remark.value for entry in found.entries if entry.remark is not None}
    assert len(found.entries) == 3801 and len(remarks) == 3800
