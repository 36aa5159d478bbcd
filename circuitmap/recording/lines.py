"""The lines of a recorder's file, whatever its encoding: streamed, numbered, and never longer than a limit."""

import codecs
import io
import os
from collections.abc import Iterator
from pathlib import Path
from typing import IO

from circuitmap.failures import CannotRead, LimitReached
from circuitmap.plain_files import open_plain
from circuitmap.recording.recorded import Remark

MOST_BYTES = 2_000_000_000
LONGEST_LINE = 100_000
_LOOKED_AT = 4096
_AT_ONCE = 1 << 20

_PACKED = ((b"\x1f\x8b", "gzip"), (b"PK\x03\x04", "zip"), (b"7z\xbc\xaf", "7z"), (b"BZh", "bzip2"), (b"\xfd7zXZ", "xz"))
_MARKS = ((codecs.BOM_UTF8, "utf-8"), (codecs.BOM_UTF16_LE, "utf-16-le"), (codecs.BOM_UTF16_BE, "utf-16-be"))
_TEXT_CONTROLS = frozenset(b"\t\n\r\f\x00\x1a\x1b")


class RecordedLines:
    """Numbered lines of a file; `remarks` grows while they are read."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self.encoding = "utf-8"
        self.remarks: list[Remark] = []
        self._nuls = 0

    def __iter__(self) -> Iterator[tuple[int, str]]:
        """Lines without their ends, counted from 1."""
        for first, lines in self.blocks():
            yield from enumerate(lines, first)

    def blocks(self) -> Iterator[tuple[int, list[str]]]:
        """Lines by the thousand, with the number of the first."""
        try:
            with open_plain(self.path, MOST_BYTES) as file:
                yield from self._blocks(file)
        except OSError as error:
            raise CannotRead(f"{self.path} cannot be read: {os.strerror(error.errno or 0)}.") from None

    def _blocks(self, file: IO[bytes]) -> Iterator[tuple[int, list[str]]]:
        start = file.read(_LOOKED_AT)
        if not start:
            raise CannotRead(f"{self.path} is empty: 0 bytes.", "Was the recorder stopped before the file was copied?")
        self.encoding, mark = self._encoding(start)
        file.seek(mark)
        errors = "surrogateescape" if self.encoding == "utf-8" else "replace"
        text = io.TextIOWrapper(file, encoding=self.encoding, errors=errors, newline=None)
        number, rest = 1, ""
        while chunk := text.read(_AT_ONCE):
            lines = (rest + chunk).split("\n")
            rest = lines.pop()
            self._hold_to_limit(number, lines, rest)
            if lines:
                yield number, self._repaired(number, lines, chunk)
                number += len(lines)
        if rest:
            yield number, self._repaired(number, [rest], rest)

    def _hold_to_limit(self, number: int, lines: list[str], rest: str) -> None:
        longest = max(map(len, lines), default=0)
        if longest <= LONGEST_LINE and len(rest) <= LONGEST_LINE:
            return
        at = next((at for at, line in enumerate(lines) if len(line) > LONGEST_LINE), len(lines))
        raise LimitReached(
            f"{self.path}, line {number + at}: longer than {LONGEST_LINE:,} characters.",
            "No recorder writes such a line; cut it out, if the rest is wanted.",
        )

    def _encoding(self, start: bytes) -> tuple[str, int]:
        """The encoding, and how many bytes its mark takes."""
        for magic, name in _PACKED:
            if start.startswith(magic):
                raise CannotRead(f"{self.path} is not text, but packed ({name}).", "Unpack it first.")
        for mark, name in _MARKS:
            if start.startswith(mark):
                return name, len(mark)
        even, odd = start[::2], start[1::2]
        # Every second byte NUL is UTF-16 without its mark; a run of NULs is a recorder that lost its power.
        if len(odd) > 8 and odd.count(0) > 0.7 * len(odd) and even.count(0) < 0.05 * len(even):
            return "utf-16-le", 0
        if len(odd) > 8 and even.count(0) > 0.7 * len(even) and odd.count(0) < 0.05 * len(odd):
            return "utf-16-be", 0
        strange = sum(byte < 32 and byte not in _TEXT_CONTROLS for byte in start)
        if strange > 0.01 * len(start) or start.count(0) == len(start):
            raise CannotRead(f"{self.path} is not text.", "The recorder's own program can usually save it as csv.")
        return "utf-8", 0

    def _repaired(self, number: int, lines: list[str], chunk: str) -> list[str]:
        if chunk.isascii() and "\0" not in chunk and lines[0].isascii() and "\0" not in lines[0]:
            return lines
        whole = enumerate(lines, number)
        return [line if line.isascii() and "\0" not in line else self._line(at, line) for at, line in whole]

    def _line(self, number: int, line: str) -> str:
        if "\0" in line:
            self._note(Remark("nul bytes", number, float(line.count("\0"))))
            line = line.replace("\0", "")
        if "\ufffd" in line and self.encoding != "utf-8":
            self._note(Remark("cut off", number))
        if any("\udc80" <= character <= "\udcff" for character in line):
            self._note(Remark("not unicode", number))
            raw = line.encode("utf-8", "surrogateescape")
            try:
                line = raw.decode("cp1252")
            except UnicodeDecodeError:
                line = raw.decode("latin-1")
        return line

    def _note(self, remark: Remark) -> None:
        for at, known in enumerate(self.remarks):
            if known.kind == remark.kind:
                self.remarks[at] = known._replace(amount=known.amount + remark.amount)
                return
        self.remarks.append(remark)
