"""The shell of every HTML page: one file that loads nothing and runs nothing but what its policy names by hash.

Everything a person typed goes through `Markup.format`, which escapes it.
"""

import base64
import hashlib

from markupsafe import Markup

STYLE = """
:root{color-scheme:light}
*{box-sizing:border-box}
body{font:16px/1.45 Lato,Carlito,'Helvetica Neue',Arial,sans-serif;margin:0 auto;max-width:52em;padding:0 16px 3em;
color:#111;background:#fff;overflow-wrap:anywhere}
h1{font-size:1.5em;line-height:1.2;margin:1em 0 .3em}h2{font-size:1.15em;margin:1.6em 0 .3em}
h3{font-size:1em;margin:1.2em 0 .2em}
p{margin:.4em 0}ul{margin:.3em 0;padding-left:1.2em}li{margin:.25em 0}
a{color:#0a4f86}
.verdict{border-left:6px solid #0a4f86;padding:.5em .8em;background:#f2f5f8;font-weight:700}
.care{border:2px solid #111;padding:.2em .8em;margin:1em 0}
.figures{display:flex;flex-wrap:wrap;gap:12px;margin:.8em 0}
.figure{flex:1 1 9em;border:1px solid #767676;border-radius:6px;padding:.5em .8em}
.figure b{display:block;font-size:1.7em;line-height:1.2}
.chart{max-width:32em}
.drawing{overflow-x:auto;margin:.4em 0 .8em}.drawing svg{display:block;margin:0 auto}
.drawing text{font-family:Lato,Carlito,'Helvetica Neue',Arial,sans-serif}
.drawing path{stroke-linejoin:round}
.smaller{display:flex;align-items:center;gap:.6em;min-height:44px}
.smaller input{width:44px;height:44px;margin:0;padding:0}
.smaller:has(:checked)+.drawing svg{max-width:100%;height:auto}
.shapes{position:absolute}
summary h2{margin:0}
td.time{min-width:6.2em;white-space:pre-line;overflow-wrap:normal}
table{border-collapse:collapse;width:100%;margin:.5em 0}
th,td{border-bottom:1px solid #bbb;padding:.35em .5em .35em 0;text-align:left;vertical-align:top}
td.number,th.number{text-align:right;white-space:nowrap}
.struck{color:#595959;text-decoration:line-through}.quiet{color:#595959}
summary{min-height:44px;display:flex;align-items:center;cursor:pointer;color:#0a4f86}
.touch{list-style:none;padding-left:0}.touch a{display:flex;align-items:center;min-height:44px;padding:4px 0}
input[type=search]{font:inherit;width:100%;min-height:44px;padding:4px 10px;border:1px solid #555;border-radius:6px}
@media print{.smaller{display:none}.drawing{overflow:visible}.drawing svg{max-width:100%;height:auto}
body{font-size:10pt;max-width:none;padding:0}h2,h3{break-after:avoid}
tr,.figure,.drawing{break-inside:avoid}
.screen{display:none}.new-page{break-before:page}}
@page{size:A4;margin:14mm}
"""
_PHOTO_STYLE = """
figure{margin:1em 0;break-inside:avoid}figcaption{margin:.3em 0}
.photo{display:block;max-width:100%;max-height:22cm;height:auto}
"""


def page(title: str, body: Markup, script: str = "", more_style: str = "", pictures: bool = False) -> str:
    """A whole page. `script` is our own and is named in the policy by its hash; without a script nothing may run. So is
    the style, with the `more_style` that its drawings need. `pictures`: photos stand inside of it."""
    style = STYLE + more_style + (_PHOTO_STYLE if pictures else "")
    runs = f" script-src '{_hash(script)}';" if script else ""
    runs += " img-src data:;" if pictures else ""
    policy = f"default-src 'none'; style-src '{_hash(style)}';{runs} base-uri 'none'; form-action 'none'"
    shell = Markup(
        '<!DOCTYPE html>\n<html lang="en"><head><meta charset="utf-8">\n'
        '<meta http-equiv="Content-Security-Policy" content="{policy}">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        '<meta name="referrer" content="no-referrer">\n'
        "<title>{title}</title>\n<style>{style}</style></head>\n<body><main>\n{body}</main>{script}</body></html>\n"
    )
    tail = Markup("<script>{}</script>").format(Markup(script)) if script else Markup("")
    text = shell.format(policy=policy, title=shown(title), style=Markup(style), body=body, script=tail)
    return str(text)


def each(form: str, items: "list[str] | tuple[str, ...]") -> Markup:
    """`form` with one `{}` for every item, one after the other."""
    return Markup("").join(Markup(form).format(shown(item)) for item in items)


def drawing_html(label: str, svg: str, smaller: bool = True) -> Markup:
    """A drawing in a readable size, to be moved sideways where the screen is narrow. It is our own SVG, written element
    by element with its texts escaped."""
    box = Markup('<label class="smaller"><input type="checkbox"> all of it at once, smaller</label>') if smaller else ""
    return Markup('{}<div class="drawing" tabindex="0" role="region" aria-label="{}">{}</div>').format(
        box, shown(label), Markup(svg)
    )


def not_complete(sentences: tuple[str, ...]) -> Markup:
    """That parts of what a page rests on could not be read; empty where everything was read."""
    if not sentences:
        return Markup("")
    return Markup('<section class="care"><h2>Not complete</h2><ul>{}</ul></section>\n').format(
        each("<li>{}</li>", sentences)
    )


def shown(text: str) -> str:
    """A text without control characters and direction marks, which could make a page show another text."""
    if text.isprintable() and _DIRECTIONS.isdisjoint(text):
        return text
    return "".join(c if c in "\n\t" or _can_be_shown(c) else "\N{REPLACEMENT CHARACTER}" for c in text)


def _can_be_shown(character: str) -> bool:
    return character.isprintable() and character not in _DIRECTIONS


_DIRECTIONS = frozenset(map(chr, (0x061C, 0x200E, 0x200F, *range(0x202A, 0x202F), *range(0x2066, 0x206A))))


def _hash(text: str) -> str:
    return "sha256-" + base64.b64encode(hashlib.sha256(text.encode("utf-8")).digest()).decode("ascii")
