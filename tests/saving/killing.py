"""Killing a command at each of its system calls, from its first touch of a file to its end, and looking at what is
left.

`python -m tests.saving.killing [NAME...]` runs the table of writers (or these of it) and prints a line for each. The
command runs in this process until it is about to write. There it is forked, once for each system call that is to come;
each child goes on with the same command and is killed one call later than the child before.
"""

import contextlib
import dataclasses
import json
import os
import re
import subprocess
import sys
import tempfile
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from circuitmap import saving
from circuitmap.cli.ending import end_of
from circuitmap.cli.main import program
from circuitmap.one_writer import CLAIM_NAME, LEFT_OVER_SUFFIX, LOCK_NAME
from circuitmap.shelf import index
from tests.saving.stopping import CannotWatch, ask_to_be_watched, killed_at
from tests.saving.writers import WRITERS, Writer

CANNOT_WATCH = 77
ROOT = Path(__file__).parents[2]
MAY_BE_LEFT = re.compile(
    rf"(^|/)({re.escape(LOCK_NAME)}|{re.escape(CLAIM_NAME)}|\.[^/]*{re.escape(LEFT_OVER_SUFFIX)})$"
)
Command = Callable[[list[str]], int]
ONCE_MORE = "from circuitmap.shelf import index; index.JUST_NOW = 0.0; from circuitmap.cli.main import run; run()"


@dataclass(slots=True)
class Found:
    """The result of a row: how often the command was killed, before and after the new content stood, and what went
    wrong.

    `torn`: a file that is neither old nor new, is gone, or is unexpected. `lost`: acknowledged but not there.
    `hindered`: the same command, given once more, did not do its work.
    """

    killed: int = 0
    old: int = 0
    new: int = 0
    torn: list[str] = field(default_factory=list)
    lost: list[str] = field(default_factory=list)
    hindered: list[str] = field(default_factory=list)

    def sound(self) -> bool:
        return not (self.torn or self.lost or self.hindered) and self.old > 0 and self.new > 0


def circuitmap(words: list[str]) -> int:
    """The command itself, as the program runs it."""
    return end_of(program, words)


def begins_to_write(event: str, args: tuple[Any, ...], watched: Path) -> bool:
    """Whether an audit event of Python is the first that can change something below a folder."""
    if event == "open":
        path, mode, flags = args
        if not (flags & (os.O_WRONLY | os.O_RDWR | os.O_CREAT | os.O_TRUNC) or set(mode or "") & set("wax+")):
            return False
    elif event in ("os.mkdir", "os.rename", "os.remove", "os.truncate", "os.chmod", "os.link", "os.symlink"):
        path = args[0]
    else:
        return False
    return isinstance(path, (str, bytes, os.PathLike)) and Path(os.fsdecode(path)).absolute().is_relative_to(watched)


