"""A piece: its notes with the ribbon of its collections, what is in some bars, its landscape, and all of it heard."""

from __future__ import annotations

from typing import Annotated, Literal

from fastapi import Query, Request, Response

from sonorarium.lesson.roles import signed
from sonorarium.pcs.families import families
from sonorarium.render.performance import TEMPO_QPM
from sonorarium.render.ribbon import draw_ribbon
from sonorarium.score.search import query
from sonorarium.web.answers import answer
from sonorarium.web.pages.asking import Here, new_router
from sonorarium.web.pages.sound import Tempo
from sonorarium.web.piece.following import Times, Turns, times_of, turns_of
from sonorarium.web.piece.piecefinds import PassagesFacts, passages_facts
from sonorarium.web.piece.scapes import PointFacts, ScapeFacts, drawn, point_facts, scape_facts
from sonorarium.web.piece.scoring import PAGE, ScoreFacts, bars_asked, chosen, openable, piece_facts, spans_of
from sonorarium.web.piece.sections import SectionFacts, section
from sonorarium.web.piece.stretches import HereFacts, here_facts

router = new_router("Score")

Piece = Annotated[str, Query(max_length=64, description="Key of a piece.")]
MaybeBar = Annotated[int | None, Query(ge=0, description="Index of a bar, from 0.")]
Bar = Annotated[int, Query(ge=0, description="Index of a bar, from 0.")]
SetAsked = Annotated[str, Query(alias="set", max_length=300, description="A set that is looked for in the piece.")]
FamilyName = Annotated[str, Query(max_length=60, description="A family of collections, by name.")]


@router.get("/score", response_model=ScoreFacts)
def score(
    request: Request,
    room: Here,
    piece: Annotated[str, Query(max_length=64, description="Key of a piece; all of them where empty.")] = "",
    first: MaybeBar = None,
    last: MaybeBar = None,
    what: SetAsked = "",
    family: FamilyName = "",
    text: Annotated[str, Query(max_length=200, description="Words of titles and composers, for the list.")] = "",
    page: Annotated[int, Query(ge=1, le=100000, description="Which page of the list.")] = 1,
) -> Response:
    """The pieces that can be opened; or one of them, with the spans of its tracing and the bars that are selected."""
    if not piece:
        rows = openable(room, text)
        start = (page - 1) * PAGE
        facts = ScoreFacts(rows[start : start + PAGE], len(rows), page, -(-len(rows) // PAGE), None)
        return answer(request, "score_list.html", facts, text=text)
    found = room.score(piece)
    if what:
        query.Query.of(what)  # what is not understood is said here, not by each line of music
    bars = chosen(found, first, last)
    among = room.family(family)
    told = piece_facts(found, piece, among, bars)
    ribbon = draw_ribbon(spans_of(found, among)) if told.why and told.spans else ""
    facts = ScoreFacts([], 1, 1, 1, told)
    return answer(
        request, "score.html", facts, what=what, family=family, families=families(), ribbon=ribbon, signed=signed
    )


@router.get("/score/here", response_model=HereFacts)
def score_here(
    request: Request, room: Here, piece: Piece, first: Bar, last: MaybeBar = None, family: FamilyName = ""
) -> Response:
    """All readings of some bars: as one set, as chords, as lines, and the collections that hold them."""
    found = room.score(piece)
    facts = here_facts(found, piece, bars_asked(found, first, last), room.family(family))
    return answer(request, "score_here.html", facts, signed=signed)


@router.get("/score/bars", response_model=SectionFacts)
def score_bars(
    request: Request,
    room: Here,
    piece: Piece,
    first: Bar,
    last: Bar,
    begin: MaybeBar = None,
    end: MaybeBar = None,
    what: SetAsked = "",
    family: FamilyName = "",
) -> Response:
    """Some bars in notes, the ribbon of their collections under each line; begin and end are the bars selected."""
    found = room.score(piece)
    bars = bars_asked(found, first, last)
    facts, drawings = section(found, piece, bars, chosen(found, begin, end), room.family(family), what)
    return answer(request, "score_bars.html", facts, drawings=drawings)


@router.get("/score/times", response_model=Times)
def score_times(
    request: Request, room: Here, piece: Piece, first: Bar, last: Bar, tempo: Tempo = TEMPO_QPM
) -> Response:
    """When each note of some bars is heard in their sound."""
    found = room.score(piece)
    facts = times_of(found, piece, bars_asked(found, first, last), tempo)
    return answer(request, "score_times.html", facts)


@router.get("/score/turns", response_model=Turns)
def score_turns(
    request: Request, room: Here, piece: Piece, first: Bar, last: Bar, tempo: Tempo = TEMPO_QPM
) -> Response:
    """The clips by which some bars are played one after the other, so that the first is heard at once."""
    found = room.score(piece)
    facts = turns_of(found, piece, bars_asked(found, first, last), tempo)
    return answer(request, "score_turns.html", facts)


@router.get("/score/scape", response_model=ScapeFacts)
def score_scape(
    request: Request,
    room: Here,
    piece: Piece,
    what: SetAsked = "",
    family: FamilyName = "",
    reach: Annotated[Literal["1", "4", "16", ""], Query(description="Show stretches up to such a part of it.")] = "",
) -> Response:
    """The landscape of a piece: every stretch of it, from the shortest upward, and what sounds in it."""
    found = room.score(piece)
    among = room.family(family)
    facts = scape_facts(found, piece, among, what, int(reach or 0))
    drawing = drawn(found, among, what, facts.reach)
    return answer(request, "score_scape.html", facts, drawing=drawing, what=what, family=family)


@router.get("/score/at", response_model=PointFacts)
def score_at(
    request: Request,
    room: Here,
    piece: Piece,
    middle: Annotated[float, Query(ge=0, le=1, description="Where its middle lies, as a share of the time.")],
    length: Annotated[float, Query(ge=0, le=1, description="How long it is, as a share of the time.")],
) -> Response:
    """The stretch that lies at a point of the landscape."""
    return answer(request, "score_at.html", point_facts(room.score(piece), piece, middle, length))


@router.get("/score/passages", response_model=PassagesFacts)
def score_passages(
    request: Request, room: Here, piece: Piece, what: Annotated[str, Query(alias="set", max_length=300)]
) -> Response:
    """The passages of a set in a piece, best first."""
    return answer(request, "score_passages.html", passages_facts(room.score(piece), piece, what), what=what)
