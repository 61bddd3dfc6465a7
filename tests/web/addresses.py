"""The address of every page of the workbench, in a state that shows what the page can show."""

from __future__ import annotations

from collections.abc import Mapping
from urllib.parse import quote

from sonorarium.web.room import Room

SCALE = quote("D double harmonic")
WELL = "3-the-well.musicxml"
"""The piece that is shown."""

PAGES: Mapping[str, str] = {
    "desk": "/",
    "desk-chord": "/?pitches=48%2058%2064%2068",
    "sheet": f"/sheet?set={SCALE}",
    "sheet-of-a-chord": "/sheet?set=C%20E%20G%20B",
    "beside": f"/beside?set={SCALE}&set=D%20harmonic%20minor&set=D%20phrygian%20dominant",
    "family": "/beside?family=double-harmonic&root=D",
    "shelf": "/shelf",
    "atlas": "/shelf/atlas",
    "find": f"/find?set={SCALE}&kind=texture",
    "find-nothing": "/find?set=8-1",
    "find-empty": "/find",
    "scores": "/score",
    "score": "/score?piece={piece}&first=9&last=10&set=5-15&family=double-harmonic",
    "sketch": "/sketch?line=" + quote("Dmaj7; Eb; F#m7b5; G7"),
    "sketch-empty": "/sketch",
    "lessons": "/lesson",
    "lesson": "/lesson?name=1-the-double-harmonic-scale",
    "keepings": "/keepings",
    "jobs": "/jobs",
    "look": "/look",
    "programs": "/programs",
    "wrong": "/sheet?set=Qx",
}
"""Addresses by name; ``{piece}`` stands for the key of a piece."""


def address_of(name: str, room: Room) -> str:
    """The address of a page, with the key of the piece filled in."""
    return PAGES[name].format(piece=next(key for key, path in room.paths().items() if path.name == WELL))
