"""The one entrance: files on disk."""

from __future__ import annotations

import hashlib
import io
import zipfile
from pathlib import Path

import pytest

from sonorarium.errors import DamagedError, InputError
from sonorarium.score.reading import read_score
from tests.score.writing import attributes, measure, note, page

XML = page(measure(attributes() + note("C4", 4))).encode()


def test_a_plain_file_is_read_with_path_and_digest(tmp_path: Path) -> None:
    path = tmp_path / "song.musicxml"
    path.write_bytes(XML)
    score = read_score(str(path))
    assert score.notes["pitch"].tolist() == [60]
    assert score.path == path
    assert score.digest == hashlib.sha256(XML).hexdigest()
    assert score.parts[0].name == "Part 1"


def test_content_decides_not_the_suffix(tmp_path: Path) -> None:
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w") as file:
        file.writestr("s.xml", XML)
    path = tmp_path / "song.xml"
    path.write_bytes(stream.getvalue())
    score = read_score(path)
    assert score.notes["pitch"].tolist() == [60]
    assert [remark.what for remark in score.remarks] == [
        "The archive has no META-INF/container.xml: its only score was taken."
    ]


def test_utf_16_with_a_wrong_declaration(tmp_path: Path) -> None:
    path = tmp_path / "song.xml"
    path.write_bytes(
        ('<?xml version="1.0" encoding="UTF-8"?>' + XML.decode().replace("Part 1", "Flöte")).encode("utf-16")
    )
    assert read_score(path).parts[0].name == "Flöte"


def test_a_missing_file_and_a_folder(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="There is no file"):
        read_score(tmp_path / "nothing.xml")
    with pytest.raises(InputError, match="cannot be opened"):
        read_score(tmp_path)


@pytest.mark.parametrize(
    ("content", "error", "what"),
    [
        (XML[:-40], DamagedError, r"^song\.xml: The XML is damaged at line 1, in or after bar 1\."),
        (b"\x00\x01\x02", DamagedError, r"^song\.xml: The file is neither"),
        (b"", DamagedError, r"^song\.xml: The file is empty"),
        (b"<mei/>", DamagedError, r"^song\.xml: The file cannot be understood|^song\.xml: There are no bars"),
        (b"MThd", DamagedError, r"^song\.xml: The MIDI file is damaged: it ends too early\."),
        (
            b"%PDF-1.7",
            InputError,
            r"^song\.xml: This is a PDF document, not MusicXML\. Export the score as MusicXML\.",
        ),
    ],
)
def test_errors_name_the_file(tmp_path: Path, content: bytes, error: type[Exception], what: str) -> None:
    path = tmp_path / "song.xml"
    path.write_bytes(content)
    with pytest.raises(error, match=what):
        read_score(path)


def test_the_bar_of_an_error_is_named(tmp_path: Path) -> None:
    bars = "".join(measure(note("C4", 4), str(number)) + "\n" for number in range(1, 9))
    text = page(bars).replace('<measure number="6">', '<measure number="6"><note>')
    path = tmp_path / "song.xml"
    path.write_text(text)
    with pytest.raises(DamagedError, match="at line 6, in or after bar 6"):
        read_score(path)
