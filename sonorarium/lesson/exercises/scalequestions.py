"""Questions on scales: spell a mode, and which scale is this excerpt built on.

What counts as work:

* **mode**: the signs to be written, a double sharp or flat as three.
* **excerpt**: the different notes; two more in an excerpt from a piece, where several voices have to be read
  together.

An excerpt states every note of its scale and no other; that holds for its grace notes and its cue notes too. A wrong
choice lacks at least one of these notes, so it can be ruled out for certain. Its difference is the share of the notes
that it lacks. The choices are the scale itself and its named neighbours one semitone away, on every root, and the
members of the family of scales without consecutive semitones.

Spelling: where a scale has seven notes, one letter each, the names count; where it has fewer or more, books differ,
and any name of a note is right.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from random import Random

import numpy as np

from sonorarium.lesson.exercises.distractors import NEARNESSES, taken
from sonorarium.lesson.exercises.exercise import Choice, Excerpt, Exercise, Written, closeness_of
from sonorarium.lesson.illustrations.excerpts import source_line
from sonorarium.lesson.roles import signed
from sonorarium.pcs.collection import Collection, simplest_tonic
from sonorarium.pcs.families import default_family
from sonorarium.pcs.kin import neighbours
from sonorarium.pcs.modes import RankedMode, ranked_modes
from sonorarium.pcs.pcset import PcSet, step_pattern
from sonorarium.pcs.scales import ScaleKind, kind_of
from sonorarium.pcs.spelling import Spelled, root_names, spell
from sonorarium.pcs.subject import Subject
from sonorarium.pitch.voicing import close_position, written
from sonorarium.render.notation import Column, scale
from sonorarium.render.performance import Performance, in_order
from sonorarium.score.barnames import bars_in_words
from sonorarium.score.reading import read_score
from sonorarium.score.score import Score

ORDINALS = (
    "first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth", "eleventh", "last",
)  # fmt: skip
MOST_DOUBLES = 2
"""Modes that need more double sharps or flats than this are not asked for."""
LONGEST_EXCERPT = 4
"""Bars of an excerpt from a piece, at most."""
EXCERPTS_OF_ONE_PIECE = 6
"""Excerpts taken from one piece for one scale, at most."""
LOWEST_TUNE = 57
"""A tune stands on its first note at or above A3."""


# --- spell a mode -------------------------------------------------------------------------------------------------


def mode_questions(shown: Subject) -> Iterator[Exercise]:
    """Every mode of the set, from every note."""
    parent = kind_of(PcSet(shown.heights))
    of = f"the {signed(parent.name)} scale" if parent else f"the set {signed(shown.title)}"
    if len(shown.notes) < 3:
        return
    for mode in ranked_modes(shown.pcset):
        degree = min(shown.rising.index(tonic) for tonic in mode.tonics)
        for pc in range(12):
            for tonic in root_names(pc):
                yield from _mode_question(mode, tonic, f"the {ORDINALS[degree]} mode of {of}")


def _mode_question(mode: RankedMode, tonic: Spelled, which: str) -> Iterator[Exercise]:
    notes = spell(tuple((tonic.pc + height) % 12 for height in mode.heights), tonic)
    doubles = sum(abs(note.alter) == 2 for note in notes)
    if doubles > MOST_DOUBLES or any(abs(note.alter) > 2 for note in notes):
        return
    letters = len({note.step for note in notes}) == len(notes) == 7
    name = f", {signed(mode.kind.name)}" if mode.kind and mode.kind.name not in which else ""
    signs = tuple(note.sign for note in notes)
    steps = "-".join(map(str, step_pattern(mode.heights)))
    pitches = close_position(tuple(note.pc for note in notes)).pitches
    yield Exercise(
        "mode",
        f"Write {which}{name}, from {tonic.sign} up.",
        sum((0, 1, 3)[abs(note.alter)] for note in notes),
        0.0,
        f"{' '.join(signs)} (steps {steps}).",
        written=Written(signs, "name" if letters else "pitch class"),
        key_shown=scale(written(pitches, notes)),
    )


# --- which scale is this excerpt built on -------------------------------------------------------------------------


@dataclass(frozen=True)
class Scales:
    """The scales that are asked for, and those that are offered beside them.

    Parameters
    ----------
    shown : Subject
        The set of the drill.
    """

    shown: Subject

    @cached_property
    def asked(self) -> tuple[Collection, ...]:
        """The set and its named neighbours, on every root; nothing where the set has no name."""
        own = kind_of(PcSet(self.shown.heights))
        if own is None:
            return ()
        near = (kind_of(_from(n.notes[0].pc, n.pcset)) for n in neighbours(self.shown, kinds=("move",)) if n.scale)
        kinds: dict[str, ScaleKind] = {}
        for kind in (own, *(kind for kind in near if kind)):
            kinds.setdefault(kind.pcset.label, kind)
        found: dict[int, Collection] = {}
        for kind in kinds.values():
            for pc in (self.shown.rising[0], *range(12)):
                placed = Collection(simplest_tonic(kind, pc), kind)
                found.setdefault(placed.mask, placed)
        return tuple(found.values())

    @cached_property
    def offered(self) -> dict[int, str]:
        """Names of all scales that may be a choice, by their notes."""
        found = {one.mask: one.name for one in self.asked}
        for member in default_family().members:
            found.setdefault(member.mask, member.name)
        return found

    def wrong(self, right: Collection, nearness: str) -> tuple[tuple[PcSet, str], ...]:
        """Three scales that lack a note of the right one, by how many they lack, with their names."""
        lacking = [(mask, name) for mask, name in self.offered.items() if right.mask & ~mask]
        pool = sorted(lacking, key=lambda one: (_notes(right.mask & ~one[0]), _notes(right.mask ^ one[0])))
        return tuple((PcSet.of_mask(mask), name) for mask, name in taken(pool, nearness))


def _notes(mask: int) -> int:
    return mask.bit_count()


def _from(first: int, notes: PcSet) -> PcSet:
    return notes.transposed(-first)


@dataclass(frozen=True)
class _Question:
    """What is asked, before there are choices."""

    prompt: str
    work: int
    shown: tuple[Column, ...] = ()
    excerpt: Excerpt | None = None
    heard: Performance | None = None


def excerpt_questions(shown: Subject, pieces: Sequence[tuple[str, Path]], chance: Random) -> Iterator[Exercise]:
    """Tunes made for the purpose, and excerpts from pieces.

    Parameters
    ----------
    shown : Subject
    pieces : sequence of (str, Path)
        Pieces by their place in the study, and their files.
    chance : Random
        Settles the tunes.
    """
    scales = Scales(shown)
    for right in scales.asked:
        tune = tune_on(right, chance)
        shown_tune = scale(written(tune, right.spelling))
        heard = in_order([[pitch] for pitch in tune], quarters=0.75)
        question = _Question("Which scale is this tune built on?", right.cardinality, shown_tune, heard=heard)
        yield from _asked(question, scales, right)
    for name, path in pieces:
        yield from _from_piece(name, path, scales)


def _asked(question: _Question, scales: Scales, right: Collection) -> Iterator[Exercise]:
    """The question with its choices, for every nearness."""
    notes = " ".join(note.sign for note in right.spelling)
    for nearness in NEARNESSES:
        wrong = scales.wrong(right, nearness)
        lacking = [right.pcset - other for other, _ in wrong]
        yield Exercise(
            "excerpt",
            question.prompt,
            question.work,
            closeness_of([len(missing) / right.cardinality for missing in lacking]),
            f"{signed(right.name)}: {notes}.",
            (
                Choice(signed(right.name), True, f"its notes are {notes}"),
                *(
                    Choice(signed(name), False, f"it has no {_spelled(right, missing)}")
                    for (_, name), missing in zip(wrong, lacking, strict=True)
                ),
            ),
            shown=question.shown,
            excerpt=question.excerpt,
            heard=question.heard,
            key_shown=_ladder(right),
        )


def _spelled(scale_: Collection, notes: PcSet) -> str:
    names = [note.sign for note in scale_.spelling if note.pc in notes]
    return ", ".join(names[:-1]) + (" or " if names[1:] else "") + names[-1]


def _ladder(right: Collection) -> tuple[Column, ...]:
    return scale(written(close_position(right.rising).pitches, right.spelling))


def tune_on(right: Collection, chance: Random) -> tuple[int, ...]:
    """Make a tune that states every note of a scale, begins and ends on its root, and mostly goes by step.

    Parameters
    ----------
    right : Collection
    chance : Random

    Returns
    -------
    tuple of int
        MIDI numbers.

    Examples
    --------
    >>> from sonorarium.pcs.collection import collection
    >>> tune = tune_on(collection("D double harmonic"), Random("a seed"))
    >>> tune[0], tune[-1], sorted({pitch % 12 for pitch in tune}) == sorted(collection("D double harmonic").pcs)
    (62, 62, True)
    """
    size = right.cardinality
    missing = set(range(1, size))
    path = [0]
    while missing:
        here = path[-1]
        near = sorted(_reachable(here, size), key=lambda d: (abs(d - here), d))
        fresh = [d for d in near if d % size in missing and abs(d - here) <= 3]
        onward = fresh or [min(near, key=lambda d: min(abs(d - goal) for goal in missing))]
        path.append(onward[int(chance.random() ** 2 * len(onward))])
        missing.discard(path[-1] % size)
    path += _homeward(path[-1])
    return tuple(_pitch(right, degree) for degree in path)


def _reachable(here: int, size: int) -> list[int]:
    """Degrees within three steps, from the third below the root to the octave above."""
    return [d for d in range(here - 3, here + 4) if d != here and -2 <= d <= size]


def _homeward(here: int) -> list[int]:
    """By steps and thirds back to the root."""
    path = []
    while here:
        here -= min(2, abs(here)) * (1 if here > 0 else -1) if abs(here) != 3 else (1 if here > 0 else -1)
        path.append(here)
    return path


def _pitch(right: Collection, degree: int) -> int:
    octave, at = divmod(degree, right.cardinality)
    base = LOWEST_TUNE + (right.root.pc - LOWEST_TUNE) % 12
    return base + 12 * octave + (right.rising[at] - right.root.pc) % 12


def _from_piece(name: str, path: Path, scales: Scales) -> Iterator[Exercise]:
    """Excerpts of one to four bars that state one of the scales and nothing else."""
    score = read_score(path)
    masks = _bar_masks(score)
    for right in scales.asked:
        for first, last in _stretches(masks, right.mask)[:EXCERPTS_OF_ONE_PIECE]:
            bars = (first, last)
            excerpt = Excerpt(name, path, bars, source_line(score, bars))
            where = f"{signed(score.title) or path.stem}, {bars_in_words(score, *bars)}"
            prompt = f"Which scale is this excerpt built on? {where}."
            question = _Question(prompt, right.cardinality + 2, excerpt=excerpt)
            yield from _asked(question, scales, right)


def _bar_masks(score: Score) -> list[int]:
    """What is heard or written in each bar, marked notes included."""
    notes = score.notes[(score.notes["pitch"] >= 0) & ~score.notes["hidden"]]
    masks = []
    for bar in score.bars:
        end = bar["onset"] + bar["duration"]
        until = np.maximum(notes["onset"] + notes["duration"], notes["onset"] + 1)
        inside = (notes["onset"] < end) & (until > bar["onset"])
        masks.append(sum(1 << pc for pc in set((notes["pitch"][inside] % 12).tolist())))
    return masks


def _stretches(masks: list[int], wanted: int) -> list[tuple[int, int]]:
    """Shortest stretches that begin in a bar and state exactly what is wanted, apart from each other."""
    found: list[tuple[int, int]] = []
    for first in range(len(masks)):
        heard = 0
        for last in range(first, min(first + LONGEST_EXCERPT, len(masks))):
            heard |= masks[last]
            if heard == wanted and (not found or first > found[-1][1]):
                found.append((first, last))
    return found
