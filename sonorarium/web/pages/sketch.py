"""The sketch: a row of chords in the address, to be heard, changed, voiced anew, joined and written out."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Annotated, Literal

from fastapi import Depends, Form, Query, Request, Response
from fastapi.responses import FileResponse, RedirectResponse

from sonorarium.errors import InputError
from sonorarium.lesson.roles import signed
from sonorarium.pitch.limits import Hands
from sonorarium.pitch.scoring import ENSEMBLES
from sonorarium.pitch.spacing import KINDS
from sonorarium.pitch.terms import ORDERS, Terms
from sonorarium.render.midi import to_midi
from sonorarium.study.sketches import keep_sketch
from sonorarium.web.answers import address, answer, wants_json
from sonorarium.web.facts.drawings import chords as draw
from sonorarium.web.facts.sketching import (
    Manner,
    RowChord,
    Step,
    file_of,
    labels_of,
    moved,
    objection,
    performance_of,
    put,
    row_of,
    scoring_of,
    steps_of,
    symbols_of,
    texts_of,
)
from sonorarium.web.facts.sketchoffers import (
    MOST_WAYS,
    Offers,
    harmony_offers,
    offered_soon,
    path_offers,
    pitch_of,
    voicing_offers,
)
from sonorarium.web.jobs import JobState
from sonorarium.web.pages.asking import Here, new_router
from sonorarium.web.pages.keeping import Kept, kept, today
from sonorarium.web.pages.sound import CLIP, Instrument, Tempo, sent

router = new_router("Sketch")

MOST_STEPS = 6
TEMPO_QPM = 72.0
EXAMPLES = (
    ("Dm7; G7; Cmaj7", "chords by name, realised with the least movement"),
    ("C3 G3 E4; F3 C4 A4; G3 D4 B4", "voicings by their notes, kept as they are"),
    ("D Eb F# A; 4-19; C7", "sets and classes among chords"),
)
MELODY_EXAMPLE = "E5 F5 D5 E5:2"
MEDIA = {
    "musicxml": "application/vnd.recordare.musicxml+xml",
    "mid": "audio/midi",
    "flac": "audio/flac",
    "wav": "audio/wav",
    "svg": "image/svg+xml",
    "pdf": "application/pdf",
}
FILE = {200: {"content": {media: {"schema": {"type": "string", "format": "binary"}} for media in MEDIA.values()}}}
GONE_ON = {303: {"description": "The row as it now is."}}

Line = Annotated[str, Query(max_length=2000, description="The row: chords or voicings, ';' between them.")]
Place = Annotated[int, Query(ge=1, le=48, description="Which chord of the row, from 1.")]
Text = Annotated[str, Query(max_length=300)]
Lengths = Annotated[str, Query(max_length=300, description="Quarters that each chord lasts: '2 1 1/2'.")]
Tune = Annotated[str, Query(max_length=600, description="A melody: 'C5 D5:1/2 r F5:2'.")]


def manner_asked(
    title: Annotated[str, Query(max_length=120)] = "",
    lengths: Lengths = "",
    melody: Tune = "",
    ensemble: Annotated[str, Query(max_length=200, description="Who plays; a piano where empty.")] = "",
    instrument: Instrument = "",
    tempo: Tempo = TEMPO_QPM,
) -> Manner:
    """How the row is written and played, as asked in the address."""
    return Manner(title, lengths, melody, ensemble, instrument, tempo)


Asked = Annotated[Manner, Depends(manner_asked)]


Questions = tuple[tuple[str, str, object, str | tuple[tuple[str, str], ...]], ...]
"""Fields of a form: name, label, value, and kind or choices."""


@dataclass(frozen=True)
class ChordFacts:
    """A chord of the row: place from 1, text as typed, what stands over it, pitches and notes."""

    place: int
    text: str
    label: str
    set_class: str
    pitches: list[int]
    notes: list[str]


@dataclass(frozen=True)
class MoveFacts:
    """One voice's way to the next chord."""

    start: int
    end: int
    by: int
    words: str


@dataclass(frozen=True)
class MovementFacts:
    """All voices from one chord to the next: semitones in all, and pairs in parallel fifths, octaves or unisons."""

    size: int
    common_tones: int
    parallels: int
    voice_for_voice: bool
    moves: list[MoveFacts]


