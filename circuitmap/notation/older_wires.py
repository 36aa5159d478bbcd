"""Wires in the older form: the look inside an arrow or after a colon. They are still read, and `tidy` rewrites them.

`A -[RD 1mm2]-> B -> C : GN` says what `A -> B in RD 1mm2 -> C in GN` says. What an arrow left open was taken from after
the colon; now each `in` stands for itself.
"""

from typing import NamedTuple

from circuitmap.notation.parser import Token, plain_tokens

_OPENS, _CLOSES, _ARROW, _COLON = "-[", "]->", "->", ":"
_CLAUSES = frozenset(("if", "not", "copied", "hands-off"))
_NOT_PRINTED = "?"


class Insertion(NamedTuple):
    """`text` in place of what stands from `start` to `end`."""

    start: int
    end: int
    text: str


def as_now_written(text: str) -> list[Insertion]:
    """What to change in a statement, from left to right, to turn it into a wire as written now; empty where it is not a
    wire in the older form."""
    if _OPENS not in text and _COLON not in text:
        return []
    tokens = plain_tokens(text)
    signs = [token.text for token in tokens]
    if not (_OPENS in signs or (_COLON in signs and _ARROW in signs)):
        return []
    wire = _OlderWire(tokens)
    return wire.changes() if wire.sound else []


class _OlderWire:
    """The steps of the wire: the tokens of each arrow with the look in it, and where the ends after it stop."""

    def __init__(self, tokens: list[Token]) -> None:
        self.arrows: list[tuple[Token, Token, list[Token]]] = []
        self.stops: list[int] = []
        self.general: list[Token] = []
        self.colon: Token | None = None
        self.sound = True
        at = 0
        last = tokens[0].end if tokens else 0
        while at < len(tokens):
            token = tokens[at]
            if token.text in (_ARROW, _OPENS):
                if self.arrows:
                    self.stops.append(last)
                closing = at
                if token.text == _OPENS:
                    closing = next((n for n in range(at, len(tokens)) if tokens[n].text == _CLOSES), -1)
                    if closing < 0:
                        self.sound = False
                        return
                self.arrows.append((token, tokens[closing], tokens[at + 1 : closing]))
                at = closing
            elif token.text == _COLON:
                if at + 1 < len(tokens) and last == token.start and tokens[at + 1].start == token.end:
                    self.sound = False  # `LOCK:7`: a pin, written as people do elsewhere
                    return
                self.colon = token
                rest = tokens[at + 1 :]
                clause = next((n for n, its in enumerate(rest) if its.text in _CLAUSES), len(rest))
                self.general = rest[:clause]
                break
            elif token.text in _CLAUSES and self.arrows:
                break
            elif token.text == "in":
                self.sound = False
                return
            last = tokens[at].end
            at += 1
        if not self.arrows or any(token.text == _COLON for token in self.general):
            self.sound = False
            return
        self.stops.append(last)

    def changes(self) -> list[Insertion]:
        looks = [_filled(own, self.general) for _, _, own in self.arrows]
        found: list[Insertion] = []
        for number, ((first, closing, _), stop) in enumerate(zip(self.arrows, self.stops, strict=True)):
            if first.text == _OPENS:
                found.append(Insertion(first.start, closing.end, _ARROW))
            is_last = number == len(looks) - 1
            says = looks[number]
            if any(looks) if is_last else says != looks[-1]:
                found.append(Insertion(stop, stop, f" in {says or _NOT_PRINTED}"))
        if self.colon is not None:
            end = self.general[-1].end if self.general else self.colon.end
            found.append(Insertion(self.stops[-1], end, found.pop().text if any(looks) else ""))
        return found


def _filled(own: list[Token], general: list[Token]) -> str:
    """A look written at an arrow; what it leaves open is taken from after the colon."""
    parts = _parts(own)
    return " ".join((*parts.values(), *(text for kind, text in _parts(general).items() if kind not in parts)))


def _parts(tokens: list[Token]) -> dict[str, str]:
    """Colour, size, name, code and length as they are written."""
    found: dict[str, str] = {}
    at = 0
    while at < len(tokens):
        text = tokens[at].text
        if text in ("named", "code", "length") and at + 1 < len(tokens):
            found[text] = f"{text} {tokens[at + 1].text}"
            at += 1
        else:
            found["size" if text[0].isdigit() else "colour" if "colour" not in found else text] = text
        at += 1
    return found
