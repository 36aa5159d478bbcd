"""Where one piece of a short line ends: at a semicolon, unless a text is written there as it is.

`remark`, `claim` and `photo` take the rest of the line: whoever quotes somebody may well write `; mended` in it. What
closes a job (`cause`, `to-mend`, `until-then`, `mended`) goes up to the next such word behind a semicolon, or up to a
state of the vehicle: `cause S12 sticks; kind wrong-input; mended S12 renewed; locked`.
"""

from collections.abc import Container, Iterator

from circuitmap.evidence.job_card import STATES

CLOSING = ("cause", "to-mend", "until-then", "mended")
"""Words that take a text up to the next of them."""
FREE_TEXT = ("remark", "claim", "photo", *CLOSING)
"""Words that are followed by a text as it is."""


def pieces_of(text: str) -> Iterator[str]:
    """What stands between the semicolons; of texts written as they are, as long as each goes."""
    while text := text.strip(" ;"):
        word = keyword(text)[0]
        if word in CLOSING:
            piece, text = _up_to_the_next(text)
            yield piece
            continue
        if word in FREE_TEXT:
            yield text.strip()
            return
        piece, _, text = text.partition(";")
        if words := piece.split():
            yield " ".join(words)


def keyword(piece: str) -> tuple[str, str]:
    """The first word in its known form (`Out:` is `out`), and what follows it."""
    first, _, rest = piece.partition(" ")
    return first.removesuffix(":").casefold(), rest.strip()


def _up_to_the_next(text: str) -> tuple[str, str]:
    at = text.find(";")
    while at >= 0:
        rest = text[at + 1 :].strip()
        if keyword(rest)[0] in FREE_TEXT or _is_state(rest.partition(";")[0]):
            return text[:at].strip(), rest
        at = text.find(";", at + 1)
    return text.strip(), ""


def _is_state(piece: str) -> bool:
    return " ".join(piece.casefold().split()) in STATES


def taken_along(word: str, rest: str, known: Container[str]) -> str:
    """What to tell whoever wrote another entry into a text that is kept as it is; empty where nobody did."""
    for piece in rest.split(";")[1:]:
        said = keyword(piece.strip())
        if said[0] in known and said[1]:
            return (
                f"Taken as part of the {word}: {piece.strip()}. If it is an entry of its own, write it before {word}."
            )
    return ""