@dataclass(frozen=True)
class SketchFacts:
    """A sketch: its row, how the voices move in it, what is to say of the scoring, and why it cannot be played."""

    line: str
    chords: list[ChordFacts]
    movements: list[MovementFacts]
    tempo: float
    remarks: list[str]
    objection: str


# --- facts --------------------------------------------------------------------------------------------------------


def chord_facts(row: tuple[RowChord, ...]) -> list[ChordFacts]:
    """The chords of a row as plain values."""
    return [
        ChordFacts(at, chord.text, label, chord.set_class, list(chord.voicing.pitches), list(chord.notes))
        for at, (chord, label) in enumerate(zip(row, labels_of(row), strict=True), start=1)
    ]


def movement_facts(step: Step) -> MovementFacts:
    """The voices' way as plain values."""
    moves = [MoveFacts(int(m.start), int(m.end), int(m.by), m.text) for m in step.leading.moves]
    common = len(step.leading.common_tones)
    return MovementFacts(int(step.leading.size), common, step.parallels, step.voice_for_voice, moves)


def sketch_facts(line: str, manner: Manner) -> SketchFacts:
    """Everything about a sketch; an ensemble that cannot play it is a remark, not the end of the page."""
    row = row_of(line)
    wrong = objection(row, manner) if row else ""
    scored = None if wrong else scoring_of(row, manner.ensemble)
    remarks = [*scored.doublings, *scored.strains, *scored.rests] if scored else []
    movements = [movement_facts(step) for step in steps_of(row)]
    return SketchFacts(line, chord_facts(row), movements, manner.tempo_qpm, remarks, wrong)


# --- addresses ----------------------------------------------------------------------------------------------------


def state_of(line: str, manner: Manner) -> dict[str, object]:
    """What stands in the address of a sketch."""
    tempo = "" if manner.tempo_qpm == TEMPO_QPM else f"{manner.tempo_qpm:g}"
    return {
        "line": line,
        "title": manner.title,
        "lengths": manner.lengths,
        "melody": manner.melody,
        "ensemble": manner.ensemble,
        "instrument": manner.instrument,
        "tempo": tempo,
    }


def changed_manner(manner: Manner, *, same: bool) -> Manner:
    """The manner of a row that was changed: its melody fits no longer, its lengths only the same number of chords."""
    return replace(manner, melody="", lengths=manner.lengths if same else "")


def after_change(line: str, manner: Manner, *, same: bool = False) -> dict[str, object]:
    """What stands in the address after a change of the row, but for the row."""
    there = state_of(line, changed_manner(manner, same=same))
    return {name: value for name, value in there.items() if name != "line"}


def row_drawing(line: str) -> object:
    """The row on a staff, each chord under its label; None where it is empty."""
    row = row_of(line)
    if not row:
        return None
    return draw(
        tuple(c.voicing.pitches for c in row),
        tuple(c.names for c in row),
        tuple(map(signed, symbols_of(row))),
        staff_mm=11.0,
    )


@router.get("/sketch", response_model=SketchFacts)
def sketch(request: Request, room: Here, manner: Asked, line: Line = "") -> Response:
    """A row of chords, its voices' movement, and what can be done with it."""
    return shown_row(request, line, manner)


def shown_row(request: Request, line: str, manner: Manner, wrong: InputError | None = None) -> Response:
    """The page of a row; with what is wrong with a chord that was to be put in, while the row stays as it is."""
    facts = sketch_facts(line, manner)
    return answer(
        request, "sketch.html", facts, status=422 if wrong else 200, wrong=wrong,
        state=state_of(line, manner), after=after_change(line, manner),
        manner=manner, drawing=row_drawing(line),
        moved=moved, put=put, ensembles=tuple(ENSEMBLES), examples=EXAMPLES, melody_example=MELODY_EXAMPLE,
        files=tuple(MEDIA), kinds=tuple(KINDS), orders=ORDERS,
    )  # fmt: skip


