"""The paper that the shop owns, to lie beside what is typed from it: pictures and PDF files in the folder `paper` of a
platform.

Only the typing page shows them, to paired devices; nothing that leaves the shop reads this folder.
"""

import hashlib
import os
from pathlib import Path
from typing import NamedTuple

from circuitmap.failures import CannotRead
from circuitmap.plain_files import read_plain

FOLDER = "paper"
KINDS = {
    ".jpg": ("image/jpeg", b"\xff\xd8\xff"),
    ".jpeg": ("image/jpeg", b"\xff\xd8\xff"),
    ".png": ("image/png", b"\x89PNG\r\n\x1a\n"),
    ".pdf": ("application/pdf", b"%PDF-"),
}
"""By the ending of a name: what a browser is told, and how such a file begins (JPEG: ISO/IEC 10918-1; PNG: ISO/IEC
15948; PDF: ISO 32000-1; all from memory)."""
LARGEST_PAPER = 30_000_000
"""Most bytes of one of them."""
MOST_PAPERS = 300
"""How many are listed."""


class Paper(NamedTuple):
    """`key` is how it is asked for: nobody sends the name of a file."""

    key: str
    name: str
    is_pdf: bool


def papers_of(folder: Path) -> tuple[tuple[Paper, ...], int]:
    """The papers of a platform, by name, and how many more there are."""
    try:
        with os.scandir(folder / FOLDER) as entries:
            names = sorted(entry.name for entry in entries if Path(entry.name).suffix.lower() in KINDS)
    except OSError:
        return (), 0
    names = [name for name in names if name.isprintable() and not name.startswith(".")]
    found = tuple(Paper(_key_of(name), name, name.lower().endswith(".pdf")) for name in names[:MOST_PAPERS])
    return found, len(names) - len(found)


def paper_content(folder: Path, key: str) -> tuple[bytes, str]:
    """What a paper holds, and of which kind it is. Raises CannotRead for one that is not there, or is no such file."""
    paper = next((its for its in papers_of(folder)[0] if its.key == key), None)
    if paper is None:
        raise CannotRead("There is no such paper any more.")
    kind, begins = KINDS[Path(paper.name).suffix.lower()]
    try:
        content = read_plain(folder / FOLDER / paper.name, LARGEST_PAPER, follow=False).content
    except OSError as error:
        raise CannotRead(f"{paper.name} cannot be read: {error.strerror}.") from None
    if not content.startswith(begins):
        raise CannotRead(f"{paper.name} is not what its name says.")
    return content, kind


def _key_of(name: str) -> str:
    return hashlib.sha256(name.encode("utf-8", "surrogatepass")).hexdigest()[:16]
