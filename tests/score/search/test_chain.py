from fractions import Fraction

import pytest

from sonorarium.errors import InputError
from sonorarium.score.search.chain import NEXT_BAR, Chain, is_row, read_row
from sonorarium.score.search.limits import Length
from sonorarium.score.search.query import Query


def test_a_row_is_taken_apart() -> None:
    assert read_row("5-26 then 4-19 within two bars") == (("5-26", "4-19"), (Length(Fraction(2), "bars"),))
    assert read_row("C E G, then D F A Then 3-12 WITHIN 3 quarters") == (
        ("C E G", "D F A", "3-12"),
        (NEXT_BAR, Length(Fraction(3), "quarters")),
    )
    assert not is_row("C E G")
    assert is_row("3-11 then")


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("3-11 then", "A set is missing in '3-11 then'"),
        ("then 3-11", "A set is missing"),
        ("3-11 then within 2 bars", "A set is missing"),
        ("3-11 then 3-12 within a while", "'a while' is no length"),
        ("3-11 within 2 bars then 3-12", "Nothing comes before 3-11"),
        ("3-11", "A row of sets has two or more"),
        ("3-11 then 3-99", "There is no set class 3-99"),
    ],
)
def test_what_is_no_row_is_refused(text: str, sentence: str) -> None:
    with pytest.raises(InputError, match=sentence):
        Chain.of(text)


def test_all_sets_of_a_row_are_looked_for_in_the_same_notes() -> None:
    links = Query.of("3-11", kind="chord"), Query.of("3-12", kind="line")
    with pytest.raises(InputError, match="in the same notes, as the same kinds"):
        Chain(links, (NEXT_BAR,))


def test_a_chain_is_named_as_it_can_be_typed() -> None:
    chain = Chain.of("5-26 then 4-19 within two bars then 3-11", kind="texture", tolerance=0.1)
    assert chain.name == "5-26 then 4-19 within 2 bars then 3-11 within 1 bar"
    assert Chain.of(chain.name, kind="texture", tolerance=0.1) == chain
    assert {link.tolerance for link in chain.links} == {Fraction(1, 10)}
