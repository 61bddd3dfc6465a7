"""Melodies are read, laid over chords, and given a chord rhythm that is the best there is."""

from __future__ import annotations

from fractions import Fraction
from itertools import accumulate, chain, combinations, pairwise

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from sonorarium.errors import InputError, NothingFoundError
from sonorarium.pitch.melody import (
    LONGEST,
    OFF_PACE,
    Melody,
    MelodyNote,
    Span,
    length_of,
    propose_spans,
    read_melody,
    span_between,
    spans,
)

QUARTER, HALF = Fraction(1), Fraction(1, 2)

melodies = st.lists(
    st.builds(
        MelodyNote, st.integers(60, 72) | st.none(), st.sampled_from([HALF, QUARTER, Fraction(3, 2), Fraction(3)])
    ),
    min_size=1,
    max_size=5,
).map(tuple)


def test_a_melody_is_read_with_durations_carried_on() -> None:
    melody = read_melody("C5 D5:1/2, Eb5 r:1.5 B#4:2")
    assert [(note.pitch, note.duration) for note in melody] == [
        (72, QUARTER),
        (74, HALF),
        (75, HALF),
        (None, Fraction(3, 2)),
        (72, Fraction(2)),
    ]
    for wrong in ("C5:x", "C5:1/0", "", "H5", "C5:0"):
        with pytest.raises(InputError):
            read_melody(wrong)
    with pytest.raises(InputError, match="'C5:x' is no note of a melody"):
        read_melody("E5 C5:x")


def test_spans_take_what_sounds_in_them() -> None:
    melody = read_melody("C5:3 D5:1 r:1 E5:1")
    first, second, third = spans(melody, (2, 2, 2))
    assert first == Span(Fraction(0), Fraction(2), ((72, Fraction(2)),))
    assert second.sounding == ((72, QUARTER), (74, QUARTER))
    assert (second.first, second.lowest, second.highest) == (72, 72, 74)
    assert third.sounding == ((76, QUARTER),)
    assert second.foreign_to(1 << 0) == HALF
    with pytest.raises(InputError, match="The chords last 5 quarters and the melody 6"):
        spans(melody, (2, 3))
    with pytest.raises(InputError):
        spans(melody, (6, 0))


@given(melodies, st.lists(st.fractions(HALF, 4), min_size=1, max_size=4))
def test_no_time_is_lost_between_spans(melody: Melody, cuts: list[Fraction]) -> None:
    long = length_of(melody)
    bounds = sorted({Fraction(0), long, *(cut for cut in cuts if cut < long)})
    cut = [span_between(melody, onset, end) for onset, end in pairwise(bounds)]
    sounding = sum(length for span in cut for _, length in span.sounding)
    assert sounding == sum(note.duration for note in melody if note.pitch is not None)


@settings(max_examples=60, deadline=None)
@given(melodies, st.sampled_from([HALF, QUARTER, Fraction(2)]))
def test_the_proposed_rhythm_is_the_best_of_all(melody: Melody, pace: Fraction) -> None:
    def fits(span: Span) -> bool:
        return len({pitch for pitch, _ in span.sounding}) <= 2

    def strain(bounds: tuple[Fraction, ...]) -> Fraction:
        off = sum((onset / pace).denominator > 1 for onset in bounds[:-1])
        return sum((abs(end - onset - pace) / pace for onset, end in pairwise(bounds)), OFF_PACE * off)

    long = length_of(melody)
    onsets = accumulate((note.duration for note in melody), initial=Fraction(0))
    inner = sorted({at for at in chain(onsets, (pace * n for n in range(200))) if 0 < at < long})
    assume(len(inner) <= 8)
    possible = []
    for n in range(len(inner) + 1):
        for chosen in combinations(inner, n):
            bounds = (Fraction(0), *chosen, long)
            laid = [span_between(melody, a, b) for a, b in pairwise(bounds)]
            if all(fits(span) and span.duration <= LONGEST * pace for span in laid):
                possible.append(strain(bounds))
    found = propose_spans(melody, pace, fits)
    assert strain((Fraction(0), *(span.end for span in found))) == min(possible)


def test_where_no_chord_fits_the_place_is_said() -> None:
    with pytest.raises(NothingFoundError, match="just before quarter 2"):
        propose_spans(read_melody("C5 D5 E5"), QUARTER, lambda span: all(pitch != 74 for pitch, _ in span.sounding))
    with pytest.raises(InputError, match="No chord rhythm of pace 0"):
        propose_spans(read_melody("C5"), Fraction(0), lambda span: True)
