"""A change made outside is noticed, whatever the clock says; what only looks new is not."""

from __future__ import annotations

import os
import time
from pathlib import Path

import pytest

from sonorarium.study.folder import Study, new_study
from sonorarium.study.remarks import keep_set
from sonorarium.study.watching import Changes, look


@pytest.fixture
def study(tmp_path: Path) -> Study:
    made = new_study(tmp_path / "study", "Watched")
    keep_set(made, "5-15", words="One.")
    return made


def test_added_changed_and_removed(study: Study) -> None:
    before = look(study)
    assert set(before.marks) == {"study.toml", "sets/5-15.md"}
    assert not look(study, before).since(before)
    keep_set(study, "5-15", words="Two.")
    (study.folder / "lessons" / "1.md").write_text("# One", encoding="utf-8")
    (study.folder / "study.toml").unlink()
    changes = look(study, before).since(before)
    assert changes == Changes(("lessons/1.md",), ("sets/5-15.md",), ("study.toml",))


def test_a_change_within_one_tick_of_the_clock_is_noticed(study: Study) -> None:
    card = study.folder / "sets" / "5-15.md"
    before = look(study)
    facts = card.stat()
    card.write_text(card.read_text(encoding="utf-8").replace("One", "Two"), encoding="utf-8")
    os.utime(card, ns=(facts.st_atime_ns, facts.st_mtime_ns))
    assert look(study, before).since(before).changed == ("sets/5-15.md",)


def test_what_was_only_touched_has_not_changed(study: Study) -> None:
    card = study.folder / "sets" / "5-15.md"
    before = look(study)
    os.utime(card)
    assert not look(study, before).since(before)


def test_settled_files_are_not_read_again(study: Study, monkeypatch: pytest.MonkeyPatch) -> None:
    long_ago = time.time_ns() - 3_600_000_000_000
    for path in study.folder.rglob("*"):
        os.utime(path, ns=(long_ago, long_ago))
    before = look(study)
    monkeypatch.setattr(Path, "open", None)
    assert not look(study, before).since(before)


def test_hidden_files_and_links_are_left_alone(study: Study, tmp_path: Path) -> None:
    (tmp_path / "outside.md").write_text("x", encoding="utf-8")
    (study.folder / "sets" / "link.md").symlink_to(tmp_path / "outside.md")
    (study.folder / "loop").symlink_to(study.folder)
    (study.folder / ".hidden").write_text("x", encoding="utf-8")
    assert set(look(study).marks) == {"study.toml", "sets/5-15.md"}
