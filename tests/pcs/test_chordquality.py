"""Chord qualities: what each means, by hand, and that the table is sound."""

from __future__ import annotations

import pytest

from sonorarium.errors import InputError
from sonorarium.pcs.chordquality import Quality, bases, degree_height, degree_number
from sonorarium.pcs.chordsymbol import read_quality


def test_the_table_is_sound() -> None:
    for symbol, base in bases().items():
        assert symbol == base.symbol
        assert base.degrees[0] == "1"
        assert len({degree_height(d) for d in base.degrees}) == len(base.degrees)
        assert 0 <= base.simplicity <= 4
        assert base.words
    assert len({q.mask for q in map(Quality, bases())}) == len(bases()), "two bases mean one set"


def test_every_base_is_read_in_every_style_and_in_words() -> None:
    for symbol, base in bases().items():
        for text in (symbol, base.style_m, base.style_triangle):
            assert read_quality(text) == Quality(symbol)
    for words in ("major triad", "minor triad", "diminished triad", "augmented triad", "dominant seventh"):
        assert read_quality(words).words == words
    for words in ("major seventh", "minor seventh", "minor-major seventh", "diminished seventh", "minor eleventh"):
        assert read_quality(words.replace("-", " ")).words == words


@pytest.mark.parametrize(
    ("degree", "height"), [("1", 0), ("b3", 3), ("bb7", 9), ("#9", 3), ("b13", 8), ("#11", 6), ("13", 9)]
)
def test_degrees(degree: str, height: int) -> None:
    assert degree_height(degree) == height
    assert degree_number(degree) == int(degree.lstrip("b#"))


@pytest.mark.parametrize(
    ("quality", "heights"),
    [
        (Quality("9", altered=("b9",)), (0, 1, 4, 7, 10)),
        (Quality("7", altered=("b9", "#9")), (0, 1, 3, 4, 7, 10)),
        (Quality("7", altered=("#11",)), (0, 4, 6, 7, 10)),
        (Quality("13", altered=("#11",)), (0, 2, 4, 6, 7, 9, 10)),
        (Quality("7", sus="sus4", altered=("b9",)), (0, 1, 5, 7, 10)),
        (Quality("7", altered=("b5", "#5")), (0, 4, 6, 8, 10)),
        (Quality("13", omitted=("11",)), (0, 2, 4, 7, 9, 10)),
        (Quality("", added=("9",), omitted=("3",)), (0, 2, 7)),
    ],
)
def test_changes_to_a_base(quality: Quality, heights: tuple[int, ...]) -> None:
    assert quality.heights == heights
    assert quality.mask == sum(1 << h for h in heights)


def test_what_cannot_be() -> None:
    with pytest.raises(InputError, match="A chord without 7 cannot leave it out"):
        Quality("", omitted=("7",))
    with pytest.raises(InputError, match="There is no chord quality 'x'"):
        Quality("x")


def test_words() -> None:
    assert Quality("7", altered=("#9",), omitted=("5",)).words == "dominant seventh, sharp 9, without 5"
    assert Quality("", sus="sus4").words == "triad, suspended fourth"
    assert Quality("", added=("b9",)).words == "major triad, added flat 9"


def test_canonical_writing_keeps_the_set() -> None:
    for quality in (
        Quality("", altered=("#5",)),
        Quality("m7", altered=("b5",)),
        Quality("mMaj7", altered=("b5",)),
        Quality("", altered=("#11",)),
        Quality("6", added=("9",)),
    ):
        assert quality.canonical.mask == quality.mask
        assert quality.canonical.canonical == quality.canonical
