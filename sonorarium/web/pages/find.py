"""Find: a question to the shelf in plain words, and what it finds, engraved with the notes marked."""

from __future__ import annotations

from typing import Annotated, Literal

from fastapi import Depends, Form, Query, Request, Response

from sonorarium.errors import InputError, NothingFoundError
from sonorarium.score.search.passage import Passage
from sonorarium.score.search.query import KINDS
from sonorarium.score.search.question import Typed
from sonorarium.shelf.folder import FolderResult
from sonorarium.study.keepings import keep_passage
from sonorarium.web.answers import answer, wants_json
from sonorarium.web.facts.findings import (
    MOST,
    PAGE,
    Asked,
    Finds,
    NearFinds,
    address_of,
    fields_of,
    finds_of,
    folded_words,
    gaps_in_words,
    near_by,
    searched,
)
from sonorarium.web.facts.passages import MOST_BARS, PassageFacts, Place, excerpt, found_again, passage_facts
from sonorarium.web.jobs import JobState
from sonorarium.web.pages.asking import Here, new_router
from sonorarium.web.pages.keeping import Kept, kept, tags_in, today

router = new_router("Find")

DRAWN = 3
"""So many finds are drawn as soon as the page is there; the others when they come into view."""
EXAMPLES = (
    ("D double harmonic", "these very notes, wherever they are all that sounds"),
    ("5-15", "a class, in any transposition and inversion"),
    ("5-6 then 5-15 within two bars", "one class, and soon after it another"),
)
KIND_WORDS = {"chord": "a chord, sounding together", "line": "a line, in one voice", "texture": "all parts together"}
UNDER_WORDS = {"": "as typed", "literal": "these very notes", "Tn": "any transposition", "TnI": "inversions too"}
BESIDES_WORDS = {"": "nothing else", "1": "one other", "2": "two others", "3": "three others", "any": "any others"}
NEAR_WORDS = {"": "no others", "1": "one semitone away", "2": "up to two", "3": "up to three", "4": "up to four"}
BY_WORDS = {"": "clearest first", "teachability": "easiest to show first", "place": "as they stand in the pieces"}

Number = r"^\d{0,2}$"
Length = Annotated[str, Query(max_length=30, description="2 bars, 3 quarters.")]
Note = Annotated[str, Query(max_length=6)]


def asked_for(
    what: Annotated[str, Query(alias="set", max_length=300, description="A set, or several: A then B.")] = "",
    kind: Annotated[list[Literal["chord", "line", "texture"]], Query(max_length=3)] = [],  # noqa: B006
    part: Annotated[str, Query(max_length=200, description="Only these parts, commas between their names.")] = "",
    under: Annotated[Literal["", "literal", "Tn", "TnI"], Query(description="What counts as the same set.")] = "",
    struck: Annotated[bool, Query(description="Only what is struck together, not what is held.")] = False,
    besides: Annotated[Literal["", "1", "2", "3", "any"], Query(description="Others in a chord.")] = "",
    foreign: Annotated[str, Query(pattern=Number, description="Per cent of the time that may be foreign.")] = "",
    near: Annotated[Literal["", "1", "2", "3", "4"], Query(description="Sets so many semitones away too.")] = "",
    alike: Annotated[str, Query(pattern=r"^([01](\.\d{0,4})?)?$", description="Classes of this likeness too.")] = "",
    shortest: Length = "",
    longest: Length = "",
    notes: Annotated[str, Query(pattern=r"^\d{0,3}$", description="At least so many notes.")] = "",
    bars: Annotated[str, Query(max_length=40, description="Printed bars: 9-12.")] = "",
    bass: Note = "",
    top: Note = "",
    by: Annotated[Literal["", "salience", "teachability", "place"], Query(description="Order.")] = "",
    every: Annotated[bool, Query(description="List repeats by themselves.")] = False,
    composer: Annotated[str, Query(max_length=200, description="Part of the composer's name.")] = "",
    since: Annotated[str, Query(alias="from", max_length=20, description="First year.")] = "",
    until: Annotated[str, Query(alias="to", max_length=20, description="Last year.")] = "",
) -> Asked:
    """The question in an address; raises `InputError` where its years contradict each other."""
    typed = Typed(
        tuple(one for one in KINDS if one in kind), tuple(tags_in(part)), under, struck, besides == "any",
        int(besides) if besides.isdigit() else None, int(foreign or 0) / 100, int(near or 0),
        float(alike) if alike else None, shortest, longest, max(1, int(notes or 1)), bars, bass, top,
        by or "salience", every,
    )  # fmt: skip
    return Asked(what.strip(), typed, composer.strip(), since.strip(), until.strip())


