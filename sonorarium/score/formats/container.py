"""From the bytes of a file to the bytes of its MusicXML document.

MusicXML travels in two wrappings: as a plain XML file, and as a compressed one (``.mxl``), a ZIP archive in which
``META-INF/container.xml`` names the score. What a file is follows from its first bytes, never from its suffix.

Files come from strangers, so an archive is opened with limits on its size, the number of its members and how far it
may expand; nothing is ever written to disk, and a path from inside the archive only ever serves to look up a member
of that same archive.

Text may be UTF-8, UTF-8 with a byte order mark, or UTF-16; what comes out of here is always something that an XML
parser reads without being told the encoding.

Sources: W3C, *MusicXML 4.0*, "Compressed .mxl files" and "container.xsd".
"""

from __future__ import annotations

import io
import re
import zipfile
import zlib
from dataclasses import dataclass

from lxml import etree

from sonorarium.errors import DamagedError, InputError
from sonorarium.score.remarks import Findings

MEBIBYTE = 1 << 20


@dataclass(frozen=True)
class Limits:
    """How much a stranger's file may ask for.

    Parameters
    ----------
    file_bytes : int
        Largest file that is opened.
    xml_bytes : int
        Largest document after decompression.
    members : int
        Most members in an archive (a score may carry its images and sounds with it).
    ratio : int
        Furthest that a document may expand; MusicXML of real songs expands about 20 to 45 times.
    """

    file_bytes: int = 128 * MEBIBYTE
    xml_bytes: int = 256 * MEBIBYTE
    members: int = 2_000
    ratio: int = 250


LIMITS = Limits()

OTHER_FORMATS: tuple[tuple[bytes, str], ...] = (
    (b"MThd", "a MIDI file"),
    (b"%PDF", "a PDF document"),
    (b"\x1f\x8b", "a gzip archive"),
    (b"\x89PNG", "a PNG image"),
    (b"\xff\xd8\xff", "a JPEG image"),
    (b"RIFF", "a RIFF file (a sound or SoundFont)"),
    (b"!!!", "a Humdrum file"),
    (b"**", "a Humdrum file"),
    (b"X:", "an ABC file"),
    (b"7z\xbc\xaf", "a 7z archive"),
)
"""First bytes by which a file of another kind is told. From memory; each is the format's own signature."""

_CONTAINER = "META-INF/container.xml"
_DECLARATION = re.compile(r"\s*<\?xml[^>]*\?>")


def musicxml_bytes(data: bytes, findings: Findings, limits: Limits = LIMITS) -> bytes:
    """Return the XML document in a file.

    Parameters
    ----------
    data : bytes
        The whole file.
    findings : Findings
        Takes up what had to be repaired.
    limits : Limits
        How much is allowed.

    Returns
    -------
    bytes
        The document, in an encoding that it declares itself.

    Raises
    ------
    DamagedError
        If the file is empty, too large, a broken or hostile archive, or no text.
    InputError
        If it is a sound file of some other format.

    Examples
    --------
    >>> musicxml_bytes("<score-partwise/>".encode("utf-16"), Findings())
    b'<score-partwise/>'
    """
    if not data.removeprefix(b"\xef\xbb\xbf").strip():
        raise DamagedError("The file is empty.")
    if len(data) > limits.file_bytes:
        raise DamagedError(
            f"The file has {len(data) // MEBIBYTE} MiB, more than the {limits.file_bytes // MEBIBYTE} allowed."
        )
    if data.startswith((b"PK\x03\x04", b"PK\x05\x06", b"PK\x07\x08")):
        data = _unpacked(data, findings, limits)
        if not data.strip():
            raise DamagedError("The score in the archive is empty.")
    return _plain(data)


