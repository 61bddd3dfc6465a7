"""Sketches kept: music that the owner writes, with a title, the sets it is made of, and words.

A sketch is one card in the study's folder of sketches::

    ---
    format: 1
    title: Opening in fourths
    set: D double harmonic
    music: opening-in-fourths.musicxml
    kept: 2026-03-14
    ---

    The left hand waits for the cadence.

``music`` names a file beside the card, MusicXML or MIDI, say. It is written before the card that names it, so a card
never names music that is not there; keeping a sketch never writes over another one.
"""

from __future__ import annotations

import datetime
import re
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from sonorarium.errors import InputError
from sonorarium.files import write_whole
from sonorarium.study.card import Card, stem_of
from sonorarium.study.drawer import Drawer, Filed, Unread, free_name
from sonorarium.study.folder import Study
from sonorarium.study.locking import writing
from sonorarium.study.remarks import canonical


@dataclass(frozen=True)
class Sketch:
    """A sketch.

    Parameters
    ----------
    title : str
    sets : tuple of str
        Sets that it is made of, as they can be typed.
    music : str
        Name of the file beside the card, or empty.
    words : str
    tags : tuple of str
    filed : Filed
        Its card.
    """

    title: str
    sets: tuple[str, ...]
    music: str
    words: str
    tags: tuple[str, ...]
    filed: Filed

    @classmethod
    def of(cls, filed: Filed) -> Sketch:
        """Take a sketch from its card."""
        c = filed.card
        return cls(c.value("title"), c.values("set"), c.value("music"), c.words, c.values("tag"), filed)

    @property
    def music_file(self) -> Path | None:
        """The file of its music, or None where there is none; a name that leads out of the folder counts as none."""
        path = self.filed.path.parent / Path(self.music).name
        return path if self.music and path.is_file() else None


def sketch_drawer(study: Study) -> Drawer:
    """The drawer of a study's sketches."""
    return Drawer(study, study.sketches_name, once=("title", "music", "kept"), needs=("title",))


def sketches(study: Study) -> tuple[tuple[Sketch, ...], tuple[Unread, ...]]:
    """Every sketch of a study, by title; and files that are no such cards, with the reason."""
    contents = sketch_drawer(study).contents()
    return tuple(
        sorted(map(Sketch.of, contents.filed), key=lambda one: (one.title.casefold(), one.filed.path.stem))
    ), contents.unread


def keep_sketch(
    study: Study,
    title: str,
    *,
    music: tuple[str, bytes] | None = None,
    sets: Iterable[str] = (),
    words: str = "",
    kept: datetime.date | None = None,
) -> Sketch:
    """Keep a sketch, always as a new one: a sketch of the same title is never written over.

    Parameters
    ----------
    study : Study
    title : str
    music : (str, bytes), optional
        Suffix, such as ``.musicxml``, and the whole file.
    sets : iterable of str
        Sets that it is made of.
    words : str
    kept : date, optional

    Raises
    ------
    InputError
        Where the title is empty, a set is not understood, or the study cannot be written to.
    """
    if not title.strip():
        raise InputError("A sketch needs a title.", value=title)
    card = Card().with_values("title", [title]).with_values("set", map(canonical, sets)).with_words(words)
    card = card.with_values("kept", [kept.isoformat()] if kept else [])
    drawer = sketch_drawer(study)
    if music:
        with writing(study.folder, patience_s=drawer.patience_s):
            name = free_name(drawer.folder, stem_of(title), _suffix(music[0]))
            write_whole(drawer.folder / name, music[1])
        card = card.with_values("music", [name])
    return Sketch.of(drawer.add(title, card))


def _suffix(text: str) -> str:
    if not re.fullmatch(r"\.[a-z0-9]{1,12}", text) or text == ".md":
        raise InputError(f"{text!r} is no suffix for music.", value=text, suggestion="Try .musicxml or .mid.")
    return text
