"""Drills: seeded, graded exercises with their keys, from the same computations that everything else rests on.

A drill is asked for by a set, by kinds of exercise, by how many, by a level and by a seed. The same request gives the
same drill, and the same bytes of every form of it.

Difficulty
----------
Each exercise has a difficulty, a number that `sonorarium.lesson.exercises.exercise` defines and each kind below
spells out. All exercises of a kind that a set yields are put in order by it, and the order is cut into five parts of
equal length: level 1 is the first fifth, level 5 the last. So no exercise of a level is easier than any of the level
below, whatever the set; and within a drill each kind begins with its easiest. What a fifth means in numbers depends
on the set, and is printed with the key.

Sources: graded tasks with keys and one added variable at a time are common practice of written and aural theory.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from random import Random

from sonorarium.errors import InputError, NothingFoundError
from sonorarium.lesson.exercises import chordquestions, scalequestions, setquestions
from sonorarium.lesson.exercises.exercise import LETTERS, Excerpt, Exercise, drawn
from sonorarium.lesson.roles import signed
from sonorarium.pcs.subject import Subject, subject
from sonorarium.render.engraving import describe
from sonorarium.render.performance import Performance

SCHEMA = 1
"""Version of the plain data."""

LEVELS = 5
"""The easiest level is 1."""

SIZES = range(3, 10)
"""How many notes the set of a drill may have."""

MOST = 120
"""Exercises of one drill, at most."""

Pieces = Sequence[tuple[str, Path]]
"""Pieces by their place in the study, and their files."""


@dataclass(frozen=True)
class Kind:
    """One kind of exercise.

    Parameters
    ----------
    name : str
    title : str
        Heading over its exercises.
    instruction : str
        What to do, and what counts.
    work : str
        What is counted as work.
    closeness : str
        What the difference of a wrong choice is; "" where notes are written.
    make : callable
        From a set, pieces and chance to every exercise of the kind.
    """

    name: str
    title: str
    instruction: str
    work: str
    closeness: str
    make: Callable[[Subject, Pieces, Random], Iterator[Exercise]]


def _of_set(
    make: Callable[[Subject], Iterator[Exercise]],
) -> Callable[[Subject, Pieces, Random], Iterator[Exercise]]:
    """A maker that needs neither pieces nor chance."""
    return lambda shown, pieces, chance: make(shown)


_ASIM = "Morris's ASIM of its class and the right one: 0 for the same interval classes, 1 where none is shared"

KINDS: Mapping[str, Kind] = {
    kind.name: kind
    for kind in (
        Kind(
            "mode",
            "Spell a mode",
            "Write the notes from the first up to the seventh or last, without the octave. Where the scale has seven "
            "notes, give each its own letter.",
            "the signs to be written, a double sharp or flat as three",
            "",
            _of_set(scalequestions.mode_questions),
        ),
        Kind(
            "class",
            "Name a class",
            "Find the class of the notes, under transposition and inversion. Prime forms are Rahn's.",
            "the notes; one more where they do not begin like normal order, one more where the prime form is their "
            "mirror",
            _ASIM,
            _of_set(setquestions.class_questions),
        ),
        Kind(
            "partner",
            "Find the partner",
            "Two classes that neither transposition nor inversion joins can have the same intervals. Find the other.",
            "the notes of the class",
            _ASIM,
            _of_set(setquestions.partner_questions),
        ),
        Kind(
            "complement",
            "Find the complement",
            "Find the class of the notes of the twelve that are missing. Prime forms are Rahn's.",
            "the missing notes",
            _ASIM,
            _of_set(setquestions.complement_questions),
        ),
        Kind(
            "subset",
            "Pick what belongs",
            "One of the choices lies inside the scale. Of notes, all must be notes of the scale, as they stand; of a "
            "class, some form must lie in it.",
            "the notes of a choice; four more where the choices are classes",
            f"between chords, the share of its notes that is foreign to the scale; between classes, {_ASIM}",
            _of_set(setquestions.subset_questions),
        ),
        Kind(
            "excerpt",
            "Which scale is it built on?",
            "The excerpt has all the notes of one scale and no other. Every wrong choice lacks at least one of them.",
            "the different notes; two more in an excerpt from a piece",
            "the share of the notes heard that the scale lacks",
            scalequestions.excerpt_questions,
        ),
        Kind(
            "chord",
            "Which chord do you hear?",
            "Listen before you look. The chord may stand in another position than the one written.",
            "the notes; one more with another note in the bass than written, two more where it is open besides; two "
            "more where the notes are not played one by one first",
            "the least voice leading from the right chord in semitones, divided by six, 1 at most",
            _of_set(chordquestions.chord_questions),
        ),
        Kind(
            "voicing",
            "Write the voicing",
            "Write the notes from the lowest to the highest, with their octaves: middle C is C4. Close position has "
            "all notes within an octave; drop 2 puts the second voice from the top an octave down, drop 3 the third, "
            "drop 2+4 the second and the fourth.",
            "the notes; 2 more for drop 2, 3 for drop 3, 4 for drop 2+4",
            "",
            _of_set(chordquestions.voicing_questions),
        ),
        Kind(
            "leading",
            "Lead the voices",
            "Each voice goes to one note of the second chord, each note is reached once, and the semitones that all "
            "voices move are as few as they can be. Write the second chord from the lowest note to the highest, with "
            "octaves.",
            "the voices, and the semitones that they move in all",
            "",
            lambda shown, pieces, chance: chordquestions.leading_questions(shown, chance),
        ),
    )
}
"""Every kind of exercise, by name."""


@dataclass(frozen=True)
class Request:
    """What is asked of a drill.

    Parameters
    ----------
    kinds : tuple of str
        Names of `KINDS`, in the order in which they shall come.
    count : int
        How many exercises in all, shared out evenly, 1 to 120.
    level : int
        1 to 5.
    seed : int
        Any whole number; it settles every choice of chance.

    Raises
    ------
    InputError
        Where there is no such kind or level, or the number is out of range.

    Examples
    --------
    >>> Request(("mode", "class"), count=4, level=2, seed=7)
    Request(kinds=('mode', 'class'), count=4, level=2, seed=7)
    """

    kinds: tuple[str, ...] = tuple(KINDS)
    count: int = 2 * len(KINDS)
    level: int = 2
    seed: int = 1

    def __post_init__(self) -> None:
        for kind in self.kinds:
            if kind not in KINDS:
                known = f"There are: {', '.join(KINDS)}."
                raise InputError(f"There is no kind of exercise {kind!r}.", value=kind, suggestion=known)
        if not self.kinds or len(set(self.kinds)) < len(self.kinds):
            raise InputError("Kinds of exercise are named once each, at least one.", value=self.kinds)
        if not 1 <= self.level <= LEVELS:
            raise InputError(f"There is no level {self.level}.", value=self.level, suggestion="Use 1 to 5.")
        if not 1 <= self.count <= MOST:
            raise InputError(
                f"{self.count} exercises cannot be made.", value=self.count, suggestion=f"Ask for 1 to {MOST}."
            )


@dataclass(frozen=True)
class Section:
    """The exercises of one kind.

    Parameters
    ----------
    kind : str
    first : int
        Number of the first exercise in the drill.
    exercises : tuple of Exercise
        The easiest first.
    """

    kind: str
    first: int
    exercises: tuple[Exercise, ...]

    @property
    def numbered(self) -> tuple[tuple[int, Exercise], ...]:
        """Each exercise with its number in the drill."""
        return tuple(enumerate(self.exercises, self.first))


@dataclass(frozen=True)
class Drill:
    """Exercises on a set, with their keys.

    Parameters
    ----------
    title : str
        The set, as it is headed.
    request : Request
    sections : tuple of Section
    remarks : tuple of str
        What could not be had, in sentences.
    """

    title: str
    request: Request
    sections: tuple[Section, ...]
    remarks: tuple[str, ...] = field(default=())

    @property
    def exercises(self) -> tuple[tuple[int, Exercise], ...]:
        """Every exercise with its number."""
        return tuple(pair for section in self.sections for pair in section.numbered)


def make_drill(what: str | Subject, request: Request, pieces: Pieces = ()) -> Drill:
    """Make a drill.

    Parameters
    ----------
    what : str or Subject
        A set of 3 to 9 notes, as it may be typed anywhere.
    request : Request
    pieces : sequence of (str, Path)
        Pieces from which excerpts may come, by their place in the study.

    Raises
    ------
    InputError
        Where the text is not understood, or the set is too small or too large.
    NothingFoundError
        Where the set yields none of the exercises asked for.

    Examples
    --------
    >>> drill = make_drill("D double harmonic", Request(("mode",), count=1, level=1, seed=3))
    >>> for number, exercise in drill.exercises:
    ...     print(number, exercise.prompt, exercise.key, sep=chr(10))
    1
    Write the sixth mode of the double harmonic scale, major ♯2 ♯5, from A♭ up.
    A♭ B C D♭ E F G (steps 3-1-1-3-1-2-1).
    """
    shown = what if isinstance(what, Subject) else subject(what)
    if len(shown.notes) not in SIZES:
        raise InputError(
            f"{signed(shown.title)} has {len(shown.notes)} notes; a drill takes a set of {SIZES[0]} to {SIZES[-1]}.",
            value=shown.title,
        )
    sections, remarks, first = [], [], 1
    for kind, wanted in zip(request.kinds, shares(request.count, len(request.kinds)), strict=True):
        exercises = _graded(KINDS[kind], shown, request, pieces, wanted)
        if len(exercises) < wanted:
            found = f"only {len(exercises)}" if exercises else "no"
            remarks.append(
                f"{signed(shown.title)} yields {found} different exercises of the kind {kind!r} at level "
                f"{request.level}; {wanted} were asked for"
            )
        if exercises:
            sections.append(Section(kind, first, exercises))
            first += len(exercises)
    if not sections:
        raise NothingFoundError(
            f"{signed(shown.title)} yields no exercise of the kinds asked for.",
            value=request.kinds,
            suggestion="Ask for other kinds, or take a larger set.",
        )
    return Drill(signed(shown.title), request, tuple(sections), tuple(remarks))


def shares(count: int, among: int) -> tuple[int, ...]:
    """Share a number out evenly, the first getting one more where it does not go up.

    >>> shares(7, 3)
    (3, 2, 2)
    """
    return tuple(count // among + (place < count % among) for place in range(among))


def of_level(bank: Sequence[Exercise], level: int) -> tuple[Exercise, ...]:
    """The fifth of all exercises that makes a level, the easiest first."""
    ranked = sorted(bank, key=lambda exercise: exercise.difficulty)
    return tuple(ranked[len(ranked) * (level - 1) // LEVELS : len(ranked) * level // LEVELS])


def _graded(kind: Kind, shown: Subject, request: Request, pieces: Pieces, wanted: int) -> tuple[Exercise, ...]:
    """Exercises of one kind at the level asked for, different from each other, the easiest first."""
    chance = Random(f"{request.seed} {kind.name}")
    bank = of_level(list(kind.make(shown, pieces, chance)), request.level)
    different: dict[str, Exercise] = {}
    for exercise in drawn(bank, len(bank), chance):
        different.setdefault(exercise.answer, exercise)
        if len(different) == wanted:
            break
    chosen = [exercise.shuffled(chance) for exercise in list(different.values())[:wanted]]
    return tuple(sorted(chosen, key=lambda exercise: exercise.difficulty))


# --- plain data ---------------------------------------------------------------------------------------------------


def as_data(drill: Drill) -> dict[str, object]:
    """A drill as plain values for JSON, with keys that stay the same."""
    return {
        "kind": "drill",
        "schema": SCHEMA,
        "subject": drill.title,
        "kinds": list(drill.request.kinds),
        "level": drill.request.level,
        "seed": drill.request.seed,
        "remarks": list(drill.remarks),
        "exercises": [{"number": number, **_plain(exercise)} for number, exercise in drill.exercises],
    }


def _plain(exercise: Exercise) -> dict[str, object]:
    written = exercise.written
    return {
        "kind": exercise.kind,
        "prompt": exercise.prompt,
        "difficulty": {
            "work": exercise.work,
            "closeness": exercise.closeness,
            "total": exercise.difficulty,
        },
        "notes": describe(exercise.shown) if exercise.shown else None,
        "excerpt": _plain_excerpt(exercise.excerpt) if exercise.excerpt else None,
        "heard": _plain_sound(exercise.heard) if exercise.heard else None,
        "choices": [
            {"letter": LETTERS[at], "text": choice.text, "right": choice.is_right, "why": choice.why}
            for at, choice in enumerate(exercise.choices)
        ],
        "write": {"notes": list(written.notes), "count_by": written.by} if written else None,
        "answer": {"letter": exercise.right_letter or None, "text": exercise.answer, "key": exercise.key},
    }


def _plain_excerpt(excerpt: Excerpt) -> dict[str, object]:
    return {"piece": excerpt.piece, "bar_indices": list(excerpt.bars), "source": excerpt.source}


def _plain_sound(heard: Performance) -> list[list[int]]:
    """Pitches in the order in which they are struck, those struck together in one list."""
    at: dict[int, list[int]] = {}
    for tone in sorted(heard.tones):
        at.setdefault(tone.onset_ticks, []).append(tone.pitch)
    return list(at.values())
