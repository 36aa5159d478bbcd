"""Where a lock is granted to everybody, or to nobody, writers of one folder still take turns, and no entry is lost.

| what is in the way | what is promised |
|---|---|
| locks that do not lock | whoever comes second waits for whoever writes; both entries are there |
| a system without locks | the same |
| a writer that was killed | the next one goes on at once |
| one of another machine that never comes back | the next one goes on when nothing has moved for a while |
| a claim that nobody made: a pipe, a link, a folder | it is taken away, and where it leads nothing changes |
| a lock file that is no lock file | it is let alone, and where it leads nothing changes |
| a claim taken away from somebody who still writes | that writer writes nothing, says so, and can try again |
| a claim that cannot be taken away | a refusal that names it |
"""

import os
import subprocess
import sys
import threading
from collections.abc import Callable
from pathlib import Path

import filelock
import pytest

from circuitmap import one_writer, saving
from circuitmap.failures import CannotWrite
from circuitmap.one_writer import CLAIM_NAME, LOCK_NAME
from circuitmap.saving import update
from tests.cli.conftest import ROOT

pytestmark = pytest.mark.skipif(os.name != "posix", reason="links and pipes are made")


@pytest.fixture
def card(tmp_path: Path) -> Path:
    (tmp_path / "card").write_bytes(b"begun\n")
    return tmp_path / "card"


