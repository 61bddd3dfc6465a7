"""Questions on chords: what sounds, what a voicing is by definition, and every way to lead voices, counted anew."""

from __future__ import annotations

import re
from random import Random

import numpy as np
import pytest

from sonorarium.lesson.exercises.chordquestions import (
    chord_questions,
    dropped,
    heard_pitches,
    leading_questions,
    voicing_questions,
)
from sonorarium.pcs.pcset import PcSet
from sonorarium.pcs.subject import subject
from sonorarium.pitch.candidates import Compass, placements
from sonorarium.pitch.spacing import of_kind
from tests.lesson.exercises.secondway import heights, least_chords, pcs, semitones

SUBJECTS = ["D double harmonic", "C major pentatonic"]


@pytest.mark.parametrize("name", SUBJECTS)
def test_only_the_right_chord_has_the_notes_that_sound(name: str) -> None:
    made = list(chord_questions(subject(name)))
    for exercise in made[:: len(made) // 80]:
        assert exercise.heard
        heard = frozenset(tone.pitch % 12 for tone in exercise.heard.tones)
        transpositions = {frozenset((pc + n) % 12 for pc in heard) for n in range(12)}
        for choice in exercise.choices:
            assert (pcs(choice.text) == heard) == choice.is_right
            assert choice.is_right or pcs(choice.text) not in transpositions
            assert choice.heard and frozenset(t.pitch % 12 for t in choice.heard.tones) == pcs(choice.text)
        away = [semitones(heard, pcs(c.text)) for c in exercise.choices if not c.is_right]
        assert exercise.closeness == round(10 * (1 - sum(min(1, n / 6) for n in away) / 3), 2)


def test_the_work_of_hearing_is_notes_bass_openness_and_no_playing_one_by_one() -> None:
    made = list(chord_questions(subject(SUBJECTS[0])))
    for exercise in made[::23]:
        assert exercise.heard
        written = heights(next(c for c in exercise.choices if c.is_right).text)
        struck_last = max(tone.onset_ticks for tone in exercise.heard.tones)
        sounding = sorted(t.pitch for t in exercise.heard.tones if t.onset_ticks == struck_last)
        other_bass = sounding[0] % 12 != written[0]
        is_open = sounding[-1] - sounding[0] > 12
        work = len(written) + (2 if is_open else int(other_bass)) + 2 * (struck_last == 0)
        assert exercise.work == work


def test_the_partner_is_among_the_near_choices() -> None:
    made = [e for e in chord_questions(subject(SUBJECTS[0])) if "4-Z" in e.key or "5-Z" in e.key]
    assert any("its partner" in choice.why for exercise in made for choice in exercise.choices)


def test_chords_are_heard_as_they_are_said_to_be() -> None:
    assert heard_pitches((2, 6, 10), 0, 1) == (62, 66, 70)
    assert heard_pitches((2, 6, 10), 1, 1) == (66, 70, 74)
    assert heard_pitches((2, 6, 10), 2, 1) == (58, 66, 74)
    assert dropped((60, 64, 67, 71), (3,)) == (52, 60, 67, 71)


@pytest.mark.parametrize("name", SUBJECTS)
def test_exactly_one_voicing_has_the_notes_the_kind_and_the_top(name: str) -> None:
    """Every way to set the notes under the top, sifted by the definition of the kind of spacing."""
    made = list(voicing_questions(subject(name)))
    for exercise in made[:: len(made) // 60]:
        notes, kind = re.fullmatch(
            r"Write (.+?) (in close position|as drop [23+4]+), with .+ on top\.", exercise.prompt
        ).groups()  # type: ignore[union-attr]
        top = heights(exercise.prompt.partition("with ")[2])[0]
        spacing = kind.removeprefix("as ").replace("in close position", "close")
        answer = heights(exercise.answer)
        assert frozenset(p % 12 for p in answer) == pcs(notes) and answer[-1] == top
        rows = placements(PcSet(pcs(notes)), len(answer), Compass(top - 36, top), top=top)
        fitting = rows[of_kind(rows, spacing, chords=None)]
        within = fitting[fitting[:, -1] - fitting[:, 0] < 12] if spacing == "close" else fitting
        assert np.array_equal(within, [answer])
        assert exercise.work == len(answer) + {"close": 0, "drop 2": 2, "drop 3": 3, "drop 2+4": 4}[spacing]


@pytest.mark.parametrize("name", SUBJECTS)
def test_no_other_chord_is_as_near_even_with_crossings(name: str) -> None:
    made = list(leading_questions(subject(name), Random("1")))
    assert len(made) > 30
    for exercise in made[::6]:
        start, goal = exercise.prompt.split(" to the notes ")
        least, chords = least_chords(heights(start.removeprefix("Lead ")), pcs(goal))
        assert chords == {tuple(heights(exercise.answer))}
        assert exercise.work == len(pcs(goal)) + least
        assert f" {least} semitone" in exercise.key
