"""The sheet of a set or a collection: everything that is known of it, on one page."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import Query, Request, Response

from sonorarium.pcs.survey import survey
from sonorarium.web.answers import answer
from sonorarium.web.drawings import notes_of
from sonorarium.web.pages.asking import Here, SetText, new_router, shown

router = new_router("Sheet")


@router.get("/sheet", response_model=dict[str, Any])
def sheet(
    request: Request,
    room: Here,
    what: SetText,
    family: Annotated[str, Query(max_length=60, description="The sister scales, a family by name.")] = "",
    readable: Annotated[bool, Query(description="Spell without double accidentals.")] = False,
) -> Response:
    """Everything about a set."""
    s = shown(what, room, readable=readable)
    facts = survey(s, room.family(family))
    return answer(request, "sheet.html", facts, s=s, what=what, asked_set=what, drawing=notes_of(s))
