"""Answers: one address, two forms. A browser gets the page, a program the same facts as JSON.

Every page is made from one value, its *facts*: a dataclass of plain values. ``Accept: application/json``, or
``?as=json`` in the address, asks for the facts themselves; anything else gets them set on the page. Errors too: the
sentence that the command line prints stands on the page, or under ``error`` in the JSON form.
"""

from __future__ import annotations

import json
from collections.abc import Hashable, Mapping
from functools import cache
from pathlib import Path
from typing import Any, cast
from urllib.parse import quote, urlencode

from fastapi import Request
from fastapi.responses import HTMLResponse, JSONResponse, Response
from jinja2 import Environment, FileSystemLoader, StrictUndefined
from pydantic import BaseModel, TypeAdapter

from sonorarium.errors import NothingFoundError, SonorariumError, ToolError
from sonorarium.lesson.courses.glossary import glossary
from sonorarium.render.sound import CAUTION
from sonorarium.web.guard import TOKEN_HEADER
from sonorarium.web.room import Room
from sonorarium.web.typedtext import german_of

TEMPLATES = Path(__file__).with_name("templates")


class Wrong(BaseModel):
    """What is wrong, where, and what to do."""

    sentence: str
    suggestion: str = ""
    value: str | None = None


class Refusal(BaseModel):
    """The JSON form of every error."""

    error: Wrong


REFUSALS: dict[int | str, dict[str, Any]] = {
    status: {"model": Refusal, "description": words}
    for status, words in {
        403: "From another site, or of an earlier run.",
        404: "Understood, but there is none.",
        421: "By a name that this server does not have.",
        422: "Not understood, or a file that is damaged.",
        503: "Engraver, synthesizer or printer failed.",
    }.items()
}
"""What any address may answer besides its facts; part of the API's description."""


def wants_json(request: Request) -> bool:
    """Whether the facts are asked for and not the page.

    A browser's list of what it accepts begins with HTML; a program that asks for anything gets the page as well.
    """
    asked = request.query_params.get("as")
    if asked:
        return asked == "json"
    accepted = [part.split(";")[0].strip() for part in request.headers.get("accept", "").split(",")]
    ranks = {kind: place for place, kind in reversed(list(enumerate(accepted)))}
    return "application/json" in ranks and ranks["application/json"] < ranks.get("text/html", len(accepted))


def plain(facts: object) -> Any:
    """Facts as values that JSON knows."""
    return _adapter(cast(Hashable, type(facts))).dump_python(facts, mode="json")


@cache
def _adapter(kind: Any) -> TypeAdapter[Any]:
    return TypeAdapter(kind)


def answer(request: Request, template: str, facts: object, *, status: int = 200, **shown: object) -> Response:
    """Give the facts, or the page that shows them.

    Parameters
    ----------
    request : Request
    template : str
        Name of the page's template; it finds the facts under ``facts``.
    facts : object
        A dataclass or a mapping of plain values.
    status : int
    **shown : object
        What the page needs besides, drawings say; no part of the JSON form.
    """
    if wants_json(request):
        return JSONResponse(plain(facts), status, headers={"Vary": "Accept"})
    return HTMLResponse(page(request, template, facts=facts, **shown), status, headers={"Vary": "Accept"})


def page(request: Request, template: str, **shown: object) -> str:
    """A template, filled in."""
    room: Room = request.app.state.room
    here = request.url.path + (f"?{request.url.query}" if request.url.query else "")
    return (
        environment()
        .get_template(template)
        .render(
            room=room, here=here, path=request.url.path, token=room.gate.token, token_header=TOKEN_HEADER, **shown
        )
    )


@cache
def environment() -> Environment:
    """Where templates are found and what they may use; every text that they are given is escaped."""
    made = Environment(
        loader=FileSystemLoader(TEMPLATES),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.globals |= {"caution": CAUTION, "address": address, "explained": explained, "german_of": german_of}
    made.filters["json"] = lambda value: json.dumps(plain(value), ensure_ascii=False)
    return made


def address(path: str, **asked: object) -> str:
    """An address of the workbench; what is empty is left out, and lists are repeated.

    >>> address("/sheet", set="F# mixolydian", family="")
    '/sheet?set=F%23%20mixolydian'
    """
    pairs = {name: value for name, value in asked.items() if value not in ("", None, False, (), [])}
    pairs = {name: "1" if value is True else value for name, value in pairs.items()}
    query = urlencode(pairs, doseq=True, quote_via=quote)
    return f"{quote(path)}?{query}" if query else quote(path)


@cache
def explained(term: str) -> str:
    """What a term of the trade means, or nothing where the glossary does not have it."""
    wanted = term.casefold()
    return next((one.says for one in glossary() if wanted in map(str.casefold, one.words)), "")


def status_of(error: SonorariumError) -> int:
    """The HTTP status of an error.

    >>> status_of(NothingFoundError("None.")), status_of(ToolError("Dead.")), status_of(SonorariumError("Torn."))
    (404, 503, 422)
    """
    if isinstance(error, NothingFoundError):
        return 404
    return 503 if isinstance(error, ToolError) else 422


def refusal(request: Request, status: int, wrong: Mapping[str, str | None]) -> Response:
    """An error, as a page with the reader's own input still in the field, or as JSON."""
    told = Wrong(sentence=wrong["sentence"] or "", suggestion=wrong.get("suggestion") or "", value=wrong.get("value"))
    fragment = request.headers.get("hx-request") == "true"
    if fragment and not wants_json(request):
        return HTMLResponse(page(request, "wrong_part.html", wrong=told), status)
    return answer(request, "wrong.html", Refusal(error=told), status=status, status_code=status)


def said(sentence: str, content: str = "", status: int = 200, **events: object) -> HTMLResponse:
    """A part of a page, with a sentence that is shown and read out where the page tells such things."""
    told = {"said": {"text": sentence}} | events
    return HTMLResponse(content, status, headers={"HX-Trigger": json.dumps(told)})
