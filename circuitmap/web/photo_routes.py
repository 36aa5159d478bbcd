"""The addresses of photos: one is sent before its entry, under the entry's id, and shown beside it."""

import asyncio

from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from circuitmap.failures import WrongUse
from circuitmap.web.asked import Bay, owner_of, run_in

PHOTO_SECONDS = 60.0
"""How long a photo may take to arrive over a bad line."""


def photo_routes(bay: Bay) -> list[Route]:
    """All of them need a paired phone."""

    async def keep(request: Request) -> Response:
        owner_of(bay, request)
        its = request.path_params
        try:
            content = await asyncio.wait_for(request.body(), PHOTO_SECONDS)
        except TimeoutError:
            raise WrongUse("It took too long to arrive.") from None
        await run_in(bay.writing, bay.desk.keep_photo, its["key"], its["photo"], content)
        return JSONResponse({"done": True})

    async def show(request: Request) -> Response:
        owner_of(bay, request)
        its = request.path_params
        content = await run_in(bay.beside, bay.desk.photo, its["key"], its["photo"])
        return Response(content, media_type="image/jpeg", headers={"Cache-Control": "private, max-age=86400"})

    where = "/jobs/{key:str}/photos/{photo:str}"
    return [Route(where, keep, methods=["POST"]), Route(where, show)]