@router.get("/sketch/changed", response_class=RedirectResponse, status_code=303, responses=GONE_ON)  # type: ignore[arg-type]
def changed(
    request: Request,
    room: Here,
    manner: Asked,
    chord: Annotated[str, Query(min_length=1, max_length=300, description="A chord, or a row of them.")],
    line: Line = "",
    place: Annotated[int, Query(ge=0, le=48, description="Replace this one, from 1; 0 adds at the end.")] = 0,
) -> Response:
    """Replace a chord, or add one at the end, and go to the row as it then is."""
    try:
        new = texts_of(chord)
        whole = put(line, place - 1, new, instead=1) if place else put(line, len(texts_of(line)), new)
        row_of(whole)
    except InputError as error:
        if wants_json(request):
            raise
        return shown_row(request, line, manner, error)
    same = len(texts_of(whole)) == len(texts_of(line))
    return RedirectResponse(
        address("/sketch", **state_of(whole, changed_manner(manner, same=same)))
        + (f"#chord-{place}" if place else "#add"),
        303,
    )


@router.get("/sketch/voicings", response_model=Offers)
def sketch_voicings(
    request: Request,
    room: Here,
    manner: Asked,
    line: Line,
    place: Place = 1,
    low: Annotated[str, Query(max_length=8)] = "C2",
    high: Annotated[str, Query(max_length=8)] = "C6",
    notes: Annotated[str, Query(pattern=r"^(\d{1,2}(-\d{1,2})?)?$", description="Number of notes: 4, or 4-6.")] = "",
    kind: Annotated[str, Query(max_length=20)] = "",
    bass: Annotated[str, Query(max_length=8)] = "",
    top: Annotated[str, Query(max_length=8)] = "",
    span: Annotated[int, Query(ge=0, le=88, description="Most semitones; 0 for any.")] = 0,
    reach: Annotated[int, Query(ge=0, le=24, description="Semitones of a hand; 0 for no hands.")] = 14,
    order: Annotated[str, Query(max_length=20)] = "near",
) -> Response:
    """Voicings of one chord, ranked."""
    row = row_of(line)
    model = row[min(place, len(row)) - 1].voicing if row else None
    sizes = tuple(map(int, notes.split("-"))) if notes else ()
    terms = Terms(
        notes=(sizes[0], sizes[-1]) if sizes else None, bass=bass or None, top=top or None, span=span or None,
        hands=Hands(reach=reach) if reach else None, kinds=(kind,) if kind else (), like=model,
        order=(order,), most=MOST_WAYS,
    )  # fmt: skip
    form: Questions = (
        ("line", "", line, "hidden"), ("place", "", place, "hidden"),
        ("low", "lowest note allowed", low, "text"), ("high", "highest note allowed", high, "text"),
        ("notes", "number of notes", notes, "text"),
        ("kind", "spacing", kind, (("", "any"), *((k, k) for k in KINDS))),
        ("bass", "note in the bass", bass, "text"), ("top", "note on top", top, "text"),
        ("span", "widest, semitones (0: any)", span, "number"),
        ("reach", "a hand reaches, semitones (0: no hands)", reach, "number"),
        ("order", "order", order, tuple(ORDERS.items())),
    )  # fmt: skip
    facts = voicing_offers(line, place, pitch_of(low), pitch_of(high), terms)
    return offered(request, facts, f"Voicings of chord {place}", form, after_change(line, manner, same=True))


@router.get("/sketch/path", response_model=Offers)
def sketch_path(
    request: Request,
    room: Here,
    manner: Asked,
    line: Line,
    place: Place = 1,
    steps: Annotated[int, Query(ge=2, le=MOST_STEPS)] = 3,
    step: Annotated[int, Query(ge=1, le=12, description="Most semitones in one step.")] = 4,
    by: Text = "",
    inside: Text = "",
) -> Response:
    """Ways from a chord to the next through others."""
    form: Questions = (
        ("line", "", line, "hidden"), ("place", "", place, "hidden"),
        ("steps", f"steps, 2 to {MOST_STEPS}", steps, "number"),
        ("step", "most semitones in a step", step, "number"),
        ("by", "chords to choose from (any of the size)", by, "text"),
        ("inside", "inside collections", inside, "text"),
    )  # fmt: skip
    title = f"Paths from chord {place} to the next"
    facts, job = offered_soon(
        room, title, asked_in(request), lambda: path_offers(line, place, steps, step, by, inside)
    )
    return offered(
        request, facts, f"From chord {place} to the next", form, after_change(line, manner, same=False), job
    )


