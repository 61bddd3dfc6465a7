"""Drawings and sounds of exercises, and empty staves to write on.

A drawing or a sound is made once for the same notes, whatever form of the drill needs it.
"""

from __future__ import annotations

from functools import lru_cache

from sonorarium.lesson.exercises.exercise import Excerpt, Exercise
from sonorarium.lesson.illustrations.excerpts import engraved_bars
from sonorarium.lesson.illustrations.sheets import engraved
from sonorarium.lesson.illustrations.sounds import clip_of
from sonorarium.render.engraving import PassageLook
from sonorarium.render.glyphs import glyph
from sonorarium.render.hearing import hear_bars
from sonorarium.render.notation import Column
from sonorarium.render.performance import Performance
from sonorarium.render.plate import Engraving
from sonorarium.render.sound import Clip
from sonorarium.score.reading import read_score

STAFF_MM = 6.4
"""Height of a staff in questions."""

EXCERPT_WIDTH_MM = 158.0
EXCERPT_STAFF_MM = 6.0
LINE = "#1c1916"

_CLEFS = {"treble": (0xE050, 3), "bass": (0xE062, 1)}
"""Sign of each clef, and the line on which it sits, counted from the top, 0 first."""

_SPACES_BETWEEN = 5
"""Staff spaces between the two staves of a pair."""


@lru_cache(maxsize=512)
def drawing_of(columns: tuple[Column, ...]) -> Engraving:
    """Engrave the notes of a question or a key."""
    return engraved(columns, staff_mm=STAFF_MM)


def question_drawing(exercise: Exercise) -> Engraving | None:
    """The notation that belongs to a question, or None."""
    if exercise.excerpt:
        return excerpt_drawing(exercise.excerpt)
    return drawing_of(exercise.shown) if exercise.shown else None


@lru_cache(maxsize=64)
def excerpt_drawing(excerpt: Excerpt) -> Engraving:
    """Engrave an excerpt from its piece."""
    look = PassageLook(width_mm=EXCERPT_WIDTH_MM, staff_mm=EXCERPT_STAFF_MM, part_names=False)
    return engraved_bars(read_score(excerpt.path), excerpt.bars, look=look)


def question_sound(exercise: Exercise) -> Clip | None:
    """The sound that belongs to a question, or None."""
    if exercise.excerpt:
        return _excerpt_sound(exercise.excerpt)
    return sound_of(exercise.heard) if exercise.heard else None


@lru_cache(maxsize=512)
def sound_of(performance: Performance) -> Clip:
    """A performance in the form that a page carries."""
    return clip_of(performance)


@lru_cache(maxsize=64)
def _excerpt_sound(excerpt: Excerpt) -> Clip:
    return clip_of(hear_bars(read_score(excerpt.path), *excerpt.bars))


def empty_staff(clefs: tuple[str, ...], width_mm: float, *, staff_mm: float = STAFF_MM) -> str:
    """Draw an empty staff, or a pair, to write on.

    Parameters
    ----------
    clefs : tuple of str
        ``treble`` or ``bass`` from the top.
    width_mm : float
    staff_mm : float
        Height of one staff.

    Returns
    -------
    str
        The drawing as SVG.

    Examples
    --------
    >>> empty_staff(("treble",), 100.0).count("<path")
    2
    """
    space = staff_mm / 4
    tops = [(2.5 + place * (4 + _SPACES_BETWEEN)) * space for place in range(len(clefs))]
    height = tops[-1] + 6.5 * space
    drawn = "".join(_staff(clef, top, space, width_mm) for clef, top in zip(clefs, tops, strict=True))
    joint = f'<path d="M0.06 {tops[0]:.2f}V{tops[-1] + staff_mm:.2f}" stroke="{LINE}" stroke-width="0.25"/>'
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width_mm:g} {height:.2f}" width="{width_mm:g}mm" '
        f'height="{height:.2f}mm" role="img" aria-label="empty staff">{drawn}{joint if clefs[1:] else ""}</svg>'
    )


def _staff(clef: str, top: float, space: float, width: float) -> str:
    code, line = _CLEFS[clef]
    sign = glyph(code)
    outline = sign.outline if sign else ""
    scale = space * 4 / 1000
    lines = "".join(f"M0 {top + at * space:.2f}H{width:g}" for at in range(5))
    place = f"translate({space * 0.7:.3f} {top + line * space:.3f}) scale({scale:.6f} {-scale:.6f})"
    return (
        f'<path d="{lines}" stroke="{LINE}" stroke-width="0.18" fill="none"/>'
        f'<path d="{outline}" transform="{place}" fill="{LINE}"/>'
    )
