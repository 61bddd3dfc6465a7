"""The page of a piece: what can be opened, a piece with the spans of its tracing, and its sections.

A piece is shown in sections of `SECTION` bars, so that the first of them is there at once however long the piece is.
Bars are named by their index from 0 in every address; what people read are the numbers printed in the score.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path

from sonorarium.errors import InputError, SonorariumError
from sonorarium.pcs.family import Family
from sonorarium.pcs.spelling import spell_in
from sonorarium.score.analysis.span import Span
from sonorarium.score.analysis.tracing import trace
from sonorarium.score.score import Score
from sonorarium.shelf.snapshot import Snapshot
from sonorarium.web.room import KEY_LENGTH, Room

SECTION = 8
PAGE = 60
TRACINGS_KEPT = 48
MOST_REMARKS = 60
READ_FOR_TITLES = 8
"""So many files are read for a list, each of which takes up to a twentieth of a second."""

NEXT_READINGS = 3

Bars = tuple[int, int]
"""Indices of the first and the last of some bars, both included."""


@dataclass(frozen=True)
class PieceRow:
    """A piece that can be opened; ``of`` says where it is: study or shelf. ``bars`` is 0 where it was not counted."""

    key: str
    title: str
    composer: str
    bars: int
    of: str


@dataclass(frozen=True)
class NextReading:
    """Another reading of a span: its name, and its odds against the first, as a natural logarithm and in words."""

    name: str
    log_odds: float
    odds: str


@dataclass(frozen=True)
class SpanFacts:
    """A span of the tracing.

    Parameters
    ----------
    number : int
        From 1, as it stands in the ribbon.
    first, last : int
        Indices of the bars that it touches.
    bars : list of str
        Their printed numbers.
    verdict, sentence, label : str
    set : str
        The collection, as its sheet is asked for; the set that is heard where none was decided on.
    name : str
        What the ribbon calls it.
    foreign : list of str
        Notes that sound and do not belong to it.
    centre : str
        The likely centre; empty where it is undecided.
    others : list of NextReading
    """

    number: int
    first: int
    last: int
    bars: list[str]
    verdict: str
    sentence: str
    label: str
    set: str
    name: str
    foreign: list[str]
    centre: str
    others: list[NextReading]


@dataclass(frozen=True)
class Selection:
    """Bars that are selected: their indices, and in words."""

    first: int
    last: int
    words: str


@dataclass(frozen=True)
class PieceFacts:
    """A piece.

    Parameters
    ----------
    key, title, composer, date, format : str
    bars : list of str
        Printed number of every bar.
    parts : list of str
    notes : int
        How many sound.
    family : str
        The family that the piece is traced by.
    spans : list of SpanFacts
    selection : Selection or None
    sections : list of (int, int)
        First and last bar of each section; none where it cannot be shown in notes.
    why : str
        Why it cannot be shown in notes; empty where it can.
    remarks : list of str
        What was repaired, guessed or left out when its file was read.
    """

    key: str
    title: str
    composer: str
    date: str
    format: str
    bars: list[str]
    parts: list[str]
    notes: int
    family: str
    spans: list[SpanFacts]
    selection: Selection | None
    sections: list[tuple[int, int]]
    why: str
    remarks: list[str]


@dataclass(frozen=True)
class ScoreFacts:
    """The pieces that can be opened, where none is asked for, or the piece.

    Parameters
    ----------
    pieces : list of PieceRow
        Those of this page.
    found, page, pages : int
        How many pieces the question lets through; which page of the list this is, and of how many.
    piece : PieceFacts or None
    """

    pieces: list[PieceRow]
    found: int
    page: int
    pages: int
    piece: PieceFacts | None


def odds_in_words(log_odds: float) -> str:
    """Odds as they are said.

    >>> odds_in_words(0.0), odds_in_words(-1.1), odds_in_words(-9.3), odds_in_words(1.1)
    ('1 to 1', '1 to 3', '1 to 10,900', '3 to 1')
    """
    ratio = math.exp(min(abs(log_odds), 30.0))
    told = f"{float(f'{ratio:.3g}'):,.0f}" if ratio >= 10 else f"{ratio:.2g}".removesuffix(".0")
    return f"{told} to 1" if log_odds > 0 else f"1 to {told}"


def openable(room: Room, text: str = "") -> list[PieceRow]:
    """Every piece that can be opened and whose title, composer or file has all words of a text; the study's first."""
    on_shelf = room.shelf.ask(_on_shelf) if room.shelf.exists else {}
    rows = _of_study(room, on_shelf)
    own = {row.key for row, _ in rows}
    rest = sorted(
        (pair for pair in on_shelf.values() if pair[0].key not in own),
        key=lambda pair: (pair[0].composer.casefold() or "\uffff", pair[0].title.casefold()),
    )
    words = text.casefold().split()
    return [
        row for row, name in rows + rest if all(w in f"{row.title} {row.composer} {name}".casefold() for w in words)
    ]


