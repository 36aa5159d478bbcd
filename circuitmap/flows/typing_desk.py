"""The typing page's desk: a sheet's text is taken, looked through, drawn and written, and nobody's work is lost.

It knows no network. Nobody sends the name of a file: a piece is asked for by a key. One thread asks at a time.
"""

import hashlib
from collections import OrderedDict
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, NamedTuple

from circuitmap.failures import CannotRead, WrongUse
from circuitmap.flows.papers import papers_of
from circuitmap.flows.platforms_there import PlatformsThere
from circuitmap.flows.reread import JustRead, Rereading
from circuitmap.flows.sheet_pictures import SheetPictures
from circuitmap.flows.stamps import stamps_of
from circuitmap.flows.transcribing import Addition, addition, write_addition
from circuitmap.notation.folder import read_folder
from circuitmap.problems import Severity
from circuitmap.saving import ChangedMeanwhile
from circuitmap.source import SourceFile
from circuitmap.transcribing.pieces import TypedPiece, with_piece
from circuitmap.transcribing.templates import TEMPLATES

LONGEST_PIECE = 200_000
"""Characters of a piece that can be typed in on the page."""
_MOST_TRIED = 8
"""How many states of text are remembered to be drawn."""


class TriedText(NamedTuple):
    """A state of the text that may not be written yet: the piece in it, and how it is asked for to be drawn."""

    just_read: JustRead
    piece: TypedPiece
    saved: JustRead
    revision: str


