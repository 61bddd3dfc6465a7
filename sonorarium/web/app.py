"""The application: the pages put together, behind the guard, with errors as sentences."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path
from typing import cast

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import Response
from fastapi.staticfiles import StaticFiles
from starlette.exceptions import HTTPException
from starlette.middleware.gzip import GZipMiddleware

from sonorarium.errors import SonorariumError
from sonorarium.render.typeface import FONT_FOLDER
from sonorarium.web.answers import REFUSALS, refusal, status_of
from sonorarium.web.description import describe
from sonorarium.web.guard import Guard
from sonorarium.web.pages import ROUTERS
from sonorarium.web.room import Room
from sonorarium.web.typedtext import InEnglish

STATIC = Path(__file__).with_name("static")


def make_app(room: Room) -> FastAPI:
    """Put the workbench together.

    Parameters
    ----------
    room : Room
        What it works with; closed when the server stops.

    Returns
    -------
    FastAPI
        Answers only requests that its guard lets through.
    """

    @asynccontextmanager
    async def life(_: FastAPI) -> AsyncIterator[None]:
        yield
        room.close()

    app = FastAPI(
        title="Sonorarium",
        description="The workbench: every page has a JSON form under the same address (Accept: application/json).",
        version="1",
        docs_url=None,
        redoc_url=None,
        lifespan=life,
        responses=REFUSALS,
    )
    app.state.room = room
    for router in ROUTERS:
        app.include_router(router)
    described = describe(app)
    app.openapi = lambda: described  # type: ignore[method-assign]  # the framework's own way of replacing it
    app.mount("/static/fonts", StaticFiles(directory=FONT_FOLDER), name="fonts")
    app.mount("/static", StaticFiles(directory=STATIC), name="static")
    app.add_exception_handler(SonorariumError, _on_error)
    app.add_exception_handler(RequestValidationError, _on_invalid)
    app.add_exception_handler(HTTPException, _on_http)
    app.add_middleware(InEnglish)
    app.add_middleware(GZipMiddleware, minimum_size=2000, compresslevel=4)
    app.add_middleware(Guard, gate=room.gate)  # added last, so it stands before everything
    return app


def _on_error(request: Request, error: Exception) -> Response:
    found = cast(SonorariumError, error)
    value = None if found.value is None else str(found.value)
    told = {"sentence": found.sentence, "suggestion": found.suggestion, "value": value}
    return refusal(request, status_of(found), told)


def _on_invalid(request: Request, error: Exception) -> Response:
    """A parameter that is missing or of the wrong form: the first of them, named, with what is wrong."""
    first = cast(RequestValidationError, error).errors()[0]
    name, what = str(first["loc"][-1]), str(first["msg"])
    sentence = f"{name}: {what[:1].lower()}{what[1:]}."
    return refusal(request, 422, {"sentence": sentence, "value": str(first.get("input", ""))[:200]})


def _on_http(request: Request, error: Exception) -> Response:
    found = cast(HTTPException, error)
    known = {404: "There is no such page.", 405: "That cannot be done at this address."}
    sentence = known.get(found.status_code, f"{found.detail}.")
    return refusal(request, found.status_code, {"sentence": sentence, "suggestion": "Go back to the desk."})
