"""A set and some bars of a score become what they should sound like."""

from __future__ import annotations

import numpy as np
import pytest

from sonorarium.errors import InputError
from sonorarium.pcs.subject import subject
from sonorarium.render.hearing import hear_bars, hear_set
from sonorarium.score.score import BAR, NOTE, Part, Score


def test_scale_chord_and_arpeggio() -> None:
    shown = subject("C E Ab B")
    rising = [60, 64, 68, 71]
    assert [t.pitch for t in hear_set(shown, "scale").tones] == [*rising, 72]
    assert [(t.onset_ticks, t.pitch) for t in hear_set(shown, "chord").tones] == [(0, p) for p in rising]
    assert [t.pitch for t in hear_set(shown, "arpeggio").tones] == rising + rising


def test_an_unknown_way_and_the_empty_set_are_refused() -> None:
    with pytest.raises(InputError, match=r"cannot be heard as 'song'. Choose scale, chord, arpeggio"):
        hear_set(subject("C major"), "song")
    with pytest.raises(InputError, match="nothing to play"):
        hear_set(subject("0-1"), "chord")


def test_bars_of_a_score_are_cut_at_their_ends() -> None:
    notes, bars = np.zeros(2, NOTE), np.zeros(2, BAR)
    notes["onset"], notes["duration"], notes["pitch"] = [0, 6], [6, 2], [60, 64]
    bars["onset"], bars["duration"], bars["label"] = [0, 4], [4, 4], ["1", "2"]
    played = hear_bars(Score(notes, bars, (Part("P1", "Piano"),), 1), 1, 1, tempo_qpm=60)
    assert played.duration_s == 4
    assert sorted(t.pitch for t in played.tones) == [60, 64]
