"""Three hundred customers whose names are also words of HTML, of SVG, of English or of this program."""

import unicodedata

HTML = """
a abbr address area article aside audio b base bdi bdo blockquote body br button canvas caption cite code col colgroup
data datalist dd del details dfn dialog div dl dt em embed fieldset figcaption figure footer form h1 h2 head header hr html
i iframe img input ins kbd label legend li link main map mark menu meta meter nav object ol optgroup option output p
picture pre progress q rp rt ruby s samp script search section select slot small source span strong style sub summary sup
table tbody td template textarea tfoot th thead time title tr track u ul var video wbr
class id href src alt content charset lang name type value hidden for role tabindex colspan checked viewport
"""
SVG = """
animate circle clipPath defs desc ellipse filter foreignObject g image line linearGradient marker mask path pattern polygon
polyline rect stop svg switch symbol text textPath tspan use view
d x y x1 y1 x2 y2 r rx ry cx cy dx dy width height viewBox fill stroke stroke-width font-size font-weight font-family
text-anchor transform translate points opacity xmlns preserveAspectRatio rotate scale matrix none black white
"""
SMALL = """
The And Of To In Is It Not May Will Can Do Be As At By On Or If So No Yes An He She We You Us My His Her One Two Ten Was
Had Has Out Off Now New Old Hot Cold Wet Dry Day Night Week Black White Brown Green Rose Young March June April Hill Wood
"""
OF_THE_PROGRAM = """
Customer Fuse Lamp Heater Lift Relay Battery Cab Verdict Proven Involved Guilty Draws Parked Amps Limit Cause Record Entry
Page Bat Module Report Remark Photo Claim
"""
PEOPLE = (
    "Jessamy Orford", "May Not Ltd", "Li", "Ng", "Bo", "Ed", "Al", "Jo", "Wu", "Xi", "Ek", "Ø", "X", "Li Wang", "Ng & Sons", "Müller",
    "Mueller", "Weiß", "Strauß", "Jörg Käßner", "Åse Ødegård", "Noël", "Zoë", "Łukasz", "Çelik", "Ñuñez", "Šimek", "Dvořák",
    "O'Brien", "O’Neill", "d'Arcy", "Smith-Jones", "Anne-Marie", "van der Berg", "de la Cruz", "MacKay", "田中太郎", "王伟", "김철수",
    "さくら", "Иванов", "Пётр Чайковский", "Παπαδόπουλος", "אברהם", "محمد", "สมชาย", "देवी", "Ｏｒｆｏｒｄ", unicodedata.normalize("NFD", "Bjørn Ängström"),
    "Kennedy", "James", "Dr. Wells", "Mrs Ash", "7Eleven", "R2-D2", "3M", "<b>Bold</b>", "&amp;", "Robert'); DROP TABLE", "[customer]x",
    "ada@quill.example", "Ada Quill ada.q@mail.example", "Quill, 12 Mill Lane", "Quill\u200bson", "Qu\u00adill", "🙂 Smiley",
)  # fmt: skip


def customers() -> tuple[str, ...]:
    words = (HTML + SVG + SMALL + OF_THE_PROGRAM).split()
    return tuple(dict.fromkeys((*PEOPLE, *words)))
