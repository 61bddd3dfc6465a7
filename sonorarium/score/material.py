"""A score, or some of its parts, made ready to be searched again and again.

Cutting a score into slices and stringing its voices together takes about as long as one search. Who asks several
questions of one piece makes its `Material` once and searches that.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from sonorarium.score.lines import Lines, lines_of
from sonorarium.score.metre import Metre
from sonorarium.score.runs import Succession
from sonorarium.score.score import Score
from sonorarium.score.slices import Slices, slice_score


@dataclass(frozen=True, eq=False)
class Material:
    """Slices, voices and bars of a score, each made when first asked for.

    Parameters
    ----------
    score : Score
    parts : tuple of str or int
        Parts to look at, by printed name or index from 0; empty for all.
    """

    score: Score
    parts: tuple[str | int, ...] = ()

    @cached_property
    def slices(self) -> Slices:
        """The time line, cut at every onset and release; raises `InputError` where the score has no such part."""
        return slice_score(self.score, self.parts)

    @cached_property
    def sliced(self) -> Succession:
        """The slices as a succession."""
        return Succession.of(self.slices.masks, self.slices.onsets, self.slices.ends)

    @cached_property
    def lines(self) -> Lines:
        """The notes of every voice; raises `InputError` where the score has no such part."""
        return lines_of(self.score, self.parts)

    @cached_property
    def metre(self) -> Metre:
        """The bars."""
        return Metre(self.score)
