"""What a file is, by its content."""

from __future__ import annotations

import pytest

from sonorarium.score.formats.sniffing import Format, format_of, text_of
from sonorarium.score.remarks import Findings

MEI = b'<?xml version="1.0"?>\n<?xml-model href="mei.rng"?>\n<!-- a <score> -->\n<mei xmlns="http://www.music-encoding.org/ns/mei"/>'


@pytest.mark.parametrize(
    ("data", "form"),
    [
        (b"PK\x03\x04rest", Format.MUSICXML),
        (b"<?xml version='1.0'?><!DOCTYPE score-partwise PUBLIC 'x' 'y'><score-partwise/>", Format.MUSICXML),
        ("<?xml version='1.0'?><score-timewise/>".encode("utf-16"), Format.MUSICXML),
        (b"<html/>", Format.MUSICXML),
        (MEI, Format.MEI),
        (b"\xef\xbb\xbf" + MEI, Format.MEI),
        (MEI.decode().encode("utf-16-le"), Format.MEI),
        (b"<!DOCTYPE mei [<!ELEMENT a (b)>]><m:mei xmlns:m='x'/>", Format.MEI),
        (b"**kern\n1c\n*-\n", Format.HUMDRUM),
        (b"!!!COM: Bach\r\n\r\n!! words\r\n**text\t**kern\r\n", Format.HUMDRUM),
        (b"\n% a book\nX: 1\r\nT:Air\r\nK:G\r\nG|\r\n", Format.ABC),
        (b"Words before.\n\nX:12\rT:Air\rK:G\rG|\r", Format.ABC),
        (b"MThd\0\0\0\6", Format.MIDI),
        (b"RIFF\x10\0\0\0RMIDdata", Format.MIDI),
        (b"RIFF\x10\0\0\0WAVEfmt ", None),
        (b"%PDF-1.7", None),
        (b"X:1\nT:no key\n", Format.ABC),
        (b"!!!OTL: no spines\n", Format.HUMDRUM),
        (b"words\nX:1\nT:no key\n", None),
        (b"K:G\nX:1\n", None),
        (b"note **kern", None),
        (b"", None),
    ],
)
def test_content_decides(data: bytes, form: Format | None) -> None:
    assert format_of(data) is form


def test_hostile_prologues_take_no_time() -> None:
    # Patterns that try every way to split such a text would not come back.
    assert format_of(b"<!-- a -->" * 5_000 + b"!") is Format.MUSICXML
    assert format_of(b"<!-- a -->" * 5_000 + b"<mei/>") is Format.MEI
    assert format_of(b"!\n" * 20_000) is None
    assert format_of(b"a\nX:1\n" * 20_000) is None


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16"])
def test_text_in_its_encoding_with_plain_line_ends(encoding: str) -> None:
    findings = Findings()
    assert text_of("Für\r\nElise\r".encode(encoding), findings) == "Für\nElise\n"
    assert findings.remarks([]) == ()


def test_old_encodings_are_guessed_and_said() -> None:
    findings = Findings()
    assert text_of("Für Élise".encode("latin-1"), findings) == "Für Élise"
    assert [remark.what for remark in findings.remarks([])] == ["The text is not UTF-8: it was read as Windows-1252."]
