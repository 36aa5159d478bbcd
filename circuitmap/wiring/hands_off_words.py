"""What has the look of something that nobody may touch, by its words: a safety net below what was typed.

The words are those that the trade prints on sheets and fuse lids, in ten languages (common practice, no source; from
memory). A word that may mean something else is a doubt: it counts as hands-off until somebody says what it is.
"""

import re
import unicodedata
from collections.abc import Iterable, Iterator
from functools import cache, lru_cache
from typing import NamedTuple

from circuitmap.wiring.parts import HandsOff
from circuitmap.wiring.plain_beginnings import beginnings_of, head_of, may_match


class Sign(NamedTuple):
    """What something looks like, the words that say so, and whether they may mean something else."""

    why: HandsOff
    words: str
    doubtful: bool = False


@lru_cache(maxsize=8_192)
def look_of(*texts: str) -> Sign | None:
    """What these texts (name, description, place) speak of; None if nothing in them is hands-off."""
    texts = tuple(filter(None, texts))
    plain = list(filter(None, map(_plain, texts)))
    alone = _abbreviations_alone(texts[-1], plain[-1]) if plain else ()
    # No phrase goes on from one text into the next.
    text = "\n".join(plain[:-1] if alone else plain)
    looks = [*_looks_in(text), *_voltages_in(text)]
    if looks:
        text = _without_what_is_innocent(text, texts)
        looks = [_weighed(look, text) for look in (*_looks_in(text), *_voltages_in(text))]
    # "The maker says so" is the weakest of the reasons.
    return min((*looks, *alone), key=lambda look: (look.doubtful, look.why == "maker"), default=None)


MOST_VOLTS = 60.0
"""Direct volts above which a vehicle's circuit counts as high voltage (from memory: UN ECE Regulation No. 100)."""
_VOLTS_IN_DOUBT = (36.0, 42.0, 48.0)
"""Nets below that with rules and arcs of their own (practice)."""


def _voltages_in(text: str) -> Iterator[Sign]:
    for found in _VOLTS.finditer(text):
        volts = float(found[1].replace("·", ".")) * (1000.0 if found[2] else 1.0)
        if volts > MOST_VOLTS or volts in _VOLTS_IN_DOUBT:
            yield Sign("high-voltage", found[0].replace("·", "."), volts <= MOST_VOLTS)


def _looks_in(text: str) -> Iterator[Sign]:
    anywhere, at_words = _stems_by_letters(True), _stems_by_letters(False)
    # Plain letters are looked up: to compile one pattern for all stems takes longer than to look through a vehicle.
    if not anywhere.keys().isdisjoint({text[at : at + 3] for at in range(len(text) - 2)}):
        for at in range(len(text) - 2):
            if text[at : at + 3] in anywhere:
                yield from _looks_at(text, at, anywhere[text[at : at + 3]])
    at = 0
    for word in text.split():
        for letters in (word[:2], text[at : at + 3]):
            if letters in at_words:
                yield from _looks_at(text, at, at_words[letters])
        at += len(word) + 1


def _looks_at(text: str, at: int, stems: Iterable[tuple[str, str, Sign]]) -> Iterator[Sign]:
    for head, pattern, look in stems:
        if text.startswith(head, at) and (found := _pattern(pattern).match(text, at)):
            begin = 1 + max(text.rfind(between, 0, at) for between in " \n")
            yield look._replace(words=text[begin : found.end()])


def _plain(text: str) -> str:
    """Small letters without marks, and one blank for whatever joins words in a name."""
    if not text.isascii():
        text = unicodedata.normalize("NFKD", text.replace("ł", "l").replace("Ł", "l").replace("ß", "ss"))
        text = "".join(sign for sign in text if not unicodedata.combining(sign))
    text = _DECIMAL.sub(r"\1·", text)
    if text.count(".") > 1:
        text = _DOTTED.sub(lambda found: found[0].replace(".", "") + " ", text)
    return " ".join(text.casefold().translate(_JOINING).split())


