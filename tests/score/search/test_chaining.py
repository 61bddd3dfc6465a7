"""Chains on little scores, and against plain loops over what each set finds by itself."""

from dataclasses import replace
from fractions import Fraction
from itertools import pairwise, product
from pathlib import Path

import music21
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sonorarium.errors import InputError
from sonorarium.score.metre import Metre
from sonorarium.score.reading import read_score
from sonorarium.score.score import Score
from sonorarium.score.search.chain import Chain
from sonorarium.score.search.chaining import ChainPassage, find_chains
from sonorarium.score.search.finding import find
from sonorarium.score.search.limits import Length
from sonorarium.score.search.listing import Listing
from sonorarium.score.search.passage import Passage
from sonorarium.score.search.query import Query
from tests.score.little_scores import TICKS, little_score
from tests.score.random_scores import scores

CORPUS = Path(music21.__file__).parent / "corpus"


def test_two_chords_in_a_row() -> None:
    score = little_score({"Piano": ["C4+E4+G4:2 D4+F4+A4:2 r:4 C4+E4+G#4:4"]})
    found = find_chains(score, Chain.of("C E G then D F A", kind="chord"))
    assert (found.count, found.link_counts) == (1, (1, 1))
    (one,) = found.chains
    assert (one.extent.onset / TICKS, one.extent.end / TICKS, one.extent.bars) == (0, 4, ("1", "1"))
    assert one.gaps_quarters == (Fraction(0),)
    assert one.salience == pytest.approx(sum(p.salience.total for p in one.passages) / 2, abs=1e-4)


@pytest.mark.parametrize(
    ("within", "count"), [("", 1), ("within 1 bar", 1), ("within 3 quarters", 0), ("within no bars", 0)]
)
def test_how_soon_a_set_must_follow(within: str, count: int) -> None:
    score = little_score({"Piano": ["C4+E4+G4:2 r:4 D4+F4+A4:2"]})
    assert find_chains(score, Chain.of(f"C E G then D F A {within}", kind="chord")).count == count


def test_passages_of_a_chain_may_overlap_but_each_goes_on_beyond_the_last() -> None:
    score = little_score({"Flute": ["C4:1 E4:1 G4:1 B4:1"]})
    (one,) = find_chains(score, Chain.of("C E G then E G B", kind="line")).chains
    assert one.gaps_quarters == (Fraction(-2),)
    assert not find_chains(score, Chain.of("C E G then E G", kind="line")).count


def test_a_passage_from_which_the_row_cannot_go_on_is_not_taken() -> None:
    score = little_score({"Piano": ["C4+E4:1 D4+F4:1 r:2 D4+F4:1 r:3 G4+B4:1 r:3"]})
    (one,) = find_chains(score, Chain.of("C E then D F within 1 bar then G B within 3 quarters", kind="chord")).chains
    assert [p.onset / TICKS for p in one.passages] == [0, 4, 8]


def test_a_chain_that_is_not_there_tells_how_often_each_set_is() -> None:
    score = little_score({"Piano": ["C4+E4+G4:4 D4+F4+A4:4 C4+E4+G4:4"]})
    found = find_chains(score, Chain.of("C E G then F A C", kind="chord"))
    assert (found.chains, found.count, found.link_counts) == ((), 0, (2, 0))
    assert (found.bars, found.notes) == (3, 9)


def test_folding_a_row_is_refused() -> None:
    folded = replace(Query.of("3-11"), listing=Listing(fold=True))
    with pytest.raises(InputError, match="are not folded"):
        find_chains(little_score({"Flute": ["C4:4"]}), Chain((folded, folded), (Length(Fraction(1), "bars"),)))


# Plain loops


def plain_chains(score: Score, chain: Chain) -> list[tuple[Passage, ...]]:
    """For each first passage, of all rows that fit the one whose second begins first, then whose third does …"""
    metre = Metre(score)
    out: list[tuple[Passage, ...]] = []
    for kind in chain.links[0].kinds:
        links = [find(score, replace(query, kinds=(kind,))) for query in chain.links]
        best: dict[Passage, tuple[Passage, ...]] = {}
        for row in product(*links):
            fits = all(follows(a, b, w, score, metre) for (a, b), w in zip(pairwise(row), chain.within, strict=True))
            if fits and (row[0] not in best or order(row) < order(best[row[0]])):
                best[row[0]] = row
        out += best.values()
    return out


