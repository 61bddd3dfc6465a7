"""``read``: the facts of a file, for the eye and for programs."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
import typer
from typer.testing import CliRunner

from sonorarium.cli.read import read_command
from sonorarium.errors import InputError

KERN = (
    '!!!COM: Anon.\n!!!OTL: Air\n!!!ODT: 1793\n**kern\n*I"Flute\n*M3/4\n4g\n=1\n4c\n4d\n[4e\n'
    + "=2\n2e]\nqf\n4f#\n==\n*-\n"
)


@pytest.fixture
def score(tmp_path: Path) -> Path:
    path = tmp_path / "air.txt"
    path.write_text(KERN)
    return path


def run(*words: str) -> str:
    app = typer.Typer()
    app.command()(read_command)
    done = CliRunner().invoke(app, list(words), catch_exceptions=False)
    assert done.exit_code == 0
    return done.stdout


def test_facts_for_the_eye(score: Path) -> None:
    printed = run(str(score))
    assert "title     Air\n" in printed
    assert "composer  Anon.\n" in printed
    assert "date      1793\n" in printed
    assert "format    Humdrum\n" in printed
    assert "bars      3, printed 0 to 2\n" in printed
    assert "notes     6, of these 1 grace; C4 to G4\n" in printed
    assert "Nothing was repaired, guessed or left out.\n" in printed
    assert all(len(line) <= 80 for line in printed.splitlines() if not line.startswith("SHA-256"))


def test_facts_as_json(score: Path) -> None:
    found = json.loads(run(str(score), "--json"))
    assert (found["kind"], found["format"], found["title"], found["metres"]) == (
        "read",
        "Humdrum",
        "Air",
        ["3/4"],
    )
    assert found["bars"] == {"count": 3, "first": "0", "last": "2"}
    assert found["quarters"] == "7"
    assert found["notes"] == {"count": 6, "sounding": 5, "grace": 1, "cue": 0, "hidden": 0, "unpitched": 0}
    assert found["range"] == ["C4", "G4"]
    assert found["parts"] == [{"name": "Flute", "notes": 6, "staves": 1, "transposition": 0, "voices": 1}]
    assert found["remarks"] == []


def test_what_was_repaired_is_said_with_its_place(score: Path) -> None:
    score.write_text(KERN.replace("2e]", "2e"))
    assert "Flute, bar 1: A tie has no marked end" in run(str(score))
    found = json.loads(run(str(score), "--json"))
    assert (found["remarks"][0]["part"], found["remarks"][0]["part_index"], found["remarks"][0]["bar"]) == (
        "Flute",
        0,
        "1",
    )


def test_a_file_that_is_not_there() -> None:
    with pytest.raises(InputError, match="There is no file"):
        run("nowhere.krn")
