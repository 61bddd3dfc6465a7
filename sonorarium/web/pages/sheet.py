"""The sheet of a set or a collection: everything that is known of it, on one page."""

from __future__ import annotations

from dataclasses import asdict
from typing import Annotated, Any, Literal

from fastapi import Query, Request, Response

from sonorarium.errors import SonorariumError
from sonorarium.pcs.families import families
from sonorarium.pcs.kin import kin
from sonorarium.pcs.survey import survey
from sonorarium.pitch.voicings import voicings
from sonorarium.study.remarks import remarks_on
from sonorarium.web.answers import answer
from sonorarium.web.facts.drawings import chords, notes_of, strip_of
from sonorarium.web.facts.sheetfigures import (
    Witnesses,
    inside_strips,
    mirror_words,
    mode_strip,
    neighbour_strip,
    other_names,
    witnesses,
)
from sonorarium.web.pages.asking import Here, SetText, new_router, shown

router = new_router("Sheet")

TRIED = 4
LOW, HIGH = 48, 79
"""Where both hands lie easily; a wider question belongs to the sketch."""


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
    room.looked.add(what)
    switches = {"family": family, "readable": readable, "tn": tn, "prime": prime}
    facts: dict[str, Any] = {
        **survey(s, room.family(family), tn=tn),
        "also_called": asdict(other_names(s)),
        "switches": switches,
    }
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
        mirror=mirror_words(s),
        mode_strips=[mode_strip(s, mode["tonics"][0]) for mode in facts["modes"]],
        kin_strips=[neighbour_strip(s, one) for one in near],
        inside_strips=inside_strips(s, facts["insides"]["rows"]),
        families=list(families()),
        beside_kin=[one.scale or " ".join(note.text for note in one.notes) for one in near if one.kind == "move"][:8],
        remarks=remarks_on(room.study, what) if s.notes else (),
    )


@router.get("/sheet/witnesses", response_model=Witnesses)
def sheet_witnesses(request: Request, room: Here, what: SetText) -> Response:
    """The best passages of a set's class on the shelf."""
    s = shown(what, room)
    facts, drawings = witnesses(room, s)
    return answer(request, "sheet_witnesses.html", facts, drawings=drawings, what=what, label=s.pcset.set_class.label)


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
