"""The addresses of the bay page, and what is asked at each. Everything but the page itself needs a paired phone."""

import asyncio
import time
from collections.abc import AsyncIterator, Mapping
from contextlib import asynccontextmanager
from datetime import datetime
from hashlib import sha256
from pathlib import Path
from typing import Any

from starlette.applications import Starlette
from starlette.requests import Request
from starlette.responses import JSONResponse, Response, StreamingResponse
from starlette.routing import Route

from circuitmap.failures import Failure, WrongUse
from circuitmap.flows.desk import MOST_IN_A_BATCH
from circuitmap.flows.job import make_ready
from circuitmap.flows.sent import Sent
from circuitmap.reports.bay.plain_html import job_html, shelf_html
from circuitmap.web.asked import Bay, failed, number_in, owner_of, run_in, said_in, text_in
from circuitmap.web.guard import POLICY_OF_A_FILE, App, Guard
from circuitmap.web.log_routes import log_routes
from circuitmap.web.photo_routes import photo_routes
from circuitmap.web.platform_routes import platform_routes
from circuitmap.web.streams import Streams

PAGE = Path(__file__).parent / "page"
FIRST = "bay.html"
KINDS = {".html": "text/html", ".js": "text/javascript", ".css": "text/css"}
LONGEST_LINE = 10_000
A_WEEK = 604_800
NINETY_DAYS = 90 * 86_400


def application(bay: Bay) -> App:
    """The whole page, guarded."""
    streams = Streams(bay.desk, bay.answering, bay.beside)
    files = _files()

    async def page(request: Request) -> Response:
        return _file(files, FIRST)

    async def asset(request: Request) -> Response:
        return _file(files, request.path_params["name"], request.path_params["version"])

    async def style(request: Request) -> Response:
        return _file(files, "bay.css")

    async def pair(request: Request) -> Response:
        said = await said_in(request)
        code, name = text_in(said, "code", 100), text_in(said, "name", 100)
        token = bay.grants.redeem(code, name, time.monotonic(), f"{datetime.now():%Y-%m-%d}")
        if token is None:
            return JSONResponse({"why": "This code is used up or too old: scan the one that is shown now."}, 403)
        answer = JSONResponse({"name": name})
        answer.set_cookie(bay.cookie, token, max_age=NINETY_DAYS, httponly=True, samesite="strict", path="/")
        return answer

    async def shelf(request: Request) -> Response:
        owner = owner_of(bay, request)
        jobs = await run_in(bay.answering, bay.desk.shelf)
        listed = {"jobs": [job._asdict() for job in jobs], "left_out": bay.desk.left_out}
        return JSONResponse({**listed, "you": owner, **_clock_and_version()})

    def _clock_and_version() -> dict[str, Any]:
        return {"now_ms": int(time.time() * 1000), "version": _version(files)}

    async def job(request: Request) -> Response:
        owner_of(bay, request)
        return JSONResponse(await run_in(bay.answering, bay.desk.answer, request.path_params["key"]))

    async def stream(request: Request) -> Response:
        owner_of(bay, request)
        if streams.is_full:
            return JSONResponse({"why": "Too many pages are open."}, 503)
        events = streams.events(request.path_params["key"])
        return StreamingResponse(events, media_type="text/event-stream", headers={"X-Accel-Buffering": "no"})

    async def entries(request: Request) -> Response:
        arrived = datetime.now()  # what waits for its turn from here on was not typed later
        owner, key = owner_of(bay, request), request.path_params["key"]
        said = await said_in(request)
        batch, sent_ms = _batch(said), number_in(said, "sent_ms")
        with streams.writing():
            done = await run_in(bay.writing, bay.desk.add, key, owner, batch, sent_ms, arrived)
        streams.look_now(key)
        await streams.tell_moved(key, done.moved)
        return JSONResponse({"taken": [its._asdict() for its in done.taken]})

    async def strike(request: Request) -> Response:
        owner, key = owner_of(bay, request), request.path_params["key"]
        said = await said_in(request)
        reason = f"{text_in(said, 'reason', 300).strip()} ({owner})"
        its_id, says = text_in(said, "id", 40), text_in(said, "says", LONGEST_LINE)
        number = number_in(said, "number")
        if not text_in(said, "reason", 300).strip():
            raise WrongUse("A strike needs a reason.")

        def struck() -> None:
            bay.desk.strike(key, reason, its_id=its_id, number=number, says=says)

        with streams.writing():
            await run_in(bay.writing, struck)
        streams.look_now(key)
        return JSONResponse({"done": True})

    async def report(request: Request) -> Response:
        owner_of(bay, request)
        content = await run_in(bay.beside, bay.desk.report, request.path_params["key"])
        return Response(content, media_type="text/html", headers={"Content-Security-Policy": POLICY_OF_A_FILE})

    async def picture(request: Request) -> Response:
        owner_of(bay, request)
        content = await run_in(bay.beside, bay.desk.picture, request.path_params["key"])
        if not content:
            return JSONResponse({"why": "Nothing was found to draw yet."}, 404)
        return Response(content, media_type="image/svg+xml", headers={"Content-Security-Policy": POLICY_OF_A_FILE})

    async def plain(request: Request) -> Response:
        owner_of(bay, request)
        key = request.path_params.get("key", "")
        if key:
            html = job_html(key, await run_in(bay.answering, bay.desk.answer, key))
        else:
            html = shelf_html([its._asdict() for its in await run_in(bay.answering, bay.desk.shelf)])
        return Response(html, media_type="text/html")

    @asynccontextmanager
    async def codes_are_shown(_: Starlette) -> AsyncIterator[None]:
        task = asyncio.create_task(_show_codes(bay))
        try:
            yield
        finally:
            task.cancel()

    its = "/jobs/{key:str}"
    routes = [
        Route("/", page),
        Route("/pair", pair, methods=["POST"]),
        Route("/jobs", shelf),
        Route(its, job),
        Route(f"{its}/stream", stream),
        Route(f"{its}/entries", entries, methods=["POST"]),
        Route(f"{its}/strike", strike, methods=["POST"]),
        Route(f"{its}/report", report),
        Route(f"{its}/picture", picture),
        Route("/plain", plain),
        Route("/plain/{key:str}", plain),
        *platform_routes(bay),
        *photo_routes(bay),
        *log_routes(bay),
        Route("/bay.css", style),
        Route("/page/{version:str}/{name:str}", asset),
    ]
    app = Starlette(routes=routes, lifespan=codes_are_shown, exception_handlers={Failure: failed})
    return Guard(app, bay.names)


