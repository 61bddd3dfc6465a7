"""The cursor: tuplets that do not add up, backups that lead out of the bar."""

from __future__ import annotations

from fractions import Fraction

from hypothesis import assume, given
from hypothesis import strategies as st
from lxml import etree

from sonorarium.score.written.moves import TYPE_QUARTERS, written_quarters
from tests.score.writing import attributes, backup, chord, forward, measure, note, quarters, read, said, tuplet, voice

THIRD = Fraction(1, 3)


def exact(score_xml: str) -> list[tuple[Fraction, int, Fraction]]:
    score = read(score_xml)
    ticks = score.ticks_per_quarter
    return [
        (Fraction(int(r["onset"]), ticks), int(r["pitch"]), Fraction(int(r["duration"]), ticks)) for r in score.notes
    ]


def test_a_triplet_written_exactly_is_left_alone() -> None:
    third = tuplet(3, 2, "eighth")
    score = read(measure(attributes(6) + note("C4", 2, after=third) * 3 + note("D4", 18)))
    assert score.ticks_per_quarter == 3
    assert score.remarks == ()


def test_a_triplet_of_3_3_2_is_snapped_to_thirds() -> None:
    third = tuplet(3, 2, "eighth")
    inside = note("C4", 3, after=third) + note("D4", 3, after=third) + note("E4", 2, after=third) + note("F4", 24)
    assert exact(measure(attributes(8) + inside)) == [
        (Fraction(0), 60, THIRD),
        (THIRD, 62, THIRD),
        (2 * THIRD, 64, THIRD),
        (Fraction(1), 65, Fraction(3)),
    ]
    assert "Tuplets do not add up" in said(read(measure(attributes(8) + inside)))


def test_a_truncated_triplet_does_not_pull_the_bar_forward() -> None:
    """2 + 2 + 2 eighths of a quarter: the file loses a quarter of its quarter, the next notes must not."""
    third = tuplet(3, 2, "eighth")
    inside = note("C4", 2, after=third) * 3 + note("F4", 8) + note("G4", 16)
    assert [row[0] for row in exact(measure(attributes(8) + inside))][3:] == [1, 2]


def test_a_second_voice_finds_the_snapped_places() -> None:
    third = tuplet(3, 2, "eighth")
    first = "".join(note(name, length, after=third) for name, length in (("C5", 3), ("D5", 3), ("E5", 2)))
    second = forward(3) + note("C3", 3, after=third) + note("D3", 2, after=third) + note("E3", 8)
    rows = exact(measure(attributes(8) + first + note("F5", 8) + backup(16) + second))
    assert rows == [
        (Fraction(0), 72, THIRD),
        (THIRD, 48, THIRD),
        (THIRD, 74, THIRD),
        (2 * THIRD, 50, THIRD),
        (2 * THIRD, 76, THIRD),
        (Fraction(1), 52, Fraction(1)),
        (Fraction(1), 77, Fraction(1)),
    ]


def test_a_second_voice_beside_a_triplet_keeps_its_own_places() -> None:
    third = tuplet(3, 2, "eighth")
    first = "".join(note(name, length, after=third) for name, length in (("C5", 3), ("D5", 3), ("E5", 2)))
    rows = exact(measure(attributes(8) + first + backup(8) + note("C3", 4) + note("D3", 4)))
    assert [row[0] for row in rows if row[1] < 60] == [0, Fraction(1, 2)]


def test_chords_in_a_snapped_triplet_stay_together() -> None:
    third = tuplet(3, 2, "eighth")
    pair = note("C4", 2, after=third) + chord("E4", 2, after=third)
    assert [row[0] for row in exact(measure(attributes(8) + pair * 3))] == [0, 0, THIRD, THIRD, 2 * THIRD, 2 * THIRD]


def test_nested_tuplets_carry_the_product_of_their_ratios() -> None:
    """A triplet of quarters in the time of a half, its last quarter five sixteenths for four: 15 to 8."""
    outer, inner = tuplet(3, 2, "quarter"), tuplet(15, 8, "16th")
    inside = note("C4", 43, after=outer) * 2 + note("D4", 9, after=inner) * 5 + note("E4", 128)
    rows = exact(measure(attributes(64) + inside))
    assert [row[2] for row in rows[:3]] == [2 * THIRD, 2 * THIRD, Fraction(2, 15)]
    assert rows[-1][0] == 2


def test_a_duration_that_contradicts_its_type_is_believed() -> None:
    """Off by more than a division: no rounding, and the duration is what sounds."""
    inside = note("C4", 5, after=tuplet(3, 2, "eighth")) + note("D4", 3)
    assert [row[0] for row in exact(measure(attributes(8) + inside))] == [0, Fraction(5, 8)]


def test_a_backup_out_of_the_bar_stops_at_its_beginning() -> None:
    score = read(
        measure(attributes() + note("C4", 4))
        + measure(note("D4", 4, after=voice("1")) + backup(7) + note("E4", 4, after=voice("2")), "2")
    )
    assert quarters(score) == [(0, 60, 4), (4, 62, 4), (4, 64, 4)]
    remark = score.remarks[0]
    assert remark.what == "A backup leads out of the bar: the voice was placed at the beginning of the bar."
    assert (remark.part, remark.bar) == (0, "2")


def test_a_chord_without_a_note_before_it_begins_at_the_cursor() -> None:
    score = read(measure(attributes() + note("C4", 2) + backup(2) + chord("E4", 2)))
    assert quarters(score) == [(0, 60, 2), (0, 64, 2)]


def test_written_lengths() -> None:
    def written(inside: str) -> Fraction | None:
        return written_quarters(etree.fromstring(f"<note>{inside}</note>"))

    assert written("<type>quarter</type><dot/><dot/>") == Fraction(7, 4)
    assert written(tuplet(3, 2, "half", dots=1)) == 2
    assert written("<type>unknown</type>") is None
    assert written(tuplet(0, 2, "half")) is None
    assert written("<type>half</type>" + tuplet(1, 1, "half").replace(">1<", ">x<")) is None
    assert TYPE_QUARTERS["1024th"] == Fraction(1, 256)


@given(
    divisions=st.integers(1, 40),
    actual=st.sampled_from([3, 5, 6, 7, 9, 10, 11, 12, 13]),
    kind=st.sampled_from([("quarter", 1), ("eighth", 2), ("16th", 4)]),
)
def test_any_truncated_tuplet_is_brought_back_to_its_written_length(
    divisions: int, actual: int, kind: tuple[str, int]
) -> None:
    """A tuplet of `actual` notes in the time of a power of two, each truncated to whole divisions."""
    normal = 1 << (actual.bit_length() - 1)
    length = Fraction(normal, actual * kind[1])
    stated = int(length * divisions)
    odd = actual // (actual & -actual)
    assume(divisions % (2 * odd) or stated == length * divisions)
    inside = note("C4", stated, after=tuplet(actual, normal, kind[0])) * actual + note("D4", divisions)
    rows = exact(measure(attributes(divisions, "") + inside))
    assert rows[0][2] == length
    assert rows[-1][0] == length * actual
