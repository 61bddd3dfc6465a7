"""One exercise: what is asked, what is shown and heard, and the key.

An exercise is answered in one of two ways: by taking one of several `Choice` values, of which exactly one is right,
or by writing notes, which `Written` holds. It says how hard it is by two numbers:

* **work**: how much there is to be done, a whole number that each kind of exercise counts in its own way;
* **closeness**: how near the wrong choices come to the right one, 0 to 10: ten times one less the mean difference of
  the wrong choices, where a difference runs from 0 (the same) to 1. It is 0 where notes are written.

Their sum is the **difficulty**. What is counted is said for each kind in `sonorarium.lesson.exercises.drills`; the
measures are this program's own. They say how much a task holds, not how it feels to a given person.

Everything here is plain data. Drawings and sounds are made from it later
(`sonorarium.lesson.exercises.drillfigures`).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from random import Random
from typing import Literal, TypeVar

from sonorarium.errors import InputError
from sonorarium.render.notation import Column
from sonorarium.render.performance import Performance

Exactness = Literal["name", "pitch class", "pitch"]
"""How notes that are written count: by name (C♯ is not D♭), by pitch class, or by pitch (any name)."""

LETTERS = "abcdef"
Item = TypeVar("Item")


@dataclass(frozen=True)
class Choice:
    """One of several answers to choose from.

    Parameters
    ----------
    text : str
    is_right : bool
    why : str
        What it is in truth, said when the exercise has been answered.
    shown : tuple of Column
        Its notation, where it has one.
    heard : Performance or None
        Its sound, to be compared afterwards.
    """

    text: str
    is_right: bool
    why: str
    shown: tuple[Column, ...] = ()
    heard: Performance | None = None


@dataclass(frozen=True)
class Written:
    """Notes that are to be written.

    Parameters
    ----------
    notes : tuple of str
        In order: ``E♭``, or with octaves ``E♭4``.
    by : {"name", "pitch class", "pitch"}
        How they count.
    """

    notes: tuple[str, ...]
    by: Exactness


@dataclass(frozen=True)
class Excerpt:
    """Some bars of a piece.

    Parameters
    ----------
    piece : str
        The piece by its place in the study.
    path : Path
        Its file.
    bars : (int, int)
        Indices of the first and the last bar.
    source : str
        Composer, title, bars and rights in words.
    """

    piece: str
    path: Path
    bars: tuple[int, int]
    source: str


@dataclass(frozen=True)
class Exercise:
    """One exercise with its key.

    Parameters
    ----------
    kind : str
        A kind of `sonorarium.lesson.exercises.drills`.
    prompt : str
        What is asked.
    work : int
    closeness : float
        See the module.
    key : str
        The answer in a sentence.
    choices : tuple of Choice
        Exactly one of them right; empty where notes are written.
    written : Written or None
        The notes to write; None where there are choices.
    shown : tuple of Column
        Notation that belongs to the question.
    excerpt : Excerpt or None
        Bars of a piece that belong to the question.
    heard : Performance or None
        Sound that belongs to the question.
    key_shown : tuple of Column
        Notation that belongs to the key.

    Raises
    ------
    InputError
        Where there are both choices and notes to write, or neither, or not exactly one choice is right, or two
        choices read alike.
    """

    kind: str
    prompt: str
    work: int
    closeness: float
    key: str
    choices: tuple[Choice, ...] = ()
    written: Written | None = None
    shown: tuple[Column, ...] = ()
    excerpt: Excerpt | None = None
    heard: Performance | None = None
    key_shown: tuple[Column, ...] = ()

    def __post_init__(self) -> None:
        if bool(self.choices) == (self.written is not None):
            raise InputError("An exercise has either choices or notes to write.", value=self.prompt)
        if self.choices and [choice.is_right for choice in self.choices].count(True) != 1:
            raise InputError("Exactly one choice of an exercise is right.", value=self.choices)
        if len({choice.text for choice in self.choices}) < len(self.choices):
            raise InputError("Two choices of an exercise read alike.", value=self.choices)

    @property
    def difficulty(self) -> float:
        """Work and closeness added up, to two places."""
        return round(self.work + self.closeness, 2)

    @property
    def right_letter(self) -> str:
        """Letter of the right choice; "" where notes are written."""
        return next((LETTERS[i] for i, choice in enumerate(self.choices) if choice.is_right), "")

    @property
    def answer(self) -> str:
        """The bare answer: the text of the right choice, or the notes."""
        if self.written:
            return " ".join(self.written.notes)
        return next(choice.text for choice in self.choices if choice.is_right)

    def shuffled(self, chance: Random) -> Exercise:
        """The same with its choices in an order of chance."""
        return replace(self, choices=drawn(self.choices, len(self.choices), chance))


def closeness_of(differences: Sequence[float]) -> float:
    """How near wrong choices come, from their differences of 0 to 1: 10 where all are the same as the right one.

    >>> closeness_of([0.25, 0.75]), closeness_of([])
    (5.0, 0.0)
    """
    if not differences:
        return 0.0
    return round(10 * (1 - sum(differences) / len(differences)), 2)


def drawn(items: Sequence[Item], count: int, chance: Random) -> tuple[Item, ...]:
    """Draw some items, or as many as there are, in an order of chance.

    Only `Random.random` is asked, the one method whose answers are promised to stay the same from version to version
    of the language.

    >>> drawn("abcd", 4, Random("a seed")) == drawn("abcd", 4, Random("a seed"))
    True
    """
    left = list(items)
    taken: list[Item] = []
    while left and len(taken) < count:
        taken.append(left.pop(int(chance.random() * len(left))))
    return tuple(taken)
