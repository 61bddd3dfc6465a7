"""What a course leaves out is named; what it covers is not."""

from __future__ import annotations

from pathlib import Path

from sonorarium.lesson.courses.gaps import gaps
from sonorarium.lesson.courses.ledger import read_ledger
from sonorarium.pcs.families import find_family
from sonorarium.study.folder import new_study
from sonorarium.study.remarks import keep_set


def test_scales_classes_pieces_and_kept_sets(tmp_path: Path) -> None:
    study = new_study(tmp_path / "study", "Course")
    for name in ("used", "unused"):
        (study.folder / "pieces" / f"{name}.musicxml").write_text("<score/>", encoding="utf-8")
    lesson = "{set}`D double harmonic`, {set}`5-15`, {set}`A minor`\n\n```{sound} pieces/used.musicxml\n```\n"
    (study.folder / "lessons" / "1.md").write_text(lesson, encoding="utf-8")
    keep_set(study, "5-15")
    keep_set(study, "5-16")
    (study.folder / "sets" / "odd.md").write_text("---\nset: my theme\n---\n", encoding="utf-8")
    found = gaps(read_ledger(study), study)
    assert found.kinds == ("acoustic", "harmonic minor", "harmonic major", "octatonic", "hexatonic", "whole tone")
    ((scale, classes),) = [row for row in found.only_here if "double" in row[0]]
    assert scale == "D double harmonic"
    assert [one.label for one in classes if one.cardinality == 5] == ["5-6", "5-Z37", "5-Z38"]
    assert found.pieces == ("pieces/unused.musicxml",)
    assert found.kept == ("5-16",)
    assert found


def test_another_family(tmp_path: Path) -> None:
    study = new_study(tmp_path / "study", "Course")
    assert gaps(read_ledger(study), study, find_family("pentatonic")).kinds == tuple(
        kind.name for kind in find_family("pentatonic").kinds
    )
