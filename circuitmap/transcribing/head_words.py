"""Words that stand above the columns of fuse charts, pin lists and wire lists, in several languages.

From memory: what such lists have above their columns. A word that is missing here costs a question, nothing more.
"""

import re
import unicodedata

_FIGURES = ("diameter", "diameter mm", "area", "area mm2", "mm2", "ohm km", "mohm m", "ohms", "resistance", "amps", "a",
            "current", "g m", "kg km")  # fmt: skip
HEAD_WORDS: dict[str, tuple[str, ...]] = {
    "slot": (
        "slot", "fuse", "fuse no", "no", "nr", "position", "pos", "part", "breaker", "sicherung", "si", "steckplatz",
        "platz", "fusible", "emplacement", "repere", "fusibile", "fusibile n", "fusivel", "zekering", "sakring",
        "bezpiecznik", "sulake", "rating plate",
    ),
    "rating": (
        "rating", "a", "amp", "amps", "ampere", "amperes", "amperage", "value", "current", "nennstrom", "strom", "wert",
        "starke", "calibre", "intensite", "amperaje", "intensidad", "amperaggio", "portata", "corrente", "corriente",
        "waarde", "stroom", "marke", "strom a", "rating a", "fuse rating", "prad", "amperetal",
    ),
    "style": ("style", "type", "size of fuse", "bauform", "typ", "tipo", "taille", "format"),
    "what": (
        "what", "name", "function", "description", "purpose", "purpose printed", "name on the lid", "goes to",
        "circuit", "feeds", "consumer", "protects", "funktion", "bezeichnung", "verbraucher", "stromkreis", "zweck",
        "fonction", "designation", "circuits proteges", "utilisation", "funcion", "descripcion", "circuito", "funzione",
        "descrizione", "functie", "omschrijving", "funktion beskrivning", "benamning", "funkcja", "opis", "belegung",
        "signal",
    ),
    "bar": (
        "bar", "rail", "on bar", "terminal", "fed from", "fed by", "supply", "schiene", "klemme", "versorgung",
        "barre", "alimentation", "borne", "barra", "alimentacion", "alimentazione", "rail of bar", "skena", "szyna",
    ),
    "place": (
        "place", "where", "location", "ort", "einbauort", "lage", "emplacement dans le vehicule", "lieu", "ubicacion",
        "lugar", "posizione", "luogo", "plaats", "placering", "miejsce",
    ),
    "option": (
        "option", "opt", "equip", "equipment", "if", "only with", "ausstattung", "sonderausstattung", "equipement",
        "equipamiento", "opcion", "optional", "optie", "uitrusting", "utrustning", "wyposazenie",
    ),
    "from": (
        "from", "from part", "start", "a", "von", "ab", "de", "depart", "desde", "origen", "da", "van", "fran", "od",
        "source", "end a", "side a",
    ),
    "to": (
        "to", "to part", "end", "b", "nach", "zu", "bis", "a", "vers", "arrivee", "hasta", "destino", "naar", "till",
        "do", "destination", "end b", "side b", "ziel",
    ),
    "from-pin": ("pin", "from pin", "terminal", "pin a", "stift", "klemme", "borne", "pin von", "broche", "kontakt"),
    "to-pin": ("pin", "to pin", "terminal", "pin b", "stift", "klemme", "borne", "pin nach", "broche", "kontakt"),
    "via": (
        "via", "through", "over", "connector", "cavity", "uber", "durch", "stecker", "par", "connecteur", "por",
        "conector", "tramite", "connettore", "door", "via stekker", "genom", "przez",
    ),
    "colour": (
        "colour", "color", "col", "farbe", "couleur", "colore", "kleur", "farg", "kolor", "wire colour", "cor",
        "aderfarbe",
    ),
    "size": (
        "size", "mm2", "section", "cross section", "area", "gauge", "awg", "querschnitt", "section mm2", "seccion",
        "sezione", "doorsnede", "area mm2", "przekroj", "csa", "mm",
    ),
    "code": (
        "code", "no", "nr", "number", "wire", "wire no", "circuit code", "circuit", "leitung", "ltg", "n", "numero",
        "fil", "cable", "hilo", "filo", "draad", "draadnummer", "ledning", "przewod", "num",
    ),
    "remark": (
        "remark", "remarks", "note", "notes", "comment", "bemerkung", "anmerkung", "hinweis", "remarque", "nota",
        "observaciones", "note a", "opmerking", "anmarkning", "uwagi",
    ),
    "pin": ("pin", "cavity", "cav", "terminal", "contact", "no", "stift", "kammer", "klemme", "broche", "voie", "borne",
            "terminale", "via", "kontakt", "stiftnr", "pin no"),
    "part": ("part", "module", "unit", "controller", "component", "device", "steuergerat", "bauteil", "gerat", "organe",
             "calculateur", "componente", "onderdeel", "komponent"),
    "called": ("part", "parts", "component", "designation", "code", "ref", "reference", "item", "device", "symbol",
               "id", "no", "bauteil", "kurzzeichen", "betriebsmittel", "gerat", "repere", "organe", "sigla",
               "componente", "onderdeel", "komponent", "connector", "module", "unit"),
    "pins": ("pins", "terminals", "cavities", "contacts", "stifte", "kontakte", "klemmen", "broches", "voies", "pin"),
    "thing": ("what", "name", "description", "component", "designation", "bezeichnung", "benennung", "denomination",
              "descripcion", "descrizione", "omschrijving", "benamning", "opis"),
    "designation": ("terminal", "designation", "klemme", "borne", "morsetto", "borne no", "terminal no", "code"),
    "gauge": ("awg", "gauge", "size", "mm2", "section", "cross section", "querschnitt", "csa", "swg"),
    **dict.fromkeys(("figure", "figure-2", "figure-3", "figure-4"), _FIGURES),
}  # fmt: skip
"""What may stand above a column of each kind; `called` and those behind it are columns of tables that nothing is taken
from."""


_VAGUE = frozenset(
    ("no", "nr", "n", "num", "number", "numero", "a", "b", "name", "type", "typ", "tipo", "terminal", "signal")
)


def is_vague(head: str) -> bool:
    """Whether a head of one such word stands above columns of several kinds."""
    return head_words(head) in _VAGUE


def head_words(text: str) -> str:
    """A head as it is compared: small letters without marks and signs."""
    plain = unicodedata.normalize("NFKD", text.casefold().replace("²", "2").replace("ß", "ss"))
    return " ".join(re.findall(r"[a-z0-9]+", "".join(c for c in plain if not unicodedata.combining(c))))


def roles_of_head(text: str) -> frozenset[str]:
    """What a column with this head may be; empty where the words are not known."""
    words = head_words(text)
    return frozenset(role for role, known in HEAD_WORDS.items() if words in known)
