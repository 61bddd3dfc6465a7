"""The sheet of a set or a collection: everything that is known of it, on one page."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from fastapi import Query, Request, Response

from sonorarium.errors import SonorariumError
from sonorarium.pcs.families import families
from sonorarium.pcs.kin import Neighbour, kin
from sonorarium.pcs.subject import Subject
from sonorarium.pcs.survey import survey
from sonorarium.pitch.voicings import voicings
from sonorarium.render.strips import Strip, draw_strips
from sonorarium.study.remarks import remarks_on
from sonorarium.web.answers import answer
from sonorarium.web.drawings import chords, notes_of, strip_of
from sonorarium.web.pages.asking import Here, SetText, new_router, shown

router = new_router("Sheet")

TRIED = 4
LOW, HIGH = 48, 79
"""Where both hands lie easily; a wider question belongs to the sketch."""


def moved(s: Subject, neighbour: Neighbour) -> str:
    """The strip of a neighbour, aligned with the set's own; the note that moved is marked where exactly one did."""
    first = s.notes[0].pc
    before = set(s.heights)
    after = {(note.pc - first) % 12 for note in neighbour.notes}
    gone, new = sorted(before - after), sorted(after - before)
    left = gone[0] if len(gone) == 1 else None
    came = new[0] if len(new) == 1 else None
    root = 0 if 0 in after else None
    words = f"{neighbour.label}: {neighbour.sentence}"
    return draw_strips([Strip(tuple(sorted(after)), root, left, came, description=words)])


def inside_strips(s: Subject, rows: list[dict[str, Any]]) -> list[str]:
    """The strip of each subset class where it first lies, aligned with the set's own."""
    if not s.notes:
        return []
    heights = {note.text: (note.pc - s.notes[0].pc) % 12 for note in s.notes}
    drawn = []
    for row in rows:
        inside = tuple(sorted(heights[note] for note in row["places"][0]["notes"])) if row["places"] else ()
        drawn.append(draw_strips([Strip(inside, None, description=f"{row['class']} in {s.title}")]))
    return drawn


@router.get("/sheet", response_model=dict[str, Any])
def sheet(
    request: Request,
    room: Here,
    what: SetText,
    family: Annotated[str, Query(max_length=60, description="The sister scales, a family by name.")] = "",
    readable: Annotated[bool, Query(description="Spell without double accidentals.")] = False,
    tn: Annotated[bool, Query(description="Count a class and its mirror apart.")] = False,
    prime: Annotated[Literal["rahn", "forte"], Query(description="Whose prime form is shown.")] = "rahn",
) -> Response:
    """Everything about a set: the chapters of its survey, and the switches that were set."""
    s = shown(what, room, readable=readable)
    switches = {"family": family, "readable": readable, "tn": tn, "prime": prime}
    facts: dict[str, Any] = {**survey(s, room.family(family), tn=tn), "switches": switches}
    near = kin(s).neighbours if s.notes else ()
    return answer(
        request,
        "sheet.html",
        facts,
        s=s,
        what=what,
        asked_set=what,
        drawing=notes_of(s, degrees=True),
        strip=strip_of(s),
        kin_strips=[moved(s, one) for one in near],
        inside_strips=inside_strips(s, facts["insides"]["rows"]),
        families=list(families()),
        remarks=remarks_on(room.study, what) if s.notes else (),
    )


@router.get("/sheet/voicings", response_model=dict[str, Any])
def sheet_voicings(request: Request, room: Here, what: SetText) -> Response:
    """A few of the best voicings of a set; where there are none, why."""
    s = shown(what, room)
    try:
        found = list(voicings(what, low=LOW, high=HIGH, limit=TRIED))
        why = ""
    except SonorariumError as error:
        found, why = [], str(error)
    facts = {
        "why": why,
        "voicings": [
            {"text": one.text.replace("♭", "b").replace("♯", "#"), "pitches": list(one.pitches)} for one in found
        ],
    }
    drawings = [chords((tuple(one.pitches),), s.notes) for one in found]
    return answer(request, "sheet_voicings.html", facts, drawings=drawings)
