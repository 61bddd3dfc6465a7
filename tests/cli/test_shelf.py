import json
import shutil
import time
from pathlib import Path

import pytest
from typer.testing import CliRunner

from sonorarium.cli.shelf import _progress, app
from sonorarium.errors import DamagedError, InputError
from sonorarium.shelf.indexing import Progress
from sonorarium.shelf.shelf import VARIABLE
from tests.shelf.library import fill


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv(VARIABLE, str(tmp_path / "shelf"))
    return fill(tmp_path / "music")


def run(*words: object) -> tuple[str, str]:
    result = CliRunner().invoke(app, [str(word) for word in words], catch_exceptions=False)
    assert result.exit_code == 0, result.output
    return result.stdout, result.stderr


def test_a_library_from_first_to_last(folder: Path) -> None:
    out, _ = run("add", folder, "--jobs", 1)
    assert out.startswith("4 files indexed in ")
    assert out.endswith("notes a second; 0 unchanged.\n")
    assert run("add")[0] == "0 files indexed; 4 unchanged.\n"
    out, _ = run("list")
    assert " ".join(out.split()).startswith(f"{folder}: 4 scores 2,353 notes, 566 slices in ")
    assert run("check") == ("4 files: the shelf is whole and up to date.\n", "")
    assert run("drop", folder / "a")[0] == "2 files taken off the shelf.\n"
    listed = run("list", "--files")[0]
    assert str(folder / "b/c/00.mxl") in listed
    assert str(folder / "a/01.mxl") not in listed


def test_json_has_these_keys(folder: Path) -> None:
    (folder / "bad.xml").write_text("<score")
    added = json.loads(run("add", folder, "--json")[0])
    assert set(added) == {
        *("kind", "schema", "shelf", "files", "indexed", "notes", "unchanged", "damaged", "gone", "missing")
    }
    assert (added["kind"], added["indexed"], len(added["damaged"])) == ("shelf add", 4, 1)
    listed = json.loads(run("list", "--files", "--json")[0])
    assert set(listed) == {
        *("kind", "schema", "shelf", "folders", "files", "scores", "notes", "slices", "outdated", "damaged")
    }
    assert len(listed["scores"]) == 4
    assert json.loads(run("check", "--json")[0])["is_sound"]
    assert json.loads(run("drop", folder, "--json")[0])["dropped"] == 5


def test_what_could_not_be_read_is_told(folder: Path) -> None:
    (folder / "bad.xml").write_text("<score")
    for words in (("add", folder), ("add",), ("list",), ("check",)):
        assert f"Not read: {folder / 'bad.xml'}: bad.xml: The XML is damaged at line 1." in run(*words)[1]


def test_another_place_may_be_named(folder: Path, tmp_path: Path) -> None:
    run("add", folder / "a", "--shelf", tmp_path / "second")
    assert (tmp_path / "second/manifest.json").exists()
    with pytest.raises(InputError, match="There is no shelf in"):
        run("list")


def test_nothing_but_damaged_files_is_damage(folder: Path) -> None:
    shutil.rmtree(folder)
    folder.mkdir()
    (folder / "bad.xml").write_text("<score")
    with pytest.raises(DamagedError, match="None of the files could be read"):
        run("add", folder)


def test_changes_and_damage_are_told_and_mended(folder: Path, tmp_path: Path) -> None:
    run("add", folder)
    (folder / "a/01.mxl").unlink()
    assert f"Not there: {folder / 'a/01.mxl'}\n4 files: the shelf is not up to date." in run("check")[0]
    (table,) = (tmp_path / "shelf/tables").glob("*/notes.parquet")
    table.write_bytes(b"")
    with pytest.raises(DamagedError, match="shelf check --mend"):
        run("check")
    assert run("check", "--mend")[0].startswith("3 files indexed in ")
    assert run("check")[0].endswith("whole and up to date.\n")


def test_a_folder_that_is_not_there_is_left_as_it_is(folder: Path) -> None:
    run("add", folder)
    folder.rename(folder.parent / "moved")
    assert f"Not there: {folder}. It was left as it is" in run("add")[1]


def test_progress_has_rate_and_time_left(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    now = [0.0]
    monkeypatch.setattr(time, "monotonic", lambda: now[0])
    with _progress("Indexing") as tell:
        for second in (1.0, 20.0, 40.0):
            now[0] = second
            tell(Progress(int(second), 40, int(second) * 100))
    said = capsys.readouterr().err
    assert " ".join(said.split()) == "Indexing: 20 of 40 files, 100 notes a second, 20 s left"
