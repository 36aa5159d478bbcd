"""Tables laid out at random from the samples and papers: what stands in them is theirs, how it stands is not.

`python -m tests.transcribing.random_tables [NUMBER]` says how often the columns are right, by the lead.
"""

import sys
from collections import Counter
from collections.abc import Callable
from functools import cache
from random import Random
from typing import NamedTuple

from circuitmap.source import SourceFile
from circuitmap.transcribing.columns import SURE, Guess, columns_guessed
from circuitmap.transcribing.grid import grid_of
from circuitmap.transcribing.typed_lines import KnownHere
from circuitmap.wiring.declare import platform_of
from circuitmap.wiring.parts import Fuse, Load
from circuitmap.wiring.platform import Platform, Wire
from tests.transcribing.typist import FOLDERS, declared_only, read

HEADS: dict[str, dict[str, tuple[str, ...]]] = {
    "slot": {"en": ("Fuse", "Slot", "No.", "Pos."), "de": ("Sicherung", "Platz"), "fr": ("Fusible", "Repère"), "it": ("Fusibile",), "??": ("Pojistka", "Biztosíték", "Sulake nro")},
    "rating": {"en": ("A", "Rating", "Amps", "Rated"), "de": ("Stärke", "Nennstrom"), "fr": ("Calibre", "Intensité"), "it": ("Amperaggio", "Portata"), "??": ("Proud", "Áram", "Virta")},
    "what": {"en": ("Circuit", "Function", "Protects", "Description"), "de": ("Verbraucher", "Funktion"), "fr": ("Fonction", "Circuits protégés"), "it": ("Funzione", "Descrizione"), "??": ("Okruh", "Leírás", "Kohde")},
    "style": {"en": ("Type", "Style"), "de": ("Bauform",), "fr": ("Format",), "it": ("Tipo",), "??": ("Provedení", "Kivitel")},
    "bar": {"en": ("Rail", "Fed from", "Bar"), "de": ("Klemme", "Schiene"), "fr": ("Borne",), "it": ("Barra",), "??": ("Lišta", "Sín")},
    "from": {"en": ("From", "Start"), "de": ("Von",), "fr": ("De", "Départ"), "it": ("Da",), "??": ("Odkud", "Honnan")},
    "to": {"en": ("To", "End", "Destination"), "de": ("Nach", "Ziel"), "fr": ("Vers", "Arrivée"), "it": ("A",), "??": ("Kam", "Hová")},
    "from-pin": {"en": ("Pin", "Terminal"), "de": ("Stift", "Klemme"), "fr": ("Borne",), "it": ("Pin",), "??": ("Kolík", "Láb")},
    "to-pin": {"en": ("Pin", "Terminal"), "de": ("Stift", "Klemme"), "fr": ("Borne",), "it": ("Pin",), "??": ("Kolík", "Láb")},
    "via": {"en": ("Via", "Through", "Connector"), "de": ("Über", "Stecker"), "fr": ("Par", "Connecteur"), "it": ("Tramite",), "??": ("Přes", "Keresztül")},
    "colour": {"en": ("Colour", "Color", "Wire colour"), "de": ("Farbe", "Kabelfarbe"), "fr": ("Couleur",), "it": ("Colore",), "??": ("Barva", "Szín")},
    "size": {"en": ("mm2", "Size", "mm²", "CSA"), "de": ("Querschnitt", "mm²"), "fr": ("Section",), "it": ("Sezione",), "??": ("Průřez", "Keresztmetszet")},
    "code": {"en": ("No.", "Wire", "Wire no.", "Code"), "de": ("Nr.", "Leitung"), "fr": ("N°", "Fil"), "it": ("N.", "Filo"), "??": ("Vodič", "Vezeték")},
    "remark": {"en": ("Remark", "Note"), "de": ("Bemerkung",), "fr": ("Remarque",), "it": ("Nota",), "??": ("Poznámka", "Megjegyzés")},
    "pin": {"en": ("Pin", "Cavity", "Terminal"), "de": ("Stift", "Kammer"), "fr": ("Broche", "Voie"), "it": ("Pin",), "??": ("Kolík", "Láb")},
    "-": {"en": ("Page", "Checked by"), "de": ("Seite",), "fr": ("Page",), "it": ("Pagina",), "??": ("Strana",)},
}  # fmt: skip
"""What may stand above a column, by language; `??` are languages that the guess has never heard of."""
WORDS = {
    "en": {"supply": "supply plus", "ground": "ground", "wake": "wake input", "sense": "input of the switch", "output": "output to the lamp", "network": "data line high", "control": "control input", "signal": "sensor signal", "": "not known"},
    "de": {"supply": "Versorgung plus", "ground": "Masse Elektronik", "wake": "Weckeingang Tür", "sense": "Eingang Schalter", "output": "Ausgang Lampe links", "network": "Datenleitung", "control": "Steuereingang", "signal": "Signal Geber", "": "nicht bekannt"},
    "fr": {"supply": "alimentation permanente", "ground": "masse du boîtier", "wake": "réveil par porte", "sense": "entrée contacteur", "output": "sortie feu gauche", "network": "ligne de données", "control": "commande", "signal": "signal capteur", "": "non connu"},
    "it": {"supply": "alimentazione diretta", "ground": "massa centralina", "wake": "ingresso risveglio", "sense": "ingresso interruttore", "output": "uscita lampada", "network": "linea dati", "control": "comando", "signal": "segnale sensore", "": "non noto"},
}  # fmt: skip
COLOURS = {"BK": "black", "BN": "brown", "RD": "red", "OG": "orange", "YE": "yellow", "GN": "green", "BU": "blue", "VT": "violet", "GY": "grey", "WH": "white", "PK": "pink"}  # fmt: skip
REMARKS = ("twisted", "screened", "own loom", "ring terminal", "only one", "see the note below", "crimped twice")


