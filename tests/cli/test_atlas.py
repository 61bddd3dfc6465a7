import json
from pathlib import Path

import pytest
from typer.testing import CliRunner

from sonorarium.cli.app import app
from sonorarium.shelf.indexing import add_folders
from sonorarium.shelf.shelf import VARIABLE, Shelf
from tests.shelf.library import fill


@pytest.fixture
def shelf(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(VARIABLE, str(tmp_path / "shelf"))
    add_folders(Shelf(tmp_path / "shelf"), [fill(tmp_path / "music")], jobs=1)


def run(*words: str) -> str:
    result = CliRunner().invoke(app, ["atlas", *words], catch_exceptions=False)
    assert result.exit_code == 0, result.output
    return result.stdout


@pytest.mark.usefixtures("shelf")
def test_three_lists_or_two() -> None:
    assert run("--size", "3").startswith("Used (")
    out = run("--size", "3", "--unused")
    assert out.startswith("Hardly used")
    assert "Unused (" in out


@pytest.mark.usefixtures("shelf")
def test_json_has_every_class_of_the_sizes() -> None:
    told = json.loads(run("--size", "3", "--json"))
    assert set(told) == {"kind", "schema", "counted", "scores", "used", "hardly", "unused"}
    assert sum(len(told[name]) for name in ("used", "hardly", "unused")) == 12
    assert "used" not in json.loads(run("--unused", "--json"))
