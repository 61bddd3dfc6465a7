"""The study: a folder of plain files that belongs to the user.

A study is any folder that holds ``study.toml``::

    title = "A course on the double harmonic scale"
    author = "Sonorarium demo"       # optional
    pieces = "pieces"                # folder of scores, MusicXML plain or compressed
    lessons = "lessons"              # folder of lessons, Markdown

Lessons name pieces by their place inside the study; nothing outside the folder can be reached through a lesson.
"""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from pathlib import Path

from sonorarium.errors import InputError

SCORE_SUFFIXES = (".mxl", ".musicxml", ".xml")
_KEYS = {"title": "", "author": "", "pieces": "pieces", "lessons": "lessons"}


@dataclass(frozen=True)
class Study:
    """An open study.

    Parameters
    ----------
    folder : Path
        Absolute path of the folder that holds ``study.toml``.
    title, author : str
    pieces_name, lessons_name : str
        The folders of scores and lessons, relative to the study.
    """

    folder: Path
    title: str = ""
    author: str = ""
    pieces_name: str = "pieces"
    lessons_name: str = "lessons"

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
        return sorted(p for p in found if p.suffix in SCORE_SUFFIXES and p.is_file())

    def lessons(self) -> list[Path]:
        """Every lesson of the study, by name."""
        return sorted((self.folder / self.lessons_name).glob("*.md"))


def open_study(folder: Path) -> Study:
    """Open the study in a folder.

    Raises
    ------
    InputError
        Where there is no ``study.toml``, or it cannot be read.
    """
    place = folder.resolve() / "study.toml"
    try:
        told = tomllib.loads(place.read_text(encoding="utf-8"))
    except FileNotFoundError:
        raise InputError(
            f"{folder} is not a study: it holds no study.toml.",
            value=folder,
            suggestion="Make one with a title in it.",
        ) from None
    except (tomllib.TOMLDecodeError, UnicodeDecodeError, OSError) as error:
        raise InputError(f"{place} could not be read: {error}.", value=place) from error
    for key, value in told.items():
        if key not in _KEYS or not isinstance(value, str):
            known = f"Keys: {', '.join(_KEYS)}."
            raise InputError(f"{place}: {key!r} is not understood.", value=key, suggestion=known)
    told = _KEYS | told
    return Study(folder.resolve(), told["title"], told["author"], told["pieces"], told["lessons"])


def study_around(file: Path) -> Study:
    """The study that a file belongs to; a bare folder serves as one where no ``study.toml`` is found above it."""
    place = file.resolve()
    for folder in place.parents:
        if (folder / "study.toml").is_file():
            return open_study(folder)
    return Study(place.parent)
