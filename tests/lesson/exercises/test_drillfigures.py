"""Drawings and sounds of exercises."""

from __future__ import annotations

from pathlib import Path

from lxml import etree

from sonorarium.lesson.exercises.drillfigures import (
    drawing_of,
    empty_staff,
    question_drawing,
    question_sound,
    sound_of,
)
from sonorarium.lesson.exercises.drills import Request, make_drill

DEMO = Path(__file__).parents[3] / "demo"
PIECES = [("pieces/1.musicxml", DEMO / "pieces" / "1-saffron-evening.musicxml")]


def test_what_is_shown_is_drawn_and_what_is_heard_sounds() -> None:
    drill = make_drill("D double harmonic", Request(("class", "chord", "voicing"), count=3, seed=3))
    asked, heard, written = (exercise for _, exercise in drill.exercises)
    drawn = question_drawing(asked)
    assert drawn and len(drawn.notes) == len(asked.shown) and question_sound(asked) is None
    assert question_drawing(heard) is None
    clip = question_sound(heard)
    assert clip and clip.format == "opus" and clip.loudness_lufs < -20
    assert question_drawing(written) is None and question_sound(written) is None


def test_an_excerpt_is_drawn_and_sounds_from_its_piece() -> None:
    drill = make_drill("D double harmonic", Request(("excerpt",), count=12, level=4, seed=3), PIECES)
    excerpt = next(exercise for _, exercise in drill.exercises if exercise.excerpt)
    drawn, clip = question_drawing(excerpt), question_sound(excerpt)
    assert excerpt.excerpt and drawn and clip
    assert drawn.bars == tuple(range(excerpt.excerpt.bars[0], excerpt.excerpt.bars[1] + 1))
    assert "Saffron Evening" in drawn.description


def test_the_same_notes_are_drawn_and_sounded_once() -> None:
    drill = make_drill("D double harmonic", Request(("chord",), count=1, seed=3))
    (_, exercise), *_ = drill.exercises
    assert drawing_of(exercise.key_shown) is drawing_of(exercise.key_shown)
    assert exercise.heard and sound_of(exercise.heard) is sound_of(exercise.heard)


def test_an_empty_staff_has_five_lines_and_its_clef() -> None:
    one, two = (etree.fromstring(empty_staff(clefs, 80.0)) for clefs in (("treble",), ("treble", "bass")))
    paths = [[path.get("d", "") for path in root.iter("{*}path")] for root in (one, two)]
    assert paths[0][0].count("H80") == 5 and len(paths[0]) == 2
    assert len(paths[1]) == 5 and all(len(path) > 10 for path in paths[1])
    assert float(one.get("height", "0").removesuffix("mm")) < float(two.get("height", "0").removesuffix("mm"))
