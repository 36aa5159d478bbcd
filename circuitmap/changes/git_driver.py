"""Sets up git to merge notation by statement, so that nothing is lost if this program cannot run at that moment."""

import shlex
import sys
from pathlib import Path

from circuitmap.changes.asking_git import Git
from circuitmap.failures import CannotRead, CannotWrite
from circuitmap.notation.folder import ENDING
from circuitmap.plain_files import real_path

ATTRIBUTES = ".gitattributes"
ATTRIBUTES_LINE = f"*{ENDING} merge=circuitmap"

_DRIVER = """\
mv %A %A.ours || exit 255
{program} merge %O %A.ours %B -o %A --name %P
code=$?
if test $code -gt 1 || ! test -f %A; then
  code=1
  git merge-file -p -q -L ours -L base -L theirs %A.ours %O %B >%A.lines
  if test $? -lt 127; then
    echo {by_line}: %P >&2
  else
    echo {whole}: %P >&2
    {{
      echo "<<<<<<< ours"; cat %A.ours; echo
      echo "======="; cat %B; echo
      echo ">>>>>>> theirs"
    }} >%A.lines || exit 255
  fi
  mv -f %A.lines %A || exit 255
fi
rm -f %A.ours
exit $code
"""
"""What git runs. It first takes git's file (`%A`, ours) away: where that file is missing afterwards, git calls the
merge failed and leaves everything as it was, whichever process was killed. Left in place it would pass for the result,
without theirs.

Exit code 1 with a file means a conflict in it; 1 without a file, a Python that did not find this program. For whatever
else went wrong, git's own merge by lines stands in, and counts as a conflict even without marks: somebody has to look
at it.
"""
_BY_LINE = "circuitmap could not merge this; git merged it line by line. Look at all of it before git add"
_WHOLE = "circuitmap could not merge this, nor git line by line; both versions stand in it. Keep what is right of both"


def driver_command() -> str:
    """The shell commands for git's `merge.circuitmap.driver`, with the full path of the Python that runs now.

    `-P`: a file in somebody's repository that is named like one of our modules is not ours.
    """
    program = f"{shlex.quote(Path(sys.executable).as_posix())} -P -m circuitmap"
    return _DRIVER.format(program=program.replace("%", "%%"), by_line=shlex.quote(_BY_LINE), whole=shlex.quote(_WHOLE))


def set_up_git(folder: Path) -> Path:
    """Configure the repository that `folder` is in, and return its attributes file, which names the notation files.

    Raises CannotRead where there is no git or no repository, CannotWrite where the attributes cannot be written,
    ChangedMeanwhile where somebody else writes them.
    """
    from circuitmap.saving import read_content, replace_unlocked

    top = Path(_git(folder, "rev-parse", "--show-toplevel"))
    if (top / ATTRIBUTES).is_symlink():
        raise CannotWrite(f"{top / ATTRIBUTES} is a link; nothing was set up.", "Put a file of its own in its place.")
    _refuse_what_lies_elsewhere(folder, top, Path(_git(folder, "rev-parse", "--git-path", "config")))
    _git(folder, "config", "merge.circuitmap.name", "notation, statement by statement")
    _git(folder, "config", "merge.circuitmap.driver", driver_command())
    attributes = top / ATTRIBUTES
    before = read_content(attributes)
    text = (before or b"").decode("utf-8", "surrogateescape")
    if ATTRIBUTES_LINE not in text.splitlines():
        start = text if not text or text.endswith("\n") else text + "\n"
        replace_unlocked(attributes, f"{start}{ATTRIBUTES_LINE}\n".encode("utf-8", "surrogateescape"), before)
    return attributes


def _refuse_what_lies_elsewhere(folder: Path, top: Path, config: Path) -> None:
    """A repository can claim that its files, or its own settings, are somewhere else altogether; nothing is written
    there on its word."""
    here = real_path(folder)
    own = next((place for place in (here, *here.parents) if (place / ".git").exists()), None)
    if own is None or real_path(top) != own:
        raise CannotWrite(f"The repository of {here} has its files elsewhere, in {top}; nothing was written.")
    config = folder / config
    if config.is_symlink():
        raise CannotWrite(f"{config} is a link; nothing was written.", "Put the file itself there.")


def _git(folder: Path, *words: str) -> str:
    answer = Git(folder).asked(*words)
    if answer.code:
        said = answer.complaint
        if "not a git repository" in said:
            raise CannotRead(f"{folder.resolve()} is not in a git repository.", "Go into it first, or type git init.")
        raise CannotRead(f"git: {said or 'failed without a word'}")
    return answer.told.decode("utf-8", "surrogateescape").removesuffix("\n")
