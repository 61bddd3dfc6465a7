"""Near sets against small moves made one by one, and likeness against its formula."""

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sonorarium.errors import InputError
from sonorarium.pcs.distance import distance
from sonorarium.pcs.kin import neighbours
from sonorarium.pcs.pcset import PcSet
from sonorarium.pcs.setclass import SetClass
from sonorarium.score.search.finding import find, find_nearest
from sonorarium.score.search.limits import Limits
from sonorarium.score.search.nearness import EXACTLY, Near, difference, farness, nearness, searched_forms
from sonorarium.score.search.query import Query
from tests.score.little_scores import little_score

SETS = st.integers(1, 4094).map(PcSet.of_mask)


@settings(max_examples=60, deadline=None)
@given(SETS)
def test_one_semitone_is_a_move_a_split_or_a_merge(what: PcSet) -> None:
    near = {one.pcset.mask for one in neighbours(what, kinds=("move", "split", "merge"))}
    assert set(searched_forms(what, Near(1)).tolist()) == near | {what.mask}


@settings(max_examples=40, deadline=None)
@given(SETS, SETS, st.integers(1, 4))
def test_near_by_semitones_is_the_least_voice_leading(what: PcSet, other: PcSet, semitones: int) -> None:
    is_near = distance(what, other) <= semitones
    assert (other.mask in searched_forms(what, Near(semitones))) == is_near
    if is_near and what != other:
        found = nearness(what, Near(semitones), other.mask)
        assert found is not None
        assert (found.to, found.semitones, found.likeness) == (what, distance(what, other), None)


@pytest.mark.parametrize("label", ["3-11", "3-11A", "4-28", "5-26B", "7-35"])
def test_a_class_is_near_where_one_of_its_forms_is(label: str) -> None:
    wanted = SetClass(label)
    near = {one.pcset.mask for form in wanted.forms for one in neighbours(form, kinds=("move", "split", "merge"))}
    own = {form.mask for form in wanted.forms}
    assert set(searched_forms(wanted, Near(1)).tolist()) == near | own
    for mask in near - own:
        found = nearness(wanted, Near(1), mask)
        assert found is not None
        assert found.to in wanted.forms
        assert distance(PcSet(found.to.pcs if isinstance(found.to, PcSet) else ()), PcSet.of_mask(mask)) == 1


def asim(one: PcSet, other: PcSet) -> Fraction:
    pairs = list(zip(one.interval_vector, other.interval_vector, strict=True))
    return Fraction(sum(abs(a - b) for a, b in pairs), max(1, sum(a + b for a, b in pairs)))


@pytest.mark.parametrize("label", ["4-Z15", "5-26", "3-12"])
def test_likeness_is_one_less_asim(label: str) -> None:
    wanted, near = SetClass(label), Near.alike(0.8)
    forms = set(searched_forms(wanted, near).tolist())
    for mask in range(1, 4096, 5):
        other = PcSet.of_mask(mask)
        alike = 1 - asim(wanted.representative, other)
        assert (mask in forms) == (alike >= Fraction(4, 5) or other in wanted)
        marked = nearness(wanted, near, mask) if mask in forms else None
        if marked:
            assert marked.likeness == pytest.approx(float(alike), abs=1e-4)
            assert (marked.to, marked.semitones) == (wanted.tni, None)


def test_partners_in_the_z_relation_are_alike_and_marked() -> None:
    partner = SetClass("4-Z29").representative
    marked = nearness(SetClass("4-Z15"), Near.alike(1), partner.mask)
    assert marked is not None
    assert marked.difference == "4-Z29A for 4-Z15, likeness 1.00"


@pytest.mark.parametrize(
    ("wanted", "shown", "said"),
    [
        ((0, 4, 7), (0, 3, 7), "E♭ for E"),
        ((0, 4, 7), (0, 4, 7, 8), "A♭ besides"),
        ((0, 4, 7, 11), (0, 4, 7), "without B"),
        ((0, 4, 7), (1, 4, 8), "C♯ for C, A♭ for G"),
        ((0, 4, 5, 7), (0, 3, 7), "E♭ for E, without F"),
    ],
)
def test_what_differs_is_said(wanted: tuple[int, ...], shown: tuple[int, ...], said: str) -> None:
    assert difference(PcSet(wanted), PcSet(shown)) == said


@given(SETS, SETS)
def test_what_differs_names_every_note_that_is_not_shared(one: PcSet, other: PcSet) -> None:
    said = difference(one, other)
    gone, new = len(one - other), len(other - one)
    assert said.count(" for ") + said.count("without") == gone
    assert said.count(" for ") + said.count("besides") == new


def test_exact_finds_come_before_near_ones_and_these_are_marked() -> None:
    score = little_score({"Piano": ["C4+Eb4+G4:8 C4+E4+G4:1 D4:3"]})
    found = find(score, Query(PcSet((0, 4, 7)), ("chord",), near=Near(1)))
    assert [(p.notes[1], p.farness) for p in found] == [("E4", 0), ("Eb4", 1)]
    assert found[0].near is None
    assert found[1].near is not None
    assert found[1].near.difference == "E♭ for E"
    assert found[0].salience.total < found[1].salience.total


def test_the_nearest_finds_keep_the_other_options() -> None:
    score = little_score({"Piano": ["C4+Eb4+G4:4 E4+G4+C5:4"]})
    minor_in_bar_2 = Query(PcSet((0, 3, 7)), ("chord",), limits=Limits(bars="2"))
    assert not find(score, minor_in_bar_2)
    (one,) = find_nearest(score, minor_in_bar_2).passages
    assert (one.bars, one.pcs) == (("2", "2"), PcSet((0, 4, 7)))
    (two_away,) = find_nearest(score, Query(PcSet((0, 4, 9)), ("chord",))).passages
    assert two_away.farness == 2
    assert find_nearest(score, Query(PcSet((1, 2, 6, 8, 9)), ("chord",))).passages == ()


def test_farness_is_nothing_for_the_set_itself_and_endless_for_others() -> None:
    far = farness(PcSet((0, 4, 7)), EXACTLY)
    assert far[0b10010001] == 0
    assert (far < float("inf")).sum() == 1
    assert not (farness(SetClass("3-11"), Near(4))[0] < float("inf"))


@pytest.mark.parametrize(
    ("semitones", "likeness", "sentence"),
    [
        (5, None, "within 5 semitones cannot"),
        (-1, None, "within -1 semitones cannot"),
        (0, Fraction(3, 2), "likeness of 1.5 has no meaning"),
        (0, Fraction(0), "likeness of 0 has no meaning"),
        (0, Fraction(1, 3), "has no meaning"),
        (1, Fraction(1, 2), "not by both"),
    ],
)
def test_numbers_without_meaning_are_refused(semitones: int, likeness: Fraction | None, sentence: str) -> None:
    with pytest.raises(InputError, match=sentence):
        Near(semitones, likeness)


def test_likeness_of_a_literal_set_is_refused() -> None:
    with pytest.raises(InputError, match="a matter of classes"):
        Query(PcSet((0, 4, 7)), near=Near.alike(0.9))
