"""Terms of the trade in the text of lessons: what each means, and where it is used.

The terms are data, ``glossary.toml``. A study may add its own, or say a thing in its own words, in a
``glossary.toml`` beside its ``study.toml``, of the same form::

    [[term]]
    term = "hinge"
    also = ["pivot"]
    says = "A class that two scales share, on which the music turns from one to the other."

A term is found whole, with or without a plural s, whatever its capitals; of two terms in one place the longer counts.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from sonorarium.errors import InputError
from sonorarium.lesson.markdown import Page
from sonorarium.study.folder import Study

NAME = "glossary.toml"
_KEYS = ("term", "also", "says")


@dataclass(frozen=True)
class Entry:
    """A term.

    Parameters
    ----------
    term : str
    says : str
        What it means, in a sentence or two.
    also : tuple of str
        Other words for it.
    """

    term: str
    says: str
    also: tuple[str, ...] = ()

    @property
    def words(self) -> tuple[str, ...]:
        """All words for it."""
        return (self.term, *self.also)


@cache
def _own() -> tuple[Entry, ...]:
    return read_glossary((Path(__file__).parent / NAME).read_text(encoding="utf-8"), NAME)


def glossary(study: Study | None = None) -> tuple[Entry, ...]:
    """The terms known, in alphabetical order; a study's own go before those that the program brings.

    Raises `InputError` where the study's glossary cannot be read.

    >>> len(glossary()) > 25, glossary()[0].term
    (True, 'augmented second')
    """
    entries = {entry.term.casefold(): entry for entry in _own()}
    place = study.folder / NAME if study else None
    if place and place.is_file():
        try:
            text = place.read_text(encoding="utf-8")
        except (OSError, UnicodeDecodeError) as error:
            raise InputError(f"{place} could not be read: {error}.", value=place) from error
        entries |= {entry.term.casefold(): entry for entry in read_glossary(text, str(place))}
    return tuple(entries[key] for key in sorted(entries))


def read_glossary(text: str, name: str) -> tuple[Entry, ...]:
    """Read terms from TOML; raises `InputError`, with the file's name, where it is of another form."""
    try:
        told = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise InputError(f"{name} could not be read: {error}.", value=name) from error
    rows = told.get("term", [])
    if set(told) - {"term"} or not isinstance(rows, list):
        raise InputError(f"{name} holds something that is no term.", value=name, suggestion="Write [[term]] tables.")
    return tuple(_entry(row, name) for row in rows)


def _entry(row: Mapping[str, Any], name: str) -> Entry:
    also = row.get("also", [])
    texts = [row.get("term"), row.get("says"), *(also if isinstance(also, list) else [None])]
    if set(row) - set(_KEYS) or not all(isinstance(text, str) and text.strip() for text in texts):
        raise InputError(
            f"{name}: a term is not understood: {row!r}.", value=row, suggestion=f"Its keys are: {', '.join(_KEYS)}."
        )
    return Entry(row["term"], row["says"], tuple(also))


def terms_used(page: Page, entries: tuple[Entry, ...]) -> dict[Entry, tuple[int, ...]]:
    r"""Find the terms in the running text of a lesson.

    Parameters
    ----------
    page : Page
    entries : tuple of Entry

    Returns
    -------
    dict of Entry to tuple of int
        Each term used, with the lines of the paragraphs in which it stands; in the order of ``entries``.

    Examples
    --------
    >>> from sonorarium.lesson.markdown import read_page
    >>> page = read_page("# Modes\n\nAn augmented second.\n\nIts two leading tones.\n")
    >>> {entry.term: lines for entry, lines in terms_used(page, glossary()).items()}
    {'augmented second': (3,), 'leading tone': (5,), 'mode': (1,)}
    """
    of_word = {word.casefold(): entry for entry in entries for word in entry.words}
    if not of_word:
        return {}
    longest_first = "|".join(sorted(map(re.escape, of_word), key=len, reverse=True))
    pattern = re.compile(rf"(?<![\w-])({longest_first})(?:s|’s|'s)?(?![\w-])", re.IGNORECASE)
    found: dict[Entry, dict[int, None]] = {}
    for token in page.tokens:
        line = token.map[0] + 1 if token.map else 0
        words = "".join(" " if child.type.endswith("break") else child.content for child in token.children or ())
        for match in pattern.finditer(words):
            found.setdefault(of_word[match[1].casefold()], {})[line] = None
    return {entry: tuple(found[entry]) for entry in entries if entry in found}
