"""Addresses of the page, and what each answers. No GET changes anything; every change is a POST with JSON or a file."""

from __future__ import annotations

import asyncio
import gc
import json
from collections.abc import AsyncIterator, Callable, Mapping
from contextlib import asynccontextmanager, suppress
from functools import partial
from pathlib import Path
from typing import Any

from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import HTMLResponse, JSONResponse, RedirectResponse, Response, StreamingResponse
from starlette.routing import BaseRoute, Mount, Route
from starlette.staticfiles import StaticFiles

from printworthy import dossier
from printworthy.errors import PrintworthyError
from printworthy.inputs import Printer
from printworthy.page import bringing, edits, texts, turn, views
from printworthy.page.desk import Desk, direction_of, text_marks

HERE = Path(__file__).parent
BEAT = 0.2  # [s] between looks at whether something changed


def application(desk: Desk, ending: Callable[[], bool]) -> Starlette:
    """The page of one workspace; `ending` says whether the server is being stopped."""

    @asynccontextmanager
    async def lifespan(app: Starlette) -> AsyncIterator[None]:
        await run_in_threadpool(desk.open)
        gc.freeze()  # what is loaded by now stays: walked through again and again it would hold up a click by 0.3 s
        watching = asyncio.create_task(_watch(desk, ending))
        yield
        watching.cancel()
        await run_in_threadpool(desk.close)

    pages = {
        "/": views.vehicle,
        "/ride": views.ride,
        "/evidence": views.proof,
        "/making": views.making,
        "/bring": views.bring,
    }
    routes: list[BaseRoute] = [Route(path, partial(_page, desk, make)) for path, make in pages.items()]
    routes += [
        Route("/part/{name}", partial(_part, desk)),
        Route("/part/{name}/{what}", partial(_binary, desk)),
        Route("/text/{name:path}", partial(_text, desk)),
        Route("/brought/{name}", partial(_brought, desk)),
        Route("/dossier", partial(_dossier, desk)),
        Route("/events", partial(_events, desk, ending)),
        Route("/check", partial(_json, partial(_check, desk))),
        Route("/do/{verb}", partial(_do, desk), methods=["POST"]),
        Route("/static/blocks.css", _blocks),
        Mount("/static", StaticFiles(directory=HERE / "static")),
    ]
    return Starlette(
        routes=routes, lifespan=lifespan, exception_handlers={PrintworthyError: _refused, KeyError: _missing}
    )


async def _watch(desk: Desk, ending: Callable[[], bool]) -> None:
    """Notice changed files; when the server ends, answer those who wait, so that it need not wait for them."""
    while not ending():
        await run_in_threadpool(desk.watch)
        for _ in range(5):
            if not ending():
                await asyncio.sleep(BEAT)
    await run_in_threadpool(desk.answers.close)


async def _refused(request: Request, error: Exception) -> Response:
    return JSONResponse({"error": str(error)}, 400)


async def _missing(request: Request, error: Exception) -> Response:
    return JSONResponse({"error": "there is no such part"}, 404)


async def _page(desk: Desk, make: Callable[[Desk], str], request: Request) -> Response:
    return HTMLResponse(await run_in_threadpool(make, desk))


async def _part(desk: Desk, request: Request) -> Response:
    text = await run_in_threadpool(views.part, desk, request.path_params["name"])
    return RedirectResponse("/") if text is None else HTMLResponse(text)


async def _text(desk: Desk, request: Request) -> Response:
    return HTMLResponse(await run_in_threadpool(views.text, desk, request.path_params["name"]))


async def _blocks(request: Request) -> Response:
    return Response(dossier.style(), media_type="text/css")


async def _dossier(desk: Desk, request: Request) -> Response:
    """The dossier as it was written last; its own policy lets it use the style it carries."""
    found = sorted((desk.root / "dossier").glob("*-dossier.html"), key=lambda p: p.stat().st_mtime)
    if not found:
        return RedirectResponse("/")
    policy = "default-src 'none'; img-src data:; style-src 'unsafe-inline'; frame-ancestors 'none'; base-uri 'none'"
    return HTMLResponse(found[-1].read_text(encoding="utf-8"), headers={"content-security-policy": policy})