@router.get("/sketch/harmonise", response_model=Offers)
def sketch_harmonise(
    request: Request,
    room: Here,
    melody: Annotated[str, Query(min_length=1, max_length=600)],
    by: Text = "3-11; 4-20",
    inside: Text = "",
    voices: Annotated[int, Query(ge=2, le=8)] = 4,
    foreign: Annotated[float, Query(ge=0, le=1)] = 0.0,
    pace: Annotated[float, Query(ge=0.25, le=16)] = 1.0,
) -> Response:
    """Chords under a melody, in several ways."""
    form: Questions = (
        ("melody", "melody", melody, "text"), ("by", "chords to choose from", by, "text"),
        ("inside", "inside collections", inside, "text"), ("voices", "voices", voices, "number"),
        ("foreign", "share of foreign notes, 0 to 1", foreign, "text"),
        ("pace", "about how many quarters a chord", pace, "text"),
    )  # fmt: skip
    facts, job = offered_soon(
        room,
        "Chords under a melody",
        asked_in(request),
        lambda: harmony_offers(melody, by, inside, voices, foreign, pace),
    )
    return offered(request, facts, "Chords under the melody", form, {"melody": melody}, job)


def offered(
    request: Request,
    facts: Offers,
    heading: str,
    form: Questions,
    carried: dict[str, object],
    job: JobState | None = None,
) -> Response:
    """What was found, the question above it; `carried` goes along when an offer is taken."""
    return answer(
        request, "sketch_offers.html", facts, heading=heading, form=form, carried=carried, job=job,
        drawings=drawn(facts),
    )  # fmt: skip


def asked_in(request: Request) -> str:
    """The address that was asked for."""
    return f"{request.url.path}?{request.url.query}"


def drawn(facts: Offers) -> list[object]:
    """Each offer on a staff."""
    rows = [row_of(offer.pitch_line) for offer in facts.offers]
    return [
        draw(tuple(c.voicing.pitches for c in row), tuple(c.names for c in row), ("",) * len(row)) for row in rows
    ]


@router.get("/sketch/sound", response_class=FileResponse, responses=CLIP)  # type: ignore[arg-type]
def sketch_sound(request: Request, room: Here, manner: Asked, line: Line) -> Response:
    """The whole sketch, as it is written."""
    return sent(request, room, performance_of(row_of(line), manner))


@router.get("/sketch/file.{kind}", response_class=Response, responses=FILE)  # type: ignore[arg-type]
def sketch_file(
    room: Here, manner: Asked, kind: Literal["musicxml", "mid", "flac", "wav", "svg", "pdf"], line: Line
) -> Response:
    """The sketch as a file: notation, MIDI, sound, a picture or print."""
    row = row_of(line)
    if kind == "mid":
        data = to_midi(performance_of(row, manner))
    elif kind in ("flac", "wav"):
        clip = room.clips.file(performance_of(row, manner), soundfont=room.settings.soundfont, format=kind)
        data = clip.read_bytes()
    else:
        data = file_of(row, manner, f".{kind}")
    named = {"Content-Disposition": f'attachment; filename="sketch.{kind}"'}
    return Response(data, media_type=MEDIA[kind], headers=named)


@router.post("/keep/sketch", response_model=Kept)
def keep_one_sketch(
    request: Request,
    room: Here,
    title: Annotated[str, Form(min_length=1, max_length=120)],
    line: Annotated[str, Form(min_length=1, max_length=2000)],
    words: Annotated[str, Form(max_length=20000)] = "",
    lengths: Annotated[str, Form(max_length=300)] = "",
    melody: Annotated[str, Form(max_length=600)] = "",
    ensemble: Annotated[str, Form(max_length=200)] = "",
    tempo: Annotated[float, Form(ge=20, le=300)] = TEMPO_QPM,
) -> Response:
    """Keep a sketch: its notation as a file, and a card on which its row can be read and opened again."""
    row = row_of(line)
    notation = file_of(row, Manner(title, lengths, melody, ensemble, "", tempo), ".musicxml")
    made = keep_sketch(
        room.study,
        title,
        music=(".musicxml", notation),
        sets=dict.fromkeys(chord.text for chord in row),
        words=f"`{line}`\n\n{words}".strip(),
        kept=today(),
    )
    return kept(request, made.title, made.filed.path.name)
