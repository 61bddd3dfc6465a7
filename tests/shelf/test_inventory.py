from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings

from sonorarium.score.reading import read_score
from sonorarium.score.score import Score
from sonorarium.score.search.finding import find_best
from sonorarium.score.search.material import Material
from sonorarium.score.search.query import KINDS, Query
from sonorarium.score.search.runs import longest_runs
from sonorarium.shelf import inventory
from sonorarium.shelf.inventory import every_run, form_lookup, take_inventory
from tests.score.random_scores import scores
from tests.shelf.library import PIECES

ALL = np.arange(1, 4096, dtype=np.int16)


def check_runs(material: Material) -> None:
    for items in (material.sliced, material.lines.succession):
        found, one_by_one = every_run(items), longest_runs(items, ALL)
        assert np.array_equal(np.stack(found), np.stack(one_by_one))


def check_inventory(score: Score, query: Query) -> None:
    rows = take_inventory(Material(score))
    rows = rows[form_lookup(query.forms)[rows["form"]]]
    order = np.lexsort(
        [rows["first"], rows["form"], rows["kind"], rows["end"], rows["onset"], -rows["salience"].astype(int)]
    )
    listed = [
        (KINDS[row["kind"]], row["form"], row["onset"], row["end"], row["notes"], row["salience"] / 10_000)
        for row in rows[order]
    ]
    found = find_best(score, query).passages
    assert listed == [(p.kind, p.pcs.mask, p.onset, p.end, len(p.rows), p.salience.total) for p in found]


@settings(max_examples=60, deadline=None)
@given(scores())
def test_one_pass_finds_what_is_found_one_set_at_a_time(score: Score) -> None:
    if len(score.sounding):
        check_runs(Material(score))


@settings(max_examples=40, deadline=None)
@given(scores())
def test_the_inventory_lists_what_a_search_finds(score: Score) -> None:
    for what in ("1-1", "2-5", "3-11", "3-11A", "C E"):
        check_inventory(score, Query.of(what))


@pytest.mark.parametrize("piece", PIECES, ids=lambda path: path.stem)
def test_open_scores_give_the_same_both_ways(piece: Path) -> None:
    score = read_score(piece)
    check_runs(Material(score))
    for what in ("3-11", "4-19", "5-26", "7-35", "12-1"):
        check_inventory(score, Query.of(what))


def test_small_portions_measure_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    score = read_score(PIECES[0])
    whole = take_inventory(Material(score))
    monkeypatch.setattr(inventory, "_MOST_RUNS", 50)
    monkeypatch.setattr(inventory, "_MOST_ITEMS", 120)
    assert np.array_equal(take_inventory(Material(score)), whole)
