"""Many people adding to one card at once: nothing acknowledged is lost, and the card is whole at every moment.

`python -m tests.jobs.many_writers [WRITERS [ENTRIES]] [--no-locks]` (200 and 20 by default): each entry is a
`circuitmap card add` in a process of its own, WRITERS of them at any time. A refusal must be a message with exit code
3; that entry is tried again. A further process reads the card all the while. Linux and macOS (processes are forked).
With `--no-locks` every lock is granted to everybody, as on some shared folders.
"""

import contextlib
import io
import os
import signal
import sys
import tempfile
import time
from collections import Counter
from dataclasses import dataclass, field
from pathlib import Path

from circuitmap.cli.ending import end_of
from circuitmap.cli.main import collect_seldom, program
from circuitmap.evidence.job_card import read_card
from circuitmap.source import SourceFile

PLATFORM = 'platform "Marlow Linnet"\nbattery BAT 72Ah\nbox CAB\nfuse CAB.F22 20A mini\n'
CARD = b"job: '1'\nplatform: van\nentries:\n  - at: 10:02\n    state: locked\n"
REFUSED = 3
SECONDS_BETWEEN_LOOKS = 0.1


@dataclass(slots=True)
class Outcome:
    """How many entries were acknowledged, what was said when one was refused, and how often the card was looked at."""

    acknowledged: int = 0
    refusals: Counter[str] = field(default_factory=Counter)
    looks: int = 0
    seconds: float = 0.0


def name_of(writer: int, entry: int) -> str:
    """What an entry says; no two say the same."""
    return f"writer {writer} entry {entry}"


def add(card: Path, said: str, answer: Path) -> int:
    """Start `circuitmap card add` in a process of its own; its output goes to `answer`. Returns the process."""
    process = os.fork()
    if process:
        return process
    try:
        handle = os.open(answer, os.O_WRONLY | os.O_CREAT | os.O_TRUNC)
        os.dup2(handle, 1)
        os.dup2(handle, 2)
        code = end_of(program, ["card", "add", str(card), "remark", said, "--at", "11:00"])
        sys.stdout.flush()
        sys.stderr.flush()
        os._exit(code)
    finally:
        os._exit(99)


def keep_looking(card: Path) -> tuple[int, int]:
    """Start a process that reads the card again and again, and ends with 1 at once if it finds it damaged.

    It stops when told to (SIGTERM). Returns the process and a pipe with a byte for each look.
    """
    looks, tell = os.pipe()
    process = os.fork()
    if process:
        os.close(tell)
        return process, looks
    try:
        before = b""
        while True:
            now = card.read_bytes()
            assert now.startswith(before), "an entry that was there is gone"
            whole(now)
            before = now
            os.write(tell, b".")
            time.sleep(SECONDS_BETWEEN_LOOKS)
    finally:
        os._exit(1)


def whole(content: bytes) -> list[str]:
    """The remarks of a card that has no problems; an error if it has any."""
    found, problems = read_card(SourceFile("job.yaml", content.decode()))
    assert not problems, problems
    assert content.startswith(CARD) and content.endswith(b"\n")
    assert all(entry.at is not None for entry in found.entries)
    return [entry.remark.value for entry in found.entries if entry.remark is not None]


def write_at_once(shop: Path, writers: int, each: int) -> Outcome:
    """`writers` at a time until each has added its `each` entries."""
    card = lay_out(shop)
    answers = shop / "answers"
    answers.mkdir()
    outcome = Outcome()
    begun = time.monotonic()
    reader, looks = keep_looking(card)
    at_work = {add(card, name_of(writer, 0), answers / str(writer)): (writer, 0) for writer in range(writers)}
    kept = b""
    while at_work:
        process, status = os.wait()
        assert process != reader, "the reader found the card damaged"
        writer, entry = at_work.pop(process)
        name, code = name_of(writer, entry), os.waitstatus_to_exitcode(status)
        now = card.read_bytes()
        assert now.startswith(kept) and now.endswith(b"\n"), "an entry that was there is gone"
        kept = now
        if code == 0:
            assert f"remark: {name}\n".encode() in now, f"{name} was acknowledged and is not there"
            outcome.acknowledged += 1
            entry += 1
        else:
            message = (answers / str(writer)).read_text()
            assert code == REFUSED and message.startswith("circuitmap: "), (code, message)
            assert f"remark: {name}\n".encode() not in now, f"{name} was refused and is there"
            outcome.refusals[message.replace(str(shop), "SHOP")] += 1
        if entry < each:
            at_work[add(card, name_of(writer, entry), answers / str(writer))] = (writer, entry)
    outcome.seconds = time.monotonic() - begun
    os.kill(reader, signal.SIGTERM)
    assert os.waitstatus_to_exitcode(os.waitpid(reader, 0)[1]) == -signal.SIGTERM, "the reader found the card damaged"
    while seen := os.read(looks, 65536):
        outcome.looks += len(seen)
    remarks = whole(card.read_bytes())
    wanted = sorted(name_of(writer, entry) for writer in range(writers) for entry in range(each))
    assert sorted(remarks) == wanted, "lost, or there twice"
    left = sorted(p.name for p in shop.iterdir() if p.name not in ("van", "job.yaml", "answers", ".circuitmap.lock"))
    assert not left, left
    return outcome


def lay_out(shop: Path) -> Path:
    """A platform and a card with one entry, in a new folder. Returns the card."""
    (shop / "van").mkdir(parents=True)
    (shop / "van/v.circuit").write_text(PLATFORM)
    card = shop / "job.yaml"
    card.write_bytes(CARD)
    return card


def load_all(shop: Path) -> None:
    """Add an entry in this very process, so that everything it imports is there when it is forked."""
    with contextlib.redirect_stdout(io.StringIO()):
        assert end_of(program, ["card", "add", str(lay_out(shop)), "remark", "first", "--at", "11:00"]) == 0


def without_locks() -> None:
    """From now on a lock is granted to whoever asks, no matter who else has it."""
    import filelock

    for name in ("acquire", "release"):
        setattr(filelock.FileLock, name, lambda *_, **__: None)


def main(words: list[str]) -> None:
    os.environ["CIRCUITMAP_CACHE"] = ""
    if "--no-locks" in words:
        without_locks()
        words = [word for word in words if word != "--no-locks"]
    writers, each = (int(word) for word in (*words, *("200", "20")[len(words) :]))
    collect_seldom()
    with tempfile.TemporaryDirectory() as scratch:
        load_all(Path(scratch) / "first")
        outcome = write_at_once(Path(scratch) / "shop", writers, each)
        card = Path(scratch) / "shop/job.yaml"
        begun = time.monotonic()
        os.waitpid(add(card, "one more", Path(scratch) / "answer"), 0)
        alone = time.monotonic() - begun
    print(f"{writers} writers x {each} entries: {outcome.acknowledged} acknowledged and there, card whole", end="")
    print(f" in {outcome.looks} looks; {outcome.seconds:.0f} s, one more alone {alone:.2f} s")
    print(f"{sum(outcome.refusals.values())} refused and tried again")
    for message, times in outcome.refusals.items():
        print(f"  {times} times: {message}", end="")


if __name__ == "__main__":
    main(sys.argv[1:])
