"""Engraved scales and chords carry the right notes and words."""

from __future__ import annotations

import pytest

from sonorarium.lesson.illustrations.sheets import engrave_scale
from sonorarium.pcs.subject import subject


def test_a_scale_is_engraved_to_its_octave() -> None:
    drawing = engrave_scale(subject("D double harmonic"))
    assert len(drawing.notes) == 8
    assert drawing.description == "D double harmonic: D, E♭, F♯, G, A, B♭, C♯"


@pytest.mark.parametrize(("below", "words"), [("degrees", ["♭2", "♭6"]), ("names", ["E♭", "C♯"]), ("none", [])])
def test_words_under_the_notes(below: str, words: list[str]) -> None:
    drawing = engrave_scale(subject("D double harmonic"), below=below)
    assert all(word in drawing.svg for word in words)
    assert ("♭" in drawing.svg.split("aria-label")[1].split('"', 2)[2]) == bool(words)
