"""Sound clips of this run: each made once, kept as a file, and sent from there in whole or in part.

A browser asks for parts of a sound ("ranges") to move about in it; files are sent that way by the server itself.
"""

from __future__ import annotations

import hashlib
import tempfile
import threading
from collections import OrderedDict
from collections.abc import Callable
from pathlib import Path

from sonorarium.render.performance import Performance
from sonorarium.render.sound import Clip, source_state, to_audio

KEPT = 400
FORMAT = "flac"
"""Lossless, half the size of WAV, quick to make, and played by every browser."""


class Clips:
    """The clips of a run, the latest so many of them."""

    def __init__(self) -> None:
        self._folder = tempfile.TemporaryDirectory(prefix="sonorarium-clips-")
        self._lock = threading.Lock()
        self._files: OrderedDict[str, Path] = OrderedDict()

    def file(self, performance: Performance, *, soundfont: str = "", format: str = FORMAT) -> Path:
        """The file of a clip; made where it is not there yet. Errors as of `sonorarium.render.sound.to_audio`."""
        recipe = f"{format}\n{source_state(soundfont or None)}\n{performance!r}"
        return self.kept(recipe, format, lambda: to_audio(performance, format=format, soundfont=soundfont or None))

    def kept(self, recipe: str, suffix: str, make: Callable[[], Clip]) -> Path:
        """The file of what a recipe makes."""
        name = f"{hashlib.sha256(recipe.encode()).hexdigest()[:32]}.{suffix}"
        with self._lock:
            if name in self._files:
                self._files.move_to_end(name)
                return self._files[name]
        path = Path(self._folder.name) / name
        temporary = path.with_name(f"{threading.get_ident()}-{name}")
        temporary.write_bytes(make().data)
        temporary.replace(path)
        with self._lock:
            self._files[name] = path
            while len(self._files) > KEPT:
                self._files.popitem(last=False)[1].unlink(missing_ok=True)
        return path

    @property
    def count(self) -> int:
        """How many clips there are."""
        return len(self._files)

    def close(self) -> None:
        """Remove every clip."""
        self._folder.cleanup()
