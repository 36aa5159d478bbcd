"""What a pin of a list does, by the words beside it, in several languages: only where they leave one way to read them.

From memory: the words that such lists use. Where a word is missing, the pin is asked.
"""

from circuitmap.transcribing.head_words import head_words

_WORDS: dict[str, tuple[str, ...]] = {
    "wake": ("wake", "wakeup", "weck", "weckeingang", "reveil", "risveglio", "despertar", "wekken", "vackning"),
    "output": ("output", "out", "ausgang", "sortie", "uscita", "salida", "uitgang", "utgang", "driver", "hs", "ls"),
    "ground": ("ground", "earth", "gnd", "masse", "massa", "masa", "jord", "31", "minus"),
    "supply": ("supply", "plus", "versorgung", "alimentation", "alimentazione", "alimentacion", "voeding", "matning",
               "zasilanie", "30", "ubat", "battery"),
    "sense": ("input", "in", "eingang", "entree", "ingresso", "entrada", "ingang", "ingang", "wejscie", "sense",
              "request"),
    "signal": ("signal", "sensor", "data", "can", "lin", "bus", "daten", "datenleitung", "donnees", "dati", "datos",
               "signal", "segnale", "sinyal", "reference", "screen", "shield"),
    "control": ("control", "steuereingang", "commande", "comando", "50"),
}  # fmt: skip
_NOT_USED = frozenset(("not used", "spare", "empty", "unused", "nc", "n c", "frei", "nicht belegt", "libre", "libero",
                       "non utilise", "not known"))  # fmt: skip
_FEEDS, _GROUNDS = (
    frozenset(("plus", "hs", "high", "feeds", "supply")),
    frozenset(("ground", "earth", "ls", "minus", "low", "grounds")),
)
DESIGNATIONS = frozenset((
    "15", "15a", "15r", "30", "30a", "30b", "30c", "30f", "30g", "30h", "31", "31a", "31b", "31c", "49", "49a",
    "49b", "50", "50a", "53", "53a", "53b", "53c", "53e", "53i", "54", "54g", "55", "56", "56a", "56b", "56d",
    "57", "57a", "57L", "57R", "57l", "57r", "58", "58L", "58R", "58l", "58r", "58d", "58b", "61", "71", "72",
    "75", "76", "77", "81", "81a", "81b", "82", "82a", "82b", "83", "83a", "83b", "84", "84a", "84b", "85",
    "86", "87", "87a", "87b", "88", "88a", "B+", "B-", "D+", "D-", "DF", "L", "R", "C",
))  # fmt: skip
"""Designations of terminals by DIN 72552, parts 1 to 4 (1971-03), as public lists have them: kfztech.de, memim.com,
bs-wiki.de; those of 30 b to h, 50 a, 53 c to i, 71, 72, 76, 77 and 84 from memory."""
PIN_ROLES = ("supply", "ground", "wake", "sense", "control", "signal")


def is_not_used(text: str) -> bool:
    """Whether a pin is said to be free."""
    return head_words(text) in _NOT_USED


def pin_meant(text: str) -> tuple[str, ...]:
    """All that the pin may be: a role, or `feeds` or `grounds` for an output; empty where no word tells."""
    words = head_words(text).split()
    found = [role for role, known in _WORDS.items() if any(word in known for word in words)]
    if "output" in found:
        if set(found) & {"wake", "sense", "control"}:
            return (*(role for role in found if role != "output"), "feeds", "grounds")
        feeds, grounds = bool(_FEEDS & set(words)), bool(_GROUNDS & set(words))
        return ("feeds",) if feeds and not grounds else ("grounds",) if grounds and not feeds else ("feeds", "grounds")
    if "signal" in found:
        # The supply, ground and input of a sensor are lines of that sensor, whatever they carry.
        return ("signal",) if not set(found) & {"wake", "control"} else tuple(found)
    if found == ["wake", "sense"]:
        return ("wake",)
    return tuple(found)
