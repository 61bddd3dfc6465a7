"""What the sheet of a set shows besides its survey: strips of its insides and kin, its mirror in words, witnesses.

Strips are all counted from the set's first note upward, so that the same note stands in the same column in each.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from sonorarium.errors import SonorariumError
from sonorarium.pcs.kin import Neighbour
from sonorarium.pcs.pcset import PcSet
from sonorarium.pcs.scales import kind_of
from sonorarium.pcs.spelling import Spelled, spell_freely, spell_in
from sonorarium.pcs.subject import Subject
from sonorarium.pcs.symmetry import axes
from sonorarium.render.engraving import Engraving, PassageLook
from sonorarium.render.strips import Strip, draw_strips
from sonorarium.score.search.query import Query
from sonorarium.shelf.searching import search_shelf
from sonorarium.web.facts.passages import PassageFacts, excerpt, passage_facts
from sonorarium.web.room import Room

WITNESSES = 3
LOOK = PassageLook(width_mm=120.0, staff_mm=5.2, part_names=False)


@dataclass(frozen=True)
class Witnesses:
    """The best passages of a set on the shelf.

    Parameters
    ----------
    found : list of PassageFacts
    count : int
        How many passages there are.
    pieces, scores : int
        In how many scores, of how many on the shelf.
    why : str
        Where nothing was looked for or found, why.
    """

    found: list[PassageFacts]
    count: int
    pieces: int
    scores: int
    why: str = ""


def neighbour_strip(s: Subject, neighbour: Neighbour) -> str:
    """The strip of a neighbour, aligned with the set's own; the note that moved is marked where exactly one did."""
    first = s.notes[0].pc
    before = set(s.heights)
    after = {(note.pc - first) % 12 for note in neighbour.notes}
    gone, new = sorted(before - after), sorted(after - before)
    left = gone[0] if len(gone) == 1 else None
    came = new[0] if len(new) == 1 else None
    words = f"{neighbour.label}: {neighbour.sentence}"
    return draw_strips([Strip(tuple(sorted(after)), 0 if 0 in after else None, left, came, description=words)])


def inside_strips(s: Subject, rows: list[dict[str, Any]]) -> list[str]:
    """The strip of each subset class where it first lies."""
    if not s.notes:
        return []
    heights = {note.text: (note.pc - s.notes[0].pc) % 12 for note in s.notes}
    drawn = []
    for row in rows:
        inside = tuple(sorted(heights[note] for note in row["places"][0]["notes"])) if row["places"] else ()
        drawn.append(draw_strips([Strip(inside, None, description=f"{row['class']} in {s.title}")]))
    return drawn


def mode_strip(s: Subject, tonic: str) -> str:
    """The strip of a mode: the set, counted from another of its notes."""
    first = next(note.pc for note in s.notes if note.text == tonic)
    heights = tuple(sorted((note.pc - first) % 12 for note in s.notes))
    return draw_strips([Strip(heights, description=f"{s.title} from {tonic}")])


@dataclass(frozen=True)
class OtherNames:
    """Other names of a scale: those of the trade, those borrowed from a tradition, and what to say of these."""

    names: list[str]
    borrowed: list[str]
    caution: str


def other_names(s: Subject) -> OtherNames:
    """What a scale is called besides; nothing for a set without a root, or a scale without a name.

    >>> from sonorarium.pcs.subject import subject
    >>> other_names(subject("E harmonic minor #4")).borrowed[:2], other_names(subject("4-19")).names
    (['hungarian minor', 'gypsy minor'], [])
    """
    kind = kind_of(PcSet(s.heights)) if s.root is not None and s.notes[0] == s.root else None
    if kind is None:
        return OtherNames([], [], "")
    return OtherNames(list(kind.aliases), list(kind.borrowed), kind.caution)


def mirror_words(s: Subject) -> str:
    """What a set is its own mirror around, in words; empty where it is not.

    >>> from sonorarium.pcs.subject import subject
    >>> mirror_words(subject("D double harmonic")), mirror_words(subject("C E G")), mirror_words(subject("C E G B"))
    ('its own mirror around D and around A♭', '', 'its own mirror between F and F♯ and between B and C')
    """
    ends = [float(end) for axis in axes(s.pcset) for end in axis]
    if not ends or len(ends) > 6:
        return f"its own mirror around {len(ends)} points" if ends else ""
    return f"its own mirror {' and '.join(_point(end, s.notes) for end in ends)}"


def _point(end: float, names: tuple[Spelled, ...]) -> str:
    pcs = (int(end) % 12,) if end == int(end) else (int(end) % 12, (int(end) + 1) % 12)
    try:
        signs = [note.sign for note in spell_in(names, pcs)]
    except SonorariumError:
        signs = [note.sign for note in spell_freely(pcs)]
    return f"around {signs[0]}" if len(signs) == 1 else f"between {signs[0]} and {signs[1]}"


def witnesses(room: Room, s: Subject) -> tuple[Witnesses, list[Engraving | str]]:
    """The best passages of a set's class as texture on the shelf, and their drawings, or why one cannot be drawn."""
    if not room.shelf.exists:
        return Witnesses([], 0, 0, 0, "Nothing is on the shelf yet."), []
    scores = len(room.shelf.snapshot().scores)
    if not 3 <= s.pcset.cardinality <= 9:
        return Witnesses([], 0, 0, scores, "Witnesses are looked for of sets of 3 to 9 notes."), []
    result = search_shelf(room.shelf, Query.of(s.pcset.set_class, kind="texture"), limit=WITNESSES)
    found = [passage_facts(one) for one in result.passages]
    why = "" if found else f"None of the {scores} scores on the shelf shows it."
    told = Witnesses(found, result.count, result.files_with, scores, why)
    return told, [excerpt(room, (one,), look=LOOK) for one in result.passages]
