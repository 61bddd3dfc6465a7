"""The landscape of a piece on its page: its image, and the segment that lies at a point of it.

A point is named by two shares of the piece's time: where the middle of the segment lies, and how long it is. So an
address means the same at every size of the image.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

from sonorarium.errors import InputError
from sonorarium.pcs.family import Family
from sonorarium.pcs.spelling import spell_freely
from sonorarium.render.scape import ScapeSize, draw_likeness, draw_members
from sonorarium.score.analysis.landscape import Landscape, Segment, landscape
from sonorarium.score.score import Score
from sonorarium.score.search.query import Query
from sonorarium.web.piece.stretches import as_set

LANDSCAPES_KEPT = 6
"""The landscape of a long piece takes up to 36 megabytes."""

COLUMNS, ROWS, PIXEL = 220, 110, 2
REACHES = (1, 4, 16)
"""The image reaches up to the whole piece, or to stretches as long as such a part of it."""

BARS_SEEN = 64
"""Unless something else is asked for, the image reaches up to stretches of about so many bars."""

DRAWINGS_KEPT = 64


@dataclass(frozen=True)
class ScapeFacts:
    """The landscape of a piece.

    Parameters
    ----------
    piece : str
    slices, segments : int
    merged : int
        So many neighbouring slices were made one.
    reach : int
        The longest stretch that the image shows is such a part of the piece; 1 for the whole.
    shading : str
        What the image tells of each segment, in words.
    onsets : list of float
        Share of the piece's time at which each bar begins, and 1 at the end.
    bars : list of str
        Their printed numbers.
    """

    piece: str
    slices: int
    segments: int
    merged: int
    reach: int
    shading: str
    onsets: list[float]
    bars: list[str]


@dataclass(frozen=True)
class PointFacts:
    """The segment at a point of the landscape.

    Parameters
    ----------
    piece : str
    first, last : int
        Indices of its bars.
    bars : list of str
        Their printed numbers.
    set, label : str
        What sounds in it, and its class.
    sentence : str
    middle, length : float
        Where it really lies, in shares of the piece's time.
    """

    piece: str
    first: int
    last: int
    bars: list[str]
    set: str
    label: str
    sentence: str
    middle: float
    length: float


@lru_cache(LANDSCAPES_KEPT)
def landscape_of(score: Score) -> Landscape:
    """The landscape of a piece, taken in once in a run."""
    return landscape(score)


def reach_of(score: Score, asked: int = 0) -> int:
    """How far the image reaches: as asked for, or as suits the length of the piece."""
    return asked or next((one for one in REACHES if len(score.bars) <= BARS_SEEN * one), REACHES[-1])


@lru_cache(DRAWINGS_KEPT)
def drawn(score: Score, family: Family, what: str, reach: int = 1) -> str:
    """The image: the collections of a family, or how like each segment is to a set where one is given.

    Where it does not reach to the whole piece, the image of the whole is drawn higher by as much, and its lowest part
    shown.
    """
    scape = landscape_of(score)
    size = ScapeSize(COLUMNS, ROWS * reach, PIXEL)
    image = (
        draw_likeness(scape, Query.of(what).subject, name=what, size=size)
        if what
        else draw_members(scape, family, size=size)
    )
    return _lowest(image, size, ROWS * PIXEL)


def _lowest(image: str, size: ScapeSize, seen: int) -> str:
    """The lowest part of an image and its legend."""
    hidden = size.rows * size.pixel - seen

    def cut(there: re.Match[str]) -> str:
        wide, high = there[1], int(there[2]) - hidden
        return f'width="{wide}" height="{high}" viewBox="0 {hidden} {wide} {high}"'

    return re.sub(r'width="(\d+)" height="(\d+)" viewBox="[^"]*"', cut, image, count=1)


def scape_facts(score: Score, key: str, family: Family, what: str, reach: int = 0) -> ScapeFacts:
    """What is told of a landscape; raises `InputError` where nothing sounds in the piece."""
    scape = landscape_of(score)
    whole = _whole(scape, score)
    onsets = [round(int(onset) / whole, 6) for onset in score.bars["onset"]]
    shading = f"how like each stretch is to {what}" if what else f"collections of {family.name}"
    labels = [str(label) for label in score.bars["label"]]
    reached = reach_of(score, reach)
    return ScapeFacts(key, scape.slices, len(scape), scape.merged, reached, shading, [*onsets, 1.0], labels)


def _whole(scape: Landscape, score: Score) -> int:
    if not scape.slices or not scape.cuts[-1] or not len(score.bars):
        raise InputError(
            f"Nothing sounds in {score.title or 'the piece'}, so it has no landscape.", value=score.title
        )
    return int(scape.cuts[-1])


def point_facts(score: Score, key: str, middle: float, length: float) -> PointFacts:
    """The segment at a point of the landscape; raises `InputError` where nothing sounds in the piece."""
    scape = landscape_of(score)
    whole = _whole(scape, score)
    found = scape.around(middle * whole, length * whole)
    first, last = score.bar_at(found.onset), score.bar_at(found.end - 1)
    place = round((found.onset + found.end) / 2 / whole, 6), round((found.end - found.onset) / whole, 6)
    return PointFacts(key, first, last, list(found.bars), _text(found), found.label, found.sentence, *place)


def _text(segment: Segment) -> str:
    return as_set(note.text for note in spell_freely(segment.pcset.pcs)) if segment.pcset.mask else ""