def _on_shelf(snapshot: Snapshot) -> dict[str, tuple[PieceRow, str]]:
    found: dict[str, tuple[PieceRow, str]] = {}
    for path, file in snapshot.files.items():
        if file.status != "indexed" or file.content not in snapshot.contents:
            continue
        key, stem, row = file.digest[:KEY_LENGTH], Path(path).stem, snapshot.contents[file.content][1]
        found.setdefault(key, (PieceRow(key, row.title or stem, row.composer, row.bars, "shelf"), stem))
    return found


def _of_study(room: Room, on_shelf: dict[str, tuple[PieceRow, str]]) -> list[tuple[PieceRow, str]]:
    """The pieces of the study; of a few that the shelf does not know, the files are read for their titles."""
    rows, unread = [], 0
    for path in room.study.pieces():
        key = room.scores.key(path)
        row = replace(on_shelf[key][0], of="study") if key in on_shelf else PieceRow(key, path.stem, "", 0, "study")
        unread += key not in on_shelf
        if key not in on_shelf and unread <= READ_FOR_TITLES:
            row = _read(room, path, row)
        rows.append((row, path.stem))
    return rows


def _read(room: Room, path: Path, row: PieceRow) -> PieceRow:
    """What the file itself says; a file that cannot be read keeps its name, and says why when it is opened."""
    try:
        score = room.scores.read(path)
    except SonorariumError:
        return row
    return replace(row, title=score.title or row.title, composer=score.composer, bars=len(score.bars))


@lru_cache(TRACINGS_KEPT)
def spans_of(score: Score, family: Family) -> tuple[Span, ...]:
    """The spans of a piece, traced once in a run; none where nothing sounds in it."""
    return tuple(trace(score, family)) if len(score.sounding) and len(score.bars) else ()


def chosen(score: Score, first: int | None, last: int | None) -> Bars | None:
    """The bars that are asked for; None where none are. Raises `InputError` where the piece has no such bars."""
    if first is None and last is None:
        return None
    begin = last if first is None else first
    end = begin if last is None else last
    assert begin is not None and end is not None  # one of them was given
    if not 0 <= begin <= end < len(score.bars):
        count = len(score.bars)
        raise InputError(
            f"{score.title or 'The piece'} has no bars {begin} to {end}: it has {count}, counted from 0.",
            value=f"{begin} to {end}",
            suggestion=f"Ask for bars 0 to {count - 1}, the earlier first." if count else "",
        )
    return begin, end


def bars_asked(score: Score, first: int, last: int | None) -> Bars:
    """Bars that must be there; raises `InputError` where the piece has no such bars."""
    bars = chosen(score, first, last)
    assert bars is not None  # the first was given
    return bars


def words_of(score: Score, bars: Bars) -> str:
    """Bars in words, by their printed numbers."""
    one, other = (str(score.bars["label"][bar]) for bar in bars)
    return f"bar {one}" if bars[0] == bars[1] else f"bars {one}–{other}"


def sections_of(count: int) -> list[Bars]:
    """The sections of a piece of so many bars.

    >>> sections_of(10)
    [(0, 7), (8, 9)]
    """
    return [(first, min(first + SECTION, count) - 1) for first in range(0, count, SECTION)]


def no_notation(score: Score) -> str:
    """Why a piece cannot be shown in notes; empty where it can.

    Only what was read from MusicXML has its page: what other formats say of it is too little to engrave.
    """
    if score.path is not None and score.format in ("", "MusicXML"):
        return ""
    return f"Notes are engraved from MusicXML; this piece is {score.format}. All the rest of the page is as ever."


def span_facts(spans: tuple[Span, ...]) -> list[SpanFacts]:
    """Spans in plain values."""
    return [_span(number, span) for number, span in enumerate(spans, 1)]


def _span(number: int, span: Span) -> SpanFacts:
    member, nearest = span.collection, span.nearest
    heard = " ".join(map(str, span.heard.pcs))
    others = [
        NextReading(one.name, round(one.log_odds, 2), odds_in_words(one.log_odds))
        for one in span.readings[1 : NEXT_READINGS + 1]
    ]
    return SpanFacts(
        number,
        *span.bar_indices,
        list(span.bars),
        span.verdict,
        span.sentence,
        span.label,
        member.name if member else heard,
        member.name if member else _undecided(span),
        [note.sign for note in spell_in(nearest.spelling, span.foreign.pcs)] if nearest else [],
        span.centre.note.sign if span.centre and span.centre.note else "",
        others,
    )


def _undecided(span: Span) -> str:
    return f"{span.label}, {span.verdict}" if span.heard else span.verdict


def piece_facts(score: Score, key: str, family: Family, bars: Bars | None) -> PieceFacts:
    """What the page of a piece says."""
    why = no_notation(score)
    return PieceFacts(
        key,
        score.title or (score.path.stem if score.path else "Untitled"),
        score.composer,
        score.date,
        score.format or "MusicXML",
        [str(label) for label in score.bars["label"]],
        [part.name for part in score.parts],
        len(score.sounding),
        family.name,
        span_facts(spans_of(score, family)),
        Selection(*bars, words_of(score, bars)) if bars else None,
        [] if why else sections_of(len(score.bars)),
        why,
        [f"Bar {one.bar}: {one.what}" if one.bar else one.what for one in score.remarks[:MOST_REMARKS]],
    )
