"""Published voice leadings, one row of ``leading.csv`` each, led note by note."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from scipy.optimize import linear_sum_assignment

from sonorarium.pcs import catalogue
from sonorarium.pcs.pcset import PcSet
from sonorarium.pcs.setclass import SetClass
from sonorarium.pitch.leading import lead
from tests.facts.table import Checks, Row

CHECKS = Checks("leading")
MAJOR, MINOR = PcSet((0, 4, 7)), PcSet((0, 3, 7))
NAMES = ("C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B")


def size(one: PcSet, other: PcSet) -> int:
    return int(lead(one, other, limit=1)[0].size)


def changed(triad: PcSet, operation: str) -> PcSet:
    """The triad of the other mode that keeps the two notes which P, L or R keeps, found by leading voices.

    P keeps the fifth, L the minor third, R the major third.
    """
    kept_interval = {"P": 7, "L": 3, "R": 4}[operation]
    others = (form for form in SetClass("3-11").forms if form.label != triad.label)
    for other in others:
        common = lead(triad, other, limit=1)[0].common_tones
        if len(common) == 2 and kept_interval in ((common[1] - common[0]) % 12, (common[0] - common[1]) % 12):
            return other
    raise AssertionError(f"{operation} leads nowhere from {triad}")


def named(triad: PcSet) -> str:
    mode = "+" if triad.label == "3-11B" else "-"
    root = next(pc for pc in triad if (MAJOR if mode == "+" else MINOR).transposed(pc) == triad)
    return NAMES[root] + mode


def cycle(start: PcSet, operations: str) -> list[PcSet]:
    chords = [start]
    while len(chords) < 3 or len(chords) % 2 == 0 or chords[-1] != start:
        chords.append(changed(chords[-1], operations[(len(chords) - 1) % 2]))
    return chords[:-1]


@CHECKS.of("VLD-001")
def _moves_of_a_triad(row: Row) -> None:
    start = PcSet(row.input["from"])
    for operation, pcs in row.input["to"].items():
        assert changed(start, operation) == PcSet(pcs)
        assert size(start, PcSet(pcs)) == row.value[operation]


@CHECKS.of("VLD-002")
def _hexatonic_cycle(row: Row) -> None:
    chords = cycle(PcSet(row.input["start"]), row.input["ops"])
    assert list(map(named, chords)) == row.value
    assert all(size(one, other) == 1 for one, other in pairwise([*chords, chords[0]]))


@CHECKS.of("VLD-004")
def _octatonic_cycles(row: Row) -> None:
    cycles = {frozenset(cycle(MAJOR.transposed(n), row.input["ops"])) for n in range(12)}
    assert len(cycles) == row.value["cycles"]
    assert {len(chords) for chords in cycles} == {row.value["length"]}
    unions = {PcSet(pc for chord in chords for pc in chord).label for chords in cycles}
    assert unions == {row.value["union"]}


@CHECKS.of("VLD-005")
def _one_cycle_through_all(row: Row) -> None:
    cycles = {frozenset(cycle(MAJOR.transposed(n), row.input["ops"])) for n in range(12)}
    assert (len(cycles), len(next(iter(cycles)))) == (row.value["cycles"], row.value["length"])


@CHECKS.of("VLD-007")
def _cube_dance(row: Row) -> None:
    augmented = SetClass("3-12").forms
    nodes = [*SetClass("3-11").forms, *augmented]
    near = {one: {other for other in nodes if other != one and size(one, other) == 1} for one in nodes}
    reached, edge_of_it = {nodes[0]}, {nodes[0]}
    while edge_of_it:
        edge_of_it = {other for one in edge_of_it for other in near[one]} - reached
        reached |= edge_of_it
    assert row.value == {
        "nodes": len(nodes),
        "edges": sum(map(len, near.values())) // 2,
        "aug_degree": {len(near[one]) for one in augmented}.pop(),
        "triad_degree": {len(near[one]) for one in SetClass("3-11").forms}.pop(),
        "connected": len(reached) == len(nodes),
    }
    assert {len(near[one]) for one in augmented} == {6}
    assert {len(near[one]) for one in SetClass("3-11").forms} == {3}


@CHECKS.of("VLD-009")
def _transposed_triads(row: Row) -> None:
    start = PcSet(row.input["from"])
    assert [size(start, start.transposed(n)) for n in range(12)] == row.value


@CHECKS.of("VLD-011", "VLD-016", "VLD-017")
def _transposed_chords_and_scales(row: Row) -> None:
    starts = {"VLD-016": (0, 2, 4, 5, 7, 9, 11), "VLD-017": (0, 2, 4, 7, 9)}
    start = PcSet(row.input.get("from") or starts[row.id])
    assert [size(start, start.transposed(n)) for n in row.input["T"]] == row.value


@CHECKS.of("VLD-012")
def _one_voice_moved(row: Row) -> None:
    start = PcSet(row.input["from"])
    for pcs, label in row.value.items():
        best = lead(start, PcSet(map(int, pcs.split(","))), limit=1)[0]
        assert PcSet(best.end).label == label
        assert sorted(abs(move.by) for move in best.moves) == [0, 0, 0, 1]
    assert lead("C7", "C#dim7", limit=1)[0].moves[0].text == "C up a semitone to C♯"


@CHECKS.of("VLD-015")
def _no_crossing_is_needed(row: Row) -> None:
    """Every pair of four-note classes; of the twelve transpositions every fifth pair in turn."""
    forms = [PcSet.of_mask(m) for m in catalogue.tni_masks().tolist() if m.bit_count() == 4]
    pairs = [(one, other.transposed(n)) for one in forms for other in forms for n in range(12)][::5]
    for one, other in pairs:
        apart = np.array([[min((a - b) % 12, (b - a) % 12) for b in other] for a in one])
        assert size(one, other) == apart[linear_sum_assignment(apart)].sum()
    assert row.value is True


@pytest.mark.parametrize("row", CHECKS.rows, ids=lambda row: row.id)
def test_published_value(row: Row) -> None:
    CHECKS.run(row)


def test_every_row_has_a_check() -> None:
    CHECKS.assert_complete()
