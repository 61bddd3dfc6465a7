"""A texture goes on as it went before."""

from __future__ import annotations

from itertools import pairwise, product

import numpy as np
import pytest

from sonorarium.errors import InputError, NothingFoundError
from sonorarium.pcs.pcset import PcSet
from sonorarium.pitch.candidates import Compass
from sonorarium.pitch.palette import palette
from sonorarium.pitch.realising import Taste
from sonorarium.pitch.texture import carry_on
from sonorarium.pitch.voicing import Voicing
from tests.pitch.test_progression import price, rows_of

ALL = 10**6
HEARD = (Voicing((48, 55, 64)), Voicing((50, 57, 65)), Voicing((47, 55, 62)))


def test_every_continuation_is_listed_in_order_of_price() -> None:
    chords, taste, likeness = palette("3-11", inside=(PcSet((0, 2, 4, 5, 7, 9)),)), Taste(parallels=3, variety=2), 0.5
    rows = [voicing.pitches for voicing in HEARD]
    usual = float(np.mean([price(a, b, Taste(parallels=0)) for a, b in pairwise(rows)]))
    gaps = np.diff(np.array(rows), axis=1).mean(axis=0)
    places = [(row, chord) for chord in chords.chords for row in rows_of(chord, 3, Compass(45, 67))]
    expected = []
    for chosen in product(places, repeat=2):
        total = likeness * sum(float(np.abs(np.diff(row) - gaps).sum()) for row, _ in chosen)
        for (row, chord), (after, next_chord) in pairwise([(rows[-1], HEARD[-1].pcset), *chosen]):
            total += abs(price(row, after, Taste(parallels=0)) - usual)
            total += price(row, after, Taste(smooth=0, parallels=3))
            total += taste.variety * (chord.set_class == next_chord.set_class)
        expected.append(total)
    found = carry_on(HEARD, chords, 2, likeness=likeness, taste=taste, limit=ALL)
    assert [answer.price for answer in found] == pytest.approx(sorted(expected))


def test_voices_and_compass_stay() -> None:
    for answer in carry_on(HEARD, palette("3-11", "3-9"), 5, limit=5):
        assert len(answer.voicings) == 5
        assert all(len(voicing.pitches) == 3 for voicing in answer.voicings)
        assert all(45 <= pitch <= 67 for voicing in answer.voicings for pitch in voicing.pitches)


def test_what_cannot_be_continued_is_refused() -> None:
    with pytest.raises(InputError, match="all of one size"):
        carry_on((Voicing((48,)), Voicing((48, 50))), palette("3-11"), 2)
    with pytest.raises(InputError, match="all of one size"):
        carry_on((), palette("3-11"), 2)
    with pytest.raises(NothingFoundError, match="finds room in the texture"):
        carry_on((Voicing((60, 62)),), palette("3-11"), 2)


def test_a_chord_outside_the_palette_can_be_gone_on_from() -> None:
    chords = palette("3-11", inside=("C major", "Db major"))
    heard = (Voicing((48, 52, 55)), Voicing((47, 52, 56)))  # an E major triad, in neither
    best = carry_on(heard, chords, 2, taste=Taste(home=100.0), limit=1)[0]
    assert best.price >= 100
    assert any(best.chords[0] | best.chords[1] <= home for home in chords.homes)
