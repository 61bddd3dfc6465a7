"""Tables over all 4,096 sets: laws, and each fast table against a slow second method."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import combinations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sonorarium.pcs import tables

MASKS = st.integers(0, tables.FULL)
STEPS = st.integers(0, 11)


def notes(mask: int) -> tuple[int, ...]:
    return tuple(pc for pc in range(12) if mask >> pc & 1)


def mask_of(pcs: Iterable[int]) -> int:
    return sum(1 << pc for pc in set(pcs))


def rotations(mask: int) -> list[tuple[int, ...]]:
    pcs = notes(mask)
    return [tuple(sorted(pcs, key=lambda pc: (pc - first) % 12)) for first in pcs]


def rahn_normal_order(mask: int) -> tuple[int, ...]:
    """Compare the spans from the first note to the last, the last but one, and so on."""

    def key(order: tuple[int, ...]) -> tuple[list[int], int]:
        return [(pc - order[0]) % 12 for pc in reversed(order)], order[0]

    return min(rotations(mask), key=key, default=())


def forte_normal_order(mask: int) -> tuple[int, ...]:
    """Compare the span from first to last, then from the first to the second, the third and so on."""

    def key(order: tuple[int, ...]) -> tuple[int, list[int], int]:
        return (order[-1] - order[0]) % 12, [(pc - order[0]) % 12 for pc in order], order[0]

    return min(rotations(mask), key=key, default=())


def rising(mask: int, first: int) -> tuple[int, ...]:
    return tuple(sorted(notes(mask), key=lambda pc: (pc - first) % 12))


@given(MASKS, STEPS, STEPS)
def test_transpositions_add_up(mask: int, m: int, n: int) -> None:
    assert tables.transposed()[m, tables.transposed()[n, mask]] == tables.transposed()[(m + n) % 12, mask]


@given(MASKS, STEPS)
def test_inverting_twice_changes_nothing(mask: int, n: int) -> None:
    assert tables.inverted()[n, tables.inverted()[n, mask]] == mask


@given(MASKS, STEPS)
def test_operations_against_arithmetic(mask: int, n: int) -> None:
    assert tables.transposed()[n, mask] == mask_of((pc + n) % 12 for pc in notes(mask))
    assert tables.inverted()[n, mask] == mask_of((n - pc) % 12 for pc in notes(mask))
    assert tables.multiplied()[n, mask] == mask_of(n * pc % 12 for pc in notes(mask))


@given(MASKS)
def test_vector_against_counting_pairs(mask: int) -> None:
    classes = [min((a - b) % 12, (b - a) % 12) for a, b in combinations(notes(mask), 2)]
    assert tables.vector()[mask].tolist() == [classes.count(k) for k in range(1, 7)]
    directed = [(b - a) % 12 for a in notes(mask) for b in notes(mask)]
    assert tables.content()[mask].tolist() == [directed.count(k) for k in range(12)]


@given(MASKS)
def test_chromatic_trichords_against_looking(mask: int) -> None:
    found = sum(mask & three == three for three in (mask_of((n, (n + 1) % 12, (n + 2) % 12)) for n in range(12)))
    assert tables.chromatic_trichords()[mask] == found


def test_normal_orders_against_the_printed_rules() -> None:
    for mask in range(1, tables.SETS):
        assert rising(mask, int(tables.normal_start()[mask])) == rahn_normal_order(mask)
        assert rising(mask, int(tables.normal_start_forte()[mask])) == forte_normal_order(mask)


@pytest.mark.parametrize(
    ("prime", "order"), [(tables.prime, rahn_normal_order), (tables.prime_forte, forte_normal_order)]
)
def test_prime_forms_against_the_printed_rules(prime: object, order: object) -> None:
    assert callable(prime)
    assert callable(order)
    for mask in range(1, tables.SETS):
        forms = []
        for m in (mask, int(tables.inverted()[0, mask])):
            first, *rest = order(m)
            forms.append((0, *((pc - first) % 12 for pc in rest)))
        if order is rahn_normal_order:
            best = min(forms, key=lambda form: form[::-1])
        else:
            best = min(forms, key=lambda form: (form[-1], form))
        assert notes(int(prime()[mask])) == best


@given(MASKS, STEPS)
def test_prime_forms_are_the_same_for_all_forms(mask: int, n: int) -> None:
    for image in (tables.transposed()[n, mask], tables.inverted()[n, mask]):
        assert tables.prime()[image] == tables.prime()[mask]
        assert tables.prime_forte()[image] == tables.prime_forte()[mask]
        assert np.array_equal(tables.vector()[image], tables.vector()[mask])


@given(MASKS)
def test_a_mirror_is_a_set_that_some_inversion_keeps(mask: int) -> None:
    assert tables.is_mirror()[mask] == (mask in tables.inverted()[:, mask].tolist())


@given(MASKS)
def test_subset_sums_against_listing_subsets(mask: int) -> None:
    values = np.arange(tables.SETS) % 7
    subsets = [sub for sub in range(mask + 1) if sub & mask == sub]
    assert tables.subset_sums(values)[mask] == sum(sub % 7 for sub in subsets)


def test_tables_cannot_be_written_to() -> None:
    with pytest.raises(ValueError, match="read-only"):
        tables.prime()[0] = 1


def test_the_empty_set_and_the_aggregate() -> None:
    assert tables.prime()[[0, tables.FULL]].tolist() == [0, tables.FULL]
    assert tables.normal_start()[[0, tables.FULL]].tolist() == [0, 0]
    assert tables.vector()[tables.FULL].tolist() == [12, 12, 12, 12, 12, 6]
