"""The addresses of the bay page, and what is asked at each. Everything but the page itself needs a paired phone."""

import asyncio
import time
from collections.abc import AsyncIterator, Mapping
from contextlib import asynccontextmanager
from datetime import datetime
from typing import Any

from starlette.applications import Starlette
from starlette.requests import Request
from starlette.responses import JSONResponse, Response, StreamingResponse
from starlette.routing import Route

from circuitmap.failures import Failure, WrongUse
from circuitmap.flows.desk import MOST_IN_A_BATCH
from circuitmap.flows.job import make_ready
from circuitmap.flows.sent import Sent
from circuitmap.web.asked import Bay, failed, number_in, owner_of, run_in, said_in, text_in
from circuitmap.web.beside_routes import beside_routes
from circuitmap.web.guard import POLICY_OF_A_FILE, POLICY_OF_TYPING, App, Guard
from circuitmap.web.page_files import PageFiles
from circuitmap.web.plain_routes import plain_routes
from circuitmap.web.platform_routes import platform_routes
from circuitmap.web.streams import Streams
from circuitmap.web.typing_routes import typing_routes
from circuitmap.web.volts_routes import volts_routes

LONGEST_LINE = 10_000
NINETY_DAYS = 90 * 86_400


def application(bay: Bay) -> App:
    """The whole page, guarded."""
    streams = Streams(bay.desk, bay.answering, bay.beside)
    files = PageFiles()

    async def page(request: Request) -> Response:
        return files.answer("bay.html")

    async def typing_page(request: Request) -> Response:
        return files.answer("typing.html", policy=POLICY_OF_TYPING)

    async def asset(request: Request) -> Response:
        return files.answer(request.path_params["name"], request.path_params["version"])

    async def style(request: Request) -> Response:
        return files.answer("bay.css")

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
        return {"now_ms": int(time.time() * 1000), "version": files.version}

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

    @asynccontextmanager
    async def codes_are_shown(_: Starlette) -> AsyncIterator[None]:
        task = asyncio.create_task(_show_codes(bay))
        try:
            yield
        finally:
            task.cancel()
            bay.typing.pictures.close()

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
        *plain_routes(bay),
        *platform_routes(bay),
        *beside_routes(bay),
        *volts_routes(bay),
        *typing_routes(bay),
        Route("/typing", typing_page),
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
