"""The printed drill: words, numbers and staves, with and without key."""

from __future__ import annotations

import pypdfium2
import pytest

from sonorarium.lesson.exercises.drills import Drill, Request, make_drill
from sonorarium.lesson.exercises.drillsheet import sheet, sheet_source


@pytest.fixture(scope="module")
def drill() -> Drill:
    return make_drill("D double harmonic", Request(seed=5, level=2))


def pages(data: bytes) -> list[str]:
    with pypdfium2.PdfDocument(data) as document:
        return [" ".join(page.get_textpage().get_text_bounded().split()) for page in document]


def test_the_sheet_without_key_does_not_give_the_answers_away(drill: Drill) -> None:
    text = " ".join(pages(sheet(drill, key=False)))
    assert "Key" not in text and "difficulty" not in text
    for _, exercise in drill.exercises:
        if exercise.written:
            assert exercise.key not in text
    assert text.count("Spell a mode") == 1


def test_the_key_has_every_answer_under_the_same_number(drill: Drill) -> None:
    plain, keyed = pages(sheet(drill, key=False)), pages(sheet(drill, key=True))
    assert len(keyed) > len(plain)
    key = " ".join(keyed[len(plain) :])
    assert key.startswith("Key")
    at = -1
    for number, exercise in drill.exercises:
        bare = f"{number} {exercise.right_letter} ".rstrip() + f" {exercise.key}"
        assert key.find(bare[:30], at + 1) > at, bare
        at = key.find(bare[:30], at + 1)


def test_the_exercises_are_the_same_on_both_sheets(drill: Drill) -> None:
    plain, keyed = (sheet_source(drill, key=key)[0] for key in (False, True))
    exercises, _, key = keyed.replace(" With key.", "").partition("\n#pagebreak()\n")
    assert exercises == plain
    assert key.count("#answer(") == len(drill.exercises)


def test_setting_twice_gives_the_same_bytes_and_fonts_are_inside(drill: Drill) -> None:
    data = sheet(drill, key=True, paper="us-letter")
    assert data == sheet(drill, key=True, paper="us-letter")
    assert data.count(b"/FontFile") >= 1
    with pypdfium2.PdfDocument(data) as document:
        assert document[0].get_size() == pytest.approx((612, 792))


def test_there_are_staves_to_write_on(drill: Drill) -> None:
    source, drawings = sheet_source(drill, key=False)
    written = sum(exercise.written is not None for _, exercise in drill.exercises)
    assert source.count("empty staff to write on") == written == 6
    assert sum(b"empty staff" in svg for svg in drawings.values()) == written
