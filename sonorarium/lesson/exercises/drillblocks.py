"""A drill inside a lesson: its exercises as numbered figures, and the key as a table in the same numbers.

In a lesson the exercises stand still: they are heard and read, not checked. `sonorarium drill` makes the page that
checks answers. The lesson's own pieces are where excerpts come from.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from sonorarium.errors import InputError
from sonorarium.lesson.exercises.drillfigures import question_drawing, question_sound
from sonorarium.lesson.exercises.drills import KINDS, LEVELS, MOST, Drill, Pieces, Request, Section, make_drill
from sonorarium.lesson.exercises.exercise import LETTERS, Exercise
from sonorarium.lesson.illustrations.blocks import Block, Cell, Figure, Made, Table
from sonorarium.lesson.markdown import Directive
from sonorarium.study.folder import Study

LARGEST_SEED = 10**9


def make_drill_blocks(directive: Directive, study: Study) -> Made:
    """The drill directive: seeded exercises on a set, with their key unless that is left out."""
    kinds = directive.words("kinds", ", ".join(KINDS))
    unknown = [kind for kind in kinds if kind not in KINDS]
    if unknown:
        raise InputError(
            f"the drill has no kind {unknown[0]!r}.", value=unknown[0], suggestion=f"There are: {', '.join(KINDS)}."
        )
    request = Request(
        kinds,
        count=directive.number("count", len(kinds), least=1, most=MOST),
        level=directive.number("level", 2, least=1, most=LEVELS),
        seed=directive.number("seed", 1, least=0, most=LARGEST_SEED),
    )
    drill = make_drill(directive.argument, request, pieces_of(study))
    has_key = directive.choice("key", ("yes", "no")) == "yes"
    return Made((*_questions(drill), *([key_table(drill)] if has_key else [])), drill.remarks)


def pieces_of(study: Study) -> Pieces:
    """The pieces of a study by their places in it, with their files."""
    return [(str(path.relative_to(study.folder).as_posix()), Path(path)) for path in study.pieces()]


def _questions(drill: Drill) -> Iterator[Block]:
    for section in drill.sections:
        yield from _section(section)


def _section(section: Section) -> Iterator[Block]:
    for number, exercise in section.numbered:
        drawn = question_drawing(exercise)
        yield Figure(
            drawn.svg if drawn else "",
            drawn.description if drawn else f"Exercise {number}",
            _choices(exercise),
            exercise.excerpt.source if exercise.excerpt else "",
            question_sound(exercise),
            drawn.width_mm if drawn else 160.0,
            above=f"{number}. {exercise.prompt}",
        )


def _choices(exercise: Exercise) -> str:
    return "; ".join(f"{LETTERS[at]}) {choice.text}" for at, choice in enumerate(exercise.choices))


def key_table(drill: Drill) -> Table:
    """The key of a drill: number, letter where there are choices, and the answer."""
    rows = tuple(
        (
            Cell(str(number)),
            Cell(exercise.right_letter, strong=True),
            Cell(f"{exercise.difficulty:g}"),
            Cell(exercise.key),
        )
        for number, exercise in drill.exercises
    )
    return Table(f"Key to the drill on {drill.title}", ("exercise", "choice", "difficulty", "answer"), rows)
