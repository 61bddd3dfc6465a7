"""From the bytes of a file to its MusicXML: wrappings, encodings, hostile archives."""

from __future__ import annotations

import io
import warnings
import zipfile
import zlib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sonorarium.errors import DamagedError, InputError
from sonorarium.score.formats.container import LIMITS, MEBIBYTE, Limits, musicxml_bytes
from sonorarium.score.remarks import Findings

DOCUMENT = '<?xml version="1.0" encoding="UTF-8"?><score-partwise><!-- Ä --></score-partwise>'
XML = DOCUMENT.encode()


def container(path: str) -> bytes:
    return (
        '<container xmlns="urn:any"><rootfiles>'
        f'<rootfile full-path="{path}"/><rootfile full-path="other.pdf"/></rootfiles></container>'
    ).encode()


def archive(members: dict[str, bytes], compression: int = zipfile.ZIP_DEFLATED) -> bytes:
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", compression) as file:
        for name, data in members.items():
            file.writestr(name, data)
    return stream.getvalue()


def read(data: bytes, limits: Limits = LIMITS) -> tuple[bytes, str]:
    findings = Findings()
    xml = musicxml_bytes(data, findings, limits)
    return xml, " | ".join(remark.what for remark in findings.remarks([]))


def test_plain_xml_passes() -> None:
    assert read(XML) == (XML, "")
    assert read(b"\n  " + XML) == (XML, "")


@pytest.mark.parametrize("encoding", ["utf-16", "utf-16-le", "utf-16-be", "utf-8-sig"])
@pytest.mark.parametrize("mark", ["", "\ufeff"])
def test_other_encodings(encoding: str, mark: str) -> None:
    xml, _ = read((mark + DOCUMENT.replace("UTF-8", "UTF-16")).encode(encoding) if "16" in encoding else XML)
    assert xml.endswith("<score-partwise><!-- Ä --></score-partwise>".encode())


def test_the_container_names_the_score_whatever_comes_first() -> None:
    members = {"a.xml": b"<wrong/>", "META-INF/container.xml": container("sub/s.xml"), "sub/s.xml": XML}
    assert read(archive(members)) == (XML, "")
    assert read(archive(dict(reversed(members.items())))) == (XML, "")
    assert read(archive(members, zipfile.ZIP_STORED)) == (XML, "")


def test_an_utf_16_document_in_an_archive() -> None:
    members = {"META-INF/container.xml": container("s.xml"), "s.xml": "<score-timewise/>".encode("utf-16")}
    assert read(archive(members))[0] == b"<score-timewise/>"


def test_without_a_container_the_only_score_is_taken_and_remarked() -> None:
    xml, said = read(archive({"mimetype": b"x", "s.musicxml": XML, "__MACOSX/s.musicxml": b""}))
    assert xml == XML
    assert said == "The archive has no META-INF/container.xml: its only score was taken."


def test_a_wrong_rootfile_is_repaired_if_only_one_score_is_there() -> None:
    xml, said = read(archive({"META-INF/container.xml": container("gone.xml"), "s.xml": XML}))
    assert xml == XML
    assert "names 'gone.xml' as its score, which it does not hold" in said


@pytest.mark.parametrize(
    ("members", "what"),
    [
        ({"META-INF/container.xml": container("gone.xml"), "a.xml": XML, "b.xml": XML}, "2 members it could be"),
        ({"META-INF/container.xml": container("gone.xml")}, "0 members it could be"),
        ({"a.xml": XML, "b.xml": XML}, "has no META-INF/container.xml, and there are 2 members"),
        ({}, "0 members it could be"),
        ({"META-INF/container.xml": b"<container>", "a.xml": XML}, "container.xml is damaged"),
        ({"META-INF/container.xml": b"<container/>", "a.xml": XML}, "names no score"),
        ({"META-INF/container.xml": container("../../etc/passwd"), "a.xml": XML}, "a path outside of it"),
        ({"META-INF/container.xml": container("/etc/passwd"), "a.xml": XML}, "a path outside of it"),
        ({"META-INF/container.xml": container("..\\a.xml"), "..\\a.xml": XML}, "a path outside of it"),
        ({"META-INF/container.xml": container("c:a.xml"), "c:a.xml": XML}, "a path outside of it"),
        ({"META-INF/container.xml": container("a.xml"), "a.xml": b"\x00\x01junk"}, "neither an XML text nor"),
        ({"META-INF/container.xml": container("a.xml"), "a.xml": b""}, "score in the archive is empty"),
    ],
)
def test_bad_archives(members: dict[str, bytes], what: str) -> None:
    with pytest.raises(DamagedError, match=what):
        read(archive(members))


