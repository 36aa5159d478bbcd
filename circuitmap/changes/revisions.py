"""A platform's files as they were in an earlier revision of a git repository."""

import subprocess
from pathlib import Path

from circuitmap.failures import CannotRead, WrongUse
from circuitmap.notation.folder import ENDING, LARGEST_FILE, MOST_FILES
from circuitmap.source import SourceFile

GIT_SECONDS = 30.0


def sources_at(folder: Path, revision: str) -> tuple[SourceFile, ...]:
    """The notation files that `folder` had at `revision`, in the order of their names.

    Raises WrongUse for a revision that git does not know, CannotRead where there is no git or no repository.
    """
    if revision.startswith("-"):
        raise WrongUse(f"{revision} is not a git revision.")
    if not folder.is_dir():
        raise CannotRead(f"There is no folder {folder}.")
    asked = ("rev-parse", "--verify", "--quiet", "--end-of-options", f"{revision}^{{commit}}")
    commit = _git(folder, *asked).decode().strip()
    listed = _git(folder, "ls-tree", "-z", "--name-only", commit, "./")
    names = sorted(name for name in listed.decode("utf-8", "replace").split("\0") if name.endswith(ENDING))
    if not names:
        raise CannotRead(f"There was no {ENDING} file in {folder} at {revision}.")
    if len(names) > MOST_FILES:
        raise CannotRead(f"There were more than {MOST_FILES} files in {folder} at {revision}.")
    sources = []
    for name in names:
        content = _git(folder, "cat-file", "blob", f"{commit}:./{name}")
        if len(content) > LARGEST_FILE:
            raise CannotRead(f"{name} at {revision} is larger than {LARGEST_FILE:,} bytes.")
        sources.append(SourceFile(Path(name).name, content.decode("utf-8-sig", "replace")))
    return tuple(sources)


def _git(folder: Path, *words: str) -> bytes:
    try:
        done = subprocess.run(["git", "-C", str(folder), *words], capture_output=True, timeout=GIT_SECONDS, check=False)
    except FileNotFoundError:
        raise CannotRead("git is not installed, and --git asks it for an earlier revision.") from None
    except subprocess.TimeoutExpired:
        raise CannotRead(f"git did not answer within {GIT_SECONDS:.0f} seconds.") from None
    if done.returncode == 0:
        return done.stdout
    if words[0] == "rev-parse":
        if b"not a git repository" in done.stderr:
            raise CannotRead(f"{folder} is not in a git repository.")
        raise WrongUse(f"git knows no revision {words[-1].removesuffix('^{commit}')}.")
    raise CannotRead(f"git: {done.stderr.decode('utf-8', 'replace').strip() or 'failed without a word'}")