_SIGNS = "".join(sign for sign in map(chr, range(0x21, 0x7F)) if not sign.isalnum())
_JOINING = str.maketrans(dict.fromkeys(_SIGNS + "‘’“”„«»–—", " ") | dict.fromkeys(",;", " , "))
_DECIMAL = re.compile(r"(\d)[.,](?=\d)")
_DOTTED = re.compile(r"(?<![^\W_])(?:[^\W\d_]\.){2,}")
_VOLTS = re.compile(r"(\d+(?:·\d+)?) ?(k?)v(?:dc|ac|olts?)?\b")
_pattern = cache(re.compile)


@cache
def _stems_by_letters(anywhere: bool) -> dict[str, list[tuple[str, str, Sign]]]:
    """The stems that may stand anywhere in a word, as in a compound (marked `~`), or those that begin a word, keyed by
    their first three letters (or two, if there are no more): each one's plain first letters, pattern and look. A stem
    with `|` behind it is the whole word, digits aside."""
    found: dict[str, list[tuple[str, str, Sign]]] = {}
    for written, look in _STEMS:
        if (written[0] == "~") is anywhere:
            stem = written.removeprefix("~")
            head = head_of(stem)
            assert len(head) > 1 + anywhere, written
            pattern = stem[:-1] + r"(?=\d*\b)" if stem[-1] == "|" else stem + r"\w*"
            found.setdefault(head[:3], []).append((head, pattern, look))
    return found


def _abbreviations_alone(text: str, plain: str) -> tuple[Sign, ...]:
    """A doubt for a text that is nothing but abbreviations of many meanings, sides and numbers aside. Where other words
    stand beside them, those words say what it is."""
    looks = list[Sign]()
    for word in plain.split():
        # An abbreviation of two letters is a designator when it has a number: FS1, PT2.
        look = _ALONE.get(letters if len(letters := word.rstrip("0123456789")) > 2 else word)
        if look is not None and (word not in _ALSO_WORDS or text.isupper()):
            looks.append(look._replace(words=word))
        elif not _SIDE.fullmatch(word):
            return ()
    return tuple(looks)


_SIDE = re.compile(r"[lrvhgd]h?|[fr][lr]|li|re|fr[oer]?n?t|rear|st\d?|\d+a?|,")


def _without_what_is_innocent(text: str, texts: tuple[str, ...]) -> str:
    may_be = [phrase for phrase, begins in beginnings_of(_INNOCENT_PHRASES) if may_match(begins, text)]
    if may_be:  # to compile all of them takes longer than all else that is looked for in a vehicle
        text = _pattern(rf"\b(?:{'|'.join(may_be)})\b").sub(",", text)
    for words, beside in _FREED.items():
        if _pattern(words).search(text):
            where = [around for piece, around in _pieces(texts) if _pattern(words).search(piece)]
            if where and all(_pattern(beside).search(around) for around in where):
                text = _pattern(words).sub(",", text)
    return text


def _pieces(texts: tuple[str, ...]) -> Iterator[tuple[str, str]]:
    """What is listed on a label, each item with what is said of it: in `SRS, audio` the SRS is not a loudspeaker's."""
    for number, text in enumerate(texts):
        others = " ".join(map(_plain, texts[:number] + texts[number + 1 :]))
        for piece in map(_plain, _LISTED.split(text)):
            yield piece, f"{piece} {others}"


_LISTED = re.compile(r"[,;&+]|(?<=\w\w\w) ?/ ?(?=\w\w\w)|\b(?:and|und|et|och)\b", re.IGNORECASE)


def _weighed(look: Sign, text: str) -> Sign:
    """The look, turned sure or doubtful by what stands beside its words."""
    for rows, doubtful in ((_DOUBTED, True), (_SETTLED, False)):
        for words, beside in rows.items():
            if _pattern(words).search(look.words) and _pattern(beside).search(text):
                look = look._replace(doubtful=doubtful)
    return look