async def _show_codes(bay: Bay) -> None:
    """A code is always shown that is good: another one once it is used, too old, or was guessed at."""
    ready = False
    while True:
        if bay.grants.is_spent(time.monotonic()):
            bay.show(bay.grants.new_code(time.monotonic()))
        if not ready:
            bay.answering.submit(make_ready)
            ready = True
        await asyncio.sleep(0.5)


def _batch(said: Mapping[str, Any]) -> list[Sent]:
    entries = said.get("entries")
    if not isinstance(entries, list) or not 1 <= len(entries) <= MOST_IN_A_BATCH:
        raise WrongUse(f"entries is a list of 1 to {MOST_IN_A_BATCH}.")
    return [_sent(entry) for entry in entries]


def _sent(entry: object) -> Sent:
    if not isinstance(entry, dict):
        raise WrongUse("An entry is an object.")
    return Sent(
        text_in(entry, "id", 40), text_in(entry, "line", LONGEST_LINE), number_in(entry, "at_ms"),
        text_in(entry, "meter", 40), text_in(entry, "resolution", 40), entry.get("steady") is True,
        entry.get("photo") is True,
    )  # fmt: skip


# ---- the files of the page ----


def _files() -> dict[str, bytes]:
    """The files of the page, by name. Those that the page loads stand below an address that names what all of them
    hold, so that a new one is never mixed with an old one."""
    files = {path.name: path.read_bytes() for path in sorted(PAGE.iterdir()) if path.suffix in KINDS}
    version = _version(files)
    scripts = [f"/page/{version}/{name}" for name in files if name.endswith(".js")]
    modules = [f'<link rel="modulepreload" href="{script}">' for script in scripts]
    modules.append(f'<script type="module" src="/page/{version}/bay.js"></script>')
    page = files[FIRST].replace(b"VERSION", version.encode()).replace(b"MODULES", "\n".join(modules).encode())
    return {**files, FIRST: page}


def _version(files: Mapping[str, bytes]) -> str:
    return sha256(b"".join(files[name] for name in sorted(files) if name != FIRST)).hexdigest()[:12]


def _file(files: Mapping[str, bytes], name: str, version: str = "") -> Response:
    if name not in files:
        return Response("There is no such page.", 404, media_type="text/plain")
    # A page in the browser's own store opens although the server is gone; only `max-age` does that over plain http.
    keeps = f"private, max-age={A_WEEK}{', immutable' if version else ''}"
    if version and version != _version(files):
        keeps = (
            "no-store"  # an old page asks for what it lost: it gets the new one, and must not keep it as the old one
        )
    return Response(files[name], media_type=KINDS[Path(name).suffix], headers={"Cache-Control": keeps})
