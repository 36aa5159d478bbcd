"""The addresses of the typing page: what can be typed in, what is wrong in a text, its drawing, saving, the paper."""

from collections.abc import Callable, Mapping
from typing import Any

from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from circuitmap.failures import WrongUse
from circuitmap.flows.begun_platforms import begin_platform
from circuitmap.flows.papers import paper_content
from circuitmap.flows.transcribing import TableWishes
from circuitmap.flows.typing_checked import Answer, TypingChecked
from circuitmap.flows.typing_desk import LONGEST_PIECE
from circuitmap.flows.typing_short import LONGEST_TABLE, LONGEST_TYPED, PastedTable, TypingShort, settled_from
from circuitmap.saving import ChangedMeanwhile
from circuitmap.transcribing.grid import MOST_COLUMNS
from circuitmap.web.asked import Bay, owner_of, run_in, said_in, text_in, texts_in
from circuitmap.web.guard import POLICY_OF_A_FILE, POLICY_OF_A_PAPER

ANSWERS: tuple[Answer, ...] = ("same", "different", "not there")
MOST_ANSWERED = 2_000
"""Answers to questions about one table."""
Said = Mapping[str, Any]


def typing_routes(bay: Bay) -> list[Route]:
    """All of them need a paired phone, or PC."""
    desk = bay.typing
    short, checked = TypingShort(desk), TypingChecked(desk)

    async def pieces(request: Request) -> Response:
        owner_of(bay, request)
        return JSONResponse(await run_in(bay.at_the_desk, desk.pieces, request.path_params["key"]))

    async def begin_sheet(request: Request) -> Response:
        owner_of(bay, request)
        said = await said_in(request)
        sheet, title = text_in(said, "sheet", 80), text_in(said, "title", 200)
        return JSONResponse(await run_in(bay.at_the_desk, desk.begin_sheet, request.path_params["key"], sheet, title))

    async def begin(request: Request) -> Response:
        owner_of(bay, request)
        said = await said_in(request)
        name, sister = text_in(said, "name", 80), text_in(said, "sister", 40)
        return JSONResponse({"key": await run_in(bay.at_the_desk, begin_platform, bay.platforms, name, sister)})

    async def piece(request: Request) -> Response:
        owner_of(bay, request)
        its = request.path_params
        return JSONResponse(await run_in(bay.at_the_desk, desk.piece, its["key"], its["piece"]))

    async def left(request: Request) -> Response:
        owner_of(bay, request)
        its = request.path_params
        return JSONResponse(await run_in(bay.at_the_desk, checked.left, its["key"], its["piece"]))

    async def sisters(request: Request) -> Response:
        owner_of(bay, request)
        return JSONResponse(await run_in(bay.at_the_desk, checked.sisters, request.path_params["key"]))

    async def drawing(request: Request) -> Response:
        owner_of(bay, request)
        content = await run_in(bay.at_the_desk, desk.drawing, request.path_params["revision"])
        return Response(content, media_type="image/svg+xml", headers={"Content-Security-Policy": POLICY_OF_A_FILE})

    async def paper(request: Request) -> Response:
        owner_of(bay, request)
        its = request.path_params
        folder = bay.platforms.folder(its["key"])
        content, kind = await run_in(bay.beside, paper_content, folder, its["paper"])
        kept = {"Cache-Control": "private, max-age=600", "Content-Security-Policy": POLICY_OF_A_PAPER}
        return Response(content, media_type=kind, headers=kept)

    def done(what: Callable[[str, str, Said], dict[str, Any]]) -> Callable[[Request], Any]:
        """An address to which something is sent about one piece; what somebody else changed meanwhile is told apart."""

        async def asked(request: Request) -> Response:
            owner_of(bay, request)
            its, said = request.path_params, await said_in(request)
            try:
                return JSONResponse(await run_in(bay.at_the_desk, what, its["key"], its["piece"], said))
            except ChangedMeanwhile as failure:
                return JSONResponse({"why": failure.message, "changed": True}, 409)

        return asked

    def try_text(key: str, piece: str, said: Said) -> dict[str, Any]:
        return desk.tried(key, piece, _text(said))

    def save(key: str, piece: str, said: Said) -> dict[str, Any]:
        return desk.save(key, piece, _text(said, "base"), _text(said))

    def together(key: str, piece: str, said: Said) -> dict[str, Any]:
        return desk.together(key, piece, _text(said, "base"), _text(said))

    def lines(key: str, piece: str, said: Said) -> dict[str, Any]:
        return short.lines(key, piece, _text(said), text_in(said, "typed", LONGEST_TYPED), _settled(said))

    def table(key: str, piece: str, said: Said) -> dict[str, Any]:
        headed = said.get("headed")
        if headed is not None and not isinstance(headed, bool):
            raise WrongUse("headed is true, false, or nothing.")
        box, part = text_in(said, "box", 80), text_in(said, "part", 80)
        columns = texts_in(said, "columns", MOST_COLUMNS)
        pasted = PastedTable(
            text_in(said, "table", LONGEST_TABLE), columns, headed, TableWishes(box, part), _settled(said)
        )
        return short.table(key, piece, _text(said), pasted)

    def template(key: str, piece: str, said: Said) -> dict[str, Any]:
        return short.template(text_in(said, "word", 40), text_in(said, "name", 80).strip())

    def check(key: str, piece: str, said: Said) -> dict[str, Any]:
        answer = next((its for its in ANSWERS if its == said.get("answer")), None)
        if answer is None:
            raise WrongUse(f"answer is one of: {', '.join(ANSWERS)}.")
        return checked.check(key, piece, _text(said, "says"), answer, text_in(said, "typed", LONGEST_TYPED))

    its = "/platforms/{key:str}/typing"
    sent = {"try": try_text, "save": save, "together": together, "lines": lines, "table": table, "template": template}
    return [
        Route("/platforms", begin, methods=["POST"]),
        Route(its, pieces),
        Route(its, begin_sheet, methods=["POST"]),
        Route(its + "/sisters", sisters),
        Route(its + "/drawing/{revision:str}", drawing),
        Route(its + "/{piece:str}", piece),
        Route(its + "/{piece:str}/copied", left),
        *(Route(f"{its}/{{piece:str}}/{name}", done(what), methods=["POST"]) for name, what in sent.items()),
        Route(its + "/{piece:str}/check", done(check), methods=["POST"]),
        Route("/platforms/{key:str}/paper/{paper:str}", paper),
    ]


def _text(said: Said, name: str = "text") -> str:
    return text_in(said, name, LONGEST_PIECE)


def _settled(said: Said) -> dict[int, str]:
    settled = said.get("settled", {})
    if not isinstance(settled, dict) or len(settled) > MOST_ANSWERED:
        raise WrongUse(f"settled holds at most {MOST_ANSWERED:,} answers.")
    return settled_from({at: text_in(settled, at, 300) for at in settled})
