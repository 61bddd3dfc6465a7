"""Figures and tables of a set in a lesson: the engraved scale or chord, its survey, its strips."""

from __future__ import annotations

from collections.abc import Sequence

from sonorarium.lesson.cache import kept_drawing
from sonorarium.lesson.illustrations.blocks import Figure, Made
from sonorarium.lesson.illustrations.examples import sheet_of_columns
from sonorarium.lesson.illustrations.sounds import clip_of
from sonorarium.lesson.markdown import Directive
from sonorarium.pcs.subject import Subject, subject
from sonorarium.pitch.voicing import close_position, usual_voicing, written
from sonorarium.render.engraving import Column, Engraving, engrave_notes, scale
from sonorarium.render.hearing import hear_set
from sonorarium.render.sheet import Sheet
from sonorarium.render.sound import Clip
from sonorarium.study.folder import Study

STAFF_MM = 8.0


def make_scale(directive: Directive, study: Study) -> Made:
    """The scale directive: a set engraved as a row of notes."""
    shown = subject(directive.argument)
    below = directive.choice("below", ("degrees", "names", "none"))
    columns, description = scale_columns(shown, below), _in_words(shown)
    drawing = engraved(columns, description=description)
    clip = _clip(directive, shown, "scale")
    return Made((_figure(drawing, directive, clip, shown.title, sheet_of_columns(columns, shown.title)),))


def make_chord(directive: Directive, study: Study) -> Made:
    """The chord directive: a set engraved as its notes were typed with octaves, else in close position."""
    shown = subject(directive.argument)
    column = Column(written(usual_voicing(shown).pitches, shown.notes))
    clip = _clip(directive, shown, "chord")
    sheet = sheet_of_columns([column], shown.title)
    return Made((_figure(engraved([column]), directive, clip, shown.title, sheet),))


def engraved(
    columns: Sequence[Column],
    *,
    clefs: tuple[str, ...] | None = None,
    description: str = "",
    staff_mm: float = STAFF_MM,
) -> Engraving:
    """Engrave columns of notes, or take the drawing from the cache where it was made before.

    Parameters and errors as for `sonorarium.render.engraving.engrave_notes`.
    """
    recipe = f"notes {tuple(columns)!r} {clefs!r} {description!r} {staff_mm!r}"
    return kept_drawing(
        recipe, lambda: engrave_notes(columns, clefs=clefs, description=description, staff_mm=staff_mm)
    )


def engrave_scale(shown: Subject, *, below: str = "degrees", staff_mm: float = STAFF_MM) -> Engraving:
    """Engrave a set from its first note up to the octave, with degrees, names or nothing under the notes."""
    return engrave_notes(scale_columns(shown, below), staff_mm=staff_mm, description=_in_words(shown))


def scale_columns(shown: Subject, below: str = "degrees") -> tuple[Column, ...]:
    """The notes of a set from its first up to the octave, with degrees, names or nothing under them."""
    pitches = close_position(shown.rising).pitches
    pitches = (*pitches, pitches[0] + 12)
    words = {
        "degrees": (*shown.degrees, "8"),
        "names": tuple(note.sign for note in (*shown.notes, shown.notes[0])),
        "none": ("",) * len(pitches),
    }[below]
    return scale(written(pitches, shown.notes), words)


def _in_words(shown: Subject) -> str:
    return f"{shown.title}: {', '.join(note.sign for note in shown.notes)}"


def _figure(drawing: Engraving, directive: Directive, clip: Clip | None, title: str, sheet: Sheet) -> Figure:
    caption = directive.body or title
    return Figure(drawing.svg, drawing.description, caption, clip=clip, width_mm=drawing.width_mm, example=sheet)


def _clip(directive: Directive, shown: Subject, way: str) -> Clip | None:
    wanted = directive.choice("sound", ("yes", "no")) == "yes"
    return clip_of(hear_set(shown, way)) if wanted else None
