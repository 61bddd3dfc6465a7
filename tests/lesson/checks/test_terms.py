"""Terms are read as a musician writes them, with every meaning they can have."""

from __future__ import annotations

import pytest

from sonorarium.lesson.checks.terms import Setting, in_words, number, read_family_name, read_list, read_term


@pytest.mark.parametrize(
    ("text", "titles"),
    [
        ("5-22", ["5-22"]),
        ("the class 5-Z17", ["5-Z17"]),
        ("[01478]", ["5-22"]),
        ("(0,1,4,8)", ["4-19"]),
        ("the notes C, E, A♭ and B", ["C E A♭ B"]),
        ("the double harmonic scale", ["double harmonic"]),
        ("a major triad", ["major triad"]),
        ("E/C", ["E/C"]),
        ("C minor", ["C minor", "C harmonic minor", "C melodic minor", "Cm"]),
        ("major", []),
        ("a minor seventh", []),
        ("a minor seventh chord", ["minor seventh chord"]),
        ("12", []),
        ("3) C", []),
        ("two semitones in a row", []),
        ("the scale", []),
        ("7-99", []),
    ],
)
def test_what_a_term_can_mean(text: str, titles: list[str]) -> None:
    assert [term.title for term in read_term(text)] == titles


def test_a_at_the_head_of_a_sentence_may_be_an_article() -> None:
    assert {term.sort for term in read_term("A harmonic minor", first=True)} == {"place", "shape"}
    assert {term.sort for term in read_term("A harmonic minor")} == {"place"}


def test_the_scale_points_back() -> None:
    (scale,) = read_term("D double harmonic")
    assert read_term("the scale", Setting(scale=scale)) == (scale,)


def test_lists_and_families() -> None:
    found = read_list("both 5-16, 5-Z17 and the harmonic major")
    assert [one[0].title for one in found] == ["5-16", "5-Z17", "harmonic major"]
    assert read_list("5-16 and the sea") == []
    family = read_family_name("the scales without consecutive semitones")
    assert family is not None
    assert len(family.kinds) == 7
    assert read_family_name("the scales of the sea") is None


def test_numbers_in_words_and_back() -> None:
    assert [number(word) for word in ("no", "twelve", "12", "third", "22nd", "thrice", "five times")] == [
        *(0, 12, 12, 3, 22, 3, 5)
    ]
    assert [in_words(n) for n in (0, 1, 2, 5, 14)] == ["not at all", "once", "twice", "five times", "14 times"]
