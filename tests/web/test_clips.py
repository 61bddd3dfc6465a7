"""A clip is made once and stays a file until the run ends."""

from __future__ import annotations

import pytest

from sonorarium.render.performance import struck
from sonorarium.web import clips as module
from sonorarium.web.clips import Clips


def test_a_clip_is_made_once() -> None:
    clips = Clips()
    first = clips.file(struck((60, 64, 67)))
    assert first.read_bytes()[:4] == b"fLaC"
    stamp = first.stat().st_mtime_ns
    assert clips.file(struck((60, 64, 67))) == first
    assert first.stat().st_mtime_ns == stamp
    assert clips.file(struck((60, 64, 68))) != first
    clips.close()
    assert not first.exists()


def test_only_so_many_are_kept(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "KEPT", 2)
    clips = Clips()
    files = [clips.file(struck((pitch,))) for pitch in (60, 61, 62)]
    assert [file.exists() for file in files] == [False, True, True]
    clips.close()
