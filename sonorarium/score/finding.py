"""Finding a set in a score: as a chord, as a line, as a texture.

For a set S (one set, or each form of a class for itself), after the time line is cut into slices
(`sonorarium.score.slices`):

* A **chord** is a slice, or neighbouring slices merged, whose pitch classes are exactly S.
* A **line** is, within one voice of one part, a longest run of consecutive notes whose pitch classes lie in S and
  together make up all of S. Notes struck together in one voice are taken low to high; a rest longer than one bar
  ends the run (`sonorarium.score.lines`).
* A **texture** is, over all chosen parts, a longest run of slices whose pitch classes lie in S and together make up
  all of S. Empty slices do not end a run but are trimmed from its ends.

Longest means that it cannot be extended on either side without taking in a foreign pitch class. With a tolerance,
up to that share of the sounding time of a line or texture may be foreign (`sonorarium.score.runs` says how such
runs are chosen). The same stretch may be reported once for each kind, and once for each form.

Every passage states its tightest statement, and is ranked by its salience (`sonorarium.score.salience`): best
first, of equals the earlier, the shorter, chord before line before texture.

What one set may be found as is an old question of segmentation; the three kinds are our own answer. Books differ in
whether a chord may leave notes out, or have others besides: here it may not.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from sonorarium.errors import InputError
from sonorarium.pcs.pcset import SetFacts
from sonorarium.pcs.setclass import SetClass
from sonorarium.score.material import Material
from sonorarium.score.occurrences import occurrences
from sonorarium.score.passage import Passage
from sonorarium.score.query import Kind, Query
from sonorarium.score.salience import totals
from sonorarium.score.score import Score
from sonorarium.score.slices import rows_of_parts


@dataclass(frozen=True)
class Best:
    """The best passages of a search, and how many there were.

    Parameters
    ----------
    passages : tuple of Passage
        Best first.
    count : int
        How many there are in all.
    """

    passages: tuple[Passage, ...]
    count: int


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
        Where the score has no such part, or the query names other parts than the material is made of.
    """
    material = score if isinstance(score, Material) else Material(score, query.parts)
    if query.parts not in ((), material.parts):
        raise InputError("The material is of other parts than the query asks for.", value=query.parts)
    if not len(rows_of_parts(material.score, material.parts)):
        return Best((), 0)
    found = [occurrences(kind, material, query) for kind in query.kinds]
    counts = [len(one) for one in found]
    kinds, place = np.repeat(np.arange(len(found)), counts), np.concatenate([np.arange(n) for n in counts])
    onset, end, form = (
        np.concatenate(column) for column in zip(*((f.onset, f.end, f.form) for f in found), strict=True)
    )
    total = totals(np.concatenate([one.measures for one in found]))
    best = np.lexsort((place, form, kinds, end, onset, -total))[:limit]
    written = [found[k].passage(i) for k, i in zip(kinds[best].tolist(), place[best].tolist(), strict=True)]
    return Best(tuple(written), len(total))
