"""Asks git about a repository that somebody else may have set up: git tells what is there and runs nothing.

A repository's own configuration can name commands for nearly everything that git does, and fetch what is missing from
anywhere. Here options that outrank the repository's forbid all that, whichever command is asked: nothing is fetched; no
hook, filter, watcher, pager, editor or helper is run. Git also gets little time and little memory, and its answer is
read up to a limit.
"""

import contextlib
import os
import shutil
import signal
import subprocess
import threading
import time
from dataclasses import dataclass, field
from pathlib import Path

from circuitmap.failures import CannotRead

GIT_SECONDS = 5.0
"""For everything that is asked on one occasion; judgement: a large repository on a slow disk takes one or two."""
GIT_MEMORY = 400_000_000
"""Bytes that git may take beyond the files it looks into, where the system can enforce that; judgement."""
_LARGEST_COMPLAINT = 4000

_RUN_NOTHING = (
    ("protocol.allow", "never"), ("core.fsmonitor", "false"), ("core.hooksPath", os.devnull),
    ("core.sshCommand", "false"), ("core.gitProxy", ""), ("core.askPass", ""), ("credential.helper", ""),
    ("core.alternateRefsCommand", "exit 0"), ("uploadpack.packObjectsHook", ""), ("core.pager", "cat"),
    ("core.editor", "false"), ("sequence.editor", "false"), ("diff.external", ""), ("gpg.program", "false"),
    ("gpg.openpgp.program", "false"), ("gpg.x509.program", "false"), ("gpg.ssh.program", "false"),
    ("log.showSignature", "false"), ("core.attributesFile", os.devnull), ("submodule.recurse", "false"),
    ("gc.auto", "0"), ("maintenance.auto", "false"), ("safe.bareRepository", "explicit"),
)  # fmt: skip
"""What outranks the repository's configuration. Names that somebody chooses there (`filter.NAME.clean`) cannot be
listed; nothing that is asked here looks at them, and tests make sure that it stays so."""

_SURROUNDINGS = {
    "GIT_ALLOW_PROTOCOL": "none", "GIT_NO_LAZY_FETCH": "1", "GIT_TERMINAL_PROMPT": "0", "GIT_OPTIONAL_LOCKS": "0",
    "GIT_ASKPASS": "false", "SSH_ASKPASS": "false", "GIT_SSH_COMMAND": "false", "GIT_EDITOR": "false",
    "GIT_PAGER": "cat", "GIT_ATTR_NOSYSTEM": "1", "LC_ALL": "C",
}  # fmt: skip
_THE_USERS_OWN = (
    "GIT_CONFIG_GLOBAL", "GIT_CONFIG_SYSTEM", "GIT_CONFIG_NOSYSTEM", "GIT_EXEC_PATH", "GIT_CEILING_DIRECTORIES",
    "GIT_DISCOVERY_ACROSS_FILESYSTEM",
)  # fmt: skip
"""Of git's environment variables, those that say where git and the user's own settings are. The others would point it
to another repository, or make it write."""


@dataclass(frozen=True, slots=True)
class GitAnswer:
    """How git ended, what it told (`whole`: all of it), and what it complained of."""

    code: int
    told: bytes
    whole: bool
    complaint: str


@dataclass(slots=True)
class Git:
    """git, for the questions of one occasion about one folder."""

    folder: Path
    _ends: float = field(default_factory=lambda: time.monotonic() + GIT_SECONDS)

    def asked(self, *words: str, given: bytes = b"", most: int = 1_000_000) -> GitAnswer:
        """What `git WORDS` answers in the folder, up to `most` bytes. Raises CannotRead where there is no git, or it
        does not answer in time."""
        settings = [word for name, value in _RUN_NOTHING for word in ("-c", f"{name}={value}")]
        command = [_program(), "--no-pager", *settings, "-C", str(self.folder), *words]
        try:
            process = subprocess.Popen(
                command,
                stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
                stderr=subprocess.PIPE,
                env=_surroundings(),
                start_new_session=True,
            )
        except OSError as error:
            raise CannotRead(f"git cannot be run: {error.strerror}.") from None
        with _Bounded(process, self._ends - time.monotonic()) as bounded:
            told, complaint = bounded.answers(given, most)
        if bounded.too_late:
            raise CannotRead(
                f"git did not answer within {GIT_SECONDS:.0f} seconds.", "Does git status in that folder answer?"
            )
        said = complaint.decode("utf-8", "replace").strip()
        return GitAnswer(process.returncode, told[:most], len(told) <= most, said)


