from collections import Counter
from pathlib import Path

import numpy as np
import pytest

from sonorarium.errors import InputError
from sonorarium.pcs.pcset import PcSet
from sonorarium.score.reading import read_score
from sonorarium.score.search.finding import find
from sonorarium.score.search.query import Query
from sonorarium.score.slices import slice_score
from sonorarium.shelf.shelf import Shelf
from sonorarium.shelf.statistics import COUNTED, ClassUse, class_use, slices_by_set


def test_slices_are_counted_as_by_hand(indexed: Shelf, library: Path) -> None:
    counts: Counter[str] = Counter()
    quarters: Counter[str] = Counter()
    found_in: dict[str, set[Path]] = {}
    for path in library.rglob("*.mxl"):
        score = read_score(path)
        slices = slice_score(score)
        for mask, ticks in zip(slices.masks.tolist(), slices.durations.tolist(), strict=True):
            if mask:
                label = PcSet.of_mask(mask).set_class.label
                counts[label] += 1
                quarters[label] += ticks / score.ticks_per_quarter
                found_in.setdefault(label, set()).add(path)
    used = {use.label: use for use in class_use(indexed) if use.count}
    assert {label: use.count for label, use in used.items()} == counts
    assert {label: use.scores for label, use in used.items()} == {k: len(v) for k, v in found_in.items()}
    for label, use in used.items():
        assert use.quarters == pytest.approx(quarters[label])


@pytest.mark.parametrize("kind", ["chord", "line", "texture"])
def test_other_kinds_are_counted_as_they_are_found(kind: str, indexed: Shelf, library: Path) -> None:
    uses = {use.label: use.count for use in class_use(indexed, kind=kind, inversion=False)}
    for label in ("3-11A", "3-11B", "4-27B", "2-3", "7-35"):
        query = Query.of(label, kind=kind)
        assert uses[label] == sum(len(find(read_score(path), query)) for path in library.rglob("*.mxl"))


def test_every_class_is_listed_used_or_not(indexed: Shelf) -> None:
    both, apart = class_use(indexed), class_use(indexed, inversion=False)
    assert (len(both), len(apart)) == (223, 351)
    assert both[0].label == "1-1"
    assert ClassUse("9-1") in both
    assert sum(use.count for use in both) == sum(use.count for use in apart) == slices_by_set(indexed)[1:].sum()


def test_groups_add_up(indexed: Shelf) -> None:
    for kind in COUNTED:
        whole = {use.label: use.count for use in class_use(indexed, kind=kind) if use.count}
        grouped = class_use(indexed, kind=kind, by="composer")
        added: Counter[str] = Counter()
        for use in grouped:
            added[use.label] += use.count
        assert added == whole
    composers = {row.composer for row in indexed.snapshot().scores.values()}
    assert {use.group for use in grouped} == composers
    assert len(composers) > 1
    assert {use.group for use in class_use(indexed, by="date")} == {
        row.date for row in indexed.snapshot().scores.values()
    }


def test_an_empty_shelf_uses_nothing(shelf: Shelf) -> None:
    assert not any(use.count for use in class_use(shelf))
    assert class_use(shelf, by="composer") == ()
    assert np.array_equal(slices_by_set(shelf), np.zeros(4096))


def test_unknown_words_are_refused(indexed: Shelf) -> None:
    with pytest.raises(InputError, match=r"There is no kind 'cluster' to count by\. Choose one of slice, chord"):
        class_use(indexed, kind="cluster")
    with pytest.raises(InputError, match=r"There is no group 'title'"):
        class_use(indexed, by="title")  # type: ignore[arg-type]
