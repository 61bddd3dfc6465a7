"""What has been changed in a study since one last looked: by an editor, by another program, by a copy laid over it.

No process has to run for this. A `Look` remembers size, time and digest of every file of the study that its owner
could have changed; a later look is compared with it. A file whose size and time are the same is taken to be the same,
unless it had just been written when it was last looked at: clocks of file systems are coarse, and within two seconds
two versions can carry one time. Then, and where size or time differ, the digest decides. A file that was only touched
or rewritten with the same bytes has not changed.

Hidden files and folders (names with a dot in front) are not looked at, and links are not followed.
"""

from __future__ import annotations

import hashlib
import os
import time
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from sonorarium.study.folder import Study

COARSE_NS = 2_000_000_000
"""Within this time of being written a file may be written again under the same time."""


@dataclass(frozen=True)
class Mark:
    """One file as it was.

    Parameters
    ----------
    size : int
        Bytes.
    mtime_ns : int
        When it was last written, by the file system's clock.
    digest : str
        SHA-256 of its bytes.
    settled : bool
        Whether it had not been written for a while when it was looked at.
    """

    size: int
    mtime_ns: int
    digest: str
    settled: bool


@dataclass(frozen=True)
class Changes:
    """What differs between two looks, each by its place in the study, sorted.

    Parameters
    ----------
    added, changed, removed : tuple of str
    """

    added: tuple[str, ...] = ()
    changed: tuple[str, ...] = ()
    removed: tuple[str, ...] = ()

    def __bool__(self) -> bool:
        return bool(self.added or self.changed or self.removed)


@dataclass(frozen=True, eq=False)
class Look:
    """A study as it was at one time.

    Parameters
    ----------
    marks : mapping of str to Mark
        By the file's place in the study.
    """

    marks: Mapping[str, Mark]

    def since(self, earlier: Look) -> Changes:
        """What has changed from an earlier look to this one."""
        now, then = self.marks, earlier.marks
        return Changes(
            tuple(sorted(now.keys() - then.keys())),
            tuple(sorted(name for name in now.keys() & then.keys() if now[name].digest != then[name].digest)),
            tuple(sorted(then.keys() - now.keys())),
        )


def look(study: Study, before: Look | None = None) -> Look:
    """Look at every file of a study.

    Parameters
    ----------
    study : Study
    before : Look, optional
        An earlier look, which spares reading files that have not changed since.
    """
    known = before.marks if before else {}
    marks: dict[str, Mark] = {}
    for path in files(study.folder):
        name = path.relative_to(study.folder).as_posix()
        try:
            marks[name] = _mark(path, known.get(name))
        except OSError:
            continue  # taken away while it was looked at, or not to be read: the next look will tell
    return Look(marks)


def files(folder: Path) -> Iterator[Path]:
    """Every regular file below a folder, by name, without hidden ones and without following links."""
    for entry in sorted(os.scandir(folder), key=lambda e: e.name):
        if entry.name.startswith("."):
            continue
        if entry.is_dir(follow_symlinks=False):
            yield from files(Path(entry.path))
        elif entry.is_file(follow_symlinks=False):
            yield Path(entry.path)


def _mark(path: Path, known: Mark | None) -> Mark:
    facts = path.stat()
    if known and known.settled and (facts.st_size, facts.st_mtime_ns) == (known.size, known.mtime_ns):
        return known
    with path.open("rb") as file:
        digest = hashlib.file_digest(file, "sha256").hexdigest()
    return Mark(facts.st_size, facts.st_mtime_ns, digest, abs(time.time_ns() - facts.st_mtime_ns) > COARSE_NS)
