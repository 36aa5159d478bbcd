"""The addresses of what lies beside a card: photos and recorders' files, each sent before the entry that names it."""

import asyncio

from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from circuitmap.failures import WrongUse
from circuitmap.web.asked import Bay, owner_of, run_in

PHOTO_SECONDS, LOG_SECONDS = 60.0, 180.0
"""How long a photo, a recorder's file may take to arrive over a bad line."""


def beside_routes(bay: Bay) -> list[Route]:
    """All of them need a paired phone."""

    async def keep_photo(request: Request) -> Response:
        owner_of(bay, request)
        its, content = request.path_params, await _content(request, PHOTO_SECONDS)
        await run_in(bay.writing, bay.desk.keep_photo, its["key"], its["photo"], content)
        return JSONResponse({"done": True})

    async def show_photo(request: Request) -> Response:
        owner_of(bay, request)
        its = request.path_params
        content = await run_in(bay.beside, bay.desk.photo, its["key"], its["photo"])
        return Response(content, media_type="image/jpeg", headers={"Cache-Control": "private, max-age=86400"})

    async def keep_log(request: Request) -> Response:
        owner_of(bay, request)
        its, content = request.path_params, await _content(request, LOG_SECONDS)
        name = await run_in(bay.writing, bay.desk.keep_log, its["key"], its["log"], content)
        return JSONResponse({"name": name})

    photos = "/jobs/{key:str}/photos/{photo:str}"
    return [
        Route(photos, keep_photo, methods=["POST"]),
        Route(photos, show_photo),
        Route("/jobs/{key:str}/logs/{log:str}", keep_log, methods=["POST"]),
    ]


async def _content(request: Request, seconds: float) -> bytes:
    try:
        return await asyncio.wait_for(request.body(), seconds)
    except TimeoutError:
        raise WrongUse("It took too long to arrive.") from None