_INNOCENT_PHRASES = (
    # Belts that hold nobody
    r"(?:drive|timing|cam|fan|alternator|compressor|serpentine|conveyor|(?:poly )?v|toothed) ?belt(?: ?tension\w*)?",
    r"belt (?:drive|driven|conveyor)", r"(?:chain|rope|cable|track|cover|tarpaulin|curtain) tension\w*",
    r"(?<!seat )belt (?:warn\w* |remind\w* )?(?:chime|buzzer|gong|lamp|light|tell ?tale)",
    r"napin\w* (?:pask|lancuch)\w*",
    # Bags, buckles, bars, valves
    r"(?:cool|dust|bin|refuse|tool|post|mail|golf|sleeping|shopping) ?bags?", r"bag (?:hook|lift|hold|rack|net)\w*",
    r"(?:cargo|load|luggage) restraint\w*", r"(?:strap|cargo|lashing|ratchet|load) buckle\w*", r"buckle bracket\w*",
    r"(?:crash|bull) bar\w*", r"impact (?:wrench|driver|drill)\w*",
    r"\w*(?:lamp|light|beacon|leuchte|werfer)\w* (?:on|at|sur|auf|am|op) (?:roll ?bar|arceau|rolbeugel|uberroll)\w*",
    r"roll ?bar (?:lamp|light|beacon)\w*", r"(?:valvul|valvol|clapet|soupape)\w* (?:de |di )?(?:reten|riten)\w+",
    # Gas that burns in no appliance
    r"(?:exhaust|exh|hot|flue|inert|shielding) gas\w*", r"\w*(?:abgas|uitlaatgas|avgas)\w*",
    r"gas (?:struts?|springs?|pedal|damper|discharge|cap|gauge|tank (?:level|gauge|sender|cap)|turbine)\w*",
    r"gas(?:feder|pedal|pedaal|veer|entladung|kupplung|griff|druck(?:feder|dampfer)|reglage|fjader|hendel)\w*",
    r"gasklep(?:huis|sensor|stel|stand)\w*", r"gasol(?:in|eo|io)\w*",
    r"(?:pedal\w*|papillon|mariposa|poignee|manette|manetk\w*|link[aiy]|farfalla) (?:d\w* )?(?:ga[sz]u?|plynu)",
    r"(?:verin|ressort|amort\w+|moll\w|mola|muelle|resorte|piston\w*) (?:a |de |di )?ga[sz]",
    r"(?:sprezyn|amortyzator|silownik|podnosnik|lamp)\w* gazow\w*", r"gaz d echapp\w*",
    r"gas(?:es)? d\w (?:e |l e)?(?:scap|scaric)\w*", r"plynov\w* (?:pedal|vzper|pruz|tlum)\w*", r"vyfukov\w* plyn\w*",
    r"fridge (?:unit|body)", r"(?:grup+o|groupe|equipo) frigor\w+",
    # The rest
    r"igniter ,? ?(?:park|aux|diesel|fuel)\w* heater", r"occupancy (?:lamp|light|sign) ,? ?(?:toilet|wc|lavatory)",
    r"(?:tyre|tire|bed|mattress) inflator", r"ribaltamento (?:cabina|cassone)", r"turboladdare", r"traction control",
    r"tractiecontrole",
    r"(?:clutch|shift|ramp|door|gear|park\w*|brake|neutral|start\w*|lift|seat|hatch|gate|key|pto) (?:door )?interlock",
    r"sealed (?:beam|connector|batter|lead|bearing|plug|relay|housing|lamp|headl)\w*",
    r"odometer (?:display|lamp|light|reset)\w*",
)  # fmt: skip

