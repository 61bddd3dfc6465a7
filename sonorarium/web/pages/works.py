"""Work under way: how it stands, and a way to stop it."""

from __future__ import annotations

from fastapi import Request, Response

from sonorarium.web.answers import answer
from sonorarium.web.jobs import JobState
from sonorarium.web.pages.asking import Here, new_router

router = new_router("Work under way")


@router.get("/jobs", response_model=list[JobState])
def jobs(request: Request, room: Here) -> Response:
    """Every piece of work of this run, the latest first."""
    return answer(request, "jobs.html", list(room.jobs.all()))


@router.get("/jobs/{key}", response_model=JobState)
def job(request: Request, room: Here, key: str) -> Response:
    """How one piece of work stands."""
    state = room.jobs.find(key).now()
    told = answer(request, "job_part.html" if request.headers.get("hx-request") else "job.html", state)
    if state.state == "done":
        told.headers["HX-Trigger"] = "finished"
    return told


@router.post("/jobs/{key}/stop", response_model=JobState)
def stop(request: Request, room: Here, key: str) -> Response:
    """Ask a piece of work to stop; what it has finished stays."""
    return answer(request, "job_part.html", room.jobs.stop(key).now())
