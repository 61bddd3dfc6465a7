"""What is kept, from the command line: one process each, as a person works."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

PIECES = Path(__file__).parents[2] / "demo" / "pieces"
PROGRAM = """
from sonorarium.cli import app, study
if not any(group.name == "study" for group in app.app.registered_groups):
    app.app.add_typer(study.app, name="study")
app.main()
"""


def run(*words: str, cwd: Path) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-c", PROGRAM, "study", *words]
    return subprocess.run(command, capture_output=True, text=True, cwd=cwd, timeout=120, check=False)


def json_of(*words: str, cwd: Path) -> Any:
    done = run(*words, "--json", cwd=cwd)
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


@pytest.fixture
def home(tmp_path: Path) -> Path:
    done = run("new", "study", "--title", "Seconds", cwd=tmp_path)
    assert (done.returncode, done.stdout) == (0, f"{tmp_path / 'study'}\n")
    return tmp_path / "study"


def test_keep_remark_and_list(home: Path) -> None:
    assert run("keep", "5-15", "--why", "It glitters.", "--tag", "glass", cwd=home).returncode == 0
    piece = str(PIECES / "1-saffron-evening.musicxml")
    kept = json_of("keep", piece, "--set", "5-15", "--why", "The close.", cwd=home)
    assert (kept["bars"], kept["set"], kept["kind"], kept["passage_kind"]) == (
        ["26", "29"],
        "5-15",
        "kept passage",
        "texture",
    )
    assert run("remark", "5-15", "And it hangs.", cwd=home / "sets").returncode == 0
    assert run("remark", "Eb7#5", cwd=home).returncode == 1
    assert run("remark", "[01268]", cwd=home).stdout == "5-15 (glass)\n    It glitters.\n\n    And it hangs.\n"
    run("sketch", "Opening", "--set", "D double harmonic", cwd=home)
    assert run("list", cwd=home).stdout == (
        "5-15 (glass)\n    It glitters.\nSaffron Evening, bars 26–29: 5-15, texture\n    The close.\nOpening\n"
    )
    found = json_of("list", "--tag", "GLASS", cwd=home)
    assert [len(found[name]) for name in ("sets", "passages", "sketches", "unread")] == [1, 0, 0, 0]


def test_what_cannot_be_read_is_named(home: Path) -> None:
    (home / "sets" / "x.md").write_text("no card", encoding="utf-8")
    done = run("list", cwd=home)
    assert (done.returncode, done.stdout) == (1, "")
    assert "Not read: " in done.stderr
    assert "Nothing is kept" in done.stderr


def test_out_and_in(home: Path, tmp_path: Path) -> None:
    run("keep", "5-15", cwd=home)
    (home / ".hidden").write_text("x", encoding="utf-8")
    done = run("export", "out.zip", "--study", str(home), cwd=tmp_path)
    assert (done.returncode, done.stdout) == (0, "out.zip\n")
    assert done.stderr == "Left out: .hidden (hidden)\n"
    assert json_of("import", "out.zip", "again", cwd=tmp_path)["title"] == "Seconds"
    assert run("list", "again", cwd=tmp_path).stdout == "5-15\n"
    assert run("import", "out.zip", "again", cwd=tmp_path).returncode == 2


@pytest.mark.parametrize(
    ("words", "status", "sentence"),
    [
        (("keep", "my theme"), 2, "my theme"),
        (("keep", "5-15", "--set", "5-16"), 2, "--set is for pieces"),
        (("keep", str(PIECES / "3-the-well.musicxml")), 2, "Say which set the passage shows"),
        (("keep", str(PIECES / "5-clockwork-moth.musicxml"), "--set", "7-22"), 1, "has 0 passages of 7-22"),
        (("sketch", "A", "--music", "nowhere.mid"), 2, "nowhere.mid could not be read"),
        (("new", "."), 2, "is a study already"),
        (("list", "/"), 2, "is not a study"),
        (("import", "study.toml", "new"), 3, "no archive that can be read"),
    ],
)
def test_what_is_not_understood_is_one_clear_sentence(
    home: Path, words: tuple[str, ...], status: int, sentence: str
) -> None:
    done = run(*words, cwd=home)
    assert (done.returncode, done.stdout) == (status, "")
    assert sentence in done.stderr
    assert "Traceback" not in done.stderr


def test_a_score_is_taken_into_the_study_once(home: Path) -> None:
    piece = str(PIECES / "3-the-well.musicxml")
    taken = json_of("take", piece, cwd=home)
    assert (taken["piece"], taken["kind"]) == ("pieces/3-the-well.musicxml", "kept piece")
    assert (home / "pieces" / "3-the-well.musicxml").read_bytes() == Path(piece).read_bytes()
    assert run("take", piece, cwd=home).stdout.strip() == taken["file"]
    gone = run("take", "no-such.mxl", cwd=home)
    assert gone.returncode == 2 and "could not be read" in gone.stderr
