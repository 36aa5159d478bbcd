"""A platform as one page that needs nothing: all facts are in the text; where scripts run, it can be searched."""

from markupsafe import Markup

from circuitmap.reports.pages.page import drawing_html, each, not_complete, page, shown
from circuitmap.reports.pages.share import Chapter, SharedItem, SharedPlatform
from circuitmap.reports.words.paragraphs import counted

_SEARCH = """
(function(){
var box=document.getElementById('search'),found=document.getElementById('found');
if(!box){return}
document.getElementById('searching').hidden=false;
var items=Array.prototype.slice.call(document.querySelectorAll('article')).map(function(a){
return {node:a,text:a.textContent.toLowerCase()}});
var chapters=Array.prototype.slice.call(document.querySelectorAll('section.chapter'));
var folds=Array.prototype.slice.call(document.querySelectorAll('details.fold'));
box.addEventListener('input',function(){
var words=box.value.toLowerCase().split(/\\s+/).filter(Boolean),count=0;
items.forEach(function(i){
var hit=words.every(function(w){return i.text.indexOf(w)>=0});
i.node.hidden=!hit;if(hit){count+=1}});
chapters.forEach(function(c){c.hidden=!c.querySelector('article:not([hidden])')});
folds.forEach(function(f){f.open=!words.length});
found.textContent=words.length?count+' found':'';
});
})();
"""


def share_html(shared: SharedPlatform) -> str:
    """The page; the same platform gives the same bytes."""
    contents = Markup("").join(
        Markup('<li><a href="#{}">{} ({})</a></li>').format(c.anchor, shown(c.title), len(c.items))
        for c in shared.chapters
    )
    body = Markup(
        "<h1>{title}</h1>\n<p>{says}</p>\n{not_complete}"
        '<div class="screen" id="searching" hidden><label for="search">Find a fuse, load, network, wire</label>'
        '<input type="search" id="search" autocomplete="off"><p id="found" role="status"></p></div>\n'
        '<details class="fold" open><summary>Contents</summary>'
        '<nav class="touch" aria-label="Contents"><ul>{contents}</ul></nav></details>\n'
        '<details class="fold care" open><summary><h2>Care</h2></summary><ul>{cautions}</ul></details>\n'
        "{legend}{cut_off}{chapters}{not_known}{shapes}"
    ).format(
        title=shown(shared.title), says=shown(shared.says), contents=contents,
        not_complete=not_complete(shared.not_complete),
        cautions=each("<li>{}</li>", shared.cautions),
        chapters=Markup("").join(_chapter(chapter) for chapter in shared.chapters),
        not_known=_not_known(shared.not_known), cut_off=_cut_off(shared.cut_off),
        legend=_legend(shared.pictures.legend), shapes=Markup(shared.pictures.shapes),
    )  # fmt: skip
    return page(shared.title, body, _SEARCH, shared.pictures.style)


def _legend(svg: str) -> Markup:
    if not svg:
        return Markup("")
    return Markup("<details><summary>Lines and marks in the drawings</summary>{}</details>\n").format(
        drawing_html("Lines and marks", svg, smaller=False)
    )


def _cut_off(sentences: tuple[str, ...]) -> Markup:
    if not sentences:
        return Markup("")
    return Markup('<section id="cut-off"><h2>Cut off</h2><ul>{}</ul></section>\n').format(
        each("<li>{}</li>", sentences)
    )


def _not_known(sentences: tuple[str, ...]) -> Markup:
    if not sentences:
        return Markup("")
    return Markup('<section id="not-known"><h2>Not typed in</h2><ul>{}</ul></section>\n').format(
        each("<li>{}</li>", sentences)
    )


def _chapter(chapter: Chapter) -> Markup:
    says = Markup("<p>{}</p>\n").format(shown(chapter.says)) if chapter.says else ""
    return Markup('<section class="chapter" id="{}"><h2>{}</h2>\n{}{}</section>\n').format(
        chapter.anchor, shown(chapter.title), says, Markup("").join(_item(item) for item in chapter.items)
    )


def _item(item: SharedItem) -> Markup:
    says = Markup(" {}").format(shown(item.says)) if item.says else ""
    facts = Markup("").join(Markup("<p>{}: {}</p>").format(shown(label), shown(value)) for label, value in item.facts)
    refers = Markup("").join(_reference(anchor, words) for anchor, words in item.refers)
    return Markup('<article id="{}"><h3>{}<span class="quiet">{}</span></h3>{}{}{}{}</article>\n').format(
        item.anchor, shown(item.name), says, facts,
        Markup('<ul class="touch">{}</ul>').format(refers) if refers else "", _wires(item), _drawing(item),
    )  # fmt: skip


def _reference(anchor: str, words: str) -> Markup:
    if not anchor:
        return Markup("<li>{}</li>").format(shown(words))
    return Markup('<li><a href="#{}">{}</a></li>').format(anchor, shown(words))


def _wires(item: SharedItem) -> Markup:
    """Wires are a list, not a table: they must fit the width of a phone."""
    if not item.rows:
        return Markup("")
    rows = Markup("").join(
        Markup("<li>{} <b>{}</b> {}{}</li>").format(
            shown(row[0]), shown(row[1]), shown(row[2]), f" (sheet {shown(row[3])})" if row[3] else ""
        )
        for row in item.rows
    )
    return Markup("<details><summary>{}</summary><ul>{}</ul></details>").format(counted(len(item.rows), "wire"), rows)


def _drawing(item: SharedItem) -> Markup:
    if not item.drawing.svg:
        return Markup("")
    return Markup("<details><summary>Drawing of {}</summary>{}{}</details>").format(
        shown(item.name),
        drawing_html(f"Drawing of {item.name}", item.drawing.svg),
        each("<p>{}</p>", item.drawing.notes),
    )