def test_a_zip_bomb_is_not_unpacked() -> None:
    bomb = archive({"META-INF/container.xml": container("s.xml"), "s.xml": b"<a>" + b" " * (8 * MEBIBYTE)})
    assert len(bomb) < 16_384
    with pytest.raises(DamagedError, match=r"expands .* which no score needs"):
        read(bomb)
    bomb = archive({"META-INF/container.xml": b"<a>" + b" " * (8 * MEBIBYTE), "s.xml": XML})
    with pytest.raises(DamagedError, match="expands"):
        read(bomb)


def test_a_member_that_lies_about_its_size_is_cut_short() -> None:
    data = bytearray(archive({"META-INF/container.xml": container("s.xml"), "s.xml": b"<a>" + b" " * 3 * MEBIBYTE}))
    size = (3 * MEBIBYTE + 3).to_bytes(4, "little")
    while (at := data.find(size)) >= 0:
        data[at : at + 4] = (100).to_bytes(4, "little")
    with pytest.raises(DamagedError, match="damaged or cut short"):
        read(bytes(data))


def test_limits() -> None:
    with pytest.raises(DamagedError, match="more than the 0 allowed"):
        read(XML, Limits(file_bytes=10))
    members = {f"{index}.png": b"" for index in range(4)} | {"s.xml": XML}
    with pytest.raises(DamagedError, match="5 members, more than the 4 allowed"):
        read(archive(members), Limits(members=4))
    assert read(archive(members), Limits(members=5))[0] == XML


def test_an_encrypted_archive() -> None:
    data = bytearray(archive({"s.xml": XML}, zipfile.ZIP_STORED))
    for signature, offset in ((b"PK\x03\x04", 6), (b"PK\x01\x02", 8)):
        data[data.find(signature) + offset] |= 1
    with pytest.raises(DamagedError, match="encrypted"):
        read(bytes(data))


@pytest.mark.parametrize(
    ("start", "name"),
    [
        (b"MThd\x00\x00", "a MIDI file"),
        (b"%PDF-1.7", "a PDF document"),
        (zlib.compress(b"x", wbits=31), "a gzip archive"),
        (b"**kern\n4c\n*-\n", "a Humdrum file"),
        (b"!!!COM: x\n", "a Humdrum file"),
        (b"X:1\nK:C\nCDE\n", "an ABC file"),
    ],
)
def test_other_formats_are_named(start: bytes, name: str) -> None:
    with pytest.raises(InputError, match=f"This is {name}, not MusicXML"):
        read(start)


@pytest.mark.parametrize("data", [b"", b"  \n", b"\xef\xbb\xbf"])
def test_an_empty_file(data: bytes) -> None:
    with pytest.raises(DamagedError, match="The file is empty"):
        read(data)


def test_broken_utf_16() -> None:
    with pytest.raises(DamagedError, match="looks like UTF-16"):
        read(b"\xff\xfe<\x00s\x00\x00")


GOOD = archive({"META-INF/container.xml": container("s.xml"), "s.xml": XML * 20})


@given(st.integers(4, len(GOOD) - 1))
def test_a_truncated_archive(length: int) -> None:
    with pytest.raises(DamagedError):
        read(GOOD[:length])


@given(st.binary(max_size=200) | st.binary(max_size=80).map(lambda tail: GOOD[:30] + tail + GOOD[30 + len(tail) :]))
def test_junk_never_ends_in_anything_but_our_own_errors(data: bytes) -> None:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        try:
            read(data)
        except (DamagedError, InputError) as error:
            assert str(error)
