"""Faults gathered and said once."""

from __future__ import annotations

from sonorarium.score.remarks import Findings
from sonorarium.score.score import Remark

LABELS = [str(number) for number in range(1, 20)]


def test_one_place_is_said_plainly() -> None:
    findings = Findings()
    findings.add("A fault.", part=1, bars=[3])
    assert findings.remarks(LABELS) == (Remark("A fault.", 1, "4"),)


def test_many_places_are_counted_and_the_first_bars_named() -> None:
    findings = Findings()
    findings.add("A fault.", bars=range(10))
    findings.add("A fault.", bars=[0])
    assert findings.remarks(LABELS) == (Remark("A fault. (11 places: bars 1, 2, 3, 4, 5, 6, and others)", -1, "1"),)


def test_kinds_and_parts_are_kept_apart() -> None:
    findings = Findings()
    findings.add("A.", part=0, bars=[0])
    findings.add("A.", part=1, bars=[0, 0])
    findings.add("B.")
    findings.add("B.")
    findings.add("Nothing.", bars=[])
    assert [(remark.what, remark.part) for remark in findings.remarks(LABELS)] == [
        ("A.", 0),
        ("A. (2 places: bar 1)", 1),
        ("B. (2 places)", -1),
    ]


def test_no_labels() -> None:
    findings = Findings()
    findings.add("A.", bars=[4])
    assert findings.remarks([]) == (Remark("A.", -1, ""),)
