"""Published facts on roughness, consonance and tuning. The sources stand in ``roughness.csv``."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest

from sonorarium.pcs import catalogue, consonance, roughness, tuning
from sonorarium.pcs.pcset import PcSet
from sonorarium.pcs.setclass import SetClass
from tests.facts.table import Checks, Row

CHECKS = Checks("roughness")

CENTS = np.arange(1.0, 1320.0, 0.5)


def minima(timbre: roughness.Timbre, base_hz: float) -> list[float]:
    """Where the curve has its local minima, in cents above the lower tone."""
    found = roughness.curve(timbre, base_hz, 2 ** (CENTS / 1200))
    at = np.flatnonzero((found[1:-1] < found[:-2]) & (found[1:-1] < found[2:])) + 1
    return [float(cents) for cents in CENTS[at]]


@CHECKS.of("RGH-001")
def roughest_share(row: Row) -> None:
    share = np.arange(0, 1.5, 0.0001)
    found = roughness.bandwidth_share_roughness(share)
    assert share[found.argmax()] == pytest.approx(row.value, abs=row.tolerance)
    assert np.all(found[share >= 1.2] == 0)


@CHECKS.of("RGH-003")
def roughest_distance(row: Row) -> None:
    f = row.input["f"]
    apart = np.arange(1, 60, 0.001)
    hz = apart[roughness.sethares_pair(f, 1, f + apart, 1).argmax()]
    assert hz == pytest.approx(row.value["hz"], abs=row.tolerance)
    assert tuning.cents((f + hz) / f) == pytest.approx(row.value["cents"], abs=row.tolerance)


@CHECKS.of("RGH-006")
def consonant_minima(row: Row) -> None:
    found = minima(roughness.fading(row.input["partials"], row.input["rolloff"]), row.input["f0"])
    ratios = [(7, 6), (6, 5), (5, 4), (4, 3), (7, 5), (3, 2), (5, 3), (7, 4), (2, 1)]
    near = [min(abs(tuning.cents(a / b) - cents) for cents in found) < 5 for a, b in ratios]
    assert near == row.value


@CHECKS.of("RGH-008")
def stretched(row: Row) -> None:
    timbre = roughness.fading(row.input["partials"], row.input["rolloff"], octave=row.input["stretch"])
    found = minima(timbre, row.input["f0"])
    near = [min(abs(tuning.cents(ratio) - cents) for cents in found) < 5 for ratio in (row.input["stretch"], 2.0)]
    assert near == row.value


@CHECKS.of("RGH-009")
def pure_tones(row: Row) -> None:
    found = minima(roughness.fading(row.input["partials"], 1.0), row.input["f0"])
    assert len([cents for cents in found if cents < 1200]) == row.value


@CHECKS.of("RGH-010", "RGH-011")
def triad(row: Row) -> None:
    assert float(roughness.hutchinson_knopoff(row.input["midi"])) == pytest.approx(row.value, abs=row.tolerance)


@CHECKS.of("RGH-013")
def critical_bandwidth(row: Row) -> None:
    assert roughness.critical_bandwidth(row.input["fm"]) == pytest.approx(np.array(row.value), abs=row.tolerance)


@CHECKS.of("RGH-014")
def rectangular_bandwidth(row: Row) -> None:
    assert roughness.rectangular_bandwidth(row.input["f"]) == pytest.approx(np.array(row.value), abs=row.tolerance)


@CHECKS.of("RGH-015")
def vassilakis(row: Row) -> None:
    (f1, f2), (a1, a2) = row.input["f"], row.input["a"]
    share = roughness.vassilakis_pair(f1, a1, f2, a2) / roughness.sethares_pair(f1, a1, f2, a2)
    assert float(share) == pytest.approx(row.value, abs=row.tolerance)


@CHECKS.of("RGH-017")
def dyadic_consonance(row: Row) -> None:
    found = [consonance.dyadic_consonance(SetClass(label).representative) for label in row.input["sets"]]
    assert found == pytest.approx(row.value, abs=row.tolerance)
    assert consonance.HURON == (-1.428, -0.582, 0.594, 0.386, 1.240, -0.453)


@CHECKS.of("RGH-020")
def best_six_note_sets(row: Row) -> None:
    six = [c for c in map(SetClass, catalogue.tni_labels()) if c.cardinality == row.input["card"]]
    found = sorted(
        ((c.label, consonance.dyadic_consonance(c.representative)) for c in six),
        key=lambda pair: (-round(pair[1], 6), pair[0]),
    )
    for (label, value), (expected, size) in zip(found[:6], row.value, strict=True):
        assert label == expected
        assert value == pytest.approx(size, abs=row.tolerance)


@CHECKS.of("RGH-021")
def gradus(row: Row) -> None:
    ratios = [tuple(map(int, ratio.split(":"))) for ratio in row.input["ratios"]]
    assert [consonance.gradus(*ratio) for ratio in ratios] == row.value


@CHECKS.of("RGH-022")
def tempering(row: Row) -> None:
    found = [tuning.tempering(Fraction(ratio)) for ratio in row.input["ratios"]]
    assert found == pytest.approx(row.value, abs=row.tolerance)


@CHECKS.of("RGH-024")
def beating_fifth(row: Row) -> None:
    low, high = row.input["midi"]
    assert tuning.beats(low, high) == pytest.approx(row.value, abs=row.tolerance)
    assert PcSet((low % 12, high % 12)).set_class == SetClass("2-5")


def test_every_row_has_a_check() -> None:
    CHECKS.assert_complete()


@pytest.mark.parametrize("row", CHECKS.rows, ids=lambda row: row.id)
def test_fact(row: Row) -> None:
    CHECKS.run(row)
