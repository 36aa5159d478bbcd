"""The addresses of volts at a point of a job's car: in words, and on the wiring diagram."""

from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from circuitmap.web.asked import Bay, owner_of, run_in, said_in, text_in
from circuitmap.web.guard import POLICY_OF_A_FILE

_LONGEST_POINT = 160


def volts_routes(bay: Bay) -> list[Route]:
    """All of them need a paired phone."""

    async def volts(request: Request) -> Response:
        owner_of(bay, request)
        said = await said_in(request)
        asked = text_in(said, "point", _LONGEST_POINT), text_in(said, "key", 40)
        return JSONResponse(await run_in(bay.beside, bay.desk.volts, request.path_params["key"], *asked))

    async def drawn(request: Request) -> Response:
        owner_of(bay, request)
        said = await said_in(request)
        asked = text_in(said, "point", _LONGEST_POINT), text_in(said, "key", 40)
        content = await run_in(bay.beside, bay.desk.volts_drawn, request.path_params["key"], *asked)
        return Response(content, media_type="image/svg+xml", headers={"Content-Security-Policy": POLICY_OF_A_FILE})

    where = "/jobs/{key:str}/volts"
    return [Route(where, volts, methods=["POST"]), Route(f"{where}/drawn", drawn, methods=["POST"])]
