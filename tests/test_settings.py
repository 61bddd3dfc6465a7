"""Settings are declared once, read from one file, and refused where they make no sense."""

from __future__ import annotations

from dataclasses import fields
from pathlib import Path

import pytest

from sonorarium.errors import InputError
from sonorarium.settings import HELP, Settings, read_settings, settings_file


def test_every_setting_has_a_meaning() -> None:
    assert {field.name for field in fields(Settings)} == set(HELP)


def test_without_a_file_every_setting_has_its_default(tmp_path: Path) -> None:
    assert read_settings(tmp_path / "settings.toml") == Settings()


def test_the_place_can_be_named(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SONORARIUM_SETTINGS", "elsewhere.toml")
    assert settings_file() == Path("elsewhere.toml")


def test_what_is_written_is_read(tmp_path: Path) -> None:
    place = tmp_path / "settings.toml"
    place.write_text('chord_style = "Δ"\npinned = ["E/C"]\ngerman = true\n', encoding="utf-8")
    assert read_settings(place) == Settings(chord_style="Δ", pinned=("E/C",), german=True)


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ('colour = "red"', "there is no setting 'colour'"),
        ('chord_style = "major"', "chord_style cannot be 'major'"),
        ("german = 1", "german cannot be 1"),
        ('pinned = "E/C"', "pinned cannot be 'E/C'"),
        ("german =", "could not be read"),
    ],
)
def test_what_makes_no_sense_is_refused(tmp_path: Path, text: str, sentence: str) -> None:
    place = tmp_path / "settings.toml"
    place.write_text(text, encoding="utf-8")
    with pytest.raises(InputError) as caught:
        read_settings(place)
    assert sentence in str(caught.value)