def follows(before: Passage, after: Passage, within: Length, score: Score, metre: Metre) -> bool:
    bar = score.bars[metre.bar_index(before.end - 1)]
    ticks = Fraction(int(bar["beats"]) * 4 * score.ticks_per_quarter, int(bar["beat_type"])) or int(bar["duration"])
    unit = ticks if within.unit == "bars" else score.ticks_per_quarter
    later = after.onset > before.onset and after.end > before.end
    return later and after.onset - before.end <= within.amount * unit


def order(row: tuple[Passage, ...]) -> list[tuple[object, ...]]:
    return [(p.onset, -p.salience.total, p.end, p.pcs.mask, p.rows) for p in row[1:]]


def parts_of(chains: list[tuple[Passage, ...]]) -> list[list[tuple[object, ...]]]:
    return sorted([[(p.kind, p.onset, p.end, p.pcs.mask, p.rows) for p in one] for one in chains])


@settings(max_examples=150, deadline=None)
@given(scores(least=10), st.data())
def test_chains_agree_with_plain_loops(score: Score, data: st.DataObject) -> None:
    names = data.draw(st.lists(st.sampled_from(["1-1", "2-1", "2-2", "2-3", "2-4", "3-2"]), min_size=2, max_size=3))
    lengths = st.builds(Length, st.sampled_from([Fraction(0), Fraction(1, 2), Fraction(3)]), st.just("bars"))
    quarters = st.builds(Length, st.integers(0, 4).map(Fraction), st.just("quarters"))
    within = tuple(data.draw(st.one_of(lengths, quarters)) for _ in names[1:])
    chain = Chain(tuple(Query.of(name) for name in names), within)
    found = find_chains(score, chain)
    assert parts_of([one.passages for one in found.chains]) == parts_of(plain_chains(score, chain))
    assert found.count == len(found.chains)
    assert list(found.link_counts) == [len(find(score, link)) for link in chain.links]


@settings(max_examples=60, deadline=None)
@given(scores(least=12), st.sampled_from(["salience", "place", "teachability"]), st.integers(1, 4))
def test_a_limit_keeps_the_first_of_the_order(score: Score, by: str, limit: int) -> None:
    links = tuple(replace(Query.of(name), listing=Listing(by)) for name in ("1-1", "2-2"))  # type: ignore[arg-type]
    chain = Chain(links, (Length(Fraction(2), "bars"),))
    every = find_chains(score, chain).chains
    assert find_chains(score, chain, limit).chains == every[:limit]
    assert list(every) == sorted(every, key=lambda one: one.key(links[0].listing.by))


def test_a_real_piece_agrees_with_plain_loops() -> None:
    """The chorale ends from the leading note's diminished triad to the major one, as its last two slices show."""
    score = read_score(CORPUS / "bach/bwv66.6.mxl")
    chain = Chain.of("E# B D then F# A# C# within 2 quarters", kind=["chord", "texture"])
    found = find_chains(score, chain)
    assert parts_of([one.passages for one in found.chains]) == parts_of(plain_chains(score, chain))
    last = max(found.chains, key=lambda one: one.extent.end)
    assert last.extent.end == max(score.notes["onset"] + score.notes["duration"])


def test_the_json_form_has_these_keys() -> None:
    score = little_score({"Piano": ["C4+E4+G4:2 D4+F4+A4:2"]})
    (one,) = find_chains(score, Chain.of("C E G then D F A", kind="chord")).chains
    plain = one.as_dict()
    assert {key: plain[key] for key in ("gaps_quarters", "bars", "onset", "end", "kind")} == {
        "gaps_quarters": [0.0],
        "bars": ["1", "1"],
        "onset": 0,
        "end": 4 * TICKS,
        "kind": "chord",
    }
    assert plain["passages"] == [p.as_dict() for p in one.passages]
    assert isinstance(one, ChainPassage)
