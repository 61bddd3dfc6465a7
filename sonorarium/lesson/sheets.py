"""Figures and tables of a set in a lesson: the engraved scale or chord, its survey, its strips."""

from __future__ import annotations

from sonorarium.lesson.blocks import Figure, Made
from sonorarium.lesson.markdown import Directive
from sonorarium.lesson.sounds import clip_of
from sonorarium.pcs.subject import Subject, subject
from sonorarium.pitch.voicing import close_position, usual_voicing, written
from sonorarium.render.engraving import Column, Engraving, engrave_notes, scale
from sonorarium.render.hearing import hear_set
from sonorarium.render.sound import Clip
from sonorarium.study.folder import Study

STAFF_MM = 8.0


def make_scale(directive: Directive, study: Study) -> Made:
    """The scale directive: a set engraved as a row of notes."""
    shown = subject(directive.argument)
    below = directive.choice("below", ("degrees", "names", "none"))
    drawing = engrave_scale(shown, below=below)
    return Made((_figure(drawing, directive, _clip(directive, shown, "scale"), shown.title),))


def make_chord(directive: Directive, study: Study) -> Made:
    """The chord directive: a set engraved as its notes were typed with octaves, else in close position."""
    shown = subject(directive.argument)
    column = Column(written(usual_voicing(shown).pitches, shown.notes))
    drawing = engrave_notes([column], staff_mm=STAFF_MM)
    return Made((_figure(drawing, directive, _clip(directive, shown, "chord"), shown.title),))


def engrave_scale(shown: Subject, *, below: str = "degrees", staff_mm: float = STAFF_MM) -> Engraving:
    """Engrave a set from its first note up to the octave, with degrees, names or nothing under the notes."""
    pitches = close_position(shown.rising).pitches
    pitches = (*pitches, pitches[0] + 12)
    words = {
        "degrees": (*shown.degrees, "8"),
        "names": tuple(note.sign for note in (*shown.notes, shown.notes[0])),
        "none": ("",) * len(pitches),
    }[below]
    return engrave_notes(
        scale(written(pitches, shown.notes), words),
        staff_mm=staff_mm,
        description=f"{shown.title}: {', '.join(note.sign for note in shown.notes)}",
    )


def _figure(drawing: Engraving, directive: Directive, clip: Clip | None, title: str) -> Figure:
    return Figure(drawing.svg, drawing.description, directive.body or title, clip=clip, width_mm=drawing.width_mm)


def _clip(directive: Directive, shown: Subject, way: str) -> Clip | None:
    wanted = directive.choice("sound", ("yes", "no")) == "yes"
    return clip_of(hear_set(shown, way)) if wanted else None
