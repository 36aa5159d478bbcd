"""The addresses of the same answers as pages that need no script: to be read, not to be written on."""

from starlette.requests import Request
from starlette.responses import HTMLResponse, Response
from starlette.routing import Route

from circuitmap.reports.bay.plain_html import job_html, part_html, platform_html, shelf_html
from circuitmap.web.asked import Bay, owner_of, run_in


def plain_routes(bay: Bay) -> list[Route]:
    """All of them need a paired phone."""

    async def shelf(request: Request) -> Response:
        owner_of(bay, request)
        jobs = await run_in(bay.answering, bay.desk.shelf)
        platforms = await run_in(bay.beside, bay.platforms.listed)
        return HTMLResponse(shelf_html([its._asdict() for its in jobs], [its._asdict() for its in platforms]))

    async def job(request: Request) -> Response:
        owner_of(bay, request)
        key = request.path_params["key"]
        return HTMLResponse(job_html(key, await run_in(bay.answering, bay.desk.answer, key)))

    async def platform(request: Request) -> Response:
        owner_of(bay, request)
        return HTMLResponse(platform_html(await run_in(bay.beside, bay.platforms.read, request.path_params["key"])))

    async def part(request: Request) -> Response:
        owner_of(bay, request)
        its = request.path_params
        return HTMLResponse(
            part_html(its["key"], await run_in(bay.beside, bay.platforms.part, its["key"], its["part"]))
        )

    return [
        Route("/plain", shelf),
        Route("/plain/{key:str}", job),
        Route("/plain/platforms/{key:str}", platform),
        Route("/plain/platforms/{key:str}/{part:str}", part),
    ]
