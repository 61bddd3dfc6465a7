"""Terms that say nothing sensible are refused in a sentence."""

from __future__ import annotations

from typing import Any

import pytest

from sonorarium.errors import InputError
from sonorarium.pitch.terms import Terms, pitch_classes, place_of
from sonorarium.pitch.voicing import Voicing


@pytest.mark.parametrize(
    ("terms", "sentence"),
    [
        ({"kinds": ("clse",)}, "There is no kind of spacing 'clse'. Use close, open"),
        ({"order": ("nicest",)}, "There is no order 'nicest'. Use smooth, rough"),
        ({"order": ()}, "Voicings need an order"),
        ({"order": ("near",)}, "There is no model to be like"),
        ({"like": Voicing(())}, "A model without notes is like nothing"),
        ({"omit": -1}, "omit=-1, span=None must not be below 0"),
        ({"bass": "C2 G2"}, "'C2 G2' is not one note"),
        ({"keep": "C X"}, "X is not a note name"),
    ],
)
def test_refusals(terms: dict[str, Any], sentence: str) -> None:
    with pytest.raises(InputError) as refused:
        Terms(**terms)
    assert str(refused.value).startswith(sentence)


def test_numbers_of_notes() -> None:
    assert Terms().sizes(4) == range(4, 5)
    assert Terms(omit=1).sizes(4) == range(3, 5)
    assert Terms(omit=4).sizes(4) == range(1, 5)
    assert Terms(notes=6).sizes(4) == range(6, 7)
    with pytest.raises(InputError, match=r"\(5, 4\) is no number of notes"):
        Terms(notes=(5, 4)).sizes(4)


def test_notes_by_name() -> None:
    assert pitch_classes("E, B♭ F#") == (4, 10, 6)
    assert place_of("B#") == (0, None)
    assert place_of("B#3") == (0, 60)


def test_repr_evaluates_back() -> None:
    from sonorarium.pitch.limits import Hands  # noqa: F401

    terms = Terms(notes=(4, 6), bass="C", like=Voicing((48, 55)), order=("near",))
    assert eval(repr(terms)) == terms
    assert hash(terms) == hash(eval(repr(terms)))