_LOW_TO_LOW = r"\b(?:12|24) ?v? (?:(?:to|auf|nach|vers|a|en|naar|na|do|para|till?) )?(?:12|24) ?v\b"
_APPLIANCE = (
    r"alarm|warn|leak|fuite|galley|kitchen|locker|coffre|vano|heater|chauff|stufa|caldaia|aquec|esquent|calef|calent"
    r"|heizung|fridge|frig|refrig|kue?hlschr|nevera|koelk|lodow|lednic|cooker|hob\b|oven|grill|stove|herd|cuisin|plaque"
    r"|cocina|fogao|fornell|kuchen|varic|topen|ohriv|ogrzew|kotel|bottl|botell|botij|bouteil|bomb[oe]|garraf|butl"
    r"|lah[ev]|cylinder|regul|detend|robinet|val[vy]|vanne|vent[ui]l|zawor|detecteur|detec?tor de|detektor|rilev|rivel"
    r"|czujnik|cidl|snimac|instala"
)
_FREED = {
    r"\bsrs\w*": r"\bsound|audio|speaker|amplif|surround", r"\bacm\b": r"audio|alarm|after ?treat|air cond",
    r"\brcm\b": r"camera|remote|radio|refrig|roof", r"\bsdm\b": r"seat|drive|door|display",
    r"\bo[cd]s\b": r"\boil\b|object|cooling", r"\bobc\b": r"computer",
    r"\bhv\d*\b": r"\bhorn|high volume|haupt|hohen|heavy",
    r"\bair bags?\b": r"susp|levell?ing|bellows|air spring|ride height|\bdump\b|compressor",
    r"\bbelt tension\w*": r"engine|alternator|pulley|crank|timing|coolant", r"\bigniter\b": r"heater|burner",
    r"\bdc ?dc\b|\w*spannungswandler\w*|convertitore|omvormer|przetwornica|\binv(?:erter)?\b": _LOW_TO_LOW,
    r"\bcharg\w+ \w+|\w*laddut\w*|\w*laddare|\w*ladebuchse\w*": r"\busb|phone|wireless|tablet|cigar|mobil",
    r"\belectric (?:a c )?compressor": r"fridge|cool ?box|suspension|horn|tyre",
    r"\b(?:fridge|refrigerat|frigo)\w*|\w*(?:kue?hlschr|koelk|kylsk|nevera|lodowk|lednic)\w*": r"[ck]ompress?or|relay",
}  # fmt: skip
_DOUBTED = {
    r"\bair ?bags?\b": r"susp|\baxle|\bpress\b", r"\bbuckle": r"illum|lamp|light", r"\bsquib": r"empty|unused",
    r"\bbag": r"pannier|luggage|\bcases?\b", r"\brestraint": r"wheelchair|(?<!active )head restraint",
    r"\bpoduszk": r"zawiesz|\bosi\b", r"\bkurtyn": r"drzwi", r"\bmotor generator": r"\b48 ?v",
    r"\b(?:1[0-2]|2[0-4])\d ?v": r"inverter|charger|richter|omvorm|onduleur|inversor|lader\b|ladegerat"
    r"|chargeur|cargador|carregador|caricabat|ladowark|przetworn|nabijec|menic|laddare",
    r"\bspeed limiter": r"switch|stalk|cruise|lever|button",
}  # fmt: skip
_SETTLED = {
    r"\b(?:fridge|(?:re)?frig|kue?hl|koelk|nevera|lodow|lednic|kyls)": r"absor[bcp]|assorb|\bga[sz]|plyn",
    r"^(?:ga[sz]|gazu|gazow\w*|plynu?|plynov\w*)$": _APPLIANCE,
    r"\bsealed": r"\bvss\b|speed|motion|record|gearbox|limiter|\bmeter|instrument|pulse|logger",
    r"\bcalibrated|\bverified": r"odometer|\bmeter|weigh|scale|gauge",
}  # fmt: skip
"""Words, and what may stand beside them on the label and make them harmless, doubtful or sure."""

