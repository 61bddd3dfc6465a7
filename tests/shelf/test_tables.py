from collections import Counter
from dataclasses import fields, replace
from pathlib import Path

import numpy as np
import pyarrow as pa
import pyarrow.parquet as pq
import pytest
from hypothesis import given, settings

from sonorarium.pcs.pcset import PcSet
from sonorarium.score.reading import read_score
from sonorarium.score.score import Remark, Score
from sonorarium.score.search.finding import find
from sonorarium.score.search.query import Query
from sonorarium.score.slices import slice_score
from sonorarium.shelf import tables
from sonorarium.shelf.tables import TABLES, Entry, FileRow, files_table, rules, score_of, score_tables, write_tables
from tests.score.random_scores import scores
from tests.shelf.library import PIECES


def same(one: Score, other: Score) -> bool:
    """Equal in every field, tables to the last column."""
    pairs = [(getattr(one, f.name), getattr(other, f.name)) for f in fields(Score)]
    return all(a.dtype == b.dtype and np.array_equal(a, b) if isinstance(a, np.ndarray) else a == b for a, b in pairs)


def through_tables(score: Score) -> Score:
    made = score_tables([Entry.of(7, "content", score)])
    path = str(score.path) if score.path else None
    return score_of(made["scores"].to_pylist()[0], made["bars"].drop(["score"]), made["notes"].drop(["score"]), path)


@pytest.mark.parametrize("piece", PIECES, ids=lambda path: path.stem)
def test_a_score_comes_back_as_it_was(piece: Path) -> None:
    score = read_score(piece)
    assert same(through_tables(score), score)
    assert not same(through_tables(score), replace(score, title="Another"))


@settings(max_examples=40, deadline=None)
@given(scores())
def test_any_score_comes_back_as_it_was(score: Score) -> None:
    score = replace(score, remarks=(Remark("A tie has no end.", 1, "3"),), digest="ab", composer="“Anon”, é")
    assert same(through_tables(score), score)


def test_files_hold_what_was_written(tmp_path: Path) -> None:
    entries = [Entry.of(i, f"c{i}", read_score(piece)) for i, piece in enumerate(PIECES[:2])]
    made = {"files": files_table([FileRow("/b"), FileRow("/a", reason="x")]), **score_tables(entries)}
    assert set(made) == set(TABLES)
    write_tables(made, tmp_path)
    for name, table in made.items():
        assert pq.read_table(tmp_path / f"{name}.parquet").equals(table.combine_chunks())
    assert made["files"].column("path").to_pylist() == ["/a", "/b"]


def test_slices_and_counts_say_what_the_score_says() -> None:
    score = read_score(PIECES[3])
    made = score_tables([Entry.of(3, "", score)])
    slices = slice_score(score)
    assert made["slices"].column("mask").to_pylist() == slices.masks.tolist()
    assert made["slices"].column("label").to_pylist() == [PcSet.of_mask(m).label for m in slices.masks.tolist()]
    counts = {(row["kind"], row["label"]): (row["count"], row["ticks"]) for row in made["counts"].to_pylist()}
    by_hand = Counter(PcSet.of_mask(mask).label for mask in slices.masks.tolist() if mask)
    assert {label: count for (kind, label), (count, _) in counts.items() if kind == "slice"} == by_hand
    for label in ("3-5A", "4-16B", "2-6"):
        for kind in ("chord", "line", "texture"):
            found = find(score, Query.of(label, kind=kind))
            assert counts.get((kind, label), (0, 0)) == (len(found), sum(p.end - p.onset for p in found))


def test_occurrences_are_sorted_by_class() -> None:
    made = score_tables([Entry.of(i, "", read_score(piece)) for i, piece in enumerate(PIECES)])
    numbers = made["occurrences"].column("class_number").to_numpy()
    assert (np.diff(numbers) >= 0).all()
    assert len(numbers) > 1000


def test_no_scores_make_empty_tables_of_the_same_columns() -> None:
    empty, full = score_tables([]), score_tables([Entry.of(0, "", read_score(PIECES[0]))])
    for name in full:
        assert empty[name].num_rows == 0
        assert empty[name].schema.equals(full[name].schema), name
    assert pa.concat_tables([empty["counts"], full["counts"]]).num_rows == full["counts"].num_rows


def test_rules_follow_from_the_code_that_decides(monkeypatch: pytest.MonkeyPatch) -> None:
    assert rules() == rules()
    assert len(rules()) == 16
    monkeypatch.setattr(tables, "_DECIDING", ("shelf/tables.py",))
    assert rules.__wrapped__() != rules()


def test_corrections_make_another_content() -> None:
    assert FileRow("/a", digest="d").content == FileRow("/b", digest="d").content == "d"
    assert FileRow("/a", digest="d", corrections="c").content == "d+c"
