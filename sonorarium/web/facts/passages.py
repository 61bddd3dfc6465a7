"""Passages as pages show them: where they are, what they show and how well; drawn with their notes marked; kept.

One form for every page that lists passages: witnesses on a sheet, finds on the shelf, passages of a piece.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from fractions import Fraction
from pathlib import Path

from sonorarium.errors import NothingFoundError, SonorariumError
from sonorarium.render.engraving import Engraving, PassageLook, sounding_parts
from sonorarium.score.score import Score
from sonorarium.score.search.chain import Chain
from sonorarium.score.search.finding import find_best
from sonorarium.score.search.listing import Listing
from sonorarium.score.search.passage import Elsewhere, Passage
from sonorarium.score.search.query import Query
from sonorarium.web.facts.drawings import passage
from sonorarium.web.room import KEY_LENGTH, Room

LOOK = PassageLook(width_mm=185.0, staff_mm=7.0, part_names=False)
MOST_BARS = 6
"""So many bars of a passage are drawn; the rest is behind its link."""


@dataclass(frozen=True)
class PlaceFacts:
    """Where the same notes come again: printed bars, their indices, and how many semitones higher."""

    bars: list[str]
    first: int
    last: int
    semitones: int


@dataclass(frozen=True)
class PassageFacts:
    """A passage.

    Parameters
    ----------
    piece : str
        Key of its piece.
    title, composer : str
        As the file states them; the file's name where it states no title.
    kind : {"chord", "line", "texture"}
    label, transposition : str
        Class of the set shown, and how the set arises from the prime form.
    set : str
        The very set, as it may be typed.
    bars : list of str
        Printed numbers of the first and the last bar.
    first, last : int
        Their indices.
    onset, end : int
        Ticks.
    beats : list of str
        Where in their bars it begins, and its last note is struck.
    notes, parts : list of str
    salience : dict of str to float
        The total, then its parts, each from 0 to 1.
    teachability : float or None
    near : str
        What differs from the set that was asked for; empty where nothing does.
    besides : list of int
        Pitch classes that sound in it and are not of the set.
    repeats, transposed : list of PlaceFacts
    """

    piece: str
    title: str
    composer: str
    kind: str
    label: str
    transposition: str
    set: str
    bars: list[str]
    first: int
    last: int
    onset: int
    end: int
    beats: list[str]
    notes: list[str]
    parts: list[str]
    salience: dict[str, float]
    teachability: float | None
    near: str
    besides: list[int]
    repeats: list[PlaceFacts]
    transposed: list[PlaceFacts]


def passage_facts(one: Passage) -> PassageFacts:
    """A passage in plain values."""
    return PassageFacts(
        one.source.digest[:KEY_LENGTH],
        one.source.title or Path(one.source.path).stem,
        one.source.composer,
        one.kind,
        one.label,
        one.transposition,
        f"{{{','.join(map(str, one.pcs.pcs))}}}",
        list(one.bars),
        *one.bar_indices,
        one.onset,
        one.end,
        [mixed(one.first.beat), mixed(one.last.beat)],
        list(one.notes),
        [part for part in one.parts if part],
        {name: round(value, 4) for name, value in one.salience.as_dict().items()},
        round(one.teachability.total, 4) if one.teachability else None,
        one.near.difference if one.near else "",
        list(one.besides.pcs),
        _places(one.repeats),
        _places(one.transposed),
    )


def mixed(number: Fraction) -> str:
    """A number as it is read: ``2 1/2``.

    >>> mixed(Fraction(5, 2)), mixed(Fraction(-3, 4)), mixed(Fraction(3))
    ('2 1/2', '-3/4', '3')
    """
    whole, part = divmod(abs(number), 1)
    said = " ".join(str(one) for one in (whole, part) if one) or "0"
    return f"-{said}" if number < 0 else said


def _places(places: Iterable[Elsewhere]) -> list[PlaceFacts]:
    return [PlaceFacts(list(one.extent.bars), *one.extent.bar_indices, one.semitones) for one in places]


def excerpt(room: Room, shown: Iterable[Passage], *, look: PassageLook = LOOK) -> Engraving | str:
    """The bars of a passage, or of several that follow each other, their notes marked; where there is none, why."""
    found = tuple(shown)
    first = min(one.bar_indices[0] for one in found)
    last = min(max(one.bar_indices[1] for one in found), first + MOST_BARS - 1)
    rows = tuple(sorted({row for one in found for row in one.rows}))
    try:
        score = room.score(found[0].source.digest[:KEY_LENGTH])
        return passage(score, (first, last), marked=rows, parts=sounding_parts(score, first, last), look=look)
    except SonorariumError as error:
        return str(error)


@dataclass(frozen=True)
class Place:
    """What tells a passage from the others of a search in the same piece; without its notes, the first there."""

    kind: str
    onset: int
    end: int
    notes: tuple[str, ...] = ()


def found_again(room: Room, piece: str, asked: Query | Chain, place: Place) -> tuple[Score, Passage]:
    """A passage of a piece, found once more by the question that found it, and the piece.

    Raises
    ------
    NothingFoundError
        Where the piece has no such passage, or is not there.
    """
    score = room.score(piece)
    links = (asked,) if isinstance(asked, Query) else asked.links
    for link in links:
        for one in find_best(score, replace(link, listing=Listing("place", fold=False))).passages:
            if place in (Place(one.kind, one.onset, one.end), Place(one.kind, one.onset, one.end, one.notes)):
                return score, one
    raise NothingFoundError("The piece has no such passage; its file may have been changed since.", value=piece)
