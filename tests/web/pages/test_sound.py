"""Clips: the right length and pitch, in whole and in part; what cannot be heard is said."""

from __future__ import annotations

import io

import numpy as np
import pytest
import soundfile
from starlette.testclient import TestClient

from sonorarium.web.room import Room


def fundamental(data: bytes, begin_s: float, end_s: float, low_hz: float, high_hz: float) -> float:
    """The strongest frequency of a stretch of a clip within bounds, Hz."""
    samples, rate = soundfile.read(io.BytesIO(data))
    part = samples[int(begin_s * rate) : int(end_s * rate)]
    part = part.mean(axis=1) if part.ndim == 2 else part
    spectrum = np.abs(np.fft.rfft(part * np.hanning(len(part)), 1 << 18))
    hz = np.fft.rfftfreq(1 << 18, 1 / rate)
    inside = (hz > low_hz) & (hz < high_hz)
    return float(hz[inside][spectrum[inside].argmax()])


def test_a_pitch_sounds_as_it_is_written(client: TestClient) -> None:
    answered = client.get("/sound/pitches?pitches=69")
    assert answered.headers["content-type"] == "audio/flac"
    assert abs(fundamental(answered.content, 0.2, 1.0, 300, 600) - 440) < 3


def test_a_part_can_be_asked_for(client: TestClient) -> None:
    whole = client.get("/sound?set=C dorian&way=scale").content
    part = client.get("/sound?set=C dorian&way=scale", headers={"range": "bytes=10-29"})
    assert part.status_code == 206
    assert part.content == whole[10:30]


def test_a_line_of_chords_is_heard_in_turn(client: TestClient) -> None:
    three = client.get("/sound", params={"set": "C; F; G7"}).content
    two = client.get("/sound", params={"set": "C; F"}).content
    assert soundfile.info(io.BytesIO(three)).duration > soundfile.info(io.BytesIO(two)).duration + 0.5


def test_bars_of_a_piece_are_heard(client: TestClient, room: Room) -> None:
    key = next(iter(room.paths()))
    first = client.get(f"/sound/bars?piece={key}&first=0&last=0").content
    more = client.get(f"/sound/bars?piece={key}&first=0&last=3").content
    assert soundfile.info(io.BytesIO(more)).duration > soundfile.info(io.BytesIO(first)).duration
    assert client.get(f"/sound/bars?piece={key}&first=0&last=9999").status_code == 422
    assert client.get("/sound/bars?piece=none&first=0&last=1").status_code == 404


@pytest.mark.parametrize(
    "query", ["set=nonesuch", "set=C&way=sung", "set=C&tempo=5000", "set=C&instrument=nonesuch", "set=mask 0", ""]
)
def test_what_cannot_be_heard_is_said(client: TestClient, query: str) -> None:
    answered = client.get(f"/sound?{query}", headers={"accept": "application/json"})
    assert answered.status_code == 422
    assert answered.json()["error"]["sentence"]


@pytest.mark.parametrize("pitches", ["", "60,64", "999", "60 " * 40])
def test_pitches_are_numbers_with_blanks(client: TestClient, pitches: str) -> None:
    assert client.get("/sound/pitches", params={"pitches": pitches}).status_code == 422
