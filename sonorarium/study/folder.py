"""The study: a folder of plain files that belongs to the user.

A study is any folder that holds ``study.toml``::

    format = 1
    title = "A course on the double harmonic scale"
    author = "Sonorarium demo"       # optional
    pieces = "pieces"                # folder of scores
    lessons = "lessons"              # folder of lessons, Markdown
    sets = "sets"                    # folder of sets kept, with tags and remarks
    passages = "passages"            # folder of passages kept
    sketches = "sketches"            # folder of sketches

Every key may be left out; the folders are then called as above, and a study without ``format`` is of format 1. A key
that is not known here is refused with a sentence, never passed over.

Lessons name pieces by their place inside the study; nothing outside the folder can be reached through a lesson, and
no folder of a study lies outside it.
"""

from __future__ import annotations

import json
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from sonorarium.errors import DamagedError, InputError
from sonorarium.files import write_whole
from sonorarium.score.formats.sniffing import SUFFIXES

NAME = "study.toml"
FORMAT = 1
"""Version of the layout of a study; it changes when an older program would misread it."""

SCORE_SUFFIXES = SUFFIXES
FOLDERS = ("pieces", "lessons", "sets", "passages", "sketches")
_KEYS = {"title": "", "author": "", **{name: name for name in FOLDERS}}


@dataclass(frozen=True)
class Study:
    """An open study.

    Parameters
    ----------
    folder : Path
        Absolute path of the folder that holds ``study.toml``.
    title, author : str
    pieces_name, lessons_name, sets_name, passages_name, sketches_name : str
        The folders of what is in it, relative to the study.
    """

    folder: Path
    title: str = ""
    author: str = ""
    pieces_name: str = "pieces"
    lessons_name: str = "lessons"
    sets_name: str = "sets"
    passages_name: str = "passages"
    sketches_name: str = "sketches"

    def inside(self, name: str) -> Path:
        """Path of a file of the study; raises `InputError` where it lies outside the folder or is missing."""
        path = (self.folder / name).resolve()
        if not path.is_relative_to(self.folder):
            raise InputError(f"{name} lies outside the study.", value=name, suggestion=f"Copy it into {self.folder}.")
        if not path.is_file():
            missing = f"There is no file {name} in the study {self.folder}."
            raise InputError(missing, value=name, suggestion=self._near())
        return path

    def _near(self) -> str:
        there = [str(p.relative_to(self.folder)) for p in self.pieces()[:6]]
        return f"Its pieces are: {', '.join(there)}." if there else "It has no pieces yet."

    def pieces(self) -> list[Path]:
        """Every score of the study, by name."""
        found = (self.folder / self.pieces_name).rglob("*")
        return sorted(p for p in found if p.suffix in SCORE_SUFFIXES and p.is_file() and self.holds(p))

    def lessons(self) -> list[Path]:
        """Every lesson of the study, by name."""
        return sorted(p for p in (self.folder / self.lessons_name).glob("*.md") if self.holds(p))

    def holds(self, path: Path) -> bool:
        """Whether a file of the study is no link that leads out of it."""
        return not path.is_symlink() or path.resolve().is_relative_to(self.folder.resolve())


def open_study(folder: Path) -> Study:
    """Open the study in a folder.

    Raises
    ------
    InputError
        Where there is no ``study.toml``, it cannot be read, or a key in it is not understood.
    DamagedError
        Where it was written in a later format.
    """
    place = folder.resolve() / NAME
    try:
        told = tomllib.loads(place.read_text(encoding="utf-8"))
    except FileNotFoundError:
        raise InputError(
            f"{folder} is not a study: it holds no study.toml.",
            value=folder,
            suggestion="Make one with a title in it, or with 'sonorarium study new'.",
        ) from None
    except (tomllib.TOMLDecodeError, UnicodeDecodeError, OSError) as error:
        raise InputError(f"{place} could not be read: {error}.", value=place) from error
    _check_format(place, told.pop("format", FORMAT))
    for key, value in told.items():
        if key not in _KEYS or not isinstance(value, str):
            known = f"Keys: format, {', '.join(_KEYS)}."
            raise InputError(f"{place}: {key!r} is not understood.", value=key, suggestion=known)
    return _study(place, _KEYS | told)


def _check_format(place: Path, told: object) -> None:
    if told == FORMAT and type(told) is int:
        return
    if isinstance(told, int) and told > FORMAT:
        raise DamagedError(
            f"{place} is of format {told}; this version reads format {FORMAT}.",
            value=told,
            suggestion="Use the version that wrote it, or a later one.",
        )
    raise InputError(f"{place}: there is no format {told!r}.", value=told, suggestion=f"Write format = {FORMAT}.")


def _study(place: Path, told: Mapping[str, Any]) -> Study:
    home = place.parent
    for key in FOLDERS:
        inside = (home / told[key]).resolve()
        if not told[key] or inside == home or not inside.is_relative_to(home):
            raise InputError(
                f"{place}: the folder of {key}, {told[key]!r}, does not lie inside the study.",
                value=told[key],
                suggestion=f'Write, for example, {key} = "{key}".',
            )
    return Study(home, told["title"], told["author"], *(told[key] for key in FOLDERS))


def study_around(file: Path) -> Study:
    """The study that a file belongs to; a bare folder serves as one where no ``study.toml`` is found above it."""
    place = file.resolve()
    for folder in place.parents:
        if (folder / NAME).is_file():
            return open_study(folder)
    return Study(place.parent)


def new_study(folder: Path, title: str, author: str = "") -> Study:
    """Make a study in a folder.

    Parameters
    ----------
    folder : Path
        Made where it is missing. What lies in it already stays.
    title, author : str

    Raises
    ------
    InputError
        Where the folder is a study already, or cannot be written to.
    """
    place = folder.resolve() / NAME
    if place.exists():
        raise InputError(f"{folder} is a study already.", value=folder, suggestion=f"Its title stands in {place}.")
    lines = [f"format = {FORMAT}", f"title = {_quoted(title)}", f"author = {_quoted(author)}"]
    lines += [f"{key} = {_quoted(key)}" for key in FOLDERS]
    write_whole(place, ("\n".join(lines) + "\n").encode())
    for key in FOLDERS:
        (place.parent / key).mkdir(exist_ok=True)
    return open_study(folder)


def _quoted(text: str) -> str:
    r"""A basic string of TOML; JSON escapes the same signs in the same way, but for DEL.

    >>> _quoted('say "a"'), _quoted("E♭")
    ('"say \\"a\\""', '"E♭"')
    """
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")
