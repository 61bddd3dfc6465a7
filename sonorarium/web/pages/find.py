"""To come."""

from __future__ import annotations

from fastapi import Request, Response

from sonorarium.web.answers import answer
from sonorarium.web.pages.asking import Here, new_router

router = new_router("find")


@router.get("/find", response_model=dict[str, str])
def find(request: Request, room: Here) -> Response:
    """To come."""
    return answer(request, "jobs.html", {})
