"""A MusicXML document as one flat table of events.

A score of some minutes has a hundred thousand XML elements, and most of them (stems, beams, slurs, lyrics) say
nothing about what sounds when. lxml walks past those in C and hands over only the elements listed in `TAGS`. Each
one is stored as a *word*: the number of its (tag, text) pair in a vocabulary that grows as the document is read. A
whole score has some hundred different words, so tags and numbers are understood once per word, and all that follows
is array work.

Conventions
-----------
* Events stand in the order part, bar, document. In a time-wise score (bars outside, parts inside) they are brought
  into that order; `Events.ordinal` keeps the place of each note in the document.
* A **holder** is the element that an event belongs to: ``<duration>`` means one thing in a note, another in a
  backup, and nothing here in a figured bass.
* A **cell** is one bar of one part.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from operator import attrgetter
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    from lxml.etree import _Element

Ints = NDArray[np.int64]
Flags = NDArray[np.bool_]

HOLDERS = (
    "part",
    "measure",
    "note",
    "backup",
    "forward",
    "attributes",
    "direction",
    "harmony",
    "figured-bass",
)
FIELDS = (
    "step",
    "alter",
    "octave",
    "duration",
    "voice",
    "staff",
    "chord",
    "rest",
    "grace",
    "cue",
    "unpitched",
    "tie",
    "actual-notes",
)
TAGS = HOLDERS + FIELDS

(PART, MEASURE, NOTE, BACKUP, FORWARD, ATTRIBUTES) = range(6)
(STEP, ALTER, OCTAVE, DURATION, VOICE, STAFF) = range(len(HOLDERS), len(HOLDERS) + 6)
(CHORD, REST, GRACE, CUE, UNPITCHED, TIE, ACTUAL) = range(len(HOLDERS) + 6, len(TAGS))

MARKED = (ATTRIBUTES, REST, TIE)
"""Kinds of which more is asked than their text; their elements are kept."""

_DECIMAL = re.compile(r"[+-]?(?=\.?[0-9])[0-9]{0,18}(\.[0-9]{0,12})?")
_tag_and_text = attrgetter("tag", "text")


class Vocabulary(dict[tuple[str, str | None], int]):
    """The number of each (tag, text) pair, given out in order of first use."""

    def __missing__(self, pair: tuple[str, str | None]) -> int:
        """Give a new pair the next number."""
        self[pair] = number = len(self)
        return number


@dataclass(frozen=True, eq=False)
class Events:
    """The events of a document.

    Parameters
    ----------
    kind : ndarray, shape (n,), int
        Index into `TAGS`.
    word : ndarray, shape (n,), int
        Index into ``texts``.
    texts : tuple of str
        Stripped text of each word.
    word_kind : tuple of int
        Kind of each word.
    part, bar : ndarray, shape (n,), int
        The cell of each event.
    ordinal : ndarray, shape (n,), int
        Number, in document order, of the last ``<note>`` element begun; -1 before the first.
    marked : tuple of (int, lxml element)
        Place in this table and element of the events of the kinds `MARKED`.
    elements : int
        Number of ``<note>`` elements in the document.
    """

    kind: NDArray[np.int8]
    word: NDArray[np.int32]
    texts: tuple[str, ...]
    word_kind: tuple[int, ...]
    part: Ints
    bar: Ints
    ordinal: Ints
    marked: tuple[tuple[int, _Element], ...]
    elements: int

    @cached_property
    def holder(self) -> NDArray[np.int8]:
        """Kind of the holder of each event; a holder's own kind for itself."""
        return self.kind[last_true(self.kind < len(HOLDERS))]

    def marks(self, kind: int) -> Iterator[tuple[int, _Element]]:
        """Return place and element of each event of one of the kinds `MARKED`, in the order of the document."""
        tag = TAGS[kind]
        return ((place, element) for place, element in self.marked if element.tag == tag)

    def words(self, kind: int) -> list[int]:
        """Return the words of a kind."""
        return [word for word, its_kind in enumerate(self.word_kind) if its_kind == kind]

    def values(self, kind: int, holder: int, worth: NDArray[Any]) -> tuple[Ints, NDArray[Any]]:
        """Return where events of one kind stand in one kind of holder, and what their words are worth.

        Parameters
        ----------
        kind, holder : int
            Indices into `TAGS`.
        worth : ndarray, shape (number of words,)
            Value of each word.

        Returns
        -------
        at : ndarray of int
            Places in the table.
        values : ndarray
            The values there.
        """
        at = np.flatnonzero((self.kind == kind) & (self.holder == holder))
        return at, worth[self.word[at]]


