from fractions import Fraction

import pytest

from sonorarium.errors import InputError
from sonorarium.score.search.finding import find
from sonorarium.score.search.limits import UNLIMITED, Limits, read_length
from sonorarium.score.search.query import Query
from tests.score.little_scores import TICKS, little_score


@pytest.mark.parametrize(
    ("text", "amount", "unit"),
    [
        ("2 bars", 2, "bars"),
        ("one bar", 1, "bars"),
        ("1.5b", Fraction(3, 2), "bars"),
        ("3/2 quarters", Fraction(3, 2), "quarters"),
        ("3", 3, "quarters"),
        ("no quarters", 0, "quarters"),
        ("Ten Bars", 10, "bars"),
    ],
)
def test_lengths_are_read(text: str, amount: Fraction, unit: str) -> None:
    found = read_length(text)
    assert found == (amount, unit)
    assert read_length(str(found)) == found


@pytest.mark.parametrize("text", ["", "bars", "two weeks", "-1", "1/0", "a bar or so", "1//2"])
def test_what_is_no_length_is_refused(text: str) -> None:
    with pytest.raises(InputError, match="is no length"):
        read_length(text)


def test_limits_are_made_of_what_is_typed() -> None:
    assert Limits.of() == Limits() == UNLIMITED
    typed = Limits.of(shortest="1/2 bar", longest="3", bars=" 9-12 ", bass="Eb", top=11)
    assert typed == Limits(Fraction(1, 2), Fraction(3), None, "9-12", 3, 11)
    assert Limits.of(longest="2 bars").most_bars == 2
    assert eval(repr(typed)) == typed


@pytest.mark.parametrize(
    ("options", "sentence"),
    [
        ({"shortest": "2"}, "belongs to the query itself"),
        ({"shortest": "3 bars", "longest": "2 bars"}, "at least 3 and at most 2 bars"),
        ({"longest": "0"}, "longer than nothing"),
        ({"bass": "12"}, "no pitch class 12"),
        ({"top": "H"}, "not a note name"),
    ],
)
def test_limits_without_meaning_are_refused(options: dict[str, str], sentence: str) -> None:
    with pytest.raises(InputError, match=sentence):
        Limits.of(**options)


def test_shortest_and_longest_in_quarters_must_agree() -> None:
    with pytest.raises(InputError, match="at least 3 and at most 2 quarters"):
        Query(Query.of("C E").subject, least_quarters=Fraction(3), limits=Limits(most_quarters=Fraction(2)))


def test_length_in_bars_is_by_the_metre_where_it_begins() -> None:
    line = "C4:3/2 E4:3/2 F4:3 E4:3/4 C4:3/4 F4:3/2"
    score = little_score({"Flute": [line]}, metre=(6, 8))
    for limits, places in (
        (Limits(), [(0, 3), (6, 7.5)]),
        (Limits(least_bars=Fraction(1)), [(0, 3)]),
        (Limits(most_bars=Fraction(1, 2)), [(6, 7.5)]),
        (Limits(most_quarters=Fraction(3, 2)), [(6, 7.5)]),
    ):
        found = find(score, Query(Query.of("C E").subject, ("line",), limits=limits))
        assert sorted((p.onset / TICKS, p.end / TICKS) for p in found) == places


def test_a_range_of_bars_is_searched_as_if_nothing_else_were_there() -> None:
    score = little_score({"Flute": ["E4:4 C4:6 E4:2 C4:4"]})
    (found,) = find(score, Query(Query.of("C E").subject, ("texture",), limits=Limits(bars="2-3")))
    assert (found.onset / TICKS, found.end / TICKS, found.bars) == (4, 12, ("2", "3"))
    (found,) = find(score, Query(Query.of("C E").subject, ("line",), limits=Limits(bars="3")))
    assert (found.onset / TICKS, found.end / TICKS, found.notes) == (8, 12, ("C4", "E4"))
    with pytest.raises(InputError, match="has no bar 9"):
        find(score, Query(Query.of("C E").subject, limits=Limits(bars="9")))


def test_the_bass_of_a_chord_is_asked_from_slice_to_slice() -> None:
    score = little_score({"Flute": ["G4:4"], "Viola": ["E4:4"], "Bass": ["C3:1 E3+C4:1 C3:2"]})
    for bass, places in ((0, [(0, 1), (2, 4)]), (4, [(1, 2)]), (7, [])):
        query = Query(Query.of("C E G").subject, ("chord",), limits=Limits(bass=bass))
        assert sorted((p.onset / TICKS, p.end / TICKS) for p in find(score, query)) == places


def test_bass_and_top_of_a_line_are_its_lowest_and_highest_notes() -> None:
    score = little_score({"Flute": ["E4:1 C5:1 G4:2"]})
    for limits, count in ((Limits(bass=4), 1), (Limits(bass=0), 0), (Limits(top=0), 1), (Limits(bass=4, top=7), 0)):
        for kind in ("line", "texture"):
            query = Query.of("C E G", kind=kind)
            assert len(find(score, Query(query.subject, query.kinds, limits=limits))) == count