_BAG_PLACES = (
    "curtain", "knee", "side", "window", "head", "thorax", "wheel", "driver", "drivers", "drv", "passenger", "pass",
    "centre", "center", "belt", "pelvis", "rear", "rail", "roof", "cushion", "windscreen", "seat", "front",
)  # fmt: skip
_RESTRAINT = (
    # English
    r"~bag(?:" + "|".join(rf"(?<={place}{gap}bag)" for place in _BAG_PLACES for gap in ("", " ")) + r")s?\b",
    "~air ?bag", "a bag", "abag", "restraint", "suppl? restr", "restr (?:sys|unit|mod|cont|ecu)",
    "supplement(?:al|ary) (?:restr|inflat)", "srs|", "srs[a-z]{2,4}|", "pre ?tens", "~belt ?tens",
    "lap (?:anchor|tens)", "anchor tens", "seat pull down", "~seat ?belt", "safety belt",
    "inflatable (?:belt|curtain|bag|cushion|knee|tub)", "inflator", "buckle", "bkl|",
    "belt (?:lock|latch|retract|reel|load|force|limit|switch|contact|sens|stalk)", "gas generator", "squib",
    "pyro(?!met)", "detona[td]or", "explosive", "ignition pill", "firing (?:circuit|line|loop)",
    "shorting (?:bar|clip|spring|link)", "safing", "~crash ?sens", "crash (?:out|sig|line|wire|detect|unlock)",
    "impact (?:sens|sat|tube|switch|detect)", "collision sens", "side satellite", "pressure satellite", "roll ?over",
    "roll ?bar", "occupant", "occupancy", "occ (?:prot|det|class|mat|foil|sens|safe|weight)", "oc (?:mat|foil|sens)",
    "sens(?:ing)? (?:and )?diag", "pass(?:enger)? (?:presence|det|class|weight|sens|occ|inflat)",
    r"seat (?:occ|weight|foil|buckle|mat\b)", "child seat (?:det|sens|rec|pres)", "clock ?spring", "contact reel",
    "spiral cable", "steering wheel (?:slip|reel|coil)", "strg (?:wheel|whl) (?:slip|reel|coil)",
    "ped(?:estrian)? (?:prot|impact)", "pop ?up (?:bonnet|hood)", "active (?:bonnet|hood|head ?rest)",
    "bonnet (?:lift|actuator|raiser)", "batt(?:ery)? (?:cut ?off|disconnect) (?:charge|igniter|squib)",
    "batt(?:ery)? safety (?:term|clamp)", "safety batt(?:ery)? (?:term|clamp)", "pedal release", "fire suppr",
    # German, with the word inside its compounds
    "~gurt ?(?:st|sch|kraft|spann|roll|aufroll|begrenz)", "~ruckhalt", "~rueckhalt", "~zund(?:pille|kreis)",
    "~zuend(?:pille|kreis)", "~sitz ?beleg", "~sitzmatte", "~belegungserk", "~insassen(?:schutz|erk|ruck)", "~uberroll",
    "~ueberroll", "~uberschlag", "~aufprall", "~pyrotech", "~sicherheitsgurt", "~fussgae?ngerschutz",
    "aktive (?:motorhaube|kopfst)", "aktuator motorhaube", "~haubena(?:ufstell|ktu)", "~haubenheb", "~wickelfeder",
    "~wickelkontakt", "~kontaktspiral", "~batterie ?trennel", "~sicherheitsbatt", "~prallsack", "~gasgenerator",
    # French, Spanish, Portuguese, Italian
    "coussins? (?:gonf|d air|de securite)", "sacs? gonf", "rideaux? gonf", "ceinture", "retenue",
    "capteurs? (?:de |d )?(?:choc|collision|impact)", "presence passager", r"detect\w* (?:d\w* )?(?:passag|occup)",
    "arceau", "capot actif", "contacteur (?:tournant|annulaire|spiral)", "verin (?:de )?capot",
    "protection (?:des )?pieton", "cintur[ae]", "fibbi[ae]",
    "sensor[ei] (?:di |d )?(?:urto|impatto|crash|collis|ribalt|occup)", "ritenuta", "anti ?ribaltamento",
    "cuscin[oi] (?:d ?aria|gonf)", "spirale (?:del )?volante", "contatt[oi] spiral", "presenza (?:del )?passegg",
    "occupazione (?:del )?sedile", "cofano attiv", r"bolsas? (?:de )?(?:aire?|ar|infl\w+)\b",
    "almofadas? (?:de ar|insufl)", "cojin(?:es)? (?:inflable|de aire)", "cinturon", r"cintos?\b", "hebilla",
    "sistema de reten[cs]", "pirotec", "antivuelco", "capotamento", "ocupante",
    "sensor(?:es)? (?:de |d )?(?:impacto|choque|colis|vuelco|capot)",
    "ocupa(?:cion|cao) (?:del |do |de )?(?:asiento|banco|assento|pasajero|passageiro)",
    "presen(?:cia|ca) (?:del |do )?(?:pasajero|passageiro)", "muelle (?:de )?reloj", "mola de relogio", "capo activo",
    "cinta espiral", "fita espiral", "cabo espiral", "contac?to espiral",
    # Dutch, Swedish
    "~krock", "~balte", "~satesbel", "~kontaktrull", "~klockfjader", "~valtbag", "~fotgangarsk", "aktiv motorhuv",
    "~gordel", "~bots(?:ings)?sens", "~rolbeugel", "~kreukel", "~inzittende", "~luchtkussen", "~stoelbezet",
    "~klokveer", "~wikkelveer", "actieve motorkap", "~voetgangersbesch",
    # Polish, Czech
    "poduszk[aiy] (?:powiet|gaz)", "poduszek powietrzn", "kurtyn[ay] (?:powiet|bocz)", r"napinacz\w* pas(?:a|ow|y)\b",
    r"zam(?:ek|k[aiuy]) pas(?:a|u|y|ow)?\b", r"pas(?:y|ow|a|u)? bezp", r"zwijacz\w* pas", r"navijec\w* pas",
    r"klamr\w* pas", r"czujnik\w* (?:zderz|uderz|koliz|zaj|dachow)", "zajetosci (?:fotel|siedz)",
    r"tasm\w* (?:zwij|spir)", "zaplonnik", "predpinac", r"bezpecnostni\w* (?:pas|polst)", "naraz(?:ovy|u)", "zadrzn",
    "obsazen", r"spiralov\w* kontakt", "roznecovac", r"ochran\w* chodc", "aktivni kapot",
)  # fmt: skip
_RESTRAINT_DOUBTFUL = (
    "sdm|", "acm|", "rcm|", "acu|", "orc|", "ocs|", "ods|", r"bags?\b", "igniter", "firing", "crash", "impact",
    "collision", "belt|", "gurt", "protection system", "deploy", "ab (?:ecu|mod)", "a b (?:ecu|mod)", "passive safety",
    "tensioner", "retractor", "satellite sens", "seat track", "slip ring", "hood (?:actuator|raiser|lift)", "inertia s",
    "yaw rate", "steering angle", "steering wheel (?:heat|switch|key|button)", r"pressure sens\w*(?: \w+){0,2} door",
    "acceleration sens", "emergency call", "extinguisher", "s d (?:unit|mod|15)", "cruise keys", "column release",
    "initiator", "allumeur", "gonflable", "retencion", "vuelco", "ribaltamento", "~luftkissen", "napinacz", "polstar",
)  # fmt: skip
_HIGH_VOLTAGE = (
    # English
    "~high ?volt", "high tension", "hv|", "hvil|", "traction (?:batt|inverter|motor|conv)",
    "drive (?:unit |motor )?(?:batt|inverter)", "propulsion", "e drive|", "edrive|", "electric drive", "e axle|",
    "eaxle|", "motor generator", "energy stor", "cell (?:monitor|module|super|balanc|stack)", "fuel cell",
    r"orange\w* (?:cable|harness|wir|lead|sheath|leitung|kab[el])", "service (?:disconn|ht)", "manual disconn",
    "maintenance (?:disconn|plug)", "interlock loop", "pilot (?:line|loop)", "control pilot", "proximity pilot",
    "cp inlet", "pp inlet", "rescue (?:cut|loop|disc)", "insulation mon", "isolation mon", "dc link", "e compressor",
    "electric (?:a ?c )?compressor", "electric pto", "main contactor", "battery contactor", "pre ?charge",
    "on ?board charg", "ccs socket", "charg(?:e|ing) inlet", "overhead line", "pantograph",
    # German, Dutch, Swedish
    "~hoch(?:volt|spann)", "~traktionsb", "~antriebsbatt", "~fahrbatt", "~pilotlinie", "~sicherheitslinie",
    "~leistungselektronik", "e mas?chin", "elektromaschine", "~bordlad", "~onboard ?lad", "on board lad",
    "el klimakompr", r"elektr\w* klimakompr", "~wartungsstecker", "~rettungstrenn", "~isolations(?:wa|uberw)",
    "~pulswechselrichter", "~antriebsumrichter", "~zwischenkreis", "~vorlade(?:rel|wid|sch)", "~brennstoffzell",
    "~zell(?:modul|uberw)", "~energiespeicher", "~stromabnehmer", "~oberleitung", "~hoog(?:span|volt)",
    "~tractie(?:batt|accu|motor|omv)", "~aandrijf(?:accu|omv)", "~boordlad", "~onderhoudsstek", "~isolatiebew",
    "omvormer aandr", "oranje kabel", "~hog(?:spann|volt)", "~driv(?:batt|omrik)", "~elkompressor", "~branslecell",
    # French, Spanish, Portuguese, Italian
    "haute tension", "boucle ht|", "batterie ht|", "batterie de traction", r"moteur (?:\w+ )?(?:de )?traction",
    "machine electrique", "onduleur (?:de )?(?:traction|machine|moteur)", "chargeur embarque", "interver",
    r"contr\w+ (?:de |d )?isolement", r"surveil\w+ (?:de |d )?isolement", "coupe circuit de service", "pile a comb",
    r"compresseur (?:de )?clim\w* elec", "cables? (?:orange|naranja)", "alt[oa] (?:voltaj|tens)", r"bater\w+ de trac",
    "batteria di traz", "inversor de trac", r"motore? (?:\w+ )?(?:d[ei] )?tra(?:cc|ca|zi)", "inverter (?:di )?traz",
    "cargador (?:de |a )*(?:bordo|emb)", "carregador (?:de |a )*(?:bordo|emb)", "caricabatter[ie]+ di bordo",
    "desconexion de servicio", "enclavamiento at|", r"seziona\w+ (?:di )?serv",
    r"compressor[ei] (?:del )?clima\w* elettr", "cavi arancion", "cabos? laranja", r"monitor\w* d\w+ (?:aisl|isol)",
    r"control\w* d\w+ (?:aisl|isol)", "controllo isol",
    # Polish, Czech
    r"wysoki\w* napiec", "trakcyjn", "falownik nap", r"ladowark\w* poklad", "petla blokady", "blokady wn|",
    r"ogniw\w* paliw", r"vysok\w* nap", "~vysokonap", "trakcni", r"palubni\w* nabij", "servisni odpoj",
    r"palivov\w* clan",
)  # fmt: skip
_HIGH_VOLTAGE_DOUBTFUL = (
    "inverter", "inv|", "dc dc|", "dcdc", "obc|", "bms|", "msd|", "pdu|", "imd|", "isg|", "e comp|", "e motor|",
    "emotor|", "power electronics", "starter generator", "charg(?:e|ing) (?:port|flap|lid|door)", "vehicle inlet",
    "ptc|", "interlock", "service plug", "~wechselrichter", "~umrichter", "~trennstecker", "~ladedose", "~ladebuchse",
    "~spannungswandler", "~servicebryt", "onduleur", "inversor", "convertitore", "~omvormer", "falownik",
    "przetwornica", "stridac", "enclavamiento", "~vaxelriktare", "~omriktare", "~laddare", "~laddutt",
)  # fmt: skip
_GAS = (
    "lpg|", "lp gas", "cng|", "lng|", "gpl|", "glp|", "gnc|", "gnv|", "propan", "butan", "hydrogen", "hidrogen",
    "idrogen", "wasserstoff", "waterstof", "wodor", "vodik", "vatgas",
    "h2 (?:tank|leak|valve|sens|cyl|vent|press|supply)", "auto ?gas", "natural ?gas", "liquid ?gas", "bottled ?gas",
    "petroleum ?gas", "gas (?:valve|solenoid|shut|cut|lock|isolat|regul|inject|bottle|cyl|change|system|rail|bbq|barb)",
    "co (?:alarm|detector|warn)", "cylinder change", "bottle change", "~absorberk", "hob ignit", r"oven(?: \w+)? ignit",
    "grill ignit", "stove ignit", "cooker ignit", "~erd ?gas", "~flue?ssig ?gas",
    "~gas(?:ventil|flasch|absp|anlage|regler|warn|meld|kast|heiz|herd|koch|therm|brenn)", "trimixt", "trivalen",
    "metano?|", "methane?|", "bombol", "bombona", "~aardgas",
    "~gas(?:fles|afsl|alarm|kachel|bun|detec|fornuis|ol|varn|larm|spis)", "~fordonsgas", "~naturgas", "~biogas",
)  # fmt: skip
_GAS_DOUBTFUL = (
    "gas|", "gaz|", "gazu|", "gazow", "plyn|", "plynu|", "plynov", "~gasklep", "~gassens", "fridges?|",
    "refrigerat(?:or|eur)", "frigo|", "kue?hlschrank", "koelkast", "frigorifico", "nevera", "lodowk", "lednic",
    "kylskap", "multivalve", "fuel sel", "htr locker", r"heater(?: \d+)? (?:locker|leisure|living|habitation|caravan)",
)  # fmt: skip
_SEALED = (
    "~tacho ?gra", "~tachygra", "tacogra", "~tachigra", "speed limiter", "speed limitation", "~tax[ai] ?met",
    "tassamet", "taksomet", r"dig\w* tacho|", "tacho (?:remote|antenna|head|unit|record|card|sender)",
    "recording instr", "alco(?:hol)? ?(?:inter)?lock", "alkolock", "breath (?:alc|test|sample)", "breathaly",
    "ignition interlock", "fare ?meter", r"temp\w* (?:record|logg)", r"reefer (?:data )?(?:log|record)",
    "trade approved", "legal for trade", "~fahrten ?schr", "~fahrtschr", "~geschwindigkeitsbegr", "eg kontrollg",
    "~alkohol ?(?:inter|zund|weg)", "fahrpreisanz", "~temperatur ?(?:schreib|skriv|registr)", "~plombi", "~verplomb",
    "geeicht", "ethylo", "limiteur (?:de )?vit", r"plombee?s?\b", "enregistreur (?:de )?temp",
    "limitador (?:de )?veloc", "alcoholimetro", r"regist\w+dor (?:de )?temp", "precint", "limitatore (?:di )?veloc",
    "registratore (?:di )?temp", "piombat", "~snelheidsbegr", "~alcoholslot", "boordcomputer taxi", "~verzegeld",
    "~geijkt", r"ogranicznik\w* predk", r"blokad\w* alkohol", "alkoblok", r"rejestrator\w* temp", r"plomb[ay]\b",
    "zaplomb", r"omezovac\w* rychl", r"zaznamnik\w* tepl", "plombov", "~fardskriv", "~hastighetsbegr", "~alkolas",
    r"alkoholov\w* zam",
)  # fmt: skip
_SEALED_DOUBTFUL = (
    "tacho|", "tco|", "odometer", "speed limit", "sealed", "~kontrollgera", "calibrated", "verified", "event data",
    "data logger", "weigher", "selad[oa]",
)  # fmt: skip
_MAKER = (
    "do not (?:pull|remove|unplug|disconnect|touch|open|probe)", "don t (?:pull|remove|unplug|touch)",
    "never (?:pull|remove|unplug)", "not to be (?:pulled|removed|unplugged)", "hands off",
    "nicht (?:ziehen|abziehen|entfernen|trennen|losen|beruhren)",
    "ne pas (?:retirer|debrancher|enlever|toucher|ouvrir)", "no (?:extraer|desconectar|retirar|tocar|quitar)",
    "non (?:estrarre|rimuovere|scollegare|toccare|staccare)",
    "niet (?:verwijderen|loskoppelen|uittrekken|aanraken|trekken)",
    "nie (?:wyjmowac|odlaczac|dotykac|wyciagac|rozlaczac)", "ne(?:vytahova|odpojova|dotyka|vyjima)t",
    "nao (?:retirar|remover|desligar|tocar|desconectar)", "far (?:ej|inte)", "dra (?:ej|inte)", "koppla (?:ej|inte)",
    "ror (?:ej|inte)", "ta (?:ej|inte)",
)  # fmt: skip