class RandomTable(NamedTuple):
    text: str
    kind: str
    columns: tuple[str, ...]


@cache
def platforms() -> list[tuple[KnownHere, KnownHere, Platform]]:
    """Each sample and paper: what is known before the first wire, what is known with nothing declared, and all of
    it."""
    found = []
    for folder in FOLDERS:
        sources, notations = read(folder)
        known, _ = declared_only(folder)
        empty = platform_of([], (), [])
        found.append((known, KnownHere(empty, []), platform_of(notations, sources, [])))
    return found


def random_table(random: Random) -> tuple[RandomTable, KnownHere]:
    """A table, and what is known when it is read: in one of four, nothing is declared yet."""
    while True:
        known, unknown, platform = random.choice(platforms())
        columns = random.choice((_fuses, _wires, _wires, _pins))(random, platform)
        if columns is not None:
            return _laid_out(random, *columns), unknown if random.random() < 0.25 else known


Columns = dict[str, list[str]]


def _fuses(random: Random, platform: Platform) -> tuple[str, Columns, str] | None:
    boxes: dict[str, list[Fuse]] = {}
    for fuse in platform.fuses:
        boxes.setdefault(fuse.name.rpartition(".")[0], []).append(fuse)
    boxes = {box: fuses for box, fuses in boxes.items() if len(fuses) >= 6}
    if not boxes:
        return None
    box = random.choice(sorted(boxes))
    fuses = boxes[box]
    full = random.random() < 0.2
    tails = [fuse.name if full else fuse.name.rpartition(".")[2] for fuse in fuses]
    if random.random() < 0.2 and all(tail[0] == "F" and tail[1:].isdigit() for tail in tails):
        tails = [tail[1:] for tail in tails]
    unit = random.choice(("A", " A", "", ""))
    comma = random.random() < 0.4
    columns: Columns = {"slot": tails}
    ratings = ["" if fuse.rating is None or fuse.empty else f"{fuse.rating:g}{unit}" for fuse in fuses]
    columns["rating"] = [its.replace(".", ",") if comma else its for its in ratings]
    texts = [fuse.description or ("empty" if fuse.empty else _hangs_on(platform, fuse)) for fuse in fuses]
    if sum(map(bool, texts)) > len(fuses) / 2:
        columns["what"] = texts
    if random.random() < 0.5 and sum(bool(fuse.style) for fuse in fuses) > len(fuses) / 2:
        columns["style"] = [fuse.style for fuse in fuses]
    fed_from = {wire.b.part: wire.a.part.rpartition(".")[2] for wire in platform.wires if wire.kind == "copper"}
    bars = [fed_from.get(fuse.name, "") for fuse in fuses]
    if random.random() < 0.5 and all(bars) and len(set(bars)) <= len(bars) / 2:
        columns["bar"] = bars
    return "fuses", columns, random.choice(sorted(WORDS))


def _hangs_on(platform: Platform, fuse: Fuse) -> str:
    wires = platform.wires_at.get(fuse.name, ())
    words = [platform.parts[end.part].description for wire in wires for end in (wire.a, wire.b)]
    return next((text for text in words if text), "")


def _wires(random: Random, platform: Platform) -> tuple[str, Columns, str] | None:
    wires = [wire for wire in platform.wires if wire.kind == "wire" and not _is_open(wire)]
    sheet = random.choice([sheet for wire in wires for sheet in wire.sheets] or [""])
    wires = [wire for wire in wires if sheet in wire.sheets]
    if len(wires) < 8:
        return None
    wires.sort(key=lambda wire: min(wire.spans))
    sign = random.choice((".", ".", "/", ":", " "))
    apart = random.random() < 0.25
    columns: Columns = {}
    if random.random() < 0.6:
        begin = random.choice((1, 101, 501))
        columns["code"] = [wire.code or str(begin + number) for number, wire in enumerate(wires)]
        if len(set(columns["code"])) < len(wires):
            columns["code"] = [str(begin + number) for number in range(len(wires))]
    for role, ends in (("from", [wire.a for wire in wires]), ("to", [wire.b for wire in wires])):
        if apart:
            columns[role] = [end.part for end in ends]
            columns[f"{role}-pin"] = [end.pin or "-" for end in ends]
        else:
            columns[role] = [f"{end.part}{sign}{end.pin}" if end.pin else end.part for end in ends]
    written = random.choice(("RD/BU", "RD/BU", "rd/bu", "RDBU", "RD-BU", "red/blue"))
    columns["colour"] = [_coloured(wire.colour, written) for wire in wires]
    unit, comma = random.choice(("", "", " mm2", "mm²")), random.random() < 0.4
    sizes = ["" if wire.size is None else f"{wire.size:.4g}" for wire in wires]
    columns["size"] = [f"{its.replace('.', ',') if comma else its}{unit}" if its else "" for its in sizes]
    columns = {role: cells for role, cells in columns.items() if any(its not in ("", "-") for its in cells)}
    if random.random() < 0.4:
        columns["remark"] = [random.choice(REMARKS) if random.random() < 0.4 else "" for _ in wires]
        columns["remark"][0] = REMARKS[0]
    return "wires", columns, random.choice(sorted(WORDS))


