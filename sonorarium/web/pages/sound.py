"""Sound: what a set, a line of chords or some bars of a piece sound like, as a clip."""

from __future__ import annotations

from typing import Annotated, Literal

from fastapi import Query, Request, Response
from fastapi.responses import FileResponse

from sonorarium.errors import InputError
from sonorarium.render.hearing import hear_bars, hear_line, hear_set, is_line, played_by
from sonorarium.render.performance import TEMPO_QPM, Performance, struck
from sonorarium.web.pages.asking import Here, new_router, shown
from sonorarium.web.room import Room

router = new_router("Sound")

LONGEST_AGE_S = 3600
CLIP = {200: {"content": {"audio/flac": {"schema": {"type": "string", "format": "binary"}}}}}
Tempo = Annotated[float, Query(ge=20, le=300, description="Quarters a minute.")]
Instrument = Annotated[str, Query(max_length=60, description="An instrument of General MIDI, by name or number.")]


def heard(room: Room, what: str, way: str, tempo_qpm: float) -> Performance:
    """A set, or a line of chords, as music; raises `InputError` where it is not understood."""
    if is_line(what):
        return hear_line(what, tempo_qpm=tempo_qpm)
    return hear_set(shown(what, room), way, tempo_qpm=tempo_qpm)


def sent(request: Request, room: Room, performance: Performance, instrument: str = "") -> Response:
    """A performance as a clip, in whole or in the part that the browser asks for."""
    played = played_by(performance, instrument) if instrument else performance
    file = room.clips.file(played, soundfont=room.settings.soundfont)
    return FileResponse(file, media_type="audio/flac", headers={"Cache-Control": f"private, max-age={LONGEST_AGE_S}"})


@router.get("/sound", response_class=FileResponse, responses=CLIP)  # type: ignore[arg-type]
def sound(
    request: Request,
    room: Here,
    what: Annotated[str, Query(alias="set", max_length=2000, description="A set, or a line of chords.")],
    way: Literal["scale", "chord", "arpeggio"] = "chord",
    tempo: Tempo = TEMPO_QPM,
    instrument: Instrument = "",
) -> Response:
    """A set as a scale, a chord or an arpeggio; or a line of chords."""
    return sent(request, room, heard(room, what, way, tempo), instrument)


@router.get("/sound/pitches", response_class=FileResponse, responses=CLIP)  # type: ignore[arg-type]
def sound_of_pitches(
    request: Request,
    room: Here,
    pitches: Annotated[str, Query(pattern=r"^\d{1,3}( \d{1,3}){0,31}$", description="MIDI numbers, 60 = middle C.")],
    tempo: Tempo = TEMPO_QPM,
    instrument: Instrument = "",
) -> Response:
    """Pitches struck together."""
    return sent(request, room, struck(tuple(map(int, pitches.split())), tempo_qpm=tempo), instrument)


@router.get("/sound/bars", response_class=FileResponse, responses=CLIP)  # type: ignore[arg-type]
def sound_of_bars(
    request: Request,
    room: Here,
    piece: Annotated[str, Query(max_length=64, description="Key of a piece.")],
    first: Annotated[int, Query(ge=0, description="Index of the first bar, from 0.")],
    last: Annotated[int, Query(ge=0, description="Index of the last bar.")],
    tempo: Tempo = TEMPO_QPM,
) -> Response:
    """Bars of a piece, as written."""
    score = room.score(piece)
    if not first <= last < len(score.bars):
        raise InputError(f"The piece has {len(score.bars)} bars, counted from 0.", value=f"{first} to {last}")
    return sent(request, room, hear_bars(score, first, last, tempo_qpm=tempo))
