"""Ogg pages: the serial number changes, nothing else does."""

from __future__ import annotations

import io
import struct

import numpy as np
import pytest
import soundfile
from hypothesis import given
from hypothesis import strategies as st

from sonorarium.errors import ToolError
from sonorarium.render.ogg import SERIAL, checksum, with_serial


def encoded(coding: str) -> bytes:
    wave = 0.2 * np.sin(2 * np.pi * 440 * np.arange(96_000) / 48_000)
    buffer = io.BytesIO()
    soundfile.write(buffer, np.stack([wave, wave], axis=1), 48_000, format="OGG", subtype=coding)
    return buffer.getvalue()


def pages(data: bytes) -> list[bytes]:
    found = []
    while data:
        assert data[:4] == b"OggS"
        size = 27 + data[26] + sum(data[27 : 27 + data[26]])
        found.append(data[:size])
        data = data[size:]
    return found


def without_check(page: bytes) -> bytes:
    return page[:22] + bytes(4) + page[26:]


def bitwise(page: bytes) -> int:
    """The checksum as RFC 3533 defines it, one bit at a time."""
    register = 0
    for byte in page:
        register ^= byte << 24
        for _ in range(8):
            register = (register << 1) ^ (0x04C11DB7 if register & 0x80000000 else 0)
            register &= 0xFFFFFFFF
    return register


@given(st.binary(max_size=300))
def test_checksum_as_defined(page: bytes) -> None:
    assert checksum(page) == bitwise(page)


@pytest.mark.parametrize("coding", ["OPUS", "VORBIS"])
def test_checksum_is_the_one_that_the_encoder_wrote(coding: str) -> None:
    for page in pages(encoded(coding)):
        assert checksum(without_check(page)) == struct.unpack_from("<I", page, 22)[0]


@pytest.mark.parametrize("coding", ["OPUS", "VORBIS"])
def test_encoder_draws_numbers_and_they_are_settled(coding: str) -> None:
    one, other = encoded(coding), encoded(coding)
    assert one != other
    assert with_serial(one) == with_serial(other)


def test_only_serial_and_checksum_change() -> None:
    data = encoded("OPUS")
    for before, after in zip(pages(data), pages(with_serial(data)), strict=True):
        assert struct.unpack_from("<I", after, 14)[0] == SERIAL
        assert checksum(without_check(after)) == struct.unpack_from("<I", after, 22)[0]
        assert before[:14] + before[18:22] + before[26:] == after[:14] + after[18:22] + after[26:]


def test_settled_stream_decodes_to_the_same_sound() -> None:
    data = encoded("OPUS")
    before, _ = soundfile.read(io.BytesIO(data))
    after, _ = soundfile.read(io.BytesIO(with_serial(data)))
    assert np.array_equal(before, after)


def test_not_an_ogg_stream() -> None:
    with pytest.raises(ToolError, match="not an Ogg stream"):
        with_serial(b"RIFF" + bytes(40))
    with pytest.raises(ToolError, match="breaks off"):
        with_serial(encoded("OPUS")[:-5])
