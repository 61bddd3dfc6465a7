"""Sounds of a lesson are small, levelled and right."""

from __future__ import annotations

import pytest

from sonorarium.errors import InputError
from sonorarium.lesson.illustrations.blocks import Figure
from sonorarium.lesson.illustrations.sounds import make_sound
from sonorarium.lesson.markdown import read_page
from sonorarium.study.folder import Study


def test_tempo_changes_the_length(tmp_path) -> None:  # type: ignore[no-untyped-def]
    lengths = []
    for tempo in (60, 120):
        (directive,) = read_page(f"```{{sound}} C major\n:tempo: {tempo}\n```\n").directives
        (figure,) = make_sound(directive, Study(tmp_path)).blocks
        assert isinstance(figure, Figure)
        assert figure.clip is not None
        assert figure.clip.media_type == "audio/ogg"
        lengths.append(figure.clip.duration_s)
    assert 1.5 < lengths[0] / lengths[1] < 2


def test_a_line_of_chords_sounds(tmp_path) -> None:  # type: ignore[no-untyped-def]
    (directive,) = read_page("```{sound} Dm7; G7; Cmaj7\n```\n").directives
    (figure,) = make_sound(directive, Study(tmp_path)).blocks
    assert isinstance(figure, Figure)
    assert figure.clip is not None
    assert figure.clip.duration_s > 4
    (directive,) = read_page("```{sound} Dm7; G7\n:as: chord\n```\n").directives
    with pytest.raises(InputError, match="a line of chords sounds in order"):
        make_sound(directive, Study(tmp_path))
