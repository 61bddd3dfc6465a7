"""The forms of a lesson, as a person asks for them."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.test_app import json_of, run

TEXT = "# One\n\n```{scale} D double harmonic\n```\n"


@pytest.fixture
def lesson(tmp_path: Path) -> Path:
    place = tmp_path / "one.md"
    place.write_text(TEXT, encoding="utf-8")
    return place


def test_all_forms_are_built_with_a_theme(lesson: Path, tmp_path: Path) -> None:
    theme = tmp_path / "theme.toml"
    theme.write_text('[slides]\naccent = "#7a1f3d"\n', encoding="utf-8")
    options = ("--form", "all", "--theme", str(theme), "--width", "320", "--ground", "paper", "--sound", "wav")
    found = json_of("lesson", "build", str(lesson), *options)
    assert [Path(name).name for name in found["files"]] == [
        "one.html",
        "one.pdf",
        "one-slides.html",
        "one-slides.pdf",
        "figure-01.svg",
        "figure-01.png",
        "figure-01.wav",
        "figure-01.musicxml",
        "one-captions.txt",
    ]
    assert "#7a1f3d" in (tmp_path / "one-slides.html").read_text(encoding="utf-8")
    assert "#7a1f3d" not in (tmp_path / "one.html").read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("options", "sentence"),
    [
        (("--form", "scroll"), "--form scroll is not understood"),
        (("--form", "figures", "--width", "9000"), "cannot be 9000 pixels wide"),
        (("--form", "figures", "--ground", "green"), "There is no ground 'green'"),
        (("--form", "clips", "--sound", "mp3"), "There is no sound 'mp3'"),
        (("--theme", "nowhere.toml"), "nowhere.toml could not be read"),
    ],
)
def test_what_cannot_be_is_said_and_nothing_is_written(
    lesson: Path, tmp_path: Path, options: tuple[str, ...], sentence: str
) -> None:
    done = run("lesson", "build", str(lesson), *options)
    assert done.returncode == 2
    assert sentence in " ".join(done.stderr.split())
    assert list(tmp_path.iterdir()) == [lesson]