async def _binary(desk: Desk, request: Request) -> Response:
    """Arrays and pictures of one part."""
    name, what, q = request.path_params["name"], request.path_params["what"], request.query_params

    def make() -> tuple[bytes, str]:
        now, looked = desk.snapshot(), desk.looked(name)
        part, found = desk.part(name), now.found(name)
        if part is None:
            raise KeyError(name)
        printer = now.job.vehicle.printer if now.job else Printer()
        if what == "scene":
            return turn.scene(part, found, looked, printer), "application/octet-stream"
        if what == "disc.png" and found is not None and found.search is not None:
            return turn.disc(found.search), "image/png"
        n = direction_of((q.get("x", ""), q.get("y", ""), q.get("z", "")))
        if what == "turned":
            case, mode = (int(q[k]) if q.get(k, "").isdigit() else None for k in ("case", "mode"))
            return turn.turned(
                desk, part, looked, n, case, mode, moved=q.get("moved") == "1"
            ), "application/octet-stream"
        if what == "standing":
            return turn.standing(desk, looked, n, printer), "application/octet-stream"
        raise KeyError(what)

    content, kind = await run_in_threadpool(make)
    return Response(content, media_type=kind)


async def _brought(desk: Desk, request: Request) -> Response:
    """A brought file for the viewer, with what is wrong with it."""
    name, q = request.path_params["name"], request.query_params
    make = partial(bringing.survey, desk, name, q.get("unit", ""), mend=q.get("mend") == "1")
    return Response(await run_in_threadpool(make), media_type="application/octet-stream")


async def _json(make: Callable[[], Any], request: Request) -> Response:
    return JSONResponse(await run_in_threadpool(make))


def _check(desk: Desk) -> Mapping[str, Any]:
    """Everything that is wrong with texts and geometry files, and what is worth a second look."""
    wrong, looks = desk.checked()
    return {"problems": [views.problem(desk.root, p) for p in wrong], "remarks": looks}


async def _do(desk: Desk, request: Request) -> Response:
    """One change."""
    verb = request.path_params["verb"]
    if verb == "bring":
        content = await request.body()
        return JSONResponse(
            await run_in_threadpool(bringing.receive, desk, request.query_params.get("name", ""), content)
        )
    try:
        order = json.loads(await request.body())
    except ValueError:
        order = None
    if verb not in edits.VERBS or not isinstance(order, dict):
        return JSONResponse({"error": "no such order"}, 404)
    try:
        return JSONResponse(await run_in_threadpool(edits.VERBS[verb], desk, order))
    except texts.Changed as changed:
        now = {"name": changed.text.name, "content": changed.text.content, "digest": changed.text.digest}
        return JSONResponse({"error": "the file was changed elsewhere meanwhile", "now": now}, 409)
    except (TypeError, ValueError, KeyError) as error:
        return JSONResponse({"error": f"an order that cannot be read: {error}"}, 400)


async def _events(desk: Desk, ending: Callable[[], bool], request: Request) -> Response:
    """The state that all tabs share, again after every change, until the server ends."""

    async def told() -> AsyncIterator[str]:
        seen, beats = -1, 0
        with suppress(asyncio.CancelledError):
            while not ending():
                if desk.version != seen or beats > 25:
                    seen, beats = desk.version, 0
                    state = await run_in_threadpool(_state, desk)
                    yield f"data: {json.dumps(state)}\n\n"
                beats += 1
                await asyncio.sleep(BEAT)

    return StreamingResponse(told(), media_type="text/event-stream")


def _state(desk: Desk) -> Mapping[str, Any]:
    now = desk.snapshot()
    return {
        "jobs": desk.jobs.shown(),
        "run": now.run.assessment.when if now.run else "",
        "texts": text_marks(desk.root),
        "problems": len(now.problems),
    }
