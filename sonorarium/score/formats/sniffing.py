"""What kind of score a file is, by its content; its name plays no part.

=================  =========================================================================================
MusicXML           XML whose root is ``score-partwise`` or ``score-timewise``, or a ZIP archive
MEI                XML whose root is ``mei``, ``music``, ``meiCorpus``, ``score`` or ``section``
Humdrum            ``!!`` at the beginning, or a line that begins with ``**``, after nothing but comments (``!``)
ABC                ``X:`` at the beginning, or a line ``X:`` with a number and a later line ``K:``
MIDI               ``MThd``, or ``RIFF`` with ``RMID``
=================  =========================================================================================

Text is UTF-8 or UTF-16 as its byte order mark says; text that is no UTF-8 is read as Windows-1252, the superset of
ISO 8859-1 that old Humdrum and ABC files are in.

Sources: W3C, *MusicXML 4.0*; Music Encoding Initiative, *Guidelines 5*; Huron, *The Humdrum Toolkit: Reference
Manual* (1995), ch. 1; *The abc music standard 2.1* (2011), sections 2 and 3; MMA, *Standard MIDI Files 1.0* (1996).
"""

from __future__ import annotations

import re
from enum import Enum

from sonorarium.score.remarks import Findings


class Format(Enum):
    """A kind of score file; the value is its name."""

    MUSICXML = "MusicXML"
    MEI = "MEI"
    HUMDRUM = "Humdrum"
    ABC = "ABC"
    MIDI = "MIDI"


SUFFIXES = (".musicxml", ".mxl", ".xml", ".mei", ".krn", ".abc", ".mid", ".midi")
"""Usual suffixes of score files, for looking through folders; what a file is, its content decides."""

_XML_ROOT = re.compile(
    rb"(?>\s+|<\?.*?\?>|<!--.*?-->|<!DOCTYPE[^\[>]*+(?:\[.*?\])?[^>]*+>)*+<(?:[\w.-]+:)?([\w.-]+)", re.S
)
_MEI_ROOTS = {b"mei", b"music", b"meiCorpus", b"score", b"section"}
_UTF16 = (b"\xff\xfe", b"\xfe\xff", b"<\x00", b"\x00<")
_HUMDRUM = re.compile(rb"(?:(?:![^\r\n]*+|[ \t]*+)(?:\r\n?|\n))*+\*\*\w")
_ABC_NUMBER, _ABC_KEY = re.compile(rb"^X:[ \t]*\d", re.M), re.compile(rb"^K:", re.M)
_HEAD = 1 << 16  # bytes that are looked at where a whole file would be slow


def format_of(data: bytes) -> Format | None:
    r"""Return what a file is, or None where it is nothing that can be read.

    Parameters
    ----------
    data : bytes
        The whole file.

    Examples
    --------
    >>> [format_of(data) for data in (b"<score-partwise/>", b"!!!OTL: Air\n**kern\n", b"X:1\nK:C\n")]
    [<Format.MUSICXML: 'MusicXML'>, <Format.HUMDRUM: 'Humdrum'>, <Format.ABC: 'ABC'>]
    >>> format_of(b"%PDF-1.7") is None
    True
    """
    if data.startswith(b"PK"):
        return Format.MUSICXML
    if data.startswith(b"MThd") or (data.startswith(b"RIFF") and data[8:12] == b"RMID"):
        return Format.MIDI
    plain = _head_as_utf8(data) if data.startswith(_UTF16) else data
    plain = plain.removeprefix(b"\xef\xbb\xbf")
    start = plain[:64].lstrip()
    if start.startswith(b"<"):
        return _xml_format(plain[:_HEAD])
    if start.startswith((b"!!", b"**")) or _HUMDRUM.match(plain):
        return Format.HUMDRUM
    if start.startswith(b"X:"):
        return Format.ABC
    lines = plain.replace(b"\r", b"\n")
    number = _ABC_NUMBER.search(lines)
    return Format.ABC if number and _ABC_KEY.search(lines, number.end()) else None


def _head_as_utf8(data: bytes) -> bytes:
    encoding = "utf-16" if data.startswith(_UTF16[:2]) else "utf-16-le" if data[:1] == b"<" else "utf-16-be"
    return data.decode(encoding, "replace").encode()


def _xml_format(head: bytes) -> Format:
    """Return what an XML text is; MusicXML where that is unclear, whose reader says what is wrong with it."""
    found = _XML_ROOT.match(head)
    return Format.MEI if found and found[1] in _MEI_ROOTS else Format.MUSICXML


def text_of(data: bytes, findings: Findings) -> str:
    """Return the text of a file, with plain line ends.

    Parameters
    ----------
    data : bytes
        The whole file.
    findings : Findings
        Takes up a guessed encoding.

    Examples
    --------
    >>> text_of("Für".encode("utf-16"), Findings()), text_of("Für".encode("latin-1"), Findings())
    ('Für', 'Für')
    """
    if data.startswith(_UTF16):
        text = _head_as_utf8(data).decode()
    else:
        try:
            text = data.decode("utf-8")
        except UnicodeDecodeError:
            findings.add("The text is not UTF-8: it was read as Windows-1252.")
            text = data.decode("cp1252", "replace")
    return text.removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n")
