"""Choices are narrowed without losing the best row where it can be tried."""

from __future__ import annotations

from functools import partial

import numpy as np
import pytest

from sonorarium.errors import InputError, NothingFoundError
from sonorarium.pcs.pcset import PcSet
from sonorarium.pitch.candidates import Compass, placements
from sonorarium.pitch.realising import Choices, Taste, choices, realised, step_prices
from sonorarium.pitch.trellis import walks


def _wide(*sets: PcSet) -> Choices:
    return choices([(notes.mask, placements(notes, 5, Compass(40, 85))) for notes in sets])


def test_renewed_about_the_best_row_it_is_the_best_of_all_here() -> None:
    places = [_wide(PcSet((n, n + 4, n + 7)), PcSet((n, n + 3, n + 7))) for n in (0, 3, 1)]
    taste = Taste(parallels=9, variety=3, rough=2)
    step = partial(step_prices, taste=taste)
    assert all(len(place) > 640 for place in places)
    found = realised(places, step, taste, limit=1)
    exact, _ = next(walks([p.priced(taste) for p in places], [step(*places[:2]), step(*places[1:])]))
    assert found[0].price == pytest.approx(exact)
    assert found.left_out == sum(map(len, places)) - 3 * 600


def test_the_most_compact_of_every_set_stay() -> None:
    every = _wide(PcSet((0, 4, 7)), PcSet((0, 3, 7)))
    kept = every.compact(100)
    assert len(kept) == 100 and kept.left_out == len(every) - 100
    for mask in np.unique(every.masks):
        of_set, left = every.rows[every.masks == mask], kept.rows[kept.masks == mask]
        spans = np.sort(of_set[:, -1] - of_set[:, 0])[:50]
        assert sorted(left[:, -1] - left[:, 0]) == spans.tolist()


def test_the_nearest_stay_and_the_voicing_itself() -> None:
    every = _wide(PcSet((0, 4, 7)))
    other = np.array([50, 57, 62, 66, 74], np.int16)
    kept = every.nearest(every.rows[-1], [other], most=30)
    far = np.abs(every.rows - other).sum(axis=1)
    assert every.rows[-1].tolist() in kept.rows.tolist()
    assert sorted(np.abs(kept.rows - other).sum(axis=1))[:29] == np.sort(far)[:29].tolist()


def test_what_cannot_be_had_is_refused() -> None:
    place = _wide(PcSet((0, 4, 7)), PcSet((0, 3, 7)))
    with pytest.raises(NothingFoundError, match="candidates were not weighed"):
        realised([place, place], lambda a, b: np.full((len(a), len(b)), np.inf), Taste(), limit=1)
    with pytest.raises(InputError, match="0 answers 1 apart"):
        realised([place], partial(step_prices, taste=Taste()), Taste(), limit=0)
    with pytest.raises(InputError, match="would be a reward"):
        Taste(smooth=-1)
    with pytest.raises(InputError, match="no homes to keep to"):
        step_prices(place, place, Taste(home=1))
