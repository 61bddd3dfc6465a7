"""The desk: one field that reads anything, and what was done lately."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from fastapi import Query, Request, Response

from sonorarium.errors import InputError
from sonorarium.pcs.reading import readings
from sonorarium.pcs.subject import subject
from sonorarium.study.remarks import canonical
from sonorarium.web.answers import answer
from sonorarium.web.pages.asking import Here, new_router

router = new_router("Desk")


@dataclass(frozen=True)
class ReadingFacts:
    """One thing that a text can mean."""

    set: str
    title: str
    label: str
    notes: list[str]


@dataclass(frozen=True)
class Readings:
    """Everything that a text can mean, the likeliest first."""

    text: str
    readings: list[ReadingFacts]


def read_text(text: str, *, german: bool = False) -> Readings:
    """Everything that a text can mean; raises `InputError` where it means nothing."""
    found = []
    for one in readings(text, german=german):
        s = subject(one)
        found.append(ReadingFacts(_typed(text, s.title), s.title, s.pcset.label, [note.sign for note in s.notes]))
    return Readings(text, found)


def _typed(text: str, title: str) -> str:
    try:
        return canonical(title)
    except InputError:
        return text


@router.get("/readings", response_model=Readings)
def text_readings(
    request: Request,
    room: Here,
    text: Annotated[str, Query(max_length=300)],
    field: Annotated[str, Query(alias="id", max_length=40, description="Id of the field.")] = "field",
) -> Response:
    """What a text can mean, as it is being typed."""
    return answer(request, "readings_part.html", read_text(text, german=room.settings.german), id=field)


@router.get("/", response_model=dict[str, str])
def desk(request: Request, room: Here) -> Response:
    """The desk."""
    return answer(request, "desk.html", {"study": room.study.title})