@pytest.fixture
def no_locks(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("acquire", "release"):
        monkeypatch.setattr(filelock.FileLock, name, lambda *_, **__: None)


def adding(line: bytes, meanwhile: Callable[[], None] = lambda: None) -> Callable[[bytes | None], bytes]:
    def change(now: bytes | None) -> bytes:
        meanwhile()
        return (now or b"") + line

    return change


class Second:
    """Another writer, who begins in the middle of the first one's work."""

    def __init__(self, card: Path) -> None:
        self.thread = threading.Thread(target=update, args=(card, adding(b"second\n")), daemon=True)

    def begins(self, *_: object) -> None:
        self.thread.start()
        self.thread.join(0.4)

    def ends(self) -> None:
        self.thread.join(20)
        assert not self.thread.is_alive()


def test_a_second_writer_waits_while_the_first_one_thinks(card: Path, no_locks: None) -> None:
    second = Second(card)
    update(card, adding(b"first\n", second.begins))
    second.ends()
    assert card.read_bytes() == b"begun\nfirst\nsecond\n"


def at_the_move(monkeypatch: pytest.MonkeyPatch, action: Callable[[], None]) -> None:
    """Do something, once, at the very moment between the last look and the move."""
    move, left = saving._move, [action]

    def moves(temporary: Path, path: Path) -> None:
        if left:
            left.pop()()
        move(temporary, path)

    monkeypatch.setattr(saving, "_move", moves)


def test_a_second_writer_waits_at_the_last_moment_too(
    card: Path, no_locks: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    second = Second(card)
    at_the_move(monkeypatch, second.begins)
    update(card, adding(b"first\n"))
    second.ends()
    assert card.read_bytes() == b"begun\nfirst\nsecond\n"


def test_without_the_claim_an_entry_would_be_lost_there(
    card: Path, no_locks: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Shows what the test above can find."""
    monkeypatch.setattr(one_writer, "_create", lambda claim, mine: True)
    monkeypatch.setattr(one_writer, "_said_in", lambda claim: None)
    monkeypatch.setattr(one_writer, "_who_writes", lambda: None)
    second = Second(card)
    at_the_move(monkeypatch, second.begins)
    update(card, adding(b"first\n"))
    second.ends()
    assert card.read_bytes() == b"begun\nfirst\n"


def test_many_writers_without_locks_lose_nothing(tmp_path: Path) -> None:
    """Separate processes; for more of them: `python -m tests.jobs.many_writers 30 5 --no-locks`."""
    command = [sys.executable, "-m", "tests.jobs.many_writers", "8", "3", "--no-locks"]
    done = subprocess.run(command, check=False, cwd=ROOT, capture_output=True, text=True, timeout=300)
    assert done.returncode == 0, done.stderr
    assert "24 acknowledged and there, card whole" in done.stdout


@pytest.mark.parametrize("failure", [OSError(37, "No locks available"), NotImplementedError("flock")], ids=repr)
def test_a_system_without_locks(failure: Exception, card: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def acquire(*_: object, **__: object) -> None:
        raise failure

    monkeypatch.setattr(filelock.FileLock, "acquire", acquire)
    second = Second(card)
    update(card, adding(b"first\n", second.begins))
    second.ends()
    assert card.read_bytes() == b"begun\nfirst\nsecond\n"


# ---- claims left behind ----


def left_by(process: int, began: str = "1", machine: str | None = None) -> bytes:
    return f"{machine or one_writer._machine()} {process} {began} 00\n".encode()


def ended_process() -> int:
    done = subprocess.Popen([sys.executable, "-c", ""])
    done.wait(20)
    return done.pid


@pytest.mark.parametrize("locks", [True, False])
def test_a_claim_of_a_writer_that_was_killed_holds_nobody_up(
    locks: bool, card: Path, monkeypatch: pytest.MonkeyPatch, request: pytest.FixtureRequest
) -> None:
    if not locks:
        request.getfixturevalue("no_locks")
    (card.parent / CLAIM_NAME).write_bytes(left_by(ended_process()))
    monkeypatch.setattr(one_writer.time, "sleep", lambda seconds: pytest.fail("nobody is to be waited for"))
    update(card, adding(b"first\n"))
    assert card.read_bytes() == b"begun\nfirst\n"
    assert not (card.parent / CLAIM_NAME).exists()


@pytest.mark.skipif(not Path("/proc/self/stat").exists(), reason="processes are told apart by when they began")
def test_a_number_that_another_process_has_by_now_is_not_the_writer(card: Path) -> None:
    assert one_writer._is_dead(left_by(os.getpid(), "1"))
    assert not one_writer._is_dead(left_by(os.getpid(), one_writer._began(os.getpid())))


@pytest.mark.parametrize(
    "said", [left_by(1, machine="elsewhere"), b"", left_by(os.getpid(), "0")], ids=["elsewhere", "empty", "unknown"]
)
def test_a_claim_that_nobody_can_judge_is_waited_for_but_not_for_ever(
    said: bytes, card: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    waited: list[float] = []
    monkeypatch.setattr(one_writer.time, "monotonic", lambda: sum(waited))
    monkeypatch.setattr(one_writer.time, "sleep", lambda seconds: waited.append(seconds))
    (card.parent / CLAIM_NAME).write_bytes(said)
    update(card, adding(b"first\n"))
    assert card.read_bytes() == b"begun\nfirst\n"
    assert one_writer.CLAIM_SECONDS < sum(waited) < one_writer.CLAIM_SECONDS + 1


def test_while_claims_come_and_go_nobody_is_taken_for_dead(card: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    waited: list[float] = []
    claim = card.parent / CLAIM_NAME

    def sleep(seconds: float) -> None:
        waited.append(seconds)
        claim.write_bytes(f"elsewhere 1 1 {len(waited)}\n".encode())

    monkeypatch.setattr(one_writer.time, "monotonic", lambda: sum(waited))
    monkeypatch.setattr(one_writer.time, "sleep", sleep)
    claim.write_bytes(b"elsewhere 1 1 0\n")
    with pytest.raises(CannotWrite, match="Somebody else has been writing") as refused:
        update(card, adding(b"first\n"))
    assert str(claim) in refused.value.advice
    assert card.read_bytes() == b"begun\n" and claim.exists()


@pytest.mark.parametrize("kind", ["pipe", "link", "link to nowhere", "loop", "folder", "large", "noise"])
@pytest.mark.parametrize("name", [CLAIM_NAME, LOCK_NAME])
def test_what_stands_in_place_of_a_claim_or_a_lock(
    kind: str, name: str, card: Path, tmp_path_factory: pytest.TempPathFactory
) -> None:
    victim = tmp_path_factory.mktemp("elsewhere") / "victim"
    victim.write_bytes(b"not yours\n")
    place = card.parent / name
    match kind:
        case "pipe":
            os.mkfifo(place)
        case "link":
            place.symlink_to(victim)
        case "link to nowhere":
            place.symlink_to(victim.parent / "nowhere")
        case "loop":
            place.symlink_to(place)
        case "folder":
            place.mkdir()
        case "large":
            with open(place, "wb") as file:
                file.truncate(3_000_000_000)
        case "noise":
            place.write_bytes(b"\xff\0 1 2 3 \n\n4")
    update(card, adding(b"first\n"))
    assert card.read_bytes() == b"begun\nfirst\n"
    assert victim.read_bytes() == b"not yours\n" and [p.name for p in victim.parent.iterdir()] == ["victim"]


def test_a_claim_that_is_taken_away_from_somebody_who_still_writes(card: Path) -> None:
    claim = card.parent / CLAIM_NAME
    with pytest.raises(CannotWrite, match="nothing was written"):
        update(card, adding(b"first\n", claim.unlink))
    assert card.read_bytes() == b"begun\n"
    with pytest.raises(CannotWrite, match="nothing was written"):
        update(card, adding(b"first\n", lambda: (claim.unlink(), claim.write_bytes(b"mine now\n"))))  # type: ignore[func-returns-value]
    assert claim.read_bytes() == b"mine now\n", "the other one's claim stays"


def test_nothing_is_left_beside_the_card(card: Path) -> None:
    update(card, adding(b"first\n"))
    with pytest.raises(ZeroDivisionError):
        update(card, lambda now: bytes(1 // 0))
    assert {p.name for p in card.parent.iterdir()} <= {"card", LOCK_NAME}


def test_a_disk_where_a_file_has_one_name_only(card: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def link(*_: object) -> None:
        raise OSError(1, "Operation not permitted")

    monkeypatch.setattr(os, "link", link)
    second = Second(card)
    update(card, adding(b"first\n", second.begins))
    second.ends()
    assert card.read_bytes() == b"begun\nfirst\nsecond\n"
    assert {p.name for p in card.parent.iterdir()} <= {"card", LOCK_NAME}
