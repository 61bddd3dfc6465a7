"""Chord symbols in MusicXML's terms say the chord that they stand for."""

from __future__ import annotations

import pytest

from sonorarium.pcs.chordquality import Quality, bases, degree_height
from sonorarium.pcs.chordsymbol import chord
from sonorarium.render.harmony import KINDS, kind_and_degrees, kind_text

# Members of each kind in semitones above the root, from the descriptions of "kind-value" in the MusicXML schema.
MEMBERS = {
    "major": {0, 4, 7}, "minor": {0, 3, 7}, "augmented": {0, 4, 8}, "diminished": {0, 3, 6},
    "dominant": {0, 4, 7, 10},
    "major-seventh": {0, 4, 7, 11}, "minor-seventh": {0, 3, 7, 10}, "diminished-seventh": {0, 3, 6, 9},
    "half-diminished": {0, 3, 6, 10}, "major-minor": {0, 3, 7, 11}, "major-sixth": {0, 4, 7, 9},
    "minor-sixth": {0, 3, 7, 9}, "dominant-ninth": {0, 2, 4, 7, 10}, "major-ninth": {0, 2, 4, 7, 11},
    "minor-ninth": {0, 2, 3, 7, 10}, "dominant-11th": {0, 2, 4, 5, 7, 10}, "major-11th": {0, 2, 4, 5, 7, 11},
    "minor-11th": {0, 2, 3, 5, 7, 10}, "dominant-13th": {0, 2, 4, 5, 7, 9, 10}, "major-13th": {0, 2, 4, 5, 7, 9, 11},
    "minor-13th": {0, 2, 3, 5, 7, 9, 10}, "power": {0, 7}, "suspended-second": {0, 2, 7},
    "suspended-fourth": {0, 5, 7},
}  # fmt: skip
PLAIN = {1: 0, 2: 2, 3: 4, 4: 5, 5: 7, 6: 9, 7: 10, 9: 2, 11: 5, 13: 9}


def sounding(quality: Quality) -> set[int]:
    """The chord that kind and degrees stand for, by the schema's rules."""
    kind, degrees = kind_and_degrees(quality)
    notes = set(MEMBERS[kind])
    own = {number: height for number in PLAIN for height in notes if abs(height - PLAIN[number]) <= 1}
    for degree in degrees:
        plain = PLAIN[degree.number]
        inside = next((n for n in (plain, plain - 1, plain + 1) if n % 12 in notes), own.get(degree.number, plain))
        if degree.way in ("alter", "subtract"):
            notes.discard(inside % 12)
        if degree.way != "subtract":
            notes.add(((plain if degree.way == "add" else inside) + degree.alter) % 12)
    return notes


@pytest.mark.parametrize(
    "symbol",
    [
        "C",
        "Cm",
        "C7b5",
        "C7#9",
        "Cmaj7#11",
        "C7sus4",
        "Csus2",
        "C6/9",
        "Cm7b5",
        "CdimMaj7",
        "Cadd9",
        "C13no5",
        "C7alt",
    ],
)
def test_kind_and_degrees_make_up_the_chord(symbol: str) -> None:
    quality = chord(symbol).quality
    assert sounding(quality) == set(quality.heights)


@pytest.mark.parametrize("base", [base for base in bases() if base in KINDS])
def test_kinds_have_the_members_of_their_bases(base: str) -> None:
    assert MEMBERS[KINDS[base]] == {degree_height(degree) for degree in bases()[base].degrees}
    assert kind_and_degrees(Quality(base))[1] == ()


def test_the_text_is_the_symbol_without_root_and_bass() -> None:
    assert [kind_text(chord(text)) for text in ("Bb7#9", "F", "C#m7b5/E")] == ["7♯9", "", "m7♭5"]
