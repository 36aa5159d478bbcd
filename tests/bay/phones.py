"""A phone in the headless browser: paired, with a job open on its card."""

from typing import Any

from tests.bay.served import Served


def paired_phone(found: Any, server: Served, who: str, *, view: str = "Card", width: int = 390, **more: Any) -> Any:
    """A page of its own browser context, so of its own phone."""
    context = found.new_context(viewport={"width": width, "height": 844}, has_touch=True, **more)
    page = context.new_page()
    page.errors = []
    page.asked = []
    page.on("pageerror", lambda error: page.errors.append(str(error)))
    page.on("request", lambda request: page.asked.append(request.url))
    if who in server.cookies:
        context.add_cookies(server.cookies[who])
        page.goto(server.base)
    else:
        code = server.code()
        page.goto(f"{server.base}#pair={code}")
        page.fill("#name", who)
        page.click("main button.main")
        server.next_code(code)
    page.click(f".job:has(b:text-is('{server.title}'))" if server.title else ".job >> nth=0", timeout=60_000)
    server.cookies[who] = context.cookies()
    page.wait_for_selector(".fuse", timeout=60_000)
    page.click(f"#tabs >> text={view}")
    return page


def box_of(locator: Any) -> Any:
    """Where an element lies, as `x`, `y`, `width`, `height`. One that is replaced just then is looked for again: the
    page is drawn anew whenever an answer comes."""
    for _ in range(100):
        box = locator.first.evaluate("one => one.isConnected ? one.getBoundingClientRect().toJSON() : null")
        if box is not None:
            return box
    raise AssertionError(f"{locator} never stays")


def wait_until_empty(page: Any) -> None:
    """Until nothing waits on the phone any more."""
    page.wait_for_selector("#line:not(:has-text('on this phone'))", state="attached", timeout=60_000)
    page.wait_for_selector(".waits", state="detached", timeout=60_000)