def _plain(data: bytes) -> bytes:
    """Return a document as bytes that need no word on their encoding; refuse what is no XML."""
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        return _from_utf16(data, "utf-16")
    if data.startswith((b"<\x00", b"\x00<")):
        return _from_utf16(data, "utf-16-le" if data[:1] == b"<" else "utf-16-be")
    start = data[:64].removeprefix(b"\xef\xbb\xbf").lstrip()
    if start.startswith(b"<"):
        return data.removeprefix(b"\xef\xbb\xbf").lstrip()
    for signature, name in OTHER_FORMATS:
        if start.startswith(signature):
            raise InputError(f"This is {name}, not MusicXML.", suggestion="Export the score as MusicXML.")
    raise DamagedError("The file is neither an XML text nor a compressed score.")


def _from_utf16(data: bytes, encoding: str) -> bytes:
    try:
        text = data.decode(encoding)
    except UnicodeDecodeError as error:
        raise DamagedError("The text looks like UTF-16 but cannot be decoded.") from error
    return _DECLARATION.sub("", text, count=1).lstrip("\ufeff").encode("utf-8")


def _unpacked(data: bytes, findings: Findings, limits: Limits) -> bytes:
    """Return the score document of a ZIP archive."""
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            if len(archive.infolist()) > limits.members:
                raise DamagedError(
                    f"The archive has {len(archive.infolist())} members, more than the {limits.members} allowed."
                )
            return _member(archive, _score_member(archive, findings, limits), limits)
    except (zipfile.BadZipFile, zlib.error, EOFError, OSError) as error:
        raise DamagedError("The compressed score is damaged or cut short.") from error
    except (NotImplementedError, RuntimeError) as error:
        raise DamagedError("The compressed score is encrypted or packed in a way that MusicXML excludes.") from error


def _member(archive: zipfile.ZipFile, name: str, limits: Limits) -> bytes:
    """Return one member, read no further than the limits allow."""
    info = archive.getinfo(name)
    most = min(limits.xml_bytes, max(MEBIBYTE, info.compress_size * limits.ratio))
    if info.file_size > most:
        raise DamagedError(
            f"The archive expands {info.compress_size} bytes to {info.file_size}, which no score needs.",
            value=name,
        )
    with archive.open(info) as member:
        return member.read(most)


def _score_member(archive: zipfile.ZipFile, findings: Findings, limits: Limits) -> str:
    """Return the name of the member that holds the score."""
    names = set(archive.namelist())
    if _CONTAINER not in names:
        findings.add("The archive has no META-INF/container.xml: its only score was taken.")
        return _only_score(names, "has no META-INF/container.xml")
    root_file = _root_file(_member(archive, _CONTAINER, limits))
    if root_file.startswith(("/", "\\")) or ".." in re.split(r"[/\\]", root_file) or ":" in root_file:
        raise DamagedError(f"The archive names {root_file!r} as its score, a path outside of it.", value=root_file)
    if root_file in names:
        return root_file
    findings.add(f"The archive names {root_file!r} as its score, which it does not hold: its only score was taken.")
    return _only_score(names, f"names {root_file!r} as its score, which it does not hold")


def _root_file(container: bytes) -> str:
    """Return the path that a container names first, in any namespace."""
    parser = etree.XMLParser(resolve_entities=False, no_network=True, load_dtd=False, huge_tree=False)
    try:
        root = etree.fromstring(container, parser)
    except etree.XMLSyntaxError as error:
        raise DamagedError("The archive's META-INF/container.xml is damaged.") from error
    paths = root.xpath("//*[local-name()='rootfile']/@full-path")
    if not isinstance(paths, list) or not paths:
        raise DamagedError("The archive's META-INF/container.xml names no score.")
    return str(paths[0])


def _only_score(names: set[str], fault: str) -> str:
    """Return the one member that can be a score, where the container does not say."""
    scores = sorted(
        name
        for name in names
        if not name.startswith(("META-INF/", "__MACOSX/")) and name.lower().endswith((".xml", ".musicxml"))
    )
    if len(scores) != 1:
        raise DamagedError(f"The archive {fault}, and there are {len(scores)} members it could be.", value=scores)
    return scores[0]
