"""Texts made to break out of every format that ours go into: markup, scripts, attributes, control characters."""

import random

PIECES = (
    "<script>hit()</script>", "<img src=x onerror=hit()>", "\"><svg onload=hit()>", "'><iframe src=javascript:hit()>",
    "</style><script>hit()</script>", "</title><script>hit()</script>", "</svg><script>hit()</script>", "]]><script>hit()",
    "javascript:hit()", "<a href='javascript:hit()'>x</a>", "<base href='http://127.0.0.1:9/'>", "<link rel=stylesheet href=//127.0.0.1:9>",
    "<style>@import '//127.0.0.1:9'</style>", "<meta http-equiv=refresh content='0;url=//127.0.0.1:9'>", "<!--", "-->", "<![CDATA[",
    "&lt;script&gt;hit()&lt;/script&gt;", "&#60;script&#62;", "{{hit()}}", "${hit()}", "%s%n", "{0}", "{", "}", "{title}", "`hit()`",
    "<foreignObject><body onload=hit()>", "<use href=data:image/svg+xml;base64,AA>", "<details open ontoggle=hit()>",
    "\x00", "\x1b[2J", "\x1b]0;x\x07", "\x9b31m", "\r", "\u202e", "\u2066", "\ufeff", "\u2028", "\ud7ff", "\U0001f600",
    "[x](javascript:hit())", "![x](http://127.0.0.1:9/x)", "| a | b |", "# h", "```", "~~~", "<x", ">", "'", '"', "\\", "&", ";",
    "https://127.0.0.1:9/", "onload=", "a" * 300, "\u0645\u0631\u062d\u0628\u0627", "=cmd|'/c calc'!A0",
)  # fmt: skip


def hostile_texts(count: int, seed: int = 7) -> list[str]:
    """`count` different texts; the same ones each time."""
    chance = random.Random(seed)
    texts: dict[str, None] = dict.fromkeys(PIECES)
    while len(texts) < count:
        pieces = chance.choices(PIECES, k=chance.randint(1, 4))
        texts[chance.choice(("", " ", "x", '"', ">")).join(pieces)[:600]] = None
    return list(texts)[:count]
