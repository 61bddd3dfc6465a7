"""What comes from outside is looked at before it is let in; every refusal is named with its reason."""

from __future__ import annotations

import io
import zipfile
from pathlib import Path

import pytest

from sonorarium.errors import InputError
from sonorarium.web.facts.uploads import (
    MOST_FILES,
    Reader,
    Upload,
    check_count,
    free_name,
    objection,
    safe_name,
    take,
)

AIR = b"X:1\nT:Air\nM:2/4\nL:1/4\nK:G\nF G|\n"


def bomb() -> bytes:
    """An archive that expands a thousand times."""
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("score.xml", b"<score-partwise>" + b" " * (20 << 20) + b"</score-partwise>")
    return made.getvalue()


@pytest.mark.parametrize(
    ("sent", "plain"),
    [
        ("../../x.musicxml", "x.musicxml"),
        ("/etc/x.abc", "x.abc"),
        ("..\\..\\x.abc", "x.abc"),
        (".hidden.abc", "hidden.abc"),
        ("a\nb.abc", "a b.abc"),
        ("..", ""),
    ],
)
def test_a_name_is_plain(sent: str, plain: str) -> None:
    assert safe_name(sent) == plain


def test_a_long_name_is_cut() -> None:
    assert len(safe_name("x" * 5000 + ".musicxml")) < 120


def test_what_is_no_score_is_not_even_read() -> None:
    assert "end as that of a score" in objection("air.exe", AIR)
    assert "no score" in objection("air.abc", b"\x89PNG\r\n")
    assert "empty" in objection("air.abc", b"")
    assert "larger" in objection("air.abc", AIR + b" " * (16 << 20))
    assert objection("air.abc", AIR) == ""


def test_only_what_can_be_read_gets_in_and_never_over_another(tmp_path: Path) -> None:
    folder = tmp_path / "pieces"
    folder.mkdir()
    (folder / "air.abc").write_bytes(b"mine")
    sent = [
        Upload("../air.abc", AIR),
        Upload("bomb.mxl", bomb()),
        Upload("torn.musicxml", b"<score-partwise><part-list>"),
        Upload("air.exe", AIR),
    ]
    told: list[str] = []
    taken = take(sent, folder, lambda _, name: told.append(name))
    assert taken.names == ["air-2.abc"]
    assert [one.name for one in taken.refused] == ["bomb.mxl", "torn.musicxml", "air.exe"]
    assert all(one.reason for one in taken.refused)
    assert sorted(path.name for path in tmp_path.rglob("*.*")) == ["air-2.abc", "air.abc"]
    assert (folder / "air.abc").read_bytes() == b"mine"
    assert told == ["air.abc", "bomb.mxl", "torn.musicxml", "air.exe"]


def test_a_reader_that_takes_too_long_is_ended_and_replaced(tmp_path: Path) -> None:
    (tmp_path / "air.abc").write_bytes(AIR)
    reader = Reader(time_limit_s=0.0)
    assert "longer than" in reader.objection(tmp_path / "air.abc")
    reader.time_limit_s = 30
    assert reader.objection(tmp_path / "air.abc") == ""
    reader.close()


def test_free_names_and_counts(tmp_path: Path) -> None:
    assert free_name(tmp_path, "a.abc") == "a.abc"
    (tmp_path / "a.abc").symlink_to("nowhere")
    assert free_name(tmp_path, "a.abc") == "a-2.abc"
    check_count(MOST_FILES)
    with pytest.raises(InputError, match="more than can be sent"):
        check_count(MOST_FILES + 1)
