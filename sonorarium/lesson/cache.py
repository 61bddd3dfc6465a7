"""What was made once is kept: figures and sounds by what went into them.

Engraving a figure and playing a sound take most of the time of building a lesson, and most of them are the same as
the last time. So each is kept in a folder of the user's cache, under a key made of everything that it depends on: the
notes (or the digest of the piece's bytes, the bars and the marked notes), the look, the SoundFont, the program's own
version and source, and the versions of the libraries that draw and play. Nothing is ever out of date: another content
is another key.

Conventions
-----------
* **Where.** ``SONORARIUM_CACHE`` names the folder; ``none`` keeps nothing. Where it is not set, the folder is where
  the system keeps caches. It may be deleted at any time.
* **How much.** 256 MB at most, in sixteen parts; of a part that is full the entries unused for longest go first.
* **Trust.** An entry states its key and the digest of its content. One that does not hold what it states is made
  anew; entries are plain bytes and JSON, so none can act.
* **Trouble.** A folder that cannot be read or written costs time and nothing else.
"""

from __future__ import annotations

import hashlib
import importlib.metadata
import json
import os
import tempfile
from collections.abc import Callable
from dataclasses import asdict, dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any

from sonorarium.render.engraving import Engraving
from sonorarium.render.sound import Clip

VARIABLE = "SONORARIUM_CACHE"
"""Environment variable that names the folder, or says ``none``."""

MOST_BYTES = 256 * 1024 * 1024
"""Size of all entries together."""

PARTS = 16
LIBRARIES = ("verovio", "midirenderer", "soundfile", "typst", "numpy", "lxml", "fonttools")
"""What draws, plays and encodes; another version may draw and sound otherwise."""

DRAWN_BY = ("render", "score", "pitch", "pcs")
"""The parts of the program whose source decides how a figure looks or sounds."""

_MARK = b"sonorarium-cache-1"


@dataclass(frozen=True)
class Cache:
    """A folder of kept entries.

    Parameters
    ----------
    folder : Path or None
        None keeps nothing.
    most_bytes : int
        Size of all entries together, bytes.
    """

    folder: Path | None
    most_bytes: int = MOST_BYTES

    def kept(self, kind: str, recipe: str, make: Callable[[], bytes]) -> bytes:
        """What was made from a recipe, kept or made now.

        Parameters
        ----------
        kind : str
            ``clip``, ``drawing`` or ``picture``: entries of different kinds never meet.
        recipe : str
            Everything that the result depends on besides the program.
        make : callable
            Makes it.

        Examples
        --------
        >>> Cache(None).kept("drawing", "one note", lambda: b"a drawing")
        b'a drawing'
        """
        if self.folder is None:
            return make()
        key = hashlib.sha256("\0".join((program_state(), kind, recipe)).encode()).hexdigest()
        place = self.folder / key[0] / key
        found = _read(place, key)
        if found is None:
            found = make()
            self._write(place, key, found)
        return found

    def _write(self, place: Path, key: str, content: bytes) -> None:
        entry = b"\n".join((_MARK, key.encode(), hashlib.sha256(content).hexdigest().encode(), content))
        if len(entry) > self.most_bytes // PARTS:
            return
        try:
            place.parent.mkdir(parents=True, exist_ok=True)
            handle, temporary = tempfile.mkstemp(dir=place.parent, prefix=".")
            with os.fdopen(handle, "wb") as file:
                file.write(entry)
            Path(temporary).replace(place)
            _trim(place.parent, self.most_bytes // PARTS)
        except OSError:
            return


def _read(place: Path, key: str) -> bytes | None:
    """The content of an entry; None where there is none, or it does not hold what it states."""
    try:
        mark, said, digest, content = place.read_bytes().split(b"\n", 3)
        os.utime(place)
    except (OSError, ValueError):
        return None
    sound = mark == _MARK and said == key.encode() and digest == hashlib.sha256(content).hexdigest().encode()
    return content if sound else None


def _trim(part: Path, most: int) -> None:
    """Remove the entries unused for longest until the rest fits; other processes may do the same meanwhile."""
    found = []
    for entry in os.scandir(part):
        try:
            found.append((entry.stat().st_mtime_ns, entry.stat().st_size, entry.path))
        except FileNotFoundError:
            continue
    total = sum(size for _, size, _ in found)
    for _, size, path in sorted(found):
        if total <= most:
            return
        Path(path).unlink(missing_ok=True)
        total -= size


def cache() -> Cache:
    """The cache of this user, as the environment says now."""
    named = os.environ.get(VARIABLE, "")
    if named.strip().lower() == "none":
        return Cache(None)
    return Cache(Path(named).expanduser() if named else _usual_folder())


@lru_cache(maxsize=1)
def _usual_folder() -> Path:
    import platformdirs  # noqa: PLC0415 (needed only where no folder is named)

    return platformdirs.user_cache_path("sonorarium", appauthor=False) / "lessons"


@lru_cache(maxsize=1)
def program_state() -> str:
    """The version of the program, the digest of its drawing source, and the versions of its libraries."""
    home = Path(__file__).parents[1]
    digest = hashlib.sha256()
    for source in sorted(path for layer in DRAWN_BY for path in (home / layer).rglob("*") if path.is_file()):
        if source.suffix in (".py", ".csv", ".toml"):
            digest.update(source.name.encode() + source.read_bytes())
        elif source.suffix == ".ttf":
            digest.update(f"{source.name} {source.stat().st_size}".encode())
    return " ".join((digest.hexdigest(), *(f"{name}={_version(name)}" for name in ("sonorarium", *LIBRARIES))))


def _version(name: str) -> str:
    try:
        return importlib.metadata.version(name)
    except importlib.metadata.PackageNotFoundError:
        return "none"


def kept_clip(recipe: str, make: Callable[[], Clip]) -> Clip:
    """A sound, kept or made now; the recipe is all that it depends on besides the program."""
    head, data = cache().kept("clip", recipe, lambda: _packed(make())).split(b"\n", 1)
    return Clip(data=data, **json.loads(head))


def _packed(clip: Clip) -> bytes:
    told = {name: value for name, value in vars(clip).items() if name != "data"}
    return json.dumps(told).encode() + b"\n" + clip.data


def kept_drawing(recipe: str, make: Callable[[], Engraving]) -> Engraving:
    """A drawing of notation, kept or made now; the recipe is all that it depends on besides the program."""
    told = json.loads(cache().kept("drawing", recipe, lambda: json.dumps(asdict(make())).encode()))
    fields: dict[str, Any] = {name: tuple(v) if isinstance(v, list) else v for name, v in told.items()}
    return Engraving(**fields)