def _is_open(wire: Wire) -> bool:
    return wire.a.part.startswith("?") or wire.b.part.startswith("?")


def _coloured(codes: tuple[str, ...], written: str) -> str:
    if not codes:
        return ""
    if written == "red/blue":
        return "/".join(COLOURS.get(code, code) for code in codes)
    sign = "" if written == "RDBU" else "-" if written == "RD-BU" else "/"
    return sign.join(code.lower() if written == "rd/bu" else code for code in codes)


def _pins(random: Random, platform: Platform) -> tuple[str, Columns, str] | None:
    modules = [part for part in platform.loads if isinstance(part, Load) and len(part.roles) >= 6]
    if not modules:
        return None
    module = random.choice(modules)
    language = random.choice(sorted(WORDS))
    roles = list(module.roles.items())
    columns: Columns = {"pin": [pin for pin, _ in roles]}
    columns["what"] = [f"{WORDS[language].get(role, '')} {number}" for number, (_, role) in enumerate(roles, 1)]
    if random.random() < 0.3:
        columns["-"] = [str(random.randrange(3, 40)) for _ in roles]
    return "pins", columns, language


def _laid_out(random: Random, kind: str, columns: Columns, language: str) -> RandomTable:
    headed = random.random() < 0.7
    groups = [
        [role, f"{role}-pin"] if f"{role}-pin" in columns else [role] for role in columns if not role.endswith("-pin")
    ]
    if random.random() < 0.5:
        random.shuffle(groups)
    if not headed:  # which end is which is told by their order alone
        at = [number for number, group in enumerate(groups) if group[0] in ("from", "to")]
        for number, role in zip(at, ("from", "to"), strict=False):
            groups[number] = [role, f"{role}-pin"] if f"{role}-pin" in columns else [role]
    order = [role for group in groups for role in group]
    rows = [list(cells) for cells in zip(*(columns[role] for role in order), strict=True)]
    nothing = random.choice(("", "-", "–"))
    rows = [[cell or nothing for cell in row] for row in rows]
    if headed:
        spoken = "??" if random.random() < 0.2 else language
        rows.insert(0, [random.choice(HEADS[role].get(spoken, HEADS[role]["en"])) for role in order])
    return RandomTable(random.choice(_FORMS)(rows), kind, tuple(order))


def _signs(sign: str) -> Callable[[list[list[str]]], str]:
    def form(rows: list[list[str]]) -> str:
        def cell(text: str) -> str:
            return '"' + text.replace('"', '""') + '"' if sign in text or '"' in text else text

        return "\n".join(sign.join(cell(text) for text in row) for row in rows)

    return form


def _strokes(rows: list[list[str]]) -> str:
    lines = ["| " + " | ".join(row) + " |" for row in rows]
    return "\n".join([lines[0], "|" + "---|" * len(rows[0]), *lines[1:]])


def _blanks(rows: list[list[str]]) -> str:
    rows = [[text or "-" for text in row] for row in rows]
    widths = [max(len(row[number]) for row in rows) for number in range(len(rows[0]))]
    return "\n".join("   ".join(text.ljust(width) for text, width in zip(row, widths, strict=True)) for row in rows)


_FORMS = (_signs("\t"), _signs(";"), _signs(","), _strokes, _blanks)


def guessed(number: int) -> tuple[RandomTable, Guess]:
    table, known = random_table(Random(number))
    return table, columns_guessed(grid_of(SourceFile("table", table.text)), known)


def is_right(table: RandomTable, guess: Guess) -> bool:
    return (guess.kind, guess.columns) == (table.kind, table.columns)


def main(number: int, shown: int) -> None:
    right: Counter[str] = Counter()
    wrong: Counter[str] = Counter()
    for its in range(number):
        table, guess = guessed(its)
        lead = "sure" if guess.lead >= SURE else "unsure"
        (right if is_right(table, guess) else wrong)[f"{lead} {table.kind}"] += 1
        if lead == "sure" and not is_right(table, guess) and shown > 0:
            shown -= 1
            print(its, table.kind, table.columns, guess, *table.text.split("\n")[:4], sep="\n  ")
    print("right", dict(right), "wrong", dict(wrong))


if __name__ == "__main__":
    main(int(sys.argv[1]) if sys.argv[1:] else 1000, int(sys.argv[2]) if sys.argv[2:] else 0)