class Killing:
    """One row: the command, the folder it works in, and what was found."""

    def __init__(self, writer: Writer, scratch: Path, command: Command) -> None:
        self.writer, self.scratch, self.command = writer, scratch, command
        self.work = scratch / "work"
        self.shop = self.work / "shop"
        self.watched = self.work / "cache" if writer.cache else self.shop
        self.found = Found()
        self.driver = os.getpid()
        self.armed = False
        self.once_more: set[tuple[tuple[str, bytes], ...]] = set()

    def run(self) -> Found:
        words = self.writer.words.split()
        os.environ["CIRCUITMAP_CACHE"] = str(self.work / "cache") if self.writer.cache else ""
        index.JUST_NOW = 0.0  # what is set up here is to be remembered at once
        self.prepare(self.scratch / "first/shop")
        os.chdir(self.scratch / "first/shop")
        self.quietly(lambda: self.command(words))  # from now on, everything it imports is loaded
        self.prepare(self.shop)
        os.chdir(self.shop)
        if self.writer.cache:
            self.quietly(lambda: self.command(words))
            self.writer.change(self.shop)
        sys.addaudithook(self.hear)
        self.hear_of_locks()
        self.armed = True
        code = self.quietly(lambda: self.command(words))
        if os.getpid() != self.driver:
            os._exit(code)
        assert not self.armed, "the command wrote nothing"
        assert code == 0, (self.scratch / "answer").read_text()
        return self.found

    def prepare(self, shop: Path) -> None:
        shop.mkdir(parents=True)
        self.writer.lay_out(shop)

    def quietly(self, action: Callable[[], int]) -> int:
        """Run it with its answer going to a file, as a child's must, to be looked at when the child is dead."""
        out, error = os.dup(1), os.dup(2)
        handle = os.open(self.scratch / "answer", os.O_WRONLY | os.O_CREAT | os.O_TRUNC | os.O_APPEND)
        os.dup2(handle, 1)
        os.dup2(handle, 2)
        os.close(handle)
        try:
            return action()
        finally:
            sys.stdout.flush()
            sys.stderr.flush()
            os.dup2(out, 1)
            os.dup2(error, 2)
            os.close(out)
            os.close(error)

    def hear(self, event: str, args: tuple[Any, ...]) -> None:
        """Python is about to do something: if it is to write, this is where the killing begins."""
        if self.armed and begins_to_write(event, args, self.watched):
            self.armed = False
            self.kill_everywhere()

    def hear_of_locks(self) -> None:
        """A lock must not be forked when it is half made, so begin before it."""
        as_usual = saving._alone_in

        def alone_in(folder: Path) -> contextlib.AbstractContextManager[None]:
            self.hear("os.mkdir", (folder,))
            return as_usual(folder)

        saving._alone_in = alone_in

    def kill_everywhere(self) -> None:
        """In the children this returns too: each goes on with the command."""
        before = self.contents(self.work)
        child = os.fork()
        if child == 0:
            return ask_to_be_watched()
        code = killed_at(child, None)
        assert code == 0, (code, (self.scratch / "answer").read_text())
        old, new = self.visible(before), self.visible(self.contents(self.work))
        assert old != new
        number = 0
        while code is not None:
            number += 1
            self.restore(before)
            os.truncate(self.scratch / "answer", 0)
            child = os.fork()
            if child == 0:
                return ask_to_be_watched()
            ended = killed_at(child, number)
            self.look(number, ended, old, new)
            if ended is not None:
                break
            self.found.killed += 1
        self.restore(before)
        return None

    def look(self, number: int, ended: int | None, old: dict[str, bytes], new: dict[str, bytes]) -> None:
        now = self.contents(self.work)
        seen = self.visible(now)
        acknowledged = ended == 0 or (self.scratch / "answer").stat().st_size > 0
        for name in old.keys() | new.keys() | seen.keys():
            if seen.get(name) not in ([old[name], new.get(name)] if name in old else [None, new.get(name)]):
                self.found.torn.append(f"call {number}: {name}")
        if acknowledged and not self.writer.cache and seen != new:
            self.found.lost.append(f"call {number}")
        self.found.old += seen == old
        self.found.new += seen == new
        state = tuple(sorted((re.sub(r"\.\d+-[0-9a-f]+\.", ".", name), said(name, now[name])) for name in now))
        if state not in self.once_more:
            self.once_more.add(state)
            self.do_it_again(number, old, new)

    def do_it_again(self, number: int, old: dict[str, bytes], new: dict[str, bytes]) -> None:
        """The same command in a process of its own, among what the killed one left."""
        if self.command is not circuitmap:
            return
        done = subprocess.run(
            [sys.executable, "-c", ONCE_MORE, *self.writer.words.split()],
            check=False,
            capture_output=True,
            text=True,
            env={**os.environ, "PYTHONPATH": str(ROOT)},
        )
        now = self.visible(self.contents(self.work))
        if done.returncode not in self.writer.again or not self.writer.then(old, new, now):
            self.found.hindered.append(f"call {number}: {done.returncode} {done.stderr}")

    @staticmethod
    def contents(folder: Path) -> dict[str, bytes]:
        """All files below a folder except git's own."""
        files = (path for path in sorted(folder.rglob("*")) if path.is_file())
        return {str(p.relative_to(folder)): p.read_bytes() for p in files if ".git" not in p.parts}

    @staticmethod
    def visible(files: dict[str, bytes]) -> dict[str, bytes]:
        """Leaves out what a writer may leave beside the files."""
        return {name: content for name, content in files.items() if not MAY_BE_LEFT.search(name)}

    def restore(self, before: dict[str, bytes]) -> None:
        now = self.contents(self.work)
        for name in now.keys() - before.keys():
            (self.work / name).unlink()
        for name, content in before.items():
            if now.get(name) != content:
                (self.work / name).write_bytes(content)


def said(name: str, content: bytes) -> bytes:
    """What a file holds; of a claim, which names the process, only whether it is complete."""
    return content[-1:] if CLAIM_NAME in name else content


def torn_writer(words: list[str]) -> int:
    """A writer as it must not be: it overwrites the file in place."""
    Path("out").write_bytes(b"new\n" * 3000)
    return 0


def hasty_writer(words: list[str]) -> int:
    """A writer as it must not be: it says that it is done before it is."""
    handle = os.open(".out.1-1.unfinished", os.O_WRONLY | os.O_CREAT)
    os.write(1, b"done\n")
    os.write(handle, b"new\n")
    os.close(handle)
    os.replace(".out.1-1.unfinished", "out")
    return 0


UNSOUND: dict[str, Command] = {"torn": torn_writer, "hasty": hasty_writer}
"""What this file must be able to find to be worth anything."""


def killed_everywhere(name: str) -> Found:
    """Gives the result for a row of the table, or for an unsound writer. Changes this process's folder and
    environment."""
    with tempfile.TemporaryDirectory() as scratch:
        home = os.getcwd()
        writer = WRITERS.get(name, Writer(words="", there=("out",)))
        try:
            return Killing(writer, Path(scratch).resolve(), UNSOUND.get(name, circuitmap)).run()
        except CannotWatch:
            sys.exit(CANNOT_WATCH)
        finally:
            if os.path.isdir(home):
                os.chdir(home)


def main(names: list[str]) -> None:
    if len(names) == 1:
        print(json.dumps(dataclasses.asdict(killed_everywhere(names[0]))))
        return
    total = 0
    for name in names or WRITERS:
        done = subprocess.run([sys.executable, "-m", __spec__.name, name], check=True, capture_output=True, text=True)
        found = Found(**json.loads(done.stdout))
        total += found.killed
        print(f"{name:20} killed {found.killed:4}, old {found.old:4}, new {found.new:4};", end=" ")
        print(f"torn {len(found.torn)}, lost {len(found.lost)}, hindered {len(found.hindered)}")
    print(f"{total} kills")


if __name__ == "__main__":
    main(sys.argv[1:])
