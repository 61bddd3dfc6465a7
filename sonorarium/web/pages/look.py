"""The look: the style guide, which shows every token and every part at work."""

from __future__ import annotations

from fastapi import Request, Response

from sonorarium.pcs.subject import subject
from sonorarium.render.strips import Strip, draw_strips
from sonorarium.web.answers import answer
from sonorarium.web.facts.drawings import notes_of
from sonorarium.web.facts.tokens import Look
from sonorarium.web.facts.tokens import look as tokens
from sonorarium.web.pages.asking import new_router

router = new_router("The look")

SHOWN = "D double harmonic"


@router.get("/look", response_model=Look)
def look(request: Request) -> Response:
    """The tokens of the look, with the contrast of each colour on light and on dark paper."""
    s = subject(SHOWN)
    strips = draw_strips(
        [
            Strip(s.heights, description=SHOWN),
            Strip((0, 1, 4, 5, 7, 8, 10), left=11, came=10, description=f"{SHOWN}, C sharp moved to C"),
        ]
    )
    return answer(request, "look.html", tokens(), shown_set=SHOWN, drawing=notes_of(s, degrees=True), strips=strips)
