"""Published facts on the discrete Fourier transform of sets. The sources stand in ``dft.csv``."""

from __future__ import annotations

import numpy as np
import pytest

from sonorarium.pcs import catalogue, fourier, generated, tables
from sonorarium.pcs.pcset import PcSet
from sonorarium.pcs.setclass import SetClass
from tests.facts.table import Checks, Row

CHECKS = Checks("dft")

SCALES = {
    "WT": PcSet((0, 2, 4, 6, 8, 10)),
    "OCT": PcSet((0, 1, 3, 4, 6, 7, 9, 10)),
    "HEX": PcSet((0, 1, 4, 5, 8, 9)),
}


def largest(size: int, component: int) -> list[str]:
    """Labels of the TnI classes of a size in which a component is largest."""
    found = [SetClass(label) for label in catalogue.tni_labels()]
    strength = {
        c.label: fourier.fourier_magnitudes(c.representative)[component - 1] for c in found if c.cardinality == size
    }
    top = max(strength.values())
    return [label for label, value in strength.items() if value > top - 1e-9]


@CHECKS.of("DFT-003")
def pure_scales(row: Row) -> None:
    for name, expected in row.value.items():
        assert fourier.fourier_magnitudes(SCALES[name]) == pytest.approx(expected, abs=row.tolerance)


@CHECKS.of("DFT-004")
def pure_chords(row: Row) -> None:
    for pcs, expected in zip(row.input["pcs"], row.value, strict=True):
        assert fourier.fourier_magnitudes(PcSet(pcs)) == pytest.approx(expected, abs=row.tolerance)


@CHECKS.of("DFT-007")
def maximally_even_sets_maximise(row: Row) -> None:
    for d in range(1, 12):
        of_size = np.flatnonzero(tables.size() == d)
        strength = fourier.magnitudes()[of_size, min(d, 12 - d) - 1]
        best = {int(m) for m in of_size[strength > strength.max() - 1e-9]}
        even = {int(m) for m in of_size if generated.is_maximally_even(PcSet.of_mask(int(m)))}
        assert (best == even) is row.value


@CHECKS.of("DFT-009")
def six_note_octatonicity(row: Row) -> None:
    assert largest(row.input["card"], row.input["component"]) == row.value


@CHECKS.of("DFT-010")
def three_note_prototypes(row: Row) -> None:
    assert [largest(row.input["card"], k) for k in fourier.COMPONENTS] == row.value


@CHECKS.of("DFT-011")
def even_less_odd(row: Row) -> None:
    even = tables.members()[:, ::2].sum(axis=1)
    odd = tables.members()[:, 1::2].sum(axis=1)
    assert np.allclose(fourier.coefficients()[:, 6], even.astype(int) - odd) is row.value


@CHECKS.of("DFT-013")
def complements(row: Row) -> None:
    assert np.allclose(fourier.magnitudes(), fourier.magnitudes()[::-1]) is row.value


@CHECKS.of("DFT-014")
def content(row: Row) -> None:
    notes = PcSet(row.input["pcs"])
    back = fourier.content_from_magnitudes(len(notes), fourier.fourier_magnitudes(notes))
    assert back == pytest.approx(row.value)
    assert list(notes.interval_content) == row.value


@CHECKS.of("DFT-015")
def fifth_turns_phase(row: Row) -> None:
    k = row.input["component"] - 1
    turned = 0
    for mask in range(1, 4095):
        before = fourier.components(PcSet.of_mask(mask))[k].phase_degrees
        after = fourier.components(PcSet.of_mask(mask).transposed(7))[k].phase_degrees
        if before is not None and after is not None:
            turned += 1
            assert (after - before - row.value + 180) % 360 - 180 == pytest.approx(0, abs=row.tolerance)
    assert turned > 3000


@CHECKS.of("DFT-017")
def no_diatonicity(row: Row) -> None:
    for name, expected in zip(row.input["sets"], row.value, strict=True):
        found = fourier.components(SCALES[name])[4]
        assert found.magnitude == pytest.approx(expected, abs=row.tolerance)
        assert found.phase_degrees is None


def test_every_row_has_a_check() -> None:
    CHECKS.assert_complete()


@pytest.mark.parametrize("row", CHECKS.rows, ids=lambda row: row.id)
def test_fact(row: Row) -> None:
    CHECKS.run(row)
