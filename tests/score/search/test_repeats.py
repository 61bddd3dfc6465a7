"""Repeats on little scores, and against comparing every passage with every other."""

from dataclasses import replace
from pathlib import Path

import music21
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sonorarium.score.reading import read_score
from sonorarium.score.score import Score
from sonorarium.score.search.finding import find, find_best
from sonorarium.score.search.listing import Listing
from sonorarium.score.search.passage import Passage
from sonorarium.score.search.query import Query
from tests.score.little_scores import little_score
from tests.score.random_scores import scores

CORPUS = Path(music21.__file__).parent / "corpus"


def folded(query: Query) -> Query:
    return replace(query, listing=Listing(query.listing.by, True))


def test_a_repeat_is_folded_and_named() -> None:
    score = little_score({"Flute": ["C4:1 E4:1 G4:2 F4:4 C4:1 E4:1 G4:2 F4:4"]})
    best = find_best(score, folded(Query.of("C E G", kind="line")))
    (one,) = best.passages
    assert (best.count, best.folded) == (2, 1)
    (again,) = one.repeats
    assert {one.bars, again.extent.bars} == {("1", "1"), ("3", "3")}
    assert (again.parts, again.semitones) == (("Flute",), 0)


def test_a_repeat_in_another_part_or_at_another_beat_is_a_repeat() -> None:
    score = little_score({"Flute": ["C4:1 E4:1 F4:6"], "Viola": ["F3:4 r:1 C4:1 E4:1 F4:1"]})
    (one,) = find_best(score, folded(Query.of("C E", kind="line"))).passages
    assert {one.parts, one.repeats[0].parts} == {("Flute",), ("Viola",)}


@pytest.mark.parametrize("second", ["C4:1 E4:2 F4:1", "C5:1 E4:1 F4:2", "E4:1 C4:1 F4:2", "C4:1 E4:1 C4:1 F4:1"])
def test_other_rhythm_register_or_order_is_no_repeat(second: str) -> None:
    score = little_score({"Flute": [f"C4:1 E4:1 F4:2 {second}"]})
    best = find_best(score, folded(Query.of("C E", kind="line")))
    assert (len(best.passages), best.folded) == (2, 0)
    assert all(not p.repeats and not p.transposed for p in best.passages)


def test_transposed_repeats_stay_apart_and_are_named() -> None:
    score = little_score({"Flute": ["C4:1 E4:1 F4:2 D4:1 F#4:1 G4:2 C5:1 E5:1 F5:2"]})
    best = find_best(score, folded(Query.of("2-4", kind="line", least_notes=2)))
    ours = sorted((p for p in best.passages if p.notes[0] in ("C4", "D4", "C5")), key=lambda p: p.onset)
    assert [[one.semitones for one in p.transposed] for p in ours] == [[2, 12], [-2, 10], [-12, -10]]
    assert best.folded == 0
    literal = find_best(score, folded(Query.of("C E", kind="line"))).passages
    assert [len(p.transposed) for p in literal] == [1, 1]  # what shows another set was not searched for


# Every passage against every other


def content(score: Score, p: Passage) -> list[tuple[int, int, int]]:
    rows = [score.notes[row] for row in p.rows]
    ends = [min(int(n["onset"] + n["duration"]), p.end) - p.onset for n in rows]
    starts = [max(int(n["onset"]), p.onset) - p.onset for n in rows]
    return sorted((a, int(n["pitch"]), b) for n, a, b in zip(rows, starts, ends, strict=True))


def moved_by(score: Score, one: Passage, other: Passage) -> int | None:
    """How many semitones higher the other is, where it is the same passage moved."""
    first, second = content(score, one), content(score, other)
    if one.kind != other.kind or len(first) != len(second) or one.end - one.onset != other.end - other.onset:
        return None
    by = second[0][1] - first[0][1]
    same = [(a, pitch + by, b) for a, pitch, b in first] == second and one.pcs.transposed(by) == other.pcs
    return by if same else None


def assert_folded_rightly(score: Score, query: Query) -> None:
    every = find(score, query)
    best = find_best(score, folded(query))
    assert best.count == len(every)
    assert best.folded == len(every) - len(best.passages)
    left = list(every)
    for passage in best.passages:
        assert replace(passage, repeats=(), transposed=()) == left[0]
        same = [p for p in every if moved_by(score, passage, p) == 0]
        assert sorted((r.extent.onset, r.parts) for r in passage.repeats) == sorted(
            (p.onset, p.parts) for p in same if p is not left[0]
        )
        moved = [(p.onset, by) for p in every if (by := moved_by(score, passage, p))]
        assert sorted((t.extent.onset, t.semitones) for t in passage.transposed) == sorted(moved)
        left = [p for p in left if not any(p is one for one in same)]
    assert not left


@settings(max_examples=150, deadline=None)
@given(scores(least=10), st.sampled_from(["1-1", "2-1", "2-2", "2-5", "3-2"]), st.booleans(), st.integers(0, 2))
def test_repeats_agree_with_comparing_all(score: Score, label: str, struck: bool, extra: int) -> None:
    query = replace(Query.of(label), extra=extra)
    assert_folded_rightly(score, query)
    if not struck:
        assert_folded_rightly(score, replace(query, listing=Listing("place")))


@pytest.mark.parametrize("piece", ["joplin/maple_leaf_rag.mxl", "bach/bwv66.6.mxl"])
def test_repeats_in_real_pieces_agree_with_comparing_all(piece: str) -> None:
    score = read_score(CORPUS / piece)
    for query in (Query.of("4-27", kind=["chord", "line"]), Query.of("3-10", kind="texture")):
        assert_folded_rightly(score, query)


def test_a_limit_keeps_the_best_groups() -> None:
    score = read_score(CORPUS / "joplin/maple_leaf_rag.mxl")
    query = folded(Query.of("4-27"))
    every, few = find_best(score, query), find_best(score, query, 5)
    assert few.passages == every.passages[:5]
    assert (few.count, few.folded) == (every.count, every.folded)
    assert every.folded > 10  # a rag repeats its strains
