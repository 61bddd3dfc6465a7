"""Bars: lengths, leads and labels where files number them, half number them, or do not."""

from __future__ import annotations

from fractions import Fraction

from sonorarium.score.remarks import Findings
from sonorarium.score.written.barlayout import COUNTED, NO_NUMBER, Bar, bar_table


def labels(*bars: tuple[str, int], piece: str = "") -> tuple[list[str], list[int], list[str]]:
    """Labels, leads and faults of bars of 4/4, each given by number and quarters."""
    findings = Findings()
    table = bar_table([Bar(number, (4, 4), Fraction(reach)) for number, reach in bars], 1, piece, 0, findings)
    whats = [remark.what for remark in findings.remarks(table["label"].tolist())]
    return table["label"].tolist(), table["lead"].tolist(), whats


def test_numbers_of_the_file() -> None:
    assert labels(("0", 1), ("1", 4), ("40a", 4)) == (["0", "1", "40a"], [3, 0, 0], [])
    assert labels(("0", 1), ("1", 4), piece="12")[0] == ["12:0", "12:1"]


def test_bars_are_counted_where_the_file_does_not() -> None:
    assert labels(("", 1), ("", 4), ("", 3), ("", 1), ("", 4)) == (
        ["0", "1", "2", "2", "3"],
        [3, 0, 0, 3, 0],
        [COUNTED],
    )
    assert labels(("", 4), ("", 4))[0] == ["1", "2"]


def test_single_bars_without_a_number() -> None:
    assert labels(("", 1), ("1", 4), ("2", 3), ("", 1), ("3", 4)) == (
        ["0", "1", "2", "2", "3"],
        [3, 0, 0, 3, 0],
        [],
    )
    assert labels(("1", 4), ("", 4), ("2", 4)) == (["1", "1", "2"], [0, 0, 0], [NO_NUMBER])


def test_faults_name_the_bar_of_the_whole_score() -> None:
    findings = Findings()
    bar_table([Bar("1", (4, 4), Fraction(5)), Bar("2", (4, 4), Fraction(4))], 1, "2", 3, findings)
    assert [(remark.what, remark.bar) for remark in findings.remarks(["a", "b", "c", "d", "e"])] == [
        ("The bar is longer than its metre.", "d")
    ]


def test_a_rest_of_several_bars_and_a_bar_without_metre() -> None:
    assert Bar("1", (3, 4), Fraction(0), 4).length == 12
    assert Bar("1", (0, 4), Fraction(7, 2)).length == Fraction(7, 2)
