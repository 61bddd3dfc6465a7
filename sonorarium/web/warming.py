"""Warming up: what the first page would have to wait for is fetched while the reader still looks for the window.

Catalogues are built, the engraver and the synthesizer are started, the shelf's list is read, each by asking once for
something small. Nothing depends on it: without it the first answers are slower, by some tenths of a second.
"""

from __future__ import annotations

import threading
from collections.abc import Callable

from sonorarium.errors import SonorariumError
from sonorarium.pcs.reading import readings
from sonorarium.pcs.subject import subject
from sonorarium.pcs.survey import survey
from sonorarium.render.hearing import hear_set
from sonorarium.web.facts.drawings import notes_of
from sonorarium.web.room import Room

SMALL = "C major"


def warm(room: Room) -> int:
    """Ask once for each slow beginning; what fails is left to the page that needs it, which tells why.

    Returns
    -------
    int
        How many beginnings were made.
    """
    s = subject(SMALL)
    steps: tuple[Callable[[], object], ...] = (
        lambda: survey(s, room.family()),
        lambda: notes_of(s, degrees=True),
        lambda: room.clips.file(hear_set(s, "chord"), soundfont=room.settings.soundfont),
        lambda: room.shelf.exists and room.paths(),
        lambda: readings(SMALL),
    )
    return sum(map(_made, steps))


def _made(step: Callable[[], object]) -> bool:
    try:
        step()
    except SonorariumError:
        return False
    return True


def warm_beside(room: Room) -> threading.Thread:
    """The same in a thread of its own, so that requests are answered meanwhile."""
    thread = threading.Thread(target=warm, args=(room,), name="warming", daemon=True)
    thread.start()
    return thread