_KINDS: dict[HandsOff, tuple[tuple[str, ...], ...]] = {
    "restraint": (_RESTRAINT, _RESTRAINT_DOUBTFUL),
    "high-voltage": (_HIGH_VOLTAGE, _HIGH_VOLTAGE_DOUBTFUL),
    "gas": (_GAS, _GAS_DOUBTFUL),
    "sealed": (_SEALED, _SEALED_DOUBTFUL),
    "maker": (_MAKER,),
}
_STEMS = tuple(
    (stem, Sign(why, "", stems is not lists[0])) for why, lists in _KINDS.items() for stems in lists for stem in stems
)
_MANY_MEANINGS: dict[HandsOff, str] = {
    "restraint": "ab acm rcm sdm orc ocs ods pt bt sab kab hab wab dab pab cab bst sis rops sbe gs gst urb",
    "high-voltage": "inv obc bms msd pdu imd eac mg isg cp pp le spw hv ht wn vn",
    "gas": "ng",
    "sealed": "tco rsl sld iid baiid ead fs kg",
}
_ALONE = {letters: Sign(why, "", True) for why, all_of_it in _MANY_MEANINGS.items() for letters in all_of_it.split()}
_ALSO_WORDS = ("cab", "le")
"""Abbreviations that may mean a hands-off thing, and those that do so only in capitals, being words too."""
