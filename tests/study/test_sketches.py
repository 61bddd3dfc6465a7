"""Sketches kept: never one over another, and no card without its music."""

from __future__ import annotations

from pathlib import Path

import pytest

from sonorarium.errors import InputError
from sonorarium.study.folder import Study, new_study
from sonorarium.study.sketches import keep_sketch, sketches


@pytest.fixture
def study(tmp_path: Path) -> Study:
    return new_study(tmp_path / "study", "Sketches")


def test_a_sketch_is_kept_with_its_music(study: Study) -> None:
    keep_sketch(study, "Opening", music=(".musicxml", b"<score/>"), sets=["d double harmonic"], words="Slow.")
    keep_sketch(study, "Opening", music=(".musicxml", b"<other/>"))
    (one, two), unread = sketches(study)
    assert unread == ()
    assert (one.title, one.sets, one.words, one.music) == (
        "Opening",
        ("D double harmonic",),
        "Slow.",
        "opening.musicxml",
    )
    assert [file.read_bytes() for file in (one.music_file, two.music_file) if file] == [b"<score/>", b"<other/>"]


def test_music_that_lies_elsewhere_counts_as_none(study: Study) -> None:
    (study.folder / "secret.mid").write_bytes(b"x")
    (study.folder / "sketches" / "a.md").write_text("---\ntitle: A\nmusic: ../secret.mid\n---\n", encoding="utf-8")
    assert sketches(study)[0][0].music_file is None


@pytest.mark.parametrize(
    ("title", "suffix", "sentence"), [(" ", ".mid", "needs a title"), ("A", "/../x", "no suffix"), ("A", ".md", "no")]
)
def test_what_cannot_be_kept_is_refused(study: Study, title: str, suffix: str, sentence: str) -> None:
    with pytest.raises(InputError, match=sentence):
        keep_sketch(study, title, music=(suffix, b"x"))
    assert sketches(study) == ((), ())
