"""Finding a set in a score: as a chord, as a line, as a texture.

For a set S (one set, or each form of a class for itself), after the time line is cut into slices
(`sonorarium.score.slices`):

* A **chord** is a slice, or neighbouring slices merged, whose pitch classes are exactly S.
* A **line** is, within one voice of one part, a longest run of consecutive notes whose pitch classes lie in S and
  together make up all of S. Notes struck together in one voice are taken low to high; a rest longer than one bar
  ends the run (`sonorarium.score.search.lines`).
* A **texture** is, over all chosen parts, a longest run of slices whose pitch classes lie in S and together make up
  all of S. Empty slices do not end a run but are trimmed from its ends.

Longest means that it cannot be extended on either side without taking in a foreign pitch class. With a tolerance,
up to that share of the sounding time of a line or texture may be foreign (`sonorarium.score.search.runs` says how
such runs are chosen). The same stretch may be reported once for each kind, and once for each form.

Every passage states its tightest statement, and is ranked by its salience (`sonorarium.score.search.salience`): best
first, of equals the earlier, the shorter, chord before line before texture. Other orders, and what becomes of
repeats, are told in `sonorarium.score.search.listing` and `sonorarium.score.search.repeats`; further options of a
search, where `sonorarium.score.search.query` says.

What one set may be found as is an old question of segmentation; the three kinds are our own answer. Books differ in
whether a chord may leave notes out, or have others besides: here it may not leave any out, and has others only where
that was asked for.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

from sonorarium.errors import InputError
from sonorarium.pcs.pcset import SetFacts
from sonorarium.pcs.setclass import SetClass
from sonorarium.score.score import Score
from sonorarium.score.search.listing import By
from sonorarium.score.search.material import Material
from sonorarium.score.search.nearness import Near, farness
from sonorarium.score.search.occurrences import occurrences
from sonorarium.score.search.passage import Passage
from sonorarium.score.search.query import Kind, Query
from sonorarium.score.search.repeats import Found, Repeats, elsewhere, find_repeats
from sonorarium.score.search.salience import totals

NEAREST = (1, 2)
"""Semitones within which nearest finds are looked for, one after the other."""


@dataclass(frozen=True)
class Best:
    """The best passages of a search, and how many there were.

    Parameters
    ----------
    passages : tuple of Passage
        In the order of the query's listing.
    count : int
        How many there are in all, repeats among them.
    folded : int
        How many of them are repeats that were folded into others.
    bars, notes : int
        How many bars and notes were looked at.
    by : {"salience", "teachability", "place"}
        What decided the order.
    """

    passages: tuple[Passage, ...]
    count: int
    folded: int = 0
    bars: int = 0
    notes: int = 0
    by: By = "salience"


def find(
    score: Score | Material,
    what: str | SetFacts | SetClass | Query,
    *,
    kind: Kind | Iterable[Kind] | None = None,
    parts: Iterable[str | int] | None = None,
    tolerance: Fraction | float | None = None,
) -> list[Passage]:
    """Find a set or a class in a score.

    Parameters
    ----------
    score : Score or Material
    what : str, PcSet, Collection, SetClass or Query
        What is looked for; a text is read as `sonorarium.pcs.reading.read_set` reads it.
    kind : {"chord", "line", "texture"} or several of them, optional
        Kinds of passage; all three by default.
    parts : iterable of str or int, optional
        Parts to look at, by printed name or index from 0; all by default.
    tolerance : Fraction or float, optional
        Largest share of a line's or a texture's sounding time that may be foreign; 0 by default.

    Returns
    -------
    list of Passage
        All there are, best first.

    Raises
    ------
    InputError
        Where the text is not understood, an option has no meaning, or the score has no such part.

    Examples
    --------
    >>> from sonorarium.score.score import BAR, NOTE, Part
    >>> notes, bars = np.zeros(4, NOTE), np.array([(0, 4, "1", 4, 4, 0)], BAR)
    >>> notes["onset"], notes["duration"], notes["pitch"] = (0, 1, 2, 3), 1, (60, 64, 68, 71)
    >>> notes["octave"], notes["step"], notes["alter"] = 4, (0, 2, 4, 6), (0, 0, 1, 0)
    >>> score = Score(notes, bars, (Part("P1", "Flute", voices=("1",)),), ticks_per_quarter=1)
    >>> for p in find(score, "4-19"):
    ...     print(p.kind, p.bars, p.notes, p.label, p.transposition, p.salience.total)
    line ('1', '1') ('C4', 'E4', 'G#4', 'B4') 4-19B T0I 0.7429
    texture ('1', '1') ('C4', 'E4', 'G#4', 'B4') 4-19B T0I 0.7429
    """
    given = {"kind": kind, "parts": parts, "tolerance": tolerance}
    if not isinstance(what, Query):
        query = Query.of(what, kind=kind, parts=parts or (), tolerance=tolerance or 0)
    elif any(option is not None for option in given.values()):
        raise InputError(
            "A query has its own options; others beside it are not read.",
            value=given,
            suggestion="Put them into the query.",
        )
    else:
        query = what
    return list(find_best(score, query).passages)


def find_best(score: Score | Material, query: Query, limit: int | None = None) -> Best:
    """Find the best passages of a score.

    Only those that are handed back are written out, so a limit makes a search for something frequent fast.

    Parameters
    ----------
    score : Score or Material
    query : Query
    limit : int, optional
        At most so many; all by default.

    Returns
    -------
    Best

    Raises
    ------
    InputError
        Where the score has no such part or bars, or the material is of other parts, bars or notes.
    """
    material = material_for(score, query)
    size = material.bar_count, len(material.searched), query.listing.by
    if not len(material.searched):
        return Best((), 0, 0, *size)
    by_kind = [occurrences(kind, material, query) for kind in query.kinds]
    counts = [len(one) for one in by_kind]
    kinds, place = np.repeat(np.arange(len(by_kind)), counts), np.concatenate([np.arange(n) for n in counts])
    found = Found(by_kind, kinds, place)
    order = _order(found, query)
    if not query.listing.fold:
        written = tuple(_written(found, row) for row in order[:limit].tolist())
        return Best(written, len(order), 0, *size)
    repeats = find_repeats(found)
    firsts = list(dict.fromkeys(repeats.group[row] for row in order.tolist()))
    first_row = {repeats.group[row]: row for row in order[::-1].tolist()}
    written = tuple(_with_repeats(found, first_row[group], repeats) for group in firsts[:limit])
    return Best(written, len(order), len(order) - repeats.count, *size)


def find_nearest(score: Score | Material, query: Query, limit: int | None = 5) -> Best:
    """Find what comes nearest to a query that finds nothing: sets one semitone away, or else two.

    Parameters
    ----------
    score : Score or Material
    query : Query
        All its options stay, but for how near a set must be.
    limit : int, optional
        At most so many.

    Returns
    -------
    Best

    Raises
    ------
    InputError
        As `find_best` does.

    Examples
    --------
    >>> from sonorarium.score.score import BAR, NOTE, Part
    >>> notes, bars = np.zeros(3, NOTE), np.array([(0, 4, "1", 4, 4, 0)], BAR)
    >>> notes["duration"], notes["pitch"] = 4, (60, 64, 67)
    >>> score = Score(notes, bars, (Part("P1", "Piano", voices=("1",)),), ticks_per_quarter=1)
    >>> find_nearest(score, Query.of("C Eb G", kind="chord")).passages[0].near.difference
    'E for E♭'
    """
    best = Best((), 0)
    for semitones in NEAREST:
        best = find_best(score, replace(query, near=Near(semitones)), limit)
        if best.count:
            break
    return best


def material_for(score: Score | Material, query: Query) -> Material:
    """The material that a query is to be searched in.

    Parameters
    ----------
    score : Score or Material
    query : Query

    Returns
    -------
    Material
        That which is given, if it is one.

    Raises
    ------
    InputError
        Where the material is of other parts, bars or notes than the query asks for.
    """
    bars = query.limits.bars
    if not isinstance(score, Material):
        return Material(score, query.parts, query.struck, bars)
    if query.parts not in ((), score.parts):
        raise InputError("The material is of other parts than the query asks for.", value=query.parts)
    if query.struck != score.struck or bars not in ("", score.bars):
        raise InputError(
            "The material is of other notes than the query asks for: struck or sounding, or in other bars.",
            value=(query.struck, bars),
            suggestion="Make the material with the same options.",
        )
    return score


def _order(found: Found, query: Query) -> NDArray[np.intp]:
    """Rows of all that was found, in the order of the listing."""
    onset, end, form = (
        np.concatenate(column) for column in zip(*((f.onset, f.end, f.form) for f in found.by_kind), strict=True)
    )
    by_place = (found.place, form, found.kind, end, onset)
    if query.listing.by == "place":
        return np.lexsort(by_place)
    total = totals(np.concatenate([one.measures for one in found.by_kind]))
    far = farness(query.subject, query.near)[form]
    if query.listing.by == "salience":
        return np.lexsort((*by_place, -total, far))
    places = zip(found.kind.tolist(), found.place.tolist(), strict=True)
    hardness = np.array([-found.by_kind[kind].teachability(place).total for kind, place in places], np.float64)
    return np.lexsort((*by_place, -total, hardness, far))


def _written(found: Found, row: int) -> Passage:
    return found.by_kind[int(found.kind[row])].passage(int(found.place[row]))


def _with_repeats(found: Found, row: int, repeats: Repeats) -> Passage:
    """Write a passage out, with the places where it comes again."""
    group = repeats.group[row]
    again = tuple(elsewhere(found, other) for other in repeats.members[group] if other != row)
    moved = sorted((other, semitones) for kin, semitones in repeats.kin[group] for other in repeats.members[kin])
    transposed = sorted((elsewhere(found, *one) for one in moved), key=lambda one: (one.extent.onset, one.semitones))
    return replace(_written(found, row), repeats=again, transposed=tuple(transposed))
