"""What the addresses of pages have in common: the room they work in, the set that is asked for, and strictness.

A parameter that an address does not know is refused, never passed over: a misspelt option would otherwise give the
answer to another question.
"""

from __future__ import annotations

from dataclasses import replace
from difflib import get_close_matches
from typing import Annotated

from fastapi import APIRouter, Depends, Query, Request
from fastapi.dependencies.models import Dependant
from fastapi.routing import APIRoute

from sonorarium.errors import InputError
from sonorarium.pcs.spelling import readable as plain
from sonorarium.pcs.subject import Subject, subject
from sonorarium.web.room import Room


def room_of(request: Request) -> Room:
    """The room of this run."""
    room: Room = request.app.state.room
    return room


Here = Annotated[Room, Depends(room_of)]
"""The room, as a parameter of an address."""

SetText = Annotated[
    str, Query(alias="set", max_length=300, description="A set, as it may be typed anywhere.", examples=["D dorian"])
]
As = Annotated[str, Query(alias="as", pattern="^(json|html|)$", description="json asks for the facts alone.")]


def known_only(request: Request, form: As = "") -> None:
    """Refuse parameters that the address does not have; raises `InputError` with the nearest that it has."""
    route = request.scope.get("route")
    if not isinstance(route, APIRoute):
        return
    known = set(_names(route.dependant))
    for name in request.query_params:
        if name not in known:
            near = get_close_matches(name, known, n=1) or sorted(known)
            raise InputError(
                f"There is no option {name!r} here.", value=name, suggestion=f"There is: {', '.join(near)}."
            )


def _names(dependant: Dependant) -> list[str]:
    mine = [one.alias for one in dependant.query_params]
    return mine + [name for inner in dependant.dependencies for name in _names(inner)]


def new_router(name: str) -> APIRouter:
    """The addresses of a page, listed under its name, and strict about what they are asked."""
    return APIRouter(tags=[name], dependencies=[Depends(known_only)])


def shown(text: str, room: Room, *, readable: bool = False) -> Subject:
    """The set of a text, in the order and spelling in which it is shown; raises `InputError`."""
    found = subject(text)
    return replace(found, notes=plain(found.notes)) if readable else found
