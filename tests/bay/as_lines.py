"""The entries of a card as the short lines that somebody types for them."""

from collections.abc import Iterator

from circuitmap.evidence.card_text import Text
from circuitmap.evidence.job_card import Entry, Pair


def lines_of(entry: Entry) -> Iterator[str]:
    """One line, or several: what takes the rest of a line comes last in one, and a line says one relay and one input.
    The meter is not among them."""
    pieces = [*_pieces(entry)]
    for word, pairs in (("relay", entry.relays), ("input", entry.inputs)):
        each = [f"{word} {pair.name.value} {pair.value.value}" for pair in pairs]
        pieces += each[:1]
        yield from each[1:]
    long = [f"{word} {text.value}" for word, text in (("cause", entry.cause), ("remark", entry.remark)) if text]
    if pieces and long:
        yield "; ".join([*pieces, long.pop(0)])
    elif pieces:
        yield "; ".join(pieces)
    yield from long


def _pieces(entry: Entry) -> Iterator[str]:
    if entry.state is not None:
        yield entry.state.value
    if entry.zeroed:
        yield "zeroed"
    for word, names in (("out", entry.out), ("back", entry.back), ("scan answers", entry.answers)):
        if names:
            yield f"{word} {_words(names)}"
    if entry.read:
        yield " ".join(f"{pair.name.value}={pair.value.value}" for pair in entry.read)
    if entry.total is not None:
        yield f"total {entry.total.value}"
    if entry.during is not None:
        yield entry.during.value
    yield from (f"found {pair.name.value} {pair.value.value}" for pair in entry.found)
    if entry.network:
        yield f"network {_paired(entry.network)}"
    if entry.log:
        yield f"log {_paired(entry.log)}"
    said = {pair.name.value: pair.value.value for pair in entry.logged}
    if said:
        yield f"logged {said['file']} {said.get('told', '')}".strip()
    if entry.looked:
        yield "looked"


def _words(names: tuple[Text, ...]) -> str:
    return " ".join(name.value for name in names)


def _paired(pairs: tuple[Pair, ...]) -> str:
    return " ".join(f"{pair.name.value} {pair.value.value}" for pair in pairs)