def last_true(flags: Flags) -> Ints:
    """Return for each place the nearest place at or before it where the flag is set, 0 where there is none.

    Examples
    --------
    >>> last_true(np.array([True, False, True, False])).tolist()
    [0, 0, 2, 2]
    """
    places = np.arange(len(flags))
    places[~flags] = 0
    return np.maximum.accumulate(places)


def exact_number(text: str | None) -> Fraction:
    """Return what a decimal number in a file is worth, exactly.

    Raises
    ------
    ValueError
        If the text is no plain decimal number, or longer than any a score needs.

    Examples
    --------
    >>> exact_number(" 1.5 ")
    Fraction(3, 2)
    """
    stripped = (text or "").strip()
    if not _DECIMAL.fullmatch(stripped):
        raise ValueError(text)
    return Fraction(stripped)


def read_events(root: _Element, part_ids: list[str]) -> Events:
    """Return the events of a document.

    Parameters
    ----------
    root : lxml element
        ``<score-partwise>`` or ``<score-timewise>``.
    part_ids : list of str
        Identifiers of the parts, in the order in which they are to be numbered; for a part-wise document this is
        the order of its ``<part>`` elements.

    Returns
    -------
    Events
    """
    words = Vocabulary()
    word = np.fromiter(map(words.__getitem__, map(_tag_and_text, root.iter(*TAGS))), np.int32)
    kind_of_tag = {tag: kind for kind, tag in enumerate(TAGS)}
    word_kind = tuple(kind_of_tag[tag] for tag, _ in words)
    kind = np.array(word_kind, np.int8)[word]
    cells = _timewise_cells if root.tag == "score-timewise" else _partwise_cells
    part, bar = cells(root, kind, part_ids)
    order = np.flatnonzero((part >= 0) & (bar >= 0))
    if root.tag == "score-timewise":
        order = order[np.argsort(part[order], kind="stable")]
    is_note = kind == NOTE
    return Events(
        kind[order],
        word[order],
        tuple((text or "").strip() for _, text in words),
        word_kind,
        part[order],
        bar[order],
        ordinal=(np.cumsum(is_note) - 1)[order],
        marked=_marked(root, kind, order),
        elements=int(is_note.sum()),
    )


def _marked(root: _Element, kind: NDArray[np.int8], order: Ints) -> tuple[tuple[int, _Element], ...]:
    """Return place in the reordered table, and element, of each event of the kinds `MARKED`."""
    place = np.full(len(kind), -1)
    place[order] = np.arange(len(order))
    wanted = np.zeros(len(TAGS), np.bool_)
    wanted[list(MARKED)] = True
    elements = root.iter(*(TAGS[one] for one in MARKED))
    pairs = zip(place[wanted[kind]].tolist(), elements, strict=True)
    return tuple(pair for pair in pairs if pair[0] >= 0)


def _partwise_cells(root: _Element, kind: NDArray[np.int8], part_ids: list[str]) -> tuple[Ints, Ints]:
    """Return part and bar of each event where the bars stand inside the parts."""
    part = np.cumsum(kind == PART) - 1
    bars_begun = np.cumsum(kind == MEASURE)
    bars_before = bars_begun[kind == PART]
    bar = bars_begun - bars_before[part] - 1 if len(bars_before) else np.full(len(kind), -1)
    return part, bar


def _timewise_cells(root: _Element, kind: NDArray[np.int8], part_ids: list[str]) -> tuple[Ints, Ints]:
    """Return part and bar of each event where the parts stand inside the bars."""
    index = {part_id: number for number, part_id in enumerate(part_ids)}
    part_of_element = np.array([-1, *(index[part.get("id", "")] for part in root.iter("part"))])
    cell_part = part_of_element[np.cumsum(kind == PART)]
    bar = np.cumsum(kind == MEASURE) - 1
    cell_part[kind == MEASURE] = -1
    return cell_part, bar
