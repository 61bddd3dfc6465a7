"""The page on drills: every kind, what its difficulty means, and examples, from the declarations and the makers."""

from __future__ import annotations

from sonorarium.lesson.exercises.drillfolder import FORMS
from sonorarium.lesson.exercises.drills import KINDS, LEVELS, Kind, Request, make_drill
from sonorarium.lesson.exercises.exercise import LETTERS, Exercise

EXAMPLE = "D double harmonic"
"""The set of the examples."""

SHOWN_LEVELS = (1, 3, 5)

_OPENING = """# Drills

Made from the kinds' own declarations; the examples are computed, seed 1, on D double harmonic.

    sonorarium drill "D double harmonic" --kinds mode,chord --count 8 --level 3 --seed 5 --out drill

writes `drill.pdf` (the sheet), `drill-key.pdf` (the sheet with its key, same numbers), `drill.html` (one page that
opens from disk, sounds, and checks answers in the page) and `drill.json` (plain data). With `--study FOLDER` excerpts
come from the pieces of a study too. The same request gives the same bytes. A lesson holds a drill as the directive
`drill` ([lessons](lessons.md)).

What a person answers in the page is counted there and is gone when the page is closed; nothing is stored or sent.

## Difficulty

Each exercise has a number for how hard it is: **work** plus **closeness**.

- Work is a whole number that each kind counts in its own way; it is said below.
- Closeness is how near the wrong choices come to the right one: ten times one less the mean of their differences,
  where a difference runs from 0 (the same) to 1. It is 0 where notes are written. Each kind says what its difference
  is.

All exercises of a kind that a set yields are put in order by this number and cut into five parts of equal length, the
levels 1 to 5. So no exercise of a level is easier, by this number, than one of the level below. The numbers of
different kinds are not to be compared. They say how much a task holds, not how hard a person finds it.

Wrong choices are taken by likeness: the nearest, the middling or the farthest of all that are wrong. Of chords to be
heard, the partner in interval content and the neighbours one semitone away are the nearest. A wrong choice is never a
right answer after all; the tests find every answer a second way.

## Kinds
"""


def manual() -> str:
    """Write the page as Markdown."""
    return "\n".join([_OPENING, *(_page(kind) for kind in KINDS.values()), _data()])


def _page(kind: Kind) -> str:
    lines = [f"### `{kind.name}`: {kind.title}", "", kind.instruction, "", f"Work: {kind.work}."]
    if kind.closeness:
        lines += [f"Difference of a wrong choice: {kind.closeness}."]
    lines += [""]
    for level in SHOWN_LEVELS:
        drill = make_drill(EXAMPLE, Request((kind.name,), count=1, level=level))
        lines += [f"- Level {level}. {_example(exercise)}" for _, exercise in drill.exercises]
    return "\n".join([*lines, ""])


def _example(exercise: Exercise) -> str:
    choices = "; ".join(f"{LETTERS[at]}) {choice.text}" for at, choice in enumerate(exercise.choices))
    letter = f"{exercise.right_letter}: " if exercise.choices else ""
    asked = f"{exercise.prompt} {choices}".strip()
    return f"{asked} *Key: {letter}{exercise.key}* (difficulty {exercise.difficulty:g})"


def _data() -> str:
    return "\n".join(
        [
            "## Plain data",
            "",
            f"`drill.json` holds `subject`, `kinds`, `level` (1 to {LEVELS}), `seed`, `remarks` and `exercises`. An",
            "exercise has its `number`, `kind`, `prompt`, `difficulty` (`work`, `closeness`, `total`), `notes` (the",
            "notation of the question in words), `excerpt` (piece, bars, source), `heard` (MIDI numbers, those",
            "struck together in one list), `choices` (letter, text, whether right, why), `write` (the notes to",
            "write, and whether they count by `name`, `pitch class` or `pitch`) and `answer` (letter, text, key).",
            f"Forms that can be asked for with `--form`: {', '.join(FORMS)}.",
            "",
        ]
    )
