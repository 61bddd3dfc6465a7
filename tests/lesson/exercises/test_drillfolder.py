"""A drill as files, the same bytes twice."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from sonorarium.errors import InputError
from sonorarium.lesson.exercises.drillfolder import write_drill
from sonorarium.lesson.exercises.drills import Request, make_drill

REQUEST = Request(("mode", "chord"), count=2, seed=8)


def test_the_same_request_gives_the_same_bytes(tmp_path: Path) -> None:
    for name in ("one", "two"):
        write_drill(make_drill("D double harmonic", REQUEST), tmp_path / name)
    names = sorted(file.name for file in (tmp_path / "one").iterdir())
    assert names == ["drill-key.pdf", "drill.html", "drill.json", "drill.pdf"]
    for name in names:
        assert (tmp_path / "one" / name).read_bytes() == (tmp_path / "two" / name).read_bytes()
    assert json.loads((tmp_path / "one" / "drill.json").read_text(encoding="utf-8"))["seed"] == 8


def test_only_the_forms_asked_for_are_written(tmp_path: Path) -> None:
    files = write_drill(make_drill("C major", REQUEST), tmp_path, name="warm-up", forms=("json",))
    assert files == [tmp_path / "warm-up.json"]
    with pytest.raises(InputError, match="no form 'docx'"):
        write_drill(make_drill("C major", REQUEST), tmp_path, forms=("docx",))
