"""The desk: one field that reads anything, a keyboard whose chords are described, and what was done lately."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from fastapi import Query, Request, Response

from sonorarium.errors import InputError
from sonorarium.pcs.meanings import Meaning, meanings, nearest
from sonorarium.pcs.reading import read_set
from sonorarium.render.engraving import Engraving
from sonorarium.web.answers import answer
from sonorarium.web.facts.drawings import chords
from sonorarium.web.facts.playing import Played, pitches_in, played, strip_from_bass
from sonorarium.web.facts.recent import Recent, recent_of
from sonorarium.web.pages.asking import Here, new_router
from sonorarium.web.room import Room

router = new_router("Desk")

EXAMPLES = (
    ("D double harmonic", "a scale on its root"),
    ("C7#9", "a chord symbol"),
    ("Ab over C7", "two chords"),
    ("0 1 4 5 7 8 e", "numbers"),
    ("5-26", "a class"),
    ("D Eb F# A", "notes"),
    ("C3 Bb3 E4 Ab4", "a voicing"),
    ("1-3-1-2-1-3-1 on G", "steps from a note"),
)
"""One text for each of the usual forms, and what it is."""
STAFF_MM = 11.0
OCTAVES = (3, 4, 5)
"""Of the keyboard as it lies at first; one more C closes it."""
WHITE = (0, 2, 4, 5, 7, 9, 11)


@dataclass(frozen=True)
class ReadingFacts:
    """One thing that a text can mean; ``set`` is what to type for just this."""

    set: str
    title: str
    label: str
    notes: list[str]


@dataclass(frozen=True)
class Readings:
    """Everything that a text can mean, the likeliest first.

    Parameters
    ----------
    text : str
    readings : list of ReadingFacts
    wrong, advice : str
        What was not understood and what to do, where there is no reading; else empty.
    nearest : list of ReadingFacts
        What lies close to a text that was not understood.
    """

    text: str
    readings: list[ReadingFacts]
    wrong: str = ""
    advice: str = ""
    nearest: list[ReadingFacts] | None = None


def read_text(text: str, *, german: bool = False) -> Readings:
    """Everything that a text can mean; where that is nothing, why, and what is near."""
    found = [_facts(one) for one in meanings(text, german=german)]
    if found:
        return Readings(text, found, nearest=[])
    near = [_facts(meanings(one, german=german)[0]) for one in nearest(text, german=german)]
    try:
        read_set(text, german=german)
    except InputError as error:
        return Readings(text, [], error.sentence, "" if near else error.suggestion, near)
    return Readings(text, [], nearest=near)


def _facts(one: Meaning) -> ReadingFacts:
    s = one.subject
    return ReadingFacts(one.text, s.title, s.pcset.label, [note.sign for note in s.notes])


@router.get("/readings", response_model=Readings)
def text_readings(
    request: Request,
    room: Here,
    text: Annotated[str, Query(max_length=300)],
    field: Annotated[str, Query(alias="id", max_length=40, description="Id of the field.")] = "field",
) -> Response:
    """What a text can mean, as it is being typed."""
    return answer(request, "readings_part.html", read_text(text, german=room.settings.german), id=field)


Pitches = Annotated[
    str,
    Query(pattern=r"^\d{1,3}( \d{1,3}){0,31}$", description="MIDI numbers, 60 = middle C.", examples=["48 55 64"]),
]
MaybePitches = Annotated[
    str, Query(pattern=r"^(\d{1,3}( \d{1,3}){0,31})?$", description="MIDI numbers that lie on the keyboard.")
]


@dataclass(frozen=True)
class Desk:
    """What lies on the desk: the chord on its keyboard, where there is one, and what was done lately."""

    played: Played | None
    recent: Recent


@router.get("/played", response_model=Played)
def played_chord(request: Request, room: Here, pitches: Pitches) -> Response:
    """What a chord is that was played: names with reasons and costs, class, scales that hold it."""
    facts, drawing, strip = described(room, pitches)
    return answer(request, "played_part.html", facts, drawing=drawing, strip=strip)


def described(room: Room, pitches: str) -> tuple[Played, Engraving, str]:
    """A chord in words, and drawn: on a staff, and as a strip from its bass; `InputError` where it cannot sound."""
    facts, names = played(pitches_in(pitches), room.settings)
    drawing = chords((tuple(facts.pitches),), names, staff_mm=STAFF_MM)
    return facts, drawing, strip_from_bass(facts, names)


@router.get("/", response_model=Desk)
def desk(request: Request, room: Here, pitches: MaybePitches = "") -> Response:
    """The desk."""
    chord, drawing, strip = described(room, pitches) if pitches else (None, None, "")
    shown = {"examples": EXAMPLES, "octaves": OCTAVES, "white": WHITE}
    return answer(request, "desk.html", Desk(chord, recent_of(room)), drawing=drawing, strip=strip, desk=shown)
