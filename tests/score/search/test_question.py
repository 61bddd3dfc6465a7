"""Questions as they are typed: options become a query, rows become a chain, contradictions are refused."""

from __future__ import annotations

from fractions import Fraction

import pytest

from sonorarium.errors import InputError
from sonorarium.score.search.asked import in_words
from sonorarium.score.search.chain import Chain
from sonorarium.score.search.query import ANY_EXTRA, KINDS, Query
from sonorarium.score.search.question import Typed, question


def asked(what: str, typed: Typed) -> Query:
    found = question(what, typed)
    assert isinstance(found, Query)
    return found


def test_nothing_typed_is_every_kind_with_repeats_folded() -> None:
    query = asked("5-26", Typed())
    assert query.kinds == KINDS and query.listing.fold and query.listing.by == "salience"
    assert in_words(query).startswith("class 5-26 under transposition and inversion")


def test_lengths_go_where_their_unit_belongs() -> None:
    assert asked("5-26", Typed(shortest="3 quarters")).least_quarters == 3
    query = asked("5-26", Typed(shortest="2 bars", longest="4 bars"))
    assert query.least_quarters == 0
    assert (query.limits.least_bars, query.limits.most_bars) == (Fraction(2), Fraction(4))


def test_every_option_is_said_in_words() -> None:
    typed = Typed(kind=("chord",), under="Tn", at_least=True, bass="C", top="B", least_notes=4, near=1, every=True)
    query = asked("3-11A", typed)
    assert query.extra == ANY_EXTRA
    told = in_words(query)
    for words in ("as chord", "under transposition", "1 semitone away", "at least 4 notes", "C", "lowest", "highest"):
        assert words in told, words
    assert "repeats folded" not in told


def test_a_row_is_a_chain_that_is_never_folded() -> None:
    chain = question("5-6 then 5-15 within two bars", Typed(kind=("texture",)))
    assert isinstance(chain, Chain)
    assert [link.name for link in chain.links] == ["5-6", "5-15"]
    assert not any(link.listing.fold for link in chain.links)


@pytest.mark.parametrize(
    ("what", "typed"),
    [
        ("5-26", Typed(at_least=True, extra=1)),
        ("5-26", Typed(shortest="2 sheep")),
        ("5-26", Typed(by="beauty")),
        ("5-26", Typed(under="sideways")),
        ("no set at all", Typed()),
    ],
)
def test_what_is_not_understood_is_refused(what: str, typed: Typed) -> None:
    with pytest.raises(InputError):
        question(what, typed)
