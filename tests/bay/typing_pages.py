"""The typing page in the headless browser: a paired PC, with a sheet open."""

from dataclasses import dataclass, field
from typing import Any

from tests.bay.served import Served


@dataclass
class TypingPlaces:
    """One paired PC for each width and scheme of colours; each page on it begins with nothing kept."""

    found: Any
    server: Served
    _paired: dict[tuple[int, str], Any] = field(default_factory=dict)

    def page(self, *, width: int = 1366, color_scheme: str = "light", sheet: str = "61-02") -> Any:
        context = self._paired.get((width, color_scheme))
        if context is None:
            context = self._paired[width, color_scheme] = self._pair(width, color_scheme)
        for before in context.pages:
            before.close()
        page = context.new_page()
        page.errors = []
        page.asked = []
        page.on("pageerror", lambda error: page.errors.append(str(error)))
        page.on("console", lambda said: page.errors.append(said.text) if said.type == "error" else None)
        page.on("request", lambda request: page.asked.append(request.url))
        page.goto(f"{self.server.base}typing")
        page.evaluate("() => localStorage.clear()")
        page.click(".job:has-text('12-tonner') >> nth=0", timeout=60_000)
        page.wait_for_selector("#pieces", timeout=60_000)
        page.select_option("#pieces", page.locator(f"#pieces option:has-text('{sheet}')").first.get_attribute("value"))
        page.wait_for_selector("body[data-tried]", timeout=60_000)
        return page

    def _pair(self, width: int, color_scheme: str) -> Any:
        context = self.found.new_context(viewport={"width": width, "height": 850}, color_scheme=color_scheme)
        page = context.new_page()
        code = self.server.code()
        page.goto(f"{self.server.base}#pair={code}")
        page.fill("#name", f"Ida {width} {color_scheme}")
        page.click("main button.main")
        self.server.next_code(code)
        page.wait_for_selector("#name", state="detached", timeout=60_000)
        return context


def drawn_text(page: Any, text: str) -> None:
    """Wait until this stands in the drawing."""
    page.wait_for_selector(f".picture text:has-text('{text}')", timeout=60_000)
