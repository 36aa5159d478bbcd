"""The addresses of the shelf's platforms: which there are, what hangs on a fuse, a job begun on one."""

from typing import Any

from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from circuitmap.failures import WrongUse
from circuitmap.flows.platforms_there import INTAKE_ASKED, LONGEST_ANSWER, Begun
from circuitmap.web.asked import Bay, owner_of, run_in, said_in, text_in, texts_in

MOST_EQUIPMENT = 500
"""Names of equipment that are answered for at once."""


def platform_routes(bay: Bay) -> list[Route]:
    """All of them need a paired phone."""
    platforms = bay.platforms

    async def listed(request: Request) -> Response:
        owner_of(bay, request)
        found = await run_in(bay.beside, platforms.listed)
        return JSONResponse({"platforms": [its._asdict() for its in found], "left_out": platforms.left_out})

    async def platform(request: Request) -> Response:
        owner_of(bay, request)
        return JSONResponse(await run_in(bay.beside, platforms.read, request.path_params["key"]))

    async def part(request: Request) -> Response:
        owner_of(bay, request)
        its = request.path_params
        return JSONResponse(await run_in(bay.beside, platforms.part, its["key"], its["part"]))

    async def part_of_job(request: Request) -> Response:
        owner_of(bay, request)
        its = request.path_params
        return JSONResponse(await run_in(bay.beside, bay.desk.part, its["key"], its["part"]))

    async def places(request: Request) -> Response:
        owner_of(bay, request)
        return JSONResponse(await run_in(bay.beside, bay.desk.places, request.path_params["key"]))

    async def begin(request: Request) -> Response:
        owner_of(bay, request)
        said = await said_in(request)
        answers = said.get("said", {})
        if not isinstance(answers, dict) or not set(answers) <= set(INTAKE_ASKED):
            raise WrongUse(f"said holds answers to: {', '.join(INTAKE_ASKED)}.")
        begun = Begun(
            text_in(said, "number", 40),
            {name: text_in(answers, name, LONGEST_ANSWER) for name in answers},
            texts_in(said, "fitted", MOST_EQUIPMENT),
            texts_in(said, "absent", MOST_EQUIPMENT),
        )

        def written() -> dict[str, Any]:
            card = platforms.begin(request.path_params["key"], begun)
            cards = bay.desk.cards()
            return {"key": next((key for key, path in cards.items() if path == card), "")}

        return JSONResponse(await run_in(bay.writing, written))

    return [
        Route("/platforms", listed),
        Route("/platforms/{key:str}", platform),
        Route("/platforms/{key:str}/parts/{part:str}", part),
        Route("/platforms/{key:str}/jobs", begin, methods=["POST"]),
        Route("/jobs/{key:str}/parts/{part:str}", part_of_job),
        Route("/jobs/{key:str}/places", places),
    ]
