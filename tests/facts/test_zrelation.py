"""Published statements about classes with one interval vector, one row of ``zrelation.csv`` each, found anew."""

from __future__ import annotations

from collections import Counter
from itertools import combinations

import numpy as np
import pytest

from sonorarium.pcs import catalogue
from sonorarium.pcs.reading import read_set
from sonorarium.pcs.setclass import SetClass
from sonorarium.pcs.similarity import fourier_distance
from tests.facts.table import Checks, Row

CHECKS = Checks("zrelation")


def classes(size: int) -> list[SetClass]:
    return [SetClass(label) for label in catalogue.tni_labels() if label.startswith(f"{size}-")]


@CHECKS.of("ZRL-001", "ZRL-003", "ZRL-004")
def _pairs_of_a_size(row: Row) -> None:
    of_size = classes(row.input["card"])
    pairs = [[str(a), str(b)] for a, b in combinations(of_size, 2) if a.interval_vector == b.interval_vector]
    assert pairs == row.value
    assert [[str(c), str(c.partner)] for c in of_size if c.partner and c < c.partner] == row.value


@CHECKS.of("ZRL-007")
def _never_three(row: Row) -> None:
    low, high = map(int, row.input["card"].split(".."))
    most = [max(Counter(c.interval_vector for c in classes(size)).values()) for size in range(low, high + 1)]
    assert max(most) == row.value


@CHECKS.of("ZRL-010")
def _one_vector(row: Row) -> None:
    assert [list(SetClass(label).interval_vector) for label in row.input["sets"]] == [row.value] * 2


@CHECKS.of("ZRL-012")
def _monogram(row: Row) -> None:
    found = read_set(row.input["notes"])
    assert not isinstance(found, SetClass)
    assert list(found.pcs) == row.input["pcs"] and str(found.set_class) == row.value


@CHECKS.of("ZRL-017")
def _magnitudes(row: Row) -> None:
    pairs = [(i, j) for i, j in enumerate(catalogue.partner().tolist()) if i < j]
    assert len(pairs) == 23
    assert bool(np.all([fourier_distance()[i, j] == 0 for i, j in pairs])) is row.value


def test_every_row_has_a_check() -> None:
    CHECKS.assert_complete()


@pytest.mark.parametrize("row", CHECKS.rows, ids=lambda row: row.id)
def test_fact(row: Row) -> None:
    CHECKS.run(row)
