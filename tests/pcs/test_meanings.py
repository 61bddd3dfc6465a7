"""Whatever is offered for a text, typed again, means just that."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sonorarium.pcs.meanings import in_typed_signs, meanings, nearest
from sonorarium.pcs.reading import readings, set_of
from tests.pcs.test_reading import FORMS

LONE = (
    "C",
    "Bb",
    "Ab",
    "b",
    "B",
    "Cb",
    "e",
    "bb",
    "Cbb",
    "F#",
    "C7",
    "Cb9",
    "b7",
    "Cb5",
    "C5",
    "C4",
    "B4",
    "{b}",
    "{C7}",
)
SEVERAL = (
    "C b",
    "B b",
    "C A b",
    "a b c",
    "a minor",
    "C diminished",
    "C altered",
    "E/C",
    "Ab over C",
    "C/E",
    "0148",
    "(0148)",
    "1-3-5 on C",
    "2 2 1 2 2 2 1",
    "mask 0",
    "mask 2321",
    "7",
)
GERMAN = (
    "H",
    "h",
    "B",
    "Es",
    "H7",
    "B7",
    "C Es G H",
    "B over H7",
    "H dorisch",
    "E/H",
    "fourths 4-4 on H",
    "{H}",
    "As4",
)
ALL = (*LONE, *SEVERAL, *(text for text, _ in FORMS))


def holds(text: str, *, german: bool) -> None:
    """Every meaning is offered, and each text leads back to its own."""
    found, every = meanings(text, german=german), readings(text, german=german)
    assert len(found) == len(every)
    for one, meant in zip(found, every, strict=True):
        assert one.subject.pcset == set_of(meant).pcset
        assert meanings(one.text, german=german)[0] == one


@pytest.mark.parametrize("text", ALL)
def test_typed_again_it_means_the_same(text: str) -> None:
    assert readings(text)
    holds(text, german=False)


@pytest.mark.parametrize("text", (*GERMAN, *(text for text, _ in FORMS)))
def test_typed_again_in_german_it_means_the_same(text: str) -> None:
    holds(text, german=True)


@given(st.text("ABCDEFGabcdefgmMj#b/{}0123456789 ,-ondimaj", max_size=9), st.booleans())
def test_whatever_is_offered_leads_back(text: str, german: bool) -> None:
    for one in meanings(text, german=german):
        assert meanings(one.text, german=german)[0] == one


def test_names_that_were_typed_are_kept() -> None:
    assert [note.text for one in meanings("Cb") for note in one.subject.notes[:1]] == ["Cb", "Cb"]
    assert [one.subject.title for one in meanings("C A b")] == ["C A♭", "C A B"]


def test_what_means_nothing_is_near_to_something() -> None:
    assert meanings("D doble harmonik") == ()
    assert nearest("D doble harmonik")[0] == "D double harmonic"
    assert nearest("dorian") == ("C dorian",)
    assert nearest("H7") == ("B7",)
    assert nearest("H doble harmonik", german=True)[0] == "H double harmonic"
    assert nearest("C E G") == ()
    assert nearest("%%%") == ()


def test_signs() -> None:
    assert in_typed_signs("F𝄪 B𝄫 E♭ F♯ D♮") == "F## Bbb Eb F# D"
