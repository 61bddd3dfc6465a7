"""Sections: some bars of a piece as lines of music, certain notes marked, each with its ribbon."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from sonorarium.errors import InputError, SonorariumError
from sonorarium.pcs.family import Family
from sonorarium.score.score import Score
from sonorarium.web.facts.drawings import USUAL_LOOK, passage
from sonorarium.web.piece.piecefinds import LISTED, passages_of
from sonorarium.web.piece.ribbons import HIGH, draw_ribbon_of
from sonorarium.web.piece.scoring import Bars, no_notation, span_facts, spans_of
from sonorarium.web.piece.systems import draw_system, systems_of

MOST_BARS = 16
"""A section has no more bars than this."""

NAMED_ONCE = 2
"""Up to so many parts are named before the first line only; more, in every section."""


@dataclass(frozen=True)
class SectionFacts:
    """Some bars of a piece, as they are shown.

    Parameters
    ----------
    piece : str
    first, last : int
        Indices of the bars.
    systems : list of (int, int)
        First and last bar of each line of music.
    spans : list of int
        Numbers of the spans that lie in these bars.
    marked : int
        How many notes of them are marked.
    why : str
        Why no notes are shown; empty where they are.
    """

    piece: str
    first: int
    last: int
    systems: list[tuple[int, int]]
    spans: list[int]
    marked: int
    why: str


def section(
    score: Score, key: str, bars: Bars, chosen: Bars | None, family: Family, what: str = ""
) -> tuple[SectionFacts, list[str]]:
    """Some bars of a piece and the drawings of its lines of music.

    Parameters
    ----------
    score : Score
    key : str
    bars : (int, int)
    chosen : (int, int) or None
        The bars that are selected in the piece.
    family : Family
        Whose collections the ribbon shows.
    what : str
        A set whose passages are marked; empty for none.

    Raises
    ------
    InputError
        Where these are too many bars, or the set is not understood.
    """
    if bars[1] - bars[0] >= MOST_BARS:
        raise InputError(f"A section has {MOST_BARS} bars at most.", value=f"{bars[0]} to {bars[1]}")
    rows = _marked(score, bars, what) if what else ()
    spans = spans_of(score, family)
    numbers = [n for n, s in enumerate(spans, 1) if s.bar_indices[0] <= bars[1] and s.bar_indices[1] >= bars[0]]
    why = no_notation(score)
    drawn: list[str] = []
    systems: list[Bars] = []
    if not why:
        try:
            drawn, systems = _drawn(score, bars, chosen, family, rows)
        except SonorariumError as error:
            why = str(error)
    return SectionFacts(key, *bars, systems, numbers, len(rows), why), drawn


def _marked(score: Score, bars: Bars, what: str) -> tuple[int, ...]:
    """Rows of the notes of the passages listed that are written in some bars."""
    rows = sorted({row for one in passages_of(score, what)[:LISTED] for row in one.rows})
    where = score.notes["bar"]
    return tuple(row for row in rows if bars[0] <= where[row] <= bars[1])


def _drawn(
    score: Score, bars: Bars, chosen: Bars | None, family: Family, rows: Sequence[int]
) -> tuple[list[str], list[Bars]]:
    look = replace(USUAL_LOOK, part_names=bars[0] == 0 or len(score.parts) > NAMED_ONCE)
    defs, systems = systems_of(passage(score, bars, marked=tuple(rows), look=look))
    spans = spans_of(score, family)
    told, labels = span_facts(spans), [str(label) for label in score.bars["label"]]
    selected = range(chosen[0], chosen[1] + 1) if chosen else range(0)
    drawn: list[str] = []
    for system in systems:
        below, signs = draw_ribbon_of(score, system, spans, told), "" if drawn else defs
        drawn.append(draw_system(system, signs, labels, selected, below=below, below_high=HIGH))
    return drawn, [(min(system.bars), max(system.bars)) for system in systems]