class _Bounded:
    """A process that is stopped, with everything it started, when its time is over or nobody wants the rest."""

    def __init__(self, process: "subprocess.Popen[bytes]", seconds: float) -> None:
        self.process = process
        self.too_late = False
        self._watch = threading.Timer(max(0.0, seconds), self._stop_late)
        self._watch.daemon = True

    def __enter__(self) -> "_Bounded":
        _hold_to_memory(self.process.pid)
        self._watch.start()
        return self

    def __exit__(self, *_: object) -> None:
        self._stop()
        self.process.wait()
        self._watch.cancel()
        for pipe in (self.process.stdin, self.process.stdout, self.process.stderr):
            if pipe is not None:
                with contextlib.suppress(OSError):
                    pipe.close()

    def answers(self, given: bytes, most: int) -> tuple[bytes, bytes]:
        """Its output, up to one byte more than `most`, and the first of its complaints."""
        complaint = bytearray()
        aside = [
            threading.Thread(target=self._listen, args=(complaint,), daemon=True),
            threading.Thread(target=self._give, args=(given,), daemon=True),
        ]
        for thread in aside:
            thread.start()
        assert self.process.stdout
        told = self.process.stdout.read(most + 1)
        if len(told) <= most:
            self.process.wait()
        self._stop()
        for thread in aside:
            thread.join(1.0)  # what it left running may hold the pipe open longer
        return told, bytes(complaint)

    def _listen(self, complaint: bytearray) -> None:
        assert self.process.stderr
        with contextlib.suppress(OSError, ValueError):
            while piece := os.read(self.process.stderr.fileno(), 65536):
                complaint.extend(piece[: _LARGEST_COMPLAINT - len(complaint)])

    def _give(self, given: bytes) -> None:
        assert self.process.stdin
        with contextlib.suppress(OSError, ValueError):
            self.process.stdin.write(given)
        with contextlib.suppress(OSError, ValueError):
            self.process.stdin.close()

    def _stop_late(self) -> None:
        self.too_late = True
        self._stop()

    def _stop(self) -> None:
        """End it, if it has not ended, and whatever it started: that would hold the pipes open."""
        if self.process.returncode is not None:
            return
        with contextlib.suppress(OSError):
            if hasattr(os, "killpg"):
                os.killpg(self.process.pid, signal.SIGKILL)
            else:
                self.process.kill()


def _hold_to_memory(process: int) -> None:
    with contextlib.suppress(ImportError, AttributeError, OSError):
        import resource

        resource.prlimit(process, resource.RLIMIT_DATA, (GIT_MEMORY, GIT_MEMORY))


def _program() -> str:
    found = shutil.which("git", path=_path())
    if found is None or not os.path.isabs(found):
        raise CannotRead("git is not installed, or is in none of the folders that PATH names.")
    return found


def _path() -> str:
    """The absolute folders of PATH: a program in the current folder is not meant."""
    folders = os.environ.get("PATH", os.defpath).split(os.pathsep)
    return os.pathsep.join(folder for folder in folders if os.path.isabs(folder))


def _surroundings() -> dict[str, str]:
    kept = {name: said for name, said in os.environ.items() if not name.startswith("GIT_") or name in _THE_USERS_OWN}
    return {**kept, **_SURROUNDINGS, "PATH": _path()}
