"""The landscape of a piece on its page: its image, and the segment that lies at a point of it.

A point is named by two shares of the piece's time: where the middle of the segment lies, and how long it is. So an
address means the same at every size of the image.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from sonorarium.errors import InputError
from sonorarium.pcs.family import Family
from sonorarium.pcs.spelling import spell_freely
from sonorarium.render.scape import ScapeSize, draw_likeness, draw_members
from sonorarium.score.analysis.landscape import Landscape, Segment, landscape
from sonorarium.score.score import Score
from sonorarium.score.search.query import Query
from sonorarium.web.stretches import as_set

LANDSCAPES_KEPT = 6
"""The landscape of a long piece takes up to 36 megabytes."""

SIZE = ScapeSize(columns=220, rows=110, pixel=2)
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


@lru_cache(DRAWINGS_KEPT)
def drawn(score: Score, family: Family, what: str) -> str:
    """The image: the collections of a family, or how like each segment is to a set where one is given."""
    scape = landscape_of(score)
    if what:
        return draw_likeness(scape, Query.of(what).subject, size=SIZE)
    return draw_members(scape, family, size=SIZE)


def scape_facts(score: Score, key: str, family: Family, what: str) -> ScapeFacts:
    """What is told of a landscape; raises `InputError` where nothing sounds in the piece."""
    scape = landscape_of(score)
    whole = _whole(scape, score)
    onsets = [round(int(onset) / whole, 6) for onset in score.bars["onset"]]
    shading = f"how like each stretch is to {what}" if what else f"collections of {family.name}"
    labels = [str(label) for label in score.bars["label"]]
    return ScapeFacts(key, scape.slices, len(scape), scape.merged, shading, [*onsets, 1.0], labels)


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
