from dataclasses import replace
from fractions import Fraction

import pytest

from sonorarium.errors import InputError
from sonorarium.pcs.pcset import PcSet
from sonorarium.pcs.reading import read_set
from sonorarium.pcs.setclass import SetClass
from sonorarium.score.search.limits import Limits
from sonorarium.score.search.listing import Listing
from sonorarium.score.search.nearness import Near
from sonorarium.score.search.query import KINDS, Query


def test_a_query_is_made_of_what_is_typed() -> None:
    assert Query.of("C E G") == Query(PcSet((0, 4, 7)))
    assert Query.of("4-19", kind="line") == Query(SetClass("4-19"), ("line",))
    assert Query.of(read_set("D double harmonic")).subject == PcSet((1, 2, 3, 6, 7, 9, 10))
    assert Query.of("C E", kind=["texture", "chord"], parts="Flute") == Query(
        PcSet((0, 4)), ("chord", "texture"), ("Flute",)
    )


@pytest.mark.parametrize(("label", "count"), [("4-19", 24), ("4-19A", 12), ("4-28", 3), ("12-1", 1)])
def test_every_form_is_searched_for(label: str, count: int) -> None:
    assert len(Query(SetClass(label)).forms) == count
    assert Query(SetClass(label)).name == label


def test_a_literal_set_is_its_only_form() -> None:
    query = Query(PcSet((0, 4, 7)))
    assert query.forms.tolist() == [145]
    assert query.name == "0 4 7"


def test_all_kinds_are_searched_unless_some_are_named() -> None:
    assert Query(PcSet((0,))).kinds == KINDS == ("chord", "line", "texture")


def test_a_tolerance_is_exact_in_thousandths() -> None:
    assert Query.of("C E", tolerance=0.1).tolerance == Fraction(1, 10)
    assert Query.of("C E", tolerance=Fraction(1, 3)).tolerance == Fraction(333, 1000)
    with pytest.raises(InputError, match="in thousandths"):
        Query(PcSet((0,)), tolerance=Fraction(1, 3))


def test_repr_evaluates_back() -> None:
    query = Query(SetClass("4-19"), ("line",), ("Flute", 2), Fraction(1, 20), 4, Fraction(1, 2))
    assert eval(repr(query)) == query
    assert hash(query) == hash(eval(repr(query)))
    rich = replace(query, limits=Limits(bars="9-12", bass=3), listing=Listing("place", True), near=Near(1))
    assert eval(repr(rich)) == rich


@pytest.mark.parametrize(
    ("options", "sentence"),
    [
        ({"kind": "melody"}, r"There is no kind of passage 'melody'\. The kinds are chord, line, texture\."),
        ({"kind": ["line", "tune"]}, "There is no kind of passage 'tune'"),
        ({"kind": ()}, "given once each"),
        ({"tolerance": 1}, "A tolerance of 1 has no meaning"),
        ({"tolerance": -0.1}, "A tolerance of -0.1 has no meaning"),
        ({"tolerance": 0.1, "kind": "chord"}, "A chord is exact"),
        ({"least_notes": 0}, "fewer notes than one"),
        ({"least_quarters": -1}, "shorter than nothing"),
        ({"what": PcSet()}, "The empty set"),
        ({"what": 7}, "7 is no set"),
        ({"what": "H Q"}, "."),
    ],
)
def test_options_without_meaning_are_refused(options: dict[str, object], sentence: str) -> None:
    with pytest.raises(InputError, match=sentence):
        Query.of(**({"what": PcSet((0,))} | options))  # type: ignore[arg-type]


def test_kinds_have_one_order() -> None:
    with pytest.raises(InputError, match="given once each, in order"):
        Query(PcSet((0,)), ("line", "chord"))


def test_what_counts_as_the_same_set_may_be_widened() -> None:
    literal = Query.of("C E Ab B", kind="chord")
    assert literal.under("literal") == literal
    assert literal.under("Tn") == Query.of("4-19B", kind="chord")
    assert literal.under("TnI") == Query.of("4-19", kind="chord")
    assert Query.of("4-19B").under("TnI").subject == SetClass("4-19")
    assert Query.of("4-19B").under("Tn").subject == SetClass("4-19B")
    assert Query.of("C Eb Gb A").under("Tn").forms.tolist() == Query.of("4-28").forms.tolist()


@pytest.mark.parametrize(("what", "under"), [("4-19", "Tn"), ("4-19", "literal"), ("4-19A", "literal")])
def test_a_class_cannot_be_narrowed(what: str, under: str) -> None:
    with pytest.raises(InputError, match="is a class, which leaves open"):
        Query.of(what).under(under)


def test_what_is_no_equivalence_is_refused() -> None:
    with pytest.raises(InputError, match=r"under 'T5'\. Choose literal, Tn, TnI\."):
        Query.of("C E").under("T5")


@pytest.mark.parametrize(
    ("options", "sentence"),
    [
        ({"extra": 13}, "cannot hold 13 others"),
        ({"extra": 1, "kinds": ("line", "texture")}, "Only a chord may hold others"),
        ({"struck": True, "kinds": ("line",)}, "asking for struck notes changes nothing"),
    ],
)
def test_options_that_change_nothing_are_refused(options: dict[str, object], sentence: str) -> None:
    with pytest.raises(InputError, match=sentence):
        replace(Query.of("C E G"), **options)  # type: ignore[arg-type]
