"""Whether a platform's files are as they were, without reading them."""

from pathlib import Path

from circuitmap.notation.folder import ENDING
from circuitmap.plain_files import real_path


def stamps_of(folder: Path) -> str:
    """What shows that a platform's files are as they were: a look at sixteen files takes a third of a millisecond."""
    try:
        found = sorted((p.name, s.st_size, s.st_mtime_ns) for p in folder.glob(f"*{ENDING}") for s in (p.stat(),))
    except OSError:
        return "unreadable"
    return repr((str(real_path(folder)), found))
