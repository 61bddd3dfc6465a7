"""Files from outside: looked at in a process of their own before they are let into the study.

A dropped file may be anything. Its name is cut down to a plain one, its size and its format are looked at here, and
it is then read by a process that has a limit of time and of memory and that may die without harm. Only a file that
this process could read is written into the study's folder of pieces.
"""

from __future__ import annotations

import contextlib
import multiprocessing
import re
import unicodedata
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from multiprocessing.connection import Connection
from multiprocessing.process import BaseProcess
from pathlib import Path
from tempfile import TemporaryDirectory

from sonorarium.errors import InputError, SonorariumError
from sonorarium.files import write_whole
from sonorarium.score.formats.sniffing import SUFFIXES, format_of
from sonorarium.score.reading import read_score

MOST_FILES = 200
"""So many files may be sent at once,"""
MOST_BYTES = 16 << 20
"""of so many bytes each."""
TIME_LIMIT_S = 60.0
"""Seconds that reading one file may take."""
MEMORY = 4 << 30
"""Bytes that the reading process may use, where the system can hold it to that."""

_NAME_LENGTH = 50  # signs, of four bytes at most; file systems take 255 bytes
_STRANGE = re.compile(r'[\x00-\x1f\x7f<>:"|?*]+')


@dataclass(frozen=True)
class Upload:
    """A file as it was sent."""

    name: str
    data: bytes


@dataclass(frozen=True)
class Refused:
    """A file that was not taken, and why."""

    name: str
    reason: str


@dataclass(frozen=True)
class Taken:
    """What became of files that were sent.

    Parameters
    ----------
    names : list of str
        Under which names files were put in the study.
    refused : list of Refused
    """

    names: list[str]
    refused: list[Refused]


def safe_name(name: str) -> str:
    r"""The plain name in a name that was sent: no folders, nothing hidden, nothing that a system takes amiss.

    >>> safe_name("../../x.musicxml"), safe_name("C:\\songs\\..\\.air.abc"), safe_name("a\x00b?.mid")
    ('x.musicxml', 'air.abc', 'a b .mid')
    """
    plain = unicodedata.normalize("NFC", name).replace("\\", "/").rsplit("/", 1)[-1]
    plain = _STRANGE.sub(" ", plain.encode("utf-8", "ignore").decode()).strip(" .")
    stem, dot, suffix = plain.rpartition(".")
    return f"{stem[:_NAME_LENGTH]}{dot}{suffix[:12]}" if stem else plain[:_NAME_LENGTH]


def free_name(folder: Path, name: str) -> str:
    """A name that no file of a folder has: the given one, or else with a number behind it."""
    path, number = Path(name), 2
    while (folder / name).exists() or (folder / name).is_symlink():
        name, number = f"{path.stem}-{number}{path.suffix}", number + 1
    return name


def objection(name: str, data: bytes) -> str:
    """Why a file is refused without being read; empty where it may be."""
    if Path(name).suffix.lower() not in SUFFIXES:
        return f"Its name does not end as that of a score; that would be {', '.join(SUFFIXES)}."
    if not data:
        return "It is empty."
    if len(data) > MOST_BYTES:
        return f"It is larger than {MOST_BYTES >> 20} megabytes."
    if format_of(data) is None:
        return "It is no score in a format that can be read, whatever its name says."
    return ""


def take(uploads: Iterable[Upload], folder: Path, say: Callable[[int, str], None]) -> Taken:
    """Put those files into a folder that can be read as scores.

    Parameters
    ----------
    uploads : iterable of Upload
    folder : Path
        The study's folder of pieces.
    say : callable
        Told, before each file, how many are done, and its name; may raise, and what was taken by then stays.

    Returns
    -------
    Taken

    Raises
    ------
    InputError
        Where the folder cannot be written to.
    """
    taken = Taken([], [])
    with contextlib.closing(Reader()) as reader, TemporaryDirectory(prefix="sonorarium-") as scratch:
        for done, upload in enumerate(uploads):
            name = safe_name(upload.name)
            say(done, name)
            reason = objection(name, upload.data)
            if not reason:
                copy = Path(scratch) / name
                copy.write_bytes(upload.data)
                reason = reader.objection(copy)
                copy.unlink()
            if reason:
                taken.refused.append(Refused(name or "a file without a name", reason))
                continue
            free = free_name(folder, name)
            write_whole(folder / free, upload.data)
            taken.names.append(free)
    return taken


class Reader:
    """A process that tries to read files; a new one takes its place where it dies or takes too long."""

    def __init__(self, time_limit_s: float = TIME_LIMIT_S) -> None:
        self.time_limit_s = time_limit_s
        self._process: BaseProcess | None = None
        self._line: Connection | None = None

    def objection(self, path: Path) -> str:
        """Why a file cannot be read; empty where it can."""
        if self._line is None:
            self._start()
        assert self._line is not None
        try:
            self._line.send(str(path))
            if self._line.poll(self.time_limit_s):
                return str(self._line.recv())
        except (EOFError, OSError):
            self.close()
            return "The process that read it died."
        self.close()
        return f"Reading it took longer than {self.time_limit_s:g} seconds."

    def close(self) -> None:
        """End the process."""
        if self._line is not None:
            self._line.close()
        if self._process is not None:
            self._process.kill()
            self._process.join()
        self._line = self._process = None

    def _start(self) -> None:
        context = multiprocessing.get_context("spawn")
        self._line, other = context.Pipe()
        self._process = context.Process(target=_answer, args=(other,), daemon=True)
        self._process.start()
        other.close()


def _answer(line: Connection) -> None:
    """Read one file after the other, and tell what is wrong with each; this is what the process runs."""
    with contextlib.suppress(ImportError, ValueError, OSError):
        import resource  # noqa: PLC0415  # not on every system

        resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
    with contextlib.suppress(EOFError, OSError):
        while True:
            line.send(_reason(Path(line.recv())))


def _reason(path: Path) -> str:
    try:
        score = read_score(path)
    except SonorariumError as error:
        return str(error).removeprefix(f"{path.name}: ")
    except MemoryError:
        return "Reading it takes more memory than is allowed."
    except Exception as error:  # a fault of ours in one strange file
        return f"Reading it failed for a reason that was not foreseen ({type(error).__name__})."
    return "" if len(score.notes) else "It has no notes."


def check_count(count: int) -> None:
    """Refuse more files than may be sent at once; raises `InputError`."""
    if count > MOST_FILES:
        raise InputError(
            f"{count} files are more than can be sent at once.",
            value=count,
            suggestion=f"Send at most {MOST_FILES}, or put them in the study's folder and choose it here.",
        )
