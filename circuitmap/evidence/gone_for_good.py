"""What is on no sheet and was taken away for good: the vehicle is mended by that, and is whole without it.

Whatever somebody plugged in is no part of the vehicle. Where it is out when the card says that something was mended,
and the words say nothing else, its being out is what was done; so it is where they name it as taken away and it is
taken out after that. A part of the sheets is always asked for. The words are common practice, no source.
"""

import re
from collections.abc import Collection, Sequence

from circuitmap.evidence.job_card import Entry
from circuitmap.evidence.written_names import removable
from circuitmap.failures import WrongUse
from circuitmap.wiring.platform import Platform

_AWAY = {
    "out", "off", "unplugged", "removed", "disconnected", "away", "without", "gone", "home", "good", "permanently",
}  # fmt: skip
_TAKEN = {"taken", "took", "removed"}
_OF_IT = {"fuse", "relay", "switch", "socket"}
"""Words that make another thing of a name in front of them: the charger's fuse."""
_COMES_BACK = re.compile(
    r"\b(?:to be|will be|goes back|go back|put back|refit\w*|again|ordered|awaited|until|meanwhile|for now|later)\b",
    re.IGNORECASE,
)
_CLAUSE = re.compile(r"[;,:]|\.(?=\s|$)")
_WORD = re.compile(r"[^\s,;:()]+")


class GoneForGood:
    """Told entry by entry. `names` stay out for good, by the card as far as it was told."""

    def __init__(self, platform: Platform) -> None:
        self.names: dict[str, None] = {}
        self._platform = platform
        self._said: set[str] = set()
        self._cause = ""

    def entry(self, entry: Entry, out: Sequence[str], added: Collection[str]) -> tuple[str, ...]:
        """Those of `out`, after this entry, that stay out for good."""
        for text in entry.back:
            self.names.pop(text.value, None)
            self._said.discard(text.value)
        if entry.cause is not None:
            self._cause = f"{self._cause}; {entry.cause.value}"
        if entry.mended is not None:
            words, self._cause = f"{self._cause}; {entry.mended.value}", ""
            if not _COMES_BACK.search(entry.mended.value):
                other = _names_another(self._platform, words, added)
                self._said |= {name for name in added if _says_away(words, name)}
                done = [name for name in added if _is_taken_off(entry.mended.value, name, added)]
                mends_another = _names_another(self._platform, entry.mended.value, added)
                self.names |= dict.fromkeys(done if not mends_another else ())
                self.names |= dict.fromkeys(n for n in out if n in added and (n in words or not other))
        self.names |= dict.fromkeys(name for name in out if name in self._said)
        return tuple(name for name in out if name in self.names)


def _says_away(words: str, name: str) -> bool:
    """Whether a clause names it and says that it was taken away."""
    return any(name in clause and _AWAY & set(clause.casefold().split()) for clause in _CLAUSE.split(words))


def _is_taken_off(mended: str, name: str, added: Collection[str]) -> bool:
    """Whether what was mended is that it was taken off, in words that need not be all of its name: "charger taken off",
    of a maintenance charger, where nothing else that was added is called so."""
    last = name.casefold().split()[-1:]
    alone = not any(last == other.casefold().split()[-1:] for other in added if other != name)
    for clause in _CLAUSE.split(mended.casefold()):
        words = clause.split()
        its = name.casefold() in clause or (alone and last and last[0] in words and not _OF_IT & set(words))
        if its and _TAKEN & set(words) and _AWAY & set(words):
            return True
    return False


def _names_another(platform: Platform, words: str, added: Collection[str]) -> bool:
    """Whether something of the sheets is named: then that is what was mended."""
    for word in _WORD.findall(words):
        try:
            if removable(platform, word.rstrip("."), added) not in added:
                return True
        except WrongUse:
            continue
    return False
