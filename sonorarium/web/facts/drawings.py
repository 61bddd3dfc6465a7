"""Drawings that more than one page shows: a set on a staff, its strip, bars of a piece with notes marked.

What was drawn once in a run is kept, so that a page that comes again, or is asked for by many at once, is not drawn
again. Nothing here is chosen: sizes and spellings come from the caller, the drawing from `sonorarium.render`.
"""

from __future__ import annotations

from functools import lru_cache

from sonorarium.pcs.setclass import SetClass
from sonorarium.pcs.spelling import Spelled
from sonorarium.pcs.subject import Subject
from sonorarium.pitch.voicing import close_position, written
from sonorarium.render.engraving import Column, Engraving, PassageLook, engrave_notes, engrave_passage, scale
from sonorarium.render.sheet import for_each
from sonorarium.render.strips import Strip, draw_strips
from sonorarium.score.score import Score

DRAWINGS_KEPT = 1024
USUAL_LOOK = PassageLook()


def notes_of(s: Subject, *, degrees: bool = False, staff_mm: float = 13.0) -> Engraving | None:
    """A set as a rising row of notes, the octave closing a scale, with degrees under it where they are asked for.

    None for the empty set, of which there is nothing to draw.
    """
    if not s.notes:
        return None
    pitches = close_position(s.rising).pitches
    below = s.degrees if degrees else ("",) * len(pitches)
    if s.root is not None and len(pitches) > 5:
        pitches, below = (*pitches, pitches[0] + 12), (*below, below[0] and "8")
    return _rising(pitches, s.notes, below, staff_mm)


@lru_cache(DRAWINGS_KEPT)
def _rising(
    pitches: tuple[int, ...], names: tuple[Spelled, ...], below: tuple[str, ...], staff_mm: float
) -> Engraving:
    return engrave_notes(scale(written(pitches, names), list(below)), staff_mm=staff_mm)


@lru_cache(DRAWINGS_KEPT)
def chords(
    row: tuple[tuple[int, ...], ...],
    names: tuple[Spelled, ...] | tuple[tuple[Spelled, ...], ...],
    above: tuple[str, ...] = (),
    staff_mm: float = 9.0,
) -> Engraving:
    """A row of voicings as chords on one or two staves.

    Parameters
    ----------
    row : tuple of tuple of int
        MIDI numbers of each chord.
    names : tuple of Spelled, or one such tuple for each chord
        A name for each pitch class that occurs.
    above : tuple of str
        A word over each chord.
    staff_mm : float
    """
    words = above or ("",) * len(row)
    own = for_each(names, len(row))
    columns = [Column(written(chord, n), above=word) for chord, n, word in zip(row, own, words, strict=True)]
    return engrave_notes(columns, staff_mm=staff_mm)


def strip_of(s: Subject, *, cells: int = 12) -> str:
    """The strip of a set, from its first note upward; a root is marked where it has one."""
    if not s.notes:
        return ""
    words = f"{s.title}: semitones {', '.join(map(str, s.heights))} above {s.notes[0].sign}"
    root = None if s.root is None else 0
    return draw_strips([Strip(s.heights, root=root, description=words)], cells=cells)


@lru_cache(DRAWINGS_KEPT)
def strip_of_class(label: str) -> str:
    """The strip of a class: its best-packed form, from its first note upward.

    >>> strip_of_class("3-11").count("<rect") >= 12
    True
    """
    notes = SetClass(label).representative.pcs
    return draw_strips(
        [Strip(tuple(notes), root=None, description=f"{label}: semitones {', '.join(map(str, notes))}")]
    )


@lru_cache(DRAWINGS_KEPT)
def _passage(
    score: Score, bars: tuple[int, int], marked: tuple[int, ...], parts: tuple[int, ...] | None, look: PassageLook
) -> Engraving:
    return engrave_passage(score, *bars, marked_rows=marked, parts=parts, look=look)


def passage(
    score: Score,
    bars: tuple[int, int],
    *,
    marked: tuple[int, ...] = (),
    parts: tuple[int, ...] | None = None,
    look: PassageLook = USUAL_LOOK,
) -> Engraving:
    """Bars of a piece, certain notes marked; errors as of `sonorarium.render.engraving.engrave_passage`."""
    return _passage(score, bars, tuple(marked), parts, look)
