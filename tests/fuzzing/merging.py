"""Any bytes as two people's changes to one file: the laws of merging hold, whatever they are."""

from circuitmap.changes.merge import merge_files
from circuitmap.failures import CannotRead
from circuitmap.notation.conflicts import conflicts_in
from circuitmap.source import SourceFile
from tests.changes.laws_of_merging import broken_laws, broken_symmetry
from tests.fuzzing.notation_from_bytes import Choices, edited, lines_from, written

MOST_LINES = 12


def texts_from(data: bytes) -> tuple[str, str, str]:
    """The common state and the two versions that were made from it."""
    choices = Choices(data)
    if choices.number(16) == 15:
        pieces = choices.rest().decode("utf-8", "replace").split("\x1e")
        return tuple((*pieces, "", "", "")[:3])  # type: ignore[return-value]
    base = lines_from(choices, MOST_LINES)
    sides = [edited(choices, base), edited(choices, base)]
    return written(choices, base), written(choices, sides[0]), written(choices, sides[1])


def fuzz_merge(data: bytes) -> None:
    """Raises AssertionError where a law is broken."""
    base, ours, theirs = texts_from(data)
    broken = broken_in(base, ours, theirs)
    assert not broken, f"{broken}\nbase   {base!r}\nours   {ours!r}\ntheirs {theirs!r}"


def broken_in(base: str, ours: str, theirs: str) -> list[str]:
    try:
        merged = merge_files(base, ours, theirs)
    except CannotRead:
        marked = any(conflicts_in(SourceFile("fuzz", _plain(text))).problems for text in (base, ours, theirs))
        return [] if marked else ["refused without a mark"]
    broken = broken_laws(base, ours, theirs, merged) + broken_symmetry(base, ours, theirs, merged)
    if any(conflict.what == "the whole file" for conflict in merged.conflicts):
        broken.append("put together wrongly, and noticed only at the end")
    texts = "".join((base, ours, theirs))
    if "\n" in texts and "\r" not in texts:
        windows = merge_files(*(text.replace("\n", "\r\n") for text in (base, ours, theirs)))
        if windows != type(merged)(merged.text.replace("\n", "\r\n"), merged.conflicts):
            broken.append("merged otherwise with line ends of another system")
    if not any(text.startswith("\ufeff") for text in (base, ours, theirs)):
        marked = merge_files(*("\ufeff" + text for text in (base, ours, theirs)))
        if marked != type(merged)("\ufeff" + merged.text, merged.conflicts):
            broken.append("merged otherwise with a byte order mark")
    return broken


def _plain(text: str) -> str:
    return text.removeprefix("\ufeff").replace("\r\n", "\n")
