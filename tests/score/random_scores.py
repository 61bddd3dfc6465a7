"""Small scores made up by Hypothesis: few pitch classes, so that sets are met, and every kind of overlap."""

from __future__ import annotations

import numpy as np
from hypothesis import strategies as st
from numpy.typing import NDArray

from sonorarium.score.score import BAR, NOTE, Part, Score

TICKS = 2


@st.composite
def scores(draw: st.DrawFn, least: int = 0) -> Score:
    """One or two parts of one or two voices, so many notes to 24, 2/4 to 4/4 or 6/8, perhaps with a pick-up."""
    pitches = draw(st.lists(st.integers(58, 74), min_size=2, max_size=5))
    note = st.tuples(
        st.integers(0, 30),
        st.sampled_from([0, 1, 1, 2, 2, 3, 4, 6, 12]),
        st.sampled_from([*pitches, *pitches, -1]),
        st.integers(0, 1),
        st.integers(0, 1),
        st.sampled_from([0] * 15 + [1, 2, 4]),
    )
    rows = draw(st.lists(note, min_size=least, max_size=24))
    notes = np.zeros(len(rows), NOTE)
    for name, column in zip(("onset", "duration", "pitch", "part", "voice"), zip(*rows, strict=True), strict=False):
        notes[name] = column
    for bit, name in enumerate(("grace", "cue", "hidden")):
        notes[name] = [bool(row[5] >> bit & 1) for row in rows]
    notes["octave"], notes["staff"] = notes["pitch"] // 12 - 1, 1
    notes["alter"] = notes["pitch"] % 12  # spelled from C, however far
    notes = np.sort(notes, order=["onset", "part", "staff", "voice", "pitch"])
    notes["element"] = np.arange(len(notes))
    beats, beat_type = draw(st.sampled_from([(2, 4), (3, 4), (4, 4), (6, 8), (0, 4)]))
    bars = _bars(beats, beat_type, draw(st.integers(0, 2)))
    parts = (Part("P1", "Flute", voices=("1", "2")), Part("P2", "Viola", voices=("1", "2")))
    return Score(notes, bars, parts, TICKS)


def _bars(beats: int, beat_type: int, pickup: int) -> NDArray[np.void]:
    length = TICKS * 4 * beats // beat_type or 8
    onsets = [0, *range(pickup or length, 40, length)]
    ends = [*onsets[1:], onsets[-1] + length]
    lead = length - pickup if pickup and beats else 0
    return np.array(
        [
            (a, b - a, str(i), beats, beat_type, 0 if i else lead)
            for i, (a, b) in enumerate(zip(onsets, ends, strict=True))
        ],
        BAR,
    )