Question = Annotated[Asked, Depends(asked_for)]
Page = Annotated[int, Query(alias="page", ge=1, le=10, description=f"{PAGE} finds each.")]


@router.get("/find", response_model=Finds)
def find(request: Request, room: Here, asked: Question, number: Page = 1) -> Response:
    """What is found on the shelf."""
    facts, wrong, sifted = Finds(asked.what), None, ""
    try:
        if asked.what:
            _ = asked.question  # what is not understood is said even where there is nothing to search
        sifted = asked.sift.in_words
        if asked.what and room.shelf.exists:
            facts = finds_of(asked, number, searched(room, asked, number, address_of(asked, number)))
    except InputError as error:
        if wants_json(request):
            raise
        wrong = error  # the form stays, with all that was asked in it
    return answer(
        request, "find.html", facts, status=422 if wrong else 200, wrong=wrong, asked=asked, sifted=sifted,
        fields=fields_of(asked), drawn_at_once=DRAWN, address_of=address_of,
        kinds=KIND_WORDS, unders=UNDER_WORDS, others=BESIDES_WORDS, nears=NEAR_WORDS, orders=BY_WORDS,
        examples=EXAMPLES, folded_words=folded_words, gaps_in_words=gaps_in_words, page_size=PAGE,
        most=MOST, most_bars=MOST_BARS,
    )  # fmt: skip


def listed(result: FolderResult | JobState | None, number: int) -> list[tuple[Passage, ...]]:
    """The finds of a page: the passages of each, one or several in a row."""
    if result is None or isinstance(result, JobState):
        return []
    every = [(one,) for one in result.passages] + [one.passages for one in result.chains]
    return every[(number - 1) * PAGE : number * PAGE]


@router.get("/find/excerpt", response_model=list[PassageFacts])
def find_excerpt(
    request: Request,
    room: Here,
    asked: Question,
    place: Annotated[int, Query(ge=0, lt=PAGE, description="Which find of the page, from 0.")],
    number: Page = 1,
) -> Response:
    """The bars of one find, its notes marked."""
    result = searched(room, asked, number, address_of(asked, number)) if asked.what and room.shelf.exists else None
    if isinstance(result, JobState):
        return answer(request, "find_excerpt.html", [], drawing="The search is under way again; load the page anew.")
    found = listed(result, number)
    if place >= len(found):
        raise NothingFoundError("There is no such find.", value=place, suggestion="Search again.")
    drawing = excerpt(room, found[place])
    return answer(request, "find_excerpt.html", [passage_facts(one) for one in found[place]], drawing=drawing)


@router.get("/find/near", response_model=NearFinds)
def find_near(request: Request, room: Here, asked: Question) -> Response:
    """What comes nearest to sets that were not found."""
    here = f"{request.url.path}?{request.url.query}"
    found = near_by(room, asked, here) if asked.what and room.shelf.exists else ()
    if isinstance(found, JobState):
        return answer(request, "find_near.html", NearFinds([], found), drawings=[], most_bars=MOST_BARS)
    drawings = [excerpt(room, (one,)) for one in found[:DRAWN]]
    return answer(
        request,
        "find_near.html",
        NearFinds([passage_facts(one) for one in found], None),
        drawings=drawings,
        most_bars=MOST_BARS,
    )


@router.post("/keep/passage", response_model=Kept)
def keep_one_passage(
    request: Request,
    room: Here,
    asked: Question,
    piece: Annotated[str, Form(max_length=64, description="Key of the piece.")],
    kind: Annotated[Literal["chord", "line", "texture"], Form(alias="as")],
    onset: Annotated[int, Form(ge=0)],
    end: Annotated[int, Form(ge=0)],
    notes: Annotated[str, Form(max_length=100_000, description="Its notes, where several begin and end there.")] = "",
    words: Annotated[str, Form(max_length=20000)] = "",
    tags: Annotated[str, Form(max_length=500, description="Commas between them.")] = "",
) -> Response:
    """Keep a passage, found again by the question in the address."""
    score, one = found_again(room, piece, asked.question, Place(kind, onset, end, tuple(notes.split())))
    made = keep_passage(room.study, score, one, why=words, tags=tags_in(tags), kept=today())
    facts = passage_facts(one)
    bars = f"bar {facts.bars[0]}" if facts.first == facts.last else f"bars {facts.bars[0]} to {facts.bars[1]}"
    return kept(request, f"{facts.label} in {facts.title}, {bars}", made.filed.path.name)
