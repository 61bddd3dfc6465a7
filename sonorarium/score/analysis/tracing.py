"""Tracing: the collections of a family that a piece goes through, and how sure each reading is.

The piece is read as the course of a hidden Markov model. Its hidden states are all members of a family, and none of
these; what is seen is which pitch classes sound, and for how long (`sonorarium.score.analysis.emissions`). A
collection may begin where a note is struck, sooner on a strong place, and sooner where it shares notes with the one
before (`sonorarium.score.analysis.moments`). The most probable course (`sonorarium.score.analysis.markov`) is cut
into stretches, and each of these is thought over as a whole, with a cost for every note that is claimed and never
heard (`sonorarium.score.analysis.segmentation`).

So passing notes and misprints are read through, for a change and a change back cost more than a few foreign notes; a
collection of which only a few notes are heard is not claimed where its neighbour holds them too; and what several
collections hold equally well is called undecided, not given to one of them by chance.

Where it differs from finding a key: no degree of a collection counts for more than another, so nothing is said about
the centre from the collection. The centre is a second question (`sonorarium.score.analysis.centre`).

Sources
-------
Keys as the states of a hidden Markov model: Noland & Sandler, Key estimation using a hidden Markov model (2006);
local scales over time: Weiß & Habryka, Chroma-based scale matching for audio tonality analysis (2014); both from
memory. The model here is our own.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cache, cached_property

import numpy as np
from numpy.typing import NDArray

from sonorarium.errors import InputError
from sonorarium.pcs import tables
from sonorarium.pcs.families import default_family
from sonorarium.pcs.family import Family, FamilyKind, Member
from sonorarium.pcs.pcset import PcSet
from sonorarium.pcs.spelling import NATURAL_PC, Spelled, root_names, spell_in
from sonorarium.score.analysis.centre import centre_of, shares
from sonorarium.score.analysis.markov import best_path, posteriors
from sonorarium.score.analysis.segmentation import Segmentation, heard, segment, totals
from sonorarium.score.analysis.span import Span, SpanReading, Verdict
from sonorarium.score.analysis.strangers import find_strangers
from sonorarium.score.analysis.tracemodel import Evidence, TraceOptions
from sonorarium.score.metre import Metre
from sonorarium.score.score import Score
from sonorarium.score.slices import Slices, slice_score

READINGS_KEPT = 6
"""How many readings of a span are kept."""


def trace(
    score: Score,
    family: Family | None = None,
    *,
    parts: Iterable[str | int] = (),
    options: TraceOptions | None = None,
) -> list[Span]:
    """Trace the collections of a piece.

    Parameters
    ----------
    score : Score
    family : Family, optional
        By default the scales without consecutive semitones.
    parts : iterable of str or int
        Parts to look at, by printed name or index; empty for all.
    options : TraceOptions, optional

    Returns
    -------
    list of Span
        In order; they tile the piece. Empty for a score without any length.

    Raises
    ------
    InputError
        Where the score has no such part, or notes but no bars.

    Examples
    --------
    >>> from sonorarium.score.score import BAR, NOTE
    >>> notes, bars = np.zeros(14, NOTE), np.array([(0, 14, "1", 14, 4, 0)], BAR)
    >>> notes["onset"], notes["duration"], notes["octave"] = np.arange(14), 1, 4
    >>> notes["pitch"] = 60 + np.array([2, 4, 6, 7, 9, 11, 13] * 2)
    >>> notes["step"], notes["alter"] = [1, 2, 3, 4, 5, 6, 0] * 2, [0, 0, 1, 0, 0, 0, 1] * 2
    >>> for span in trace(Score(notes, bars, (), ticks_per_quarter=1)):
    ...     print(span.bars, span.collection, span.label, span.inside)
    ('1', '1') D diatonic 7-35 1.0
    """
    return list(trace_score(score, family, parts=parts, options=options).spans)


def trace_score(
    score: Score,
    family: Family | None = None,
    *,
    parts: Iterable[str | int] = (),
    options: TraceOptions | None = None,
) -> Tracing:
    """Trace the collections of a piece, and keep all that was weighed; see `trace`."""
    slices = slice_score(score, tuple(parts))
    if len(slices) and not len(score.bars):
        raise InputError(
            f"{score.title or 'The score'} has notes but no bars, so its collections cannot be traced.",
            value=score.title,
            suggestion="Give it a table of bars; one bar for the whole piece will do.",
        )
    first = Tracing(Evidence(slices, family or default_family(), options or TraceOptions()))
    strangers = find_strangers(first.segmentation, first.evidence) if len(slices) else ()
    return Tracing(replace(first.evidence, strangers=strangers)) if strangers else first


@dataclass(frozen=True, eq=False)
class Tracing:
    """The reading of a piece by the collections of a family.

    Parameters
    ----------
    evidence : Evidence
        The slices, the family and the options, weighed.
    """

    evidence: Evidence

    @property
    def score(self) -> Score:
        """The piece."""
        return self.evidence.slices.score

    @property
    def family(self) -> Family:
        """The family it is read by."""
        return self.evidence.family

    @property
    def slices(self) -> Slices:
        """Its slices."""
        return self.evidence.slices

    @cached_property
    def posteriors(self) -> NDArray[np.float64]:
        """Probability of each reading in each slice: shape (slices, members + 1), the last for none of these."""
        return self._by_moment[self.evidence.moments.of_slice]

    @cached_property
    def _by_moment(self) -> NDArray[np.float64]:
        return posteriors(self.evidence.by_moment, self.evidence.transitions)

    @cached_property
    def segmentation(self) -> Segmentation:
        """The piece cut into stretches of one reading each."""
        if not len(self.slices):
            return Segmentation(np.zeros(1, np.intp), np.zeros(0, np.intp))
        return segment(best_path(self.evidence.by_moment, self.evidence.transitions), self.evidence)

    @cached_property
    def spans(self) -> tuple[Span, ...]:
        """The stretches, written out."""
        return _Scribe(self).spans() if len(self.segmentation) else ()


class _Scribe:
    """Writes the stretches of a tracing out as spans."""

    def __init__(self, tracing: Tracing) -> None:
        self.evidence, self.found = tracing.evidence, tracing.segmentation
        self.masks = [*tracing.evidence.masks.tolist(), 0xFFF]
        self.members, self.none = tracing.family.members, tracing.evidence.none
        self.totals = totals(self.found, self.evidence)
        self.heard = heard(self.found, self.evidence).tolist()
        slices, starts = tracing.slices, self.found.cuts[:-1]
        self.ticks = slices.cuts[self.found.cuts].tolist()
        sounding = np.add.reduceat(tables.members()[slices.masks] * slices.durations[:, None], starts, axis=0)
        self.share = sounding / np.maximum(1, sounding.sum(axis=1, keepdims=True))
        inside = self.share @ tables.members()[tracing.evidence.masks].T
        self.inside = np.column_stack([inside, np.ones(len(inside))])
        timed = tracing.posteriors * slices.durations[:, None]
        self.posterior = np.add.reduceat(timed, starts, axis=0) / np.diff(self.ticks)[:, None]
        self.fifths = _mean_fifths(slices, np.asarray(self.ticks))
        self.shares = shares(slices, self.found.cuts)
        self.metre = Metre(tracing.score)

    def spans(self) -> tuple[Span, ...]:
        return tuple(self._span(i) for i in range(len(self.found)))

    def _span(self, i: int) -> Span:
        onset, end = self.ticks[i], self.ticks[i + 1]
        first = self.metre.bar_index(onset)
        last = max(first, self.metre.bar_index(end - 1))
        readings = self._readings(i) if self.heard[i] else ()
        mask = self.masks[self._best(i)]
        sounding = self.heard[i]
        return Span(
            onset=onset,
            end=end,
            bar_indices=(first, last),
            bars=(self.metre.bar_label(first), self.metre.bar_label(last)),
            beats=(self.evidence.slices.score.beat_at(onset), self._end_beat(last, end)),
            verdict=self._verdict(readings, sounding),
            heard=PcSet.of_mask(sounding & mask),
            foreign=PcSet.of_mask(sounding & ~mask),
            inside=readings[0].inside if readings else 0.0,
            posterior=self._posterior(i),
            readings=readings,
            centre=centre_of(self.shares, i, self._names(i, readings)),
        )

    def _end_beat(self, bar_index: int, end: int) -> Fraction:
        """Beat of a bar up to which a span lasts."""
        score = self.evidence.slices.score
        bar = score.bars[bar_index]
        return score.beat_at(int(bar["onset"])) + Fraction(
            (end - int(bar["onset"])) * int(bar["beat_type"]), 4 * score.ticks_per_quarter
        )

    def _best(self, i: int) -> int:
        """The reading that the segmentation has settled on, unless another is now better."""
        here, best = int(self.found.readings[i]), int(self.totals[i].argmax())
        return here if self.totals[i, here] >= self.totals[i, best] - 1e-6 else best

    def _posterior(self, i: int) -> float:
        """Probability of the first reading; of all that mean none of these where it is one of them."""
        best = self._best(i)
        told = self.posterior[i, self.none :].sum() if best >= self.none else self.posterior[i, best]
        return min(1.0, float(told))

    def _readings(self, i: int) -> tuple[SpanReading, ...]:
        told, first = self.totals[i], self._best(i)
        ranked = [first, *(r for r in np.argsort(-told, kind="stable").tolist() if r != first)]
        nones = [r for r in ranked if r >= self.none]
        order = [r for r in ranked if r < self.none or r == nones[0]]
        kept = order[:READINGS_KEPT]
        if kept == [first] or all(r >= self.none for r in kept):
            kept += [r for r in order if r < self.none][:1]
        return tuple(self._reading(i, r, min(0.0, float(told[r] - told[first]))) for r in kept)

    def _reading(self, i: int, reading: int, log_odds: float) -> SpanReading:
        inside = min(1.0, round(float(self.inside[i, reading]), 9))
        if reading >= self.none:
            return SpanReading(None, log_odds, inside)
        member = _as_written(self.members[reading], float(self.fifths[i]))
        return SpanReading(member, log_odds, inside, PcSet.of_mask(member.mask & ~self.heard[i]).pcs)

    def _verdict(self, readings: tuple[SpanReading, ...], sounding: int) -> Verdict:
        if not readings:
            return "silent"
        first = readings[0]
        leads = len(readings) < 2 or -readings[1].log_odds >= self.evidence.options.margin
        if leads and first.member is None:
            return "none of these"
        enough = first.member is not None and 2 * len(first.missing) < first.member.cardinality
        return "decided" if leads and enough else "undecided"

    def _names(self, i: int, readings: tuple[SpanReading, ...]) -> tuple[Spelled, ...]:
        """How the twelve pitch classes are called in a span."""
        member = next((r.member for r in readings if r.member), None)
        return _twelve_names(member) if member else ()


@cache
def _twelve_names(member: Member) -> tuple[Spelled, ...]:
    return spell_in(member.spelling, range(12))


def _mean_fifths(slices: Slices, ticks: NDArray[np.int64]) -> NDArray[np.float64]:
    """Mean place of the written names on the line of fifths, by time, in each stretch: shape (stretches,)."""
    notes = slices.score.notes[slices.rows]
    step, alter = notes["step"].astype(np.int64), notes["alter"].astype(np.int64)
    written = np.array([Spelled(letter, 0).fifths for letter in range(7)])[step] + 7 * alter
    moved = notes["pitch"] - (12 * (notes["octave"].astype(np.int64) + 1) + np.array(NATURAL_PC)[step] + alter)
    fifths = written + np.where(moved == 0, 0, (7 * moved + 5) % 12 - 5)
    stretch = np.clip(np.searchsorted(ticks, notes["onset"], side="right") - 1, 0, len(ticks) - 2)
    long = notes["duration"].astype(float)
    total = np.bincount(stretch, long, minlength=len(ticks) - 1)
    return np.asarray(np.bincount(stretch, long * fifths, minlength=len(ticks) - 1) / np.maximum(total, 1e-12))


def _as_written(member: Member, fifths: float) -> Member:
    """The member under that name of its root which stands nearest to the names on the page."""
    named = _enharmonics(member.kind, member.root)
    return min(named, key=lambda m: abs(_middle_fifth(m) - fifths)) if len(named) > 1 else member


@cache
def _enharmonics(kind: FamilyKind, root: Spelled) -> tuple[Member, ...]:
    """The same notes under each plain name of the root, the given one first."""
    names = (root, *(name for name in root_names(root.pc) if name != root))
    return tuple(Member(kind, name) for name in names)


@cache
def _middle_fifth(member: Member) -> float:
    return sum(note.fifths for note in member.spelling) / len(member.spelling)
