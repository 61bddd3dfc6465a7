"""Keeping: one click, and what is shown or heard is in the study."""

from __future__ import annotations

import datetime
from typing import Annotated

from fastapi import Form, Request, Response
from pydantic import BaseModel

from sonorarium.study.pieces import take_in
from sonorarium.study.remarks import keep_set
from sonorarium.web.answers import plain, said, wants_json
from sonorarium.web.pages.asking import Here, new_router

router = new_router("Keeping")


class Kept(BaseModel):
    """What was kept, and on which card of the study."""

    kept: str
    card: str


def today() -> datetime.date:
    """The day, where the user is."""
    return datetime.datetime.now().astimezone().date()


def kept(request: Request, what: str, card: str) -> Response:
    """Say that something was kept."""
    told = Kept(kept=what, card=card)
    if wants_json(request):
        return Response(told.model_dump_json(), media_type="application/json")
    return said(f"Kept: {what}.", kept=plain(told))


def tags_in(text: str) -> list[str]:
    """Tags as they are typed, commas between them."""
    return [tag.strip() for tag in text.split(",") if tag.strip()]


@router.post("/keep/piece", response_model=Kept)
def keep_piece(
    request: Request, room: Here, piece: Annotated[str, Form(max_length=64, description="Key of the piece.")]
) -> Response:
    """Copy a piece from elsewhere into the study, so that lessons can show it."""
    path = room.path(piece)
    place = take_in(room.study, path)
    return kept(request, f"{path.name}, in the study", place)


@router.post("/keep/set", response_model=Kept)
def keep_one_set(
    request: Request,
    room: Here,
    what: Annotated[str, Form(alias="set", max_length=300)],
    words: Annotated[str, Form(max_length=20000)] = "",
    tags: Annotated[str, Form(max_length=500, description="Commas between them.")] = "",
) -> Response:
    """Keep a set; where it is kept already, add the words and tags to its card."""
    made = keep_set(room.study, what, words=words, tags=tags_in(tags), kept=today())
    return kept(request, made.what, made.filed.path.name)
