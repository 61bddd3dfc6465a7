"""The written noteheads of a document: what each one says, before ties are joined.

Conventions
-----------
* A head is what a ``<note>`` element writes that is no rest. Grace, cue, hidden and unpitched heads are kept, and
  marked.
* ``pitch`` is the sounding pitch: the written one plus the transposition in force at that moment.
* Accidentals finer than a semitone are rounded to the nearest semitone, halves towards the unaltered letter.
* Hidden is ``print-object="no"`` of the note; notes with an invisible head that still sound are not hidden.
* A head without pitch that is not marked as rest or unpitched, or with a pitch that cannot be understood, is left
  out.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

import numpy as np

from sonorarium.errors import DamagedError
from sonorarium.score.remarks import Findings
from sonorarium.score.score import NOTE
from sonorarium.score.written import events as ev
from sonorarium.score.written.attributes import Statements
from sonorarium.score.written.bars import cursor_at
from sonorarium.score.written.events import Events, Flags, Ints
from sonorarium.score.written.moves import Moves

if TYPE_CHECKING:
    from lxml.etree import _Element
    from numpy.typing import NDArray

STEPS = "CDEFGAB"
SEMITONES = np.array([0, 2, 4, 5, 7, 9, 11])
"""Semitones of each step above C."""

NOT_READ = -1_000
"""Stands in a column for a value that is missing or cannot be understood."""

UNPITCHED = -1

MOST_VOICES = 10_000

_HIDDEN = re.compile(rb"<note\s[^>]*print-object")


@dataclass(eq=False)
class Heads:
    """The noteheads of a document.

    Parameters
    ----------
    table : ndarray, shape (n,), dtype `NOTE`
        One row for each head, in the order of the event table. Onsets count from the start of the bar.
    starts, stops : ndarray of bool, shape (n,)
        Whether a tie starts or stops at the head.
    shift : ndarray of int, shape (n,)
        Semitones from written to sounding pitch.
    voices : list of tuple of str
        Voice labels of each part.
    """

    table: NDArray[np.void]
    starts: Flags
    stops: Flags
    shift: Ints
    voices: list[tuple[str, ...]]


class _Fields:
    """What the notes of an event table say, as columns with one value for each ``<note>``."""

    def __init__(self, events: Events) -> None:
        self.events = events
        self.place = np.flatnonzero(events.kind == ev.NOTE)
        self._owner = np.cumsum(events.kind == ev.NOTE) - 1

    def column(self, kind: int, worth: NDArray[np.int64], default: int) -> Ints:
        """Return one kind of field by the worth of its words, or the default."""
        column = np.full(len(self.place), default, np.int64)
        at, values = self.events.values(kind, ev.NOTE, worth)
        column[self._owner[at]] = values
        return column

    def read(self, kind: int, understand: Callable[[str], int], default: int = NOT_READ) -> Ints:
        """Return one kind of field; `NOT_READ` where it is stated but cannot be understood."""
        events = self.events
        worth = np.full(len(events.texts), NOT_READ, np.int64)
        for word in events.words(kind):
            try:
                worth[word] = understand(events.texts[word])
            except (ValueError, OverflowError):
                continue
        return self.column(kind, worth, default)

    def has(self, kind: int) -> Flags:
        """Return which notes hold a kind of field."""
        return self.column(kind, np.ones(len(self.events.texts), np.int64), 0) > 0


def read_heads(
    root: _Element, xml: bytes, events: Events, statements: Statements, moves: Moves, findings: Findings
) -> Heads:
    """Return the heads of a document.

    Parameters
    ----------
    root : lxml element
    xml : bytes
        The document that it was parsed from.
    events : Events
    statements : Statements
    moves : Moves
    findings : Findings
        Takes up what was rounded, guessed or left out.

    Returns
    -------
    Heads
    """
    fields = _Fields(events)
    row = np.flatnonzero(moves.kind == ev.NOTE)
    table = np.zeros(len(row), NOTE)
    table["onset"], table["duration"] = moves.onset[row], moves.duration[row]
    table["part"], table["bar"] = events.part[fields.place], events.bar[fields.place]
    table["element"] = events.ordinal[fields.place]
    table["grace"], table["cue"] = moves.grace[row], fields.has(ev.CUE)
    table["hidden"] = hidden_notes(root, xml, events.elements)[table["element"]]
    table["staff"] = _staves(fields, table, findings)
    voice, voices = _voices(fields)
    table["voice"] = voice
    rest = moves.rest[row]
    read = _pitches(fields, rest, table, findings)
    timeless = (table["duration"] == 0) & ~table["grace"] & ~rest & read
    _remark(findings, "A note has no duration: it takes no time.", table, timeless)
    starts, stops = (marks[table["element"]] for marks in tie_marks(root, events, findings))
    shift = _transpose(table, events, statements, moves, findings)
    keep = ~rest & read
    return Heads(table[keep], starts[keep], stops[keep], shift[keep], voices)


def hidden_notes(root: _Element, xml: bytes, elements: int) -> Flags:
    """Return for each ``<note>`` element whether the file hides it.

    Most documents hide no note; a look at their bytes is faster than one at every element.
    """
    if not _HIDDEN.search(xml):
        return np.zeros(elements, np.bool_)
    return np.fromiter((note.get("print-object") == "no" for note in root.iter("note")), np.bool_, elements)


def _remark(findings: Findings, what: str, table: NDArray[np.void], faulty: Flags) -> None:
    """Take up one fault of many notes."""
    for part in np.unique(table["part"][faulty]).tolist():
        findings.add(what, part=part, bars=table["bar"][faulty & (table["part"] == part)].tolist())


def _staves(fields: _Fields, table: NDArray[np.void], findings: Findings) -> Ints:
    staff = fields.read(ev.STAFF, _staff, default=1)
    _remark(findings, "A staff number that cannot be understood was read as 1.", table, staff == NOT_READ)
    return np.maximum(staff, 1)


def _staff(text: str) -> int:
    number = int(text)
    if not 1 <= number <= 100:
        raise ValueError(number)
    return number


def _voices(fields: _Fields) -> tuple[Ints, list[tuple[str, ...]]]:
    """Return the voice of each note and the voice labels of each part, in order of first appearance."""
    events = fields.events
    labels = list(dict.fromkeys(["1", *events.texts]))
    number = {label: index for index, label in enumerate(labels)}
    label = fields.column(ev.VOICE, np.array([number[text] for text in events.texts], np.int64), 0)
    part = events.part[fields.place]
    voice = np.zeros(len(label), np.int64)
    voices: list[tuple[str, ...]] = []
    for index in range(int(part[-1]) + 1 if len(part) else 0):
        rows = slice(*np.searchsorted(part, [index, index + 1]).tolist())
        used, first, place = np.unique(label[rows], return_index=True, return_inverse=True)
        if len(used) > MOST_VOICES:
            raise DamagedError(
                f"Part {index + 1} has {len(used)} voices, more than the {MOST_VOICES} that are believed."
            )
        rank = np.argsort(np.argsort(first))
        voice[rows] = rank[place]
        voices.append(tuple(labels[one] for one in used[np.argsort(first)].tolist()))
    return voice, voices


def _pitches(fields: _Fields, rest: Flags, table: NDArray[np.void], findings: Findings) -> Flags:
    """Fill in written pitch and spelling; return which notes could be read."""
    unpitched = fields.has(ev.UNPITCHED)
    step = fields.read(ev.STEP, STEPS.index)
    octave = fields.read(ev.OCTAVE, int)
    alter = fields.read(ev.ALTER, rounded_alter, default=0)
    pitched = (step >= 0) & (np.abs(octave - 4) <= 6) & ~rest & ~unpitched
    _remark(findings, "An alteration that is no number was left out.", table, pitched & (alter == NOT_READ))
    alter[alter == NOT_READ] = 0
    pitch = np.where(pitched, 12 * (octave + 1) + SEMITONES[np.maximum(step, 0)] + alter, UNPITCHED)
    table["pitch"] = pitch
    for name, column in (("step", step), ("alter", alter), ("octave", octave)):
        table[name] = np.where(pitched, column, 0 if name == "alter" else UNPITCHED)
    if any(_is_fine(text) for text in _texts(fields.events, ev.ALTER)):
        fine = fields.read(ev.ALTER, lambda text: int(_is_fine(text)), default=0) > 0
        _remark(findings, "An alteration finer than a semitone was rounded.", table, fine & pitched)
    lost = ~(pitched | rest | unpitched)
    _remark(findings, "A note without a pitch that can be understood was left out.", table, lost)
    return ~lost


def _texts(events: Events, kind: int) -> list[str]:
    return [events.texts[word] for word in events.words(kind)]


def _is_fine(text: str) -> bool:
    try:
        return ev.exact_number(text).denominator != 1
    except ValueError:
        return False


def rounded_alter(text: str) -> int:
    """Return an alteration in whole semitones, halves towards the unaltered letter.

    Raises
    ------
    ValueError
        If the text is no number, or more than an octave.

    Examples
    --------
    >>> [rounded_alter(text) for text in ("1", "-2", "0.5", "-0.5", "1.5", "0.75")]
    [1, -2, 0, 0, 1, 1]
    """
    exact = ev.exact_number(text)
    if abs(exact) > 12:
        raise ValueError(text)
    size = math.ceil(abs(exact) - Fraction(1, 2))
    return size if exact > 0 else -size


def tie_marks(root: _Element, events: Events, findings: Findings) -> tuple[Flags, Flags]:
    """Return at which ``<note>`` elements a tie starts and stops."""
    if not (events.kind == ev.TIE).any() and next(root.iter("tied"), None) is not None:
        findings.add("The file draws ties without saying that they sound: they were joined as drawn.")
        return drawn_ties(root, events.elements)
    starts, stops = np.zeros(events.elements, np.bool_), np.zeros(events.elements, np.bool_)
    for marks, kind in ((starts, "start"), (stops, "stop")):
        marks[events.ordinal[[place for place, tie in events.marks(ev.TIE) if tie.get("type") == kind]]] = True
    return starts, stops


def drawn_ties(root: _Element, elements: int) -> tuple[Flags, Flags]:
    """Return at which ``<note>`` elements a tie is drawn to start and to stop, marked for sound or not."""
    starts, stops = np.zeros(elements, np.bool_), np.zeros(elements, np.bool_)
    for ordinal, note in enumerate(root.iter("note")):
        types = {tied.get("type") for tied in note.iterfind("notations/tied")}
        starts[ordinal], stops[ordinal] = "start" in types, "stop" in types
    return starts, stops


def _transpose(
    table: NDArray[np.void], events: Events, statements: Statements, moves: Moves, findings: Findings
) -> Ints:
    """Bring the pitches to where they sound; return by how much."""
    shift = np.zeros(len(table), np.int64)
    for part, changes in statements.transpositions.items():
        rows = slice(*np.searchsorted(table["part"], [part, part + 1]).tolist())
        bar, onset, staff = (table[name][rows] for name in ("bar", "onset", "staff"))
        moments = [(change.bar, cursor_at(change.event, events, moves), change) for change in changes]
        for at_bar, at_tick, change in sorted(moments, key=lambda moment: moment[:2]):
            later = (bar > at_bar) | ((bar == at_bar) & (onset >= at_tick))
            if change.staff:
                later &= staff == change.staff
            shift[rows][later] = change.semitones
    pitched = table["pitch"] != UNPITCHED
    sounding = table["pitch"] + shift
    beyond = pitched & ((sounding < 0) | (sounding > 127))
    _remark(findings, "A note sounds outside the range of MIDI: it was marked as unpitched.", table, beyond)
    table["pitch"] = np.where(pitched & ~beyond, sounding, UNPITCHED)
    return shift
