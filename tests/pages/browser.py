"""A headless browser for pages, with everything watched that a page must not do."""

import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest

ALLOWED = {
    "html", "head", "meta", "title", "style", "body", "main", "script", "h1", "h2", "h3", "p", "ul", "li", "a",
    "section",
    "nav", "article", "div", "span", "b", "table", "thead", "tbody", "tr", "th", "td", "details", "summary", "label",
    "input", "strong", "br",
    "svg", "g", "desc", "polyline", "polygon", "rect", "circle", "text", "path", "defs", "use",
}  # fmt: skip
"""Elements that our pages are made of; anything else came out of somebody's text."""


@dataclass
class Watch:
    """What happened while a page was open."""

    requests: list[str] = field(default_factory=list)
    dialogs: list[str] = field(default_factory=list)
    errors: list[str] = field(default_factory=list)


@contextmanager
def browser() -> Iterator[Any]:
    """Chromium through playwright; skips, with the reason, where either is missing."""
    sync_api = pytest.importorskip("playwright.sync_api")
    chromium = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
    if chromium is None:
        pytest.skip("needs Debian's chromium")
    quiet = ["--no-sandbox", "--disable-gpu", "--disable-background-networking", "--disable-component-update"]
    with sync_api.sync_playwright() as playwright:
        found = playwright.chromium.launch(executable_path=chromium, args=quiet)
        try:
            yield found
        finally:
            found.close()


def opened(found: Any, file: Path, *, width: int = 390, scripts: bool = True) -> tuple[Any, Watch]:
    """A page at phone width, and the watch over it."""
    page, watch = watched(found, width=width, scripts=scripts)
    page.goto(file.as_uri())
    return page, watch


def watched(found: Any, *, width: int = 390, scripts: bool = True) -> tuple[Any, Watch]:
    """An empty page at phone width, and the watch over it."""
    context = found.new_context(viewport={"width": width, "height": 800}, java_script_enabled=scripts)
    page = context.new_page()
    watch = Watch()
    page.on("request", lambda request: watch.requests.append(request.url))
    page.on("dialog", lambda dialog: (watch.dialogs.append(dialog.message), dialog.dismiss()))
    page.on("pageerror", lambda error: watch.errors.append(str(error)))
    return page, watch
