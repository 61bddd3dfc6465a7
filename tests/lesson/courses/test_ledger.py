"""What a lesson covers is read off its own text; what is new is what no earlier lesson has."""

from __future__ import annotations

from itertools import combinations
from pathlib import Path

import pytest

from sonorarium.errors import InputError
from sonorarium.lesson.courses.ledger import Ledger, classes_in, newness, read_ledger
from sonorarium.pcs.pcset import PcSet
from sonorarium.pcs.setclass import SetClass
from sonorarium.pcs.subject import subject
from sonorarium.study.folder import Study, new_study, open_study

DEMO = Path(__file__).parents[3] / "demo"

FIRST = """---
title: First
---

# Minor

The scale {set}`C harmonic minor`, and {claim}`5-31 is inside 7-32`.

```{survey} C harmonic minor
:parts: facts, insides
:size: 6
```

```{passage} pieces/one.musicxml
:set: 4-28
:kind: chord
```

```{drill} a mode of nothing
```
"""

SECOND = """# Kin

```{strips} G double harmonic
```

```{chord} C E G
```
"""


@pytest.fixture
def study(tmp_path: Path) -> Study:
    made = new_study(tmp_path / "study", "Course")
    (made.folder / "lessons" / "1.md").write_text(FIRST, encoding="utf-8")
    (made.folder / "lessons" / "2.md").write_text(SECOND, encoding="utf-8")
    return made


def test_each_meeting_has_its_line_and_its_depth(study: Study) -> None:
    first, second = read_ledger(study).entries
    assert (first.title, second.title) == ("First", "2")
    met = [(m.line, m.title, m.way, m.depth) for m in first.meetings if m.pcset.cardinality != 6]
    assert met == [
        (7, "C harmonic minor", "set", "shown"),
        (7, "5-31", "claim", "shown"),
        (7, "7-32", "claim", "shown"),
        (9, "C harmonic minor", "survey", "shown"),
        (14, "4-28", "passage", "shown"),
    ]
    assert [m.title for m in first.meetings if m.depth == "listed"] == [
        str(one) for one in classes_in(subject("C harmonic minor").pcset, [6])
    ]
    assert first.pieces == (("pieces/one.musicxml", 14),)
    assert [m.piece for m in first.meetings if m.way == "passage"] == ["pieces/one.musicxml"]


def test_kin_in_strips_is_listed(study: Study) -> None:
    second = read_ledger(study).entries[1]
    listed = {m.title for m in second.meetings if m.depth == "listed"}
    assert "G harmonic major" in listed
    assert [m.title for m in second.collections] == ["G double harmonic"]
    assert [str(one) for one in second.classes("shown")] == ["3-11", "7-22"]


def test_scales_are_counted_once_a_kind_as_first_met(study: Study) -> None:
    text = "{set}`G harmonic minor` and {set}`C harmonic minor` and {set}`C harmonic major`\n"
    (study.folder / "lessons" / "0.md").write_text(text, encoding="utf-8")
    assert [m.title for m in read_ledger(study).collections] == [
        "G harmonic minor",
        "C harmonic major",
        "G double harmonic",
    ]


@pytest.mark.parametrize(
    ("label", "depth", "where"),
    [
        ("4-28", "shown", ("lessons/1.md",)),
        ("6-Z19", "listed", ("lessons/1.md",)),
        ("3-10", "held", ("C harmonic minor (lessons/1.md)", "G double harmonic (lessons/2.md)")),
        ("3-11A", "shown", ("lessons/2.md",)),
        ("5-1", "new", ()),
    ],
)
def test_how_well_a_class_is_known(study: Study, label: str, depth: str, where: tuple[str, ...]) -> None:
    assert read_ledger(study).known(SetClass(label)) == (depth, where)


def test_newness_agrees_with_counting_subset_by_subset(study: Study) -> None:
    ledger = read_ledger(study)
    scale = subject("D acoustic").pcset
    minor = subject("C harmonic minor").pcset
    double = subject("G double harmonic").pcset
    inside = {PcSet(notes).set_class for size in range(3, 7) for notes in combinations(scale.pcs, size)}
    rows = {row.set_class: row for row in newness("D acoustic", ledger)}
    assert set(rows) == inside
    for one, row in rows.items():
        held = any(one.count_in(known) for known in (minor, double))
        assert (row.depth == "new") == (one not in ledger.by_class and not held)
        assert row.times == one.count_in(scale)


def test_a_ledger_before_a_lesson(study: Study) -> None:
    ledger = read_ledger(study)
    assert [entry.lesson for entry in ledger.before("lessons/2.md").entries] == ["lessons/1.md"]
    with pytest.raises(InputError, match=r"no lesson lessons/3\.md.*lessons/1\.md, lessons/2\.md"):
        ledger.before("lessons/3.md")


def test_overlap_counts_classes_in_both(study: Study) -> None:
    ledger = read_ledger(study)
    overlap = ledger.overlap()
    first, second = (set(entry.classes()) for entry in ledger.entries)
    assert overlap == ((len(first), len(first & second)), (len(first & second), len(second)))
    assert SetClass("7-32") in first & second


def test_a_lesson_that_cannot_be_read_is_named(study: Study) -> None:
    (study.folder / "lessons" / "3.md").write_text("```{scale}x y\n:a: b\n:a: c\n```\n", encoding="utf-8")
    with pytest.raises(InputError, match=r"lessons/3\.md: Line"):
        read_ledger(study)


def test_the_demo_course_covers_what_it_says() -> None:
    ledger = read_ledger(open_study(DEMO))
    assert [m.title for m in ledger.collections] == [
        "D double harmonic",
        "G phrygian dominant",
        "G harmonic major",
        "D mixolydian b6",
    ]
    assert {m.lesson[8] for m in ledger.by_class[SetClass("5-Z17")]} == {"1", "2", "3"}
    assert Ledger(()).overlap() == ()