@dataclass
class TypingDesk:
    """The platforms of a shop, to be typed in."""

    platforms: PlatformsThere
    pictures: SheetPictures = field(default_factory=SheetPictures)
    _reading: dict[Path, Rereading] = field(default_factory=dict)
    _saved: dict[Path, tuple[str, JustRead]] = field(default_factory=dict)
    _tried: "OrderedDict[str, TriedText]" = field(default_factory=OrderedDict)

    def pieces(self, key: str) -> dict[str, Any]:
        """What can be typed in: each sheet, what stands before the first in each file, and the papers."""
        from circuitmap.reports.bay.typed_there import piece_values

        folder = self.platforms.folder(key)
        saved = self.saved(key)
        self.pictures.make_ready()
        papers, left_out = papers_of(folder)
        return {
            "title": saved.folder.platform.name or folder.name,
            "pieces": [{"key": piece_key(its), **piece_values(its)} for its in saved.pieces],
            "papers": [paper._asdict() for paper in papers],
            "papers_left_out": left_out,
            "templates": [{"word": its.word, "what": its.what} for its in TEMPLATES],
        }

    def piece(self, key: str, its_key: str) -> dict[str, Any]:
        """The text of one piece as it stands in its file."""
        from circuitmap.reports.bay.typed_there import piece_values

        piece = self.found(self.saved(key), its_key)
        if len(piece.text) > LONGEST_PIECE:
            raise WrongUse(f"A piece that is typed here has at most {LONGEST_PIECE:,} characters.")
        return {"key": its_key, "text": piece.text, **piece_values(piece)}

    def tried(self, key: str, its_key: str, text: str) -> dict[str, Any]:
        """What is wrong in a text, what is open on its sheet, and the revision by which its drawing is asked for.
        Nothing is written."""
        from circuitmap.reports.bay.typed_there import tried_values

        tried = self.trial(key, its_key, text)
        self._tried[tried.revision] = tried
        self._tried.move_to_end(tried.revision)
        while len(self._tried) > _MOST_TRIED:
            self._tried.popitem(last=False)
        its = tried.just_read
        folder, before = its.folder, tried.saved.problems
        values = tried_values(folder.platform, folder.notations, its.problems, before, tried.piece)
        return {"revision": tried.revision, "sheet": tried.piece.sheet, **values}

    def drawing(self, revision: str) -> bytes:
        """The drawing of a sheet in a state that was tried. Raises CannotRead once that is forgotten."""
        tried = self._tried.get(revision)
        if tried is None or not tried.piece.sheet:
            raise CannotRead("There is nothing to draw.")
        return self.pictures.svg(tried.just_read.bench, tried.piece.sheet)

    def trial(self, key: str, its_key: str, text: str) -> TriedText:
        """The platform as it would be with another text in one piece."""
        saved = self.saved(key)
        piece = self.found(saved, its_key)
        if len(text) > LONGEST_PIECE:
            raise WrongUse(f"A piece that is typed here has at most {LONGEST_PIECE:,} characters.")
        source = SourceFile(piece.source.path, with_piece(piece, text))
        sources = tuple(source if its.path == source.path else its for its in saved.folder.sources)
        just_read = self._reading[saved.folder.path].read(sources)
        end = piece.end + len(source.text) - len(piece.source.text)
        there = [its for its in just_read.pieces if its.source.path == source.path and piece.start <= its.start < end]
        sheet = next((its.sheet for its in there if its.sheet), "")
        said = hashlib.sha256(f"{its_key}\n{sheet}".encode("utf-8", "surrogatepass"))
        for its in sources:
            said.update(f"\n{its.path}\n{its.text}".encode("utf-8", "surrogatepass"))
        return TriedText(just_read, piece._replace(source=source, sheet=sheet, end=end), saved, said.hexdigest()[:20])

    # ---- writing ----

    def save(self, key: str, its_key: str, base: str, text: str) -> dict[str, Any]:
        """Write a piece if it is still what the page began from; what stands around it may have changed.

        Raises ChangedMeanwhile if somebody else changed it: nothing is written then.
        """
        self._now(key)
        tried = self.trial(key, its_key, text)
        piece = self.found(tried.saved, its_key)
        if piece.text != base:
            raise ChangedMeanwhile("Somebody else changed this sheet in the meantime; nothing was written.")
        made = Addition(
            path=piece.source.path, lines=(), before=piece.source.text, after=tried.piece.source.text, problems=()
        )
        path = write_addition(tried.saved.folder, made)
        there = [
            its
            for its in self._now(key).pieces
            if its.source.path == piece.source.path and its.start <= piece.start < max(its.end, its.start + 1)
        ]
        after = there[0] if there else None
        return {"key": piece_key(after) if after else "", "text": after.text if after else "", "written": path.name}

    def together(self, key: str, its_key: str, base: str, text: str) -> dict[str, Any]:
        """The text of the page put together with what somebody else made of the same piece, statement by statement;
        what does not go together stands between marks. Nothing is written."""
        from circuitmap.changes.merge import merge_files

        theirs = self.found(self._now(key), its_key).text
        merged = merge_files(base, text, theirs)
        return {"text": merged.text, "base": theirs, "conflicts": len(merged.conflicts)}

    def begin_sheet(self, key: str, sheet: str, title: str) -> dict[str, Any]:
        """A new sheet, in a file of its own. Raises WrongUse where it is there already, or is no name."""
        sheet, title = " ".join(sheet.split()), " ".join(title.split())
        if not sheet or not title:
            raise WrongUse("A sheet has a number or name, and says what it shows.")
        folder = self._now(key).folder
        made = addition(folder, (), sheet, title)
        write_addition(folder, made)
        there = [its for its in self._now(key).pieces if its.source.path == made.path]
        return {"key": piece_key(there[0]) if there else ""}

    # ---- what there is ----

    def saved(self, key: str) -> JustRead:
        """The platform as it stands in its folder; read again only if a file changed. Raises CannotRead where a file is
        not read as it should be: it might be spoilt."""
        folder = self.platforms.folder(key)
        stamps = stamps_of(folder)
        known = self._saved.get(folder)
        if known is None or known[0] != stamps:
            sources, problems = read_folder(folder)
            wrong = [problem for problem in problems if problem.severity is Severity.ERROR]
            if wrong:
                raise CannotRead(f"{wrong[0].span.place()}: {wrong[0].headline}", wrong[0].advice)
            reading = self._reading.setdefault(folder, Rereading(folder))
            known = self._saved[folder] = stamps, reading.read(sources)
        return known[1]

    def found(self, just_read: JustRead, its_key: str) -> TypedPiece:
        """A piece by its key. Raises CannotRead."""
        for piece in just_read.pieces:
            if piece_key(piece) == its_key:
                return piece
        raise CannotRead("This sheet is not there any more: somebody changed its heading, or took it away.")

    def _now(self, key: str) -> JustRead:
        """The same, read in any case: a file may change twice within what its time can tell."""
        self._saved.pop(self.platforms.folder(key), None)
        return self.saved(key)


def piece_key(piece: TypedPiece) -> str:
    return hashlib.sha256(repr(piece.name).encode("utf-8", "surrogatepass")).hexdigest()[:16]
