"""The tables and strips of a lesson say what the set layer knows."""

from __future__ import annotations

from sonorarium.lesson.illustrations.surveys import facts, insides, kin_strips, kin_table, modes
from sonorarium.pcs.families import default_family
from sonorarium.pcs.subject import subject

SCALE = subject("D double harmonic")


def test_facts() -> None:
    found = dict(facts(SCALE).items)
    assert found["class"] == "7-22"
    assert found["its own mirror"] == "yes, around D and A♭"
    assert found["interval classes 1 to 6"] == "4 2 4 5 4 2"
    assert found["partner"] == "none"


def test_modes_run_from_bright_to_dark() -> None:
    rows = modes(SCALE).rows
    assert [row[1].text for row in rows] == ["E♭", "B♭", "G", "D", "A", "F♯", "C♯"]
    assert [row[3].text for row in rows] == sorted((row[3].text for row in rows), reverse=True)


def test_insides_say_only_here() -> None:
    (table,) = insides(SCALE, default_family(), [5])
    only = [row[1].text for row in table.rows if row[4].text == "only here"]
    assert only == ["5-6", "5-15", "5-Z37", "5-Z38"]
    assert "21 subsets of 12 classes; 4 found in no sister" in table.note


def test_kin_strips_mark_the_moved_note() -> None:
    strips = kin_strips(SCALE)
    assert len(strips) == 7
    for strip in strips[1:]:
        assert strip.left not in strip.heights
        assert strip.came in strip.heights
    assert [row[1].text for row in kin_table(SCALE).rows] == [s.label.split()[0] for s in strips[1:]]
