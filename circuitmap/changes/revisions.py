"""A platform's files as they were in an earlier revision of a git repository."""

from pathlib import Path
from typing import NamedTuple

from circuitmap.changes.asking_git import Git, GitAnswer
from circuitmap.failures import CannotRead, LimitReached, WrongUse
from circuitmap.notation.folder import ENDING, LARGEST_FILE, LARGEST_PLATFORM, MOST_FILES
from circuitmap.source import SourceFile

_LARGEST_LIST = 10_000_000
"""Bytes for a list of everything that a folder held: room for a few more entries than a folder may have."""
_FILE = ("100644", "100755", "100664")
"""How git marks a plain file; it has other marks for a link and for a repository inside."""


class _Kept(NamedTuple):
    """A file as git keeps it: its name in the revision, and git's name for its content."""

    name: str
    content: str
    size: int


def sources_at(folder: Path, revision: str) -> tuple[SourceFile, ...]:
    """The notation files that `folder` had at `revision`, in the order of their names.

    Raises WrongUse for a revision that git does not know, CannotRead where there is no git or no repository, or an
    object is missing in it, since nothing is fetched. LimitReached for more than a platform may be, before it is read.
    """
    if revision.startswith("-"):
        raise WrongUse(f"{revision} is not a git revision.")
    if not folder.is_dir():
        raise CannotRead(f"There is no folder {folder}.")
    git = Git(folder)
    commit = _commit(git, revision)
    kept = _files(git, commit, revision)
    names = "".join(f"{file.content}\n" for file in kept)
    room = sum(file.size + 200 for file in kept)
    answer = git.asked("cat-file", "--batch", given=names.encode("ascii"), most=room)
    if answer.code or not answer.whole:
        raise _missing(answer, folder, revision)
    return tuple(_told(kept, answer.told, folder, revision))


def _commit(git: Git, revision: str) -> str:
    answer = git.asked("rev-parse", "--verify", "--quiet", "--end-of-options", f"{revision}^{{commit}}")
    if answer.code == 0:
        return answer.told.decode("ascii", "replace").strip()
    if "not a git repository" in answer.complaint:
        raise CannotRead(f"{git.folder} is not in a git repository.")
    if "dubious ownership" in answer.complaint:
        raise CannotRead(f"git: {answer.complaint}")
    if "fatal:" in answer.complaint:
        raise _missing(answer, git.folder, revision)
    raise WrongUse(f"git knows no revision {revision}.")


def _files(git: Git, commit: str, revision: str) -> list[_Kept]:
    """The notation files of the folder, by name; whether they are too much is known before any of them is read."""
    folder = git.folder
    answer = git.asked("ls-tree", "-z", "-l", commit, "./", most=_LARGEST_LIST)
    if not answer.whole:
        raise LimitReached(f"There was too much in {folder} at {revision} to be one platform.")
    if answer.code:
        raise _missing(answer, folder, revision)
    found: list[_Kept] = []
    for line in answer.told.decode("utf-8", "replace").split("\0"):
        marks, _, name = line.partition("\t")
        name = name.rpartition("/")[2]
        if not name.endswith(ENDING) or name.startswith("."):
            continue
        mode, _, content, size = marks.split()
        if mode not in _FILE or not name.isprintable():
            raise CannotRead(f"{name!a} in {folder} at {revision} is not a file with a plain name.")
        if not size.isdecimal():  # git writes BAD where the content is missing
            raise _missing(answer, folder, revision)
        found.append(_Kept(name, content, int(size)))
        if found[-1].size > LARGEST_FILE:
            raise LimitReached(f"{name} at {revision} is larger than {LARGEST_FILE:,} bytes.")
    if not found:
        raise CannotRead(f"There was no {ENDING} file in {folder} at {revision}.")
    if len(found) > MOST_FILES:
        raise LimitReached(f"There were more than {MOST_FILES} files in {folder} at {revision}.")
    if sum(file.size for file in found) > LARGEST_PLATFORM:
        raise LimitReached(f"The notation in {folder} at {revision} was larger than {LARGEST_PLATFORM:,} bytes.")
    return sorted(found)


def _told(kept: list[_Kept], told: bytes, folder: Path, revision: str) -> list[SourceFile]:
    """The files' contents from what git told: before each comes a line with git's name for it, its kind and its
    size."""
    sources = []
    for file in kept:
        head, _, rest = told.partition(b"\n")
        if head != f"{file.content} blob {file.size}".encode():
            raise CannotRead(f"git could not give {file.name} in {folder} at {revision}.", _NOT_FETCHED)
        sources.append(SourceFile(file.name, rest[: file.size].decode("utf-8-sig", "replace")))
        told = rest[file.size + 1 :]
    return sources


_NOT_FETCHED = "What is missing in the repository is not fetched: git fetch it first, if you trust where it comes from."


def _missing(answer: GitAnswer, folder: Path, revision: str) -> CannotRead:
    why = f": {answer.complaint.splitlines()[-1]}" if answer.complaint else ""
    return CannotRead(f"git could not give what was in {folder} at {revision}{why}.", _NOT_FETCHED)
