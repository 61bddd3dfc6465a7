"""Kinds of spacing against their definitions, chord by chord."""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise

import numpy as np
import pytest

from sonorarium.errors import InputError
from sonorarium.pcs.chordsymbol import chord
from sonorarium.pcs.pcset import PcSet
from sonorarium.pitch.candidates import Compass, placements
from sonorarium.pitch.spacing import KINDS, evenness, in_two_chords, kinds_of, of_kind

CLOSE_C7 = {
    "root position": (60, 64, 67, 70),
    "first inversion": (64, 67, 70, 72),
    "second inversion": (67, 70, 72, 76),
    "third inversion": (58, 60, 64, 67),
}


@pytest.mark.parametrize("close", CLOSE_C7.values(), ids=CLOSE_C7.keys())
@pytest.mark.parametrize(("kind", "voices"), [("drop 2", (2,)), ("drop 3", (3,)), ("drop 2+4", (2, 4))])
def test_drops_are_close_chords_with_voices_put_down_an_octave(
    close: tuple[int, ...], kind: str, voices: tuple[int, ...]
) -> None:
    dropped = tuple(sorted(p - 12 if 4 - at in voices else p for at, p in enumerate(close)))
    assert "close" in kinds_of(close)
    assert [name for name in kinds_of(dropped) if name.startswith("drop")] == [kind]


def test_no_other_voicing_of_a_seventh_chord_is_a_drop_2() -> None:
    rows = placements(PcSet((0, 4, 7, 10)), 4, Compass(48, 76))
    found = {tuple(row) for row in rows[of_kind(rows, "drop 2")].tolist()}
    close = [tuple(row) for row in rows.tolist() if row[-1] - row[0] < 12]
    everywhere = [tuple(p + shift for p in row) for row in close for shift in (0, 12)]
    made = {tuple(sorted((*row[:2], row[2] - 12, row[3]))) for row in everywhere}
    assert found == {row for row in made if row[0] >= 48 and row[-1] <= 76}


def test_close_and_spread_by_their_definition() -> None:
    rows = placements(PcSet((0, 1, 4, 8)), 5, Compass(48, 75))
    wanted: dict[str, Callable[[int], bool]] = {"close": lambda n: n == 0, "spread": lambda n: n > 0}
    for kind, is_wanted in wanted.items():
        told = of_kind(rows, kind).tolist()
        for row, is_kind in zip(rows.tolist(), told, strict=True):
            gaps = [sum(p % 12 in (0, 1, 4, 8) for p in range(a + 1, b)) for a, b in pairwise(row)]
            assert is_kind == all(is_wanted(between) for between in gaps)


@pytest.mark.parametrize(
    ("pitches", "kind"),
    [
        ((60, 61, 63), "seconds"),
        ((48, 52, 55, 59, 62), "thirds"),
        ((48, 53, 59, 64), "fourths"),
        ((36, 43, 50, 57), "fifths"),
        ((48, 53, 55, 59), "mixed"),
        ((48, 52, 55, 61, 65, 68), "two chords"),
    ],
)
def test_stacks(pitches: tuple[int, ...], kind: str) -> None:
    stacks = {"seconds", "thirds", "fourths", "fifths", "mixed", "two chords"}
    assert kind in kinds_of(pitches)
    assert set(kinds_of(pitches)) & stacks - {"mixed"} <= {kind}


def test_a_lone_tritone_is_both_fourth_and_fifth() -> None:
    assert {"fourths", "fifths"} <= set(kinds_of((60, 66)))


def test_two_given_chords_in_two_hands() -> None:
    lower, upper = chord("C7").mask, chord("Ab").mask
    rows = np.array([[48, 52, 55, 58, 63, 68, 72], [48, 52, 55, 60, 64, 67, 70]], np.int16)
    assert in_two_chords(rows, (lower, upper)).tolist() == [4, 0]


def test_evenness_is_the_standard_deviation_of_the_distances() -> None:
    rows = placements(PcSet((0, 3, 7)), 4, Compass(48, 75))
    assert np.allclose(evenness(rows), np.diff(rows, axis=1).std(axis=1))
    assert evenness(np.array([[60, 67]], np.int16)).tolist() == [0.0]


def test_unknown_kinds_are_refused() -> None:
    with pytest.raises(InputError, match=r"No spacing is called 'wide'. Choose among close, open"):
        of_kind(np.array([[60, 64]], np.int16), "wide")


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_is_told_of_single_notes_and_of_nothing(kind: str) -> None:
    assert of_kind(np.empty((0, 4), np.int16), kind).shape == (0,)
    assert kinds_of((60,)) == ()
