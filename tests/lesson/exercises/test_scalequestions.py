"""Questions on scales: modes against published spellings and by steps, excerpts by what is really written in them."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path
from random import Random

import pytest
from music21 import converter

from sonorarium.lesson.exercises.exercise import Exercise
from sonorarium.lesson.exercises.scalequestions import Scales, excerpt_questions, mode_questions, tune_on
from sonorarium.pcs.collection import collection
from sonorarium.pcs.subject import subject
from tests.lesson.exercises.secondway import heights, pcs

DEMO = Path(__file__).parents[3] / "demo"
PIECES = [(f"pieces/{path.name}", path) for path in sorted((DEMO / "pieces").glob("*.musicxml"))]
SCALE = "D double harmonic"


def test_modes_of_the_major_scale_are_spelled_as_in_any_primer() -> None:
    asked = {exercise.prompt: exercise.answer for exercise in mode_questions(subject("C major"))}
    assert asked["Write the second mode of the major scale, dorian, from D up."] == "D E F G A B C"
    assert asked["Write the fourth mode of the major scale, lydian, from E♭ up."] == "E♭ F G A B♭ C D"
    assert asked["Write the seventh mode of the major scale, locrian, from F♯ up."] == "F♯ G A B C D E"


@pytest.mark.parametrize("name", [SCALE, "C major", "C major pentatonic", "C whole tone"])
def test_a_mode_has_the_steps_of_its_place(name: str) -> None:
    """The steps are those of the set turned to the mode's place; the tonic and the signs are as asked and counted."""
    rising = list(subject(name).rising)
    steps = [(b - a) % 12 for a, b in zip(rising, rising[1:] + rising[:1], strict=True)]
    places = ["first", "second", "third", "fourth", "fifth", "sixth", "seventh"]
    for exercise in mode_questions(subject(name)):
        at = next(i for i, word in enumerate(places) if f"the {word} mode" in exercise.prompt)
        notes = heights(exercise.answer)
        assert [(b - a) % 12 for a, b in zip(notes, notes[1:] + notes[:1], strict=True)] == steps[at:] + steps[:at]
        assert exercise.answer.split()[0] == exercise.prompt.split(" from ")[1].split()[0]
        signs = [exercise.answer.count(one) for one in "♭♯"], [exercise.answer.count(two) for two in "𝄫𝄪"]
        assert exercise.difficulty == exercise.work == sum(signs[0]) + 3 * sum(signs[1])


def test_seven_notes_take_seven_letters_and_count_by_name() -> None:
    for exercise in mode_questions(subject(SCALE)):
        assert exercise.written and exercise.written.by == "name"
        assert sorted(note[0] for note in exercise.written.notes) == list("ABCDEFG")


def test_other_sizes_count_by_pitch_class() -> None:
    assert {e.written.by for e in mode_questions(subject("C whole tone")) if e.written} == {"pitch class"}


def named(choice: str) -> frozenset[int]:
    typed = choice.replace("♭", "b").replace("♯", "#")
    try:
        return frozenset(collection(typed).pcs)
    except Exception as error:  # a name of the family: diatonic
        assert typed.endswith("diatonic"), error
        return frozenset(collection(typed.replace("diatonic", "major")).pcs)


def check(exercise: Exercise, heard: frozenset[int]) -> None:
    """The right scale is what is heard, the others lack some of it, and closeness is their mean share."""
    shares = []
    for choice in exercise.choices:
        scale = named(choice.text)
        assert (scale >= heard) == choice.is_right
        if choice.is_right:
            assert scale == heard
        else:
            shares.append(len(heard - scale) / len(heard))
            assert pcs(choice.why.partition("has no")[2]) == heard - scale
    assert exercise.closeness == round(10 * (1 - sum(shares) / 3), 2)


def test_tunes_state_their_scale() -> None:
    made = list(excerpt_questions(subject(SCALE), (), Random("1")))
    for exercise in made[::7]:
        assert exercise.heard
        check(exercise, frozenset(tone.pitch % 12 for tone in exercise.heard.tones))
        assert exercise.work == 7


def test_excerpts_of_pieces_state_their_scale_and_nothing_else() -> None:
    """Read anew by music21, grace notes included."""
    made = [e for e in excerpt_questions(subject(SCALE), PIECES, Random("1")) if e.excerpt]
    assert len(made) > 40
    assert len({e.excerpt.piece for e in made if e.excerpt}) >= 4
    scores = {path: converter.parse(path) for _, path in PIECES}
    for exercise in made[::9]:
        assert exercise.excerpt
        first, last = exercise.excerpt.bars
        heard: set[int] = set()
        for part in scores[exercise.excerpt.path].parts:
            for bar in list(part.getElementsByClass("Measure"))[first : last + 1]:
                heard |= {pitch.pitchClass for note in bar.recurse().notes for pitch in note.pitches}
        check(exercise, frozenset(heard))
        assert exercise.work == 9
        assert "CC0" in exercise.excerpt.source


@pytest.mark.parametrize("seed", range(20))
def test_a_tune_covers_its_scale_and_comes_home(seed: int) -> None:
    for name in (SCALE, "C major pentatonic", "E octatonic semitone-tone"):
        scale = collection(name)
        tune = tune_on(scale, Random(str(seed)))
        assert {pitch % 12 for pitch in tune} == set(scale.pcs)
        assert tune[0] == tune[-1] and tune[0] % 12 == scale.root.pc
        assert len(tune) < 40 and max(abs(a - b) for a, b in pairwise(tune)) <= 9


def test_a_set_without_a_name_is_not_asked_about() -> None:
    assert Scales(subject("0 1 2")).asked == ()
    assert list(excerpt_questions(subject("0 1 2"), (), Random("1"))) == []
