"""The address of recorders' files: one is sent before the entry that names it."""

import asyncio

from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from circuitmap.failures import WrongUse
from circuitmap.web.asked import Bay, owner_of, run_in

LOG_SECONDS = 180.0
"""How long a log may take to arrive over a bad line."""


def log_routes(bay: Bay) -> list[Route]:
    """It needs a paired phone."""

    async def keep(request: Request) -> Response:
        owner_of(bay, request)
        its = request.path_params
        try:
            content = await asyncio.wait_for(request.body(), LOG_SECONDS)
        except TimeoutError:
            raise WrongUse("It took too long to arrive.") from None
        name = await run_in(bay.writing, bay.desk.keep_log, its["key"], its["log"], content)
        return JSONResponse({"name": name})

    return [Route("/jobs/{key:str}/logs/{log:str}", keep, methods=["POST"])]
