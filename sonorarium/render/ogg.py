"""Ogg pages, as far as needed to make a stream the same on every run.

An Ogg stream carries a serial number that tells streams in one file apart. Encoders draw it at random, so encoding
the same sound twice gives different bytes. A file that holds one stream may carry any number: here it is set to a
fixed one. It stands in the header of every page, and every page has a checksum, so that is computed anew.

Source: S. Pfeiffer, *The Ogg Encapsulation Format Version 0*, RFC 3533 (2003), section 6, whose byte positions are
used here. The checksum is the cyclic redundancy check with generator 0x04C11DB7, start value 0, bits not reflected,
over the page with the checksum's own field zero.
"""

from __future__ import annotations

import struct
import zlib

from sonorarium.errors import ToolError

SERIAL = 1
"""The serial number written into every stream."""

_CAPTURE = b"OggS"
_HEADER = 27  # bytes before the segment table
_REFLECTED = bytes(int(f"{byte:08b}"[::-1], 2) for byte in range(256))


def with_serial(data: bytes, serial: int = SERIAL) -> bytes:
    """Give the one stream of an Ogg file another serial number.

    Parameters
    ----------
    data : bytes
        A whole Ogg file with a single stream.
    serial : int
        0 to 2³² - 1.

    Returns
    -------
    bytes
        Of the same length.

    Raises
    ------
    ToolError
        Where the data is not a sequence of whole Ogg pages.
    """
    out = bytearray(data)
    start = 0
    while start < len(out):
        end = _page_end(out, start)
        struct.pack_into("<I", out, start + 14, serial)
        struct.pack_into("<I", out, start + 22, 0)
        struct.pack_into("<I", out, start + 22, checksum(bytes(out[start:end])))
        start = end
    return bytes(out)


def checksum(page: bytes) -> int:
    """Checksum of an Ogg page whose checksum field is zero.

    The standard library's check has the same generator, but takes the bits of each byte in the other order and begins
    and ends with all bits set. Reflecting the bytes and the result, and cancelling the inversions, turns one into the
    other.

    Parameters
    ----------
    page : bytes

    Returns
    -------
    int
        0 to 2³² - 1.

    Examples
    --------
    >>> hex(checksum(bytes([1])))
    '0x4c11db7'
    """
    reflected = zlib.crc32(page.translate(_REFLECTED), 0xFFFFFFFF) ^ 0xFFFFFFFF
    return int(f"{reflected:032b}"[::-1], 2)


def _page_end(data: bytearray, start: int) -> int:
    """Where the page that begins here ends."""
    if data[start : start + 4] != _CAPTURE or len(data) < start + _HEADER:
        raise ToolError("The encoder gave something that is not an Ogg stream.", value=start)
    table = start + _HEADER
    segments = data[table : table + data[start + 26]]
    end = table + len(segments) + sum(segments)
    if end > len(data):
        raise ToolError("The encoder gave an Ogg stream that breaks off.", value=start)
    return end
