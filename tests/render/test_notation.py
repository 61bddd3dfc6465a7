"""Textbook notation: spelling, clefs, naturals."""

from __future__ import annotations

import pytest
from lxml import etree

from sonorarium.errors import InputError
from sonorarium.render.notation import Column, choose_staves, scale, write_mei

MEI = "{http://www.music-encoding.org/ns/mei}"
DOUBLE_HARMONIC = [(1, 0, 4), (2, -1, 4), (3, 1, 4), (4, 0, 4), (5, 0, 4), (6, -1, 4), (0, 1, 5), (1, 0, 5)]


def accidentals(columns: tuple[Column, ...]) -> list[str | None]:
    """The accidental written at each note."""
    document = etree.fromstring(write_mei(columns, choose_staves(columns)))
    return [note.get("accid") for note in document.iter(f"{MEI}note")]


def test_every_altered_note_has_its_accidental() -> None:
    assert accidentals(scale(DOUBLE_HARMONIC)) == [None, "f", "s", None, None, "f", "s", None]


def test_a_letter_altered_before_gets_a_natural() -> None:
    assert accidentals(scale([(0, 1, 4), (1, 0, 4), (0, 0, 5), (1, 0, 5)])) == ["s", None, "n", None]


def test_a_letter_altered_in_the_same_chord_gets_a_natural() -> None:
    assert accidentals((Column(((0, 0, 4), (0, 1, 4))),)) == ["n", "s"]


def test_double_accidentals() -> None:
    assert accidentals(scale([(3, 2, 4), (6, -2, 4)])) == ["x", "ff"]


@pytest.mark.parametrize(
    ("low", "high", "clefs"),
    [
        ((4, 0, 3), (0, 0, 6), ("treble",)),
        ((3, 0, 3), (0, 0, 6), ("treble", "bass")),
        ((0, 0, 2), (3, 0, 4), ("bass",)),
        ((0, 0, 2), (4, 0, 4), ("treble", "bass")),
    ],
)
def test_the_clef_follows_the_range(
    low: tuple[int, int, int], high: tuple[int, int, int], clefs: tuple[str, ...]
) -> None:
    assert choose_staves([Column((low, high))]) == clefs


def test_two_staves_divide_at_middle_c() -> None:
    columns = (Column(((6, 0, 3), (0, 0, 4), (2, 0, 5))), Column(((0, 0, 5),)))
    document = etree.fromstring(write_mei(columns, ("treble", "bass")))
    upper, lower = document.iter(f"{MEI}staff")
    assert [n.get("pname") for n in upper.iter(f"{MEI}note")] == ["c", "e", "c"]
    assert [n.get("pname") for n in lower.iter(f"{MEI}note")] == ["b"]
    assert len(list(lower.iter(f"{MEI}space"))) == 1


def test_words_are_escaped() -> None:
    document = etree.fromstring(write_mei((Column(((0, 0, 4),), below="<&>"),), ("treble",)))
    assert [harm.text for harm in document.iter(f"{MEI}harm")] == ["<&>"]


@pytest.mark.parametrize("pitch", [(7, 0, 4), (-1, 0, 4), (0, 3, 4), (0, 0, 10)])
def test_impossible_pitches_are_refused(pitch: tuple[int, int, int]) -> None:
    with pytest.raises(InputError, match="cannot be written"):
        write_mei((Column((pitch,)),), ("treble",))


def test_unknown_clef_is_refused() -> None:
    with pytest.raises(InputError, match="No clef is called 'soprano'"):
        write_mei((Column(((0, 0, 4),)),), ("soprano",))


def test_labels_must_match_the_notes() -> None:
    with pytest.raises(InputError, match="2 notes but 1 labels"):
        scale([(0, 0, 4), (1, 0, 4)], ["1"])
