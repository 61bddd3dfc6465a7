"""One bar of an MEI staff: what its layers write, when, and how each note is altered.

Conventions
-----------
* Time runs through each layer from the start of the bar; a tuplet takes ``numbase`` in the time of ``num``.
* A note that carries a printed accidental is altered by it, unless ``accid.ges`` says what sounds. How long a printed
  accidental holds is another question, answered by `Scope`.
* Accidentals finer than a semitone are rounded towards the unaltered letter, and remarked.
* Where ``oct.ges`` is given (under an octave line) it counts, so written and sounding octave agree.
* Signs that stand for music (repeat a beat, a bar) are not written out: they are silence, and remarked.

Source: Music Encoding Initiative, *Guidelines, Version 5*, "Common Music Notation".
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from enum import Enum
from fractions import Fraction
from typing import TYPE_CHECKING

from sonorarium.score.formats.meistaves import Staff
from sonorarium.score.formats.meitree import ORDINAL, read_children, written_length

if TYPE_CHECKING:
    from lxml.etree import _Element


class Scope(Enum):
    """How long a printed accidental holds, where the file leaves that to the reader."""

    STATED = "every note says how it sounds"
    OCTAVE = "to the end of the bar, in its octave"


STEPS = "cdefgab"
ALTERS = {
    "n": 0, "s": 1, "f": -1, "x": 2, "ss": 2, "ff": -2, "xs": 3, "sx": 3, "ts": 3, "tf": -3, "ns": 1, "nf": -1,
    "su": 1, "sd": 0, "fu": 0, "fd": -1, "nu": 0, "nd": 0, "1qs": 0, "1qf": 0, "3qs": 1, "3qf": -1,
}  # fmt: skip
"""Semitones of each accidental; quarter tones rounded towards the letter."""

FINE = frozenset(["su", "sd", "fu", "fd", "nu", "nd", "1qs", "1qf", "3qs", "3qf"])
_GROUPS = frozenset(["beam", "bTrem", "fTrem", "graceGrp", "ligature", "syllable", "tabGrp"])
_STANDS_FOR_MUSIC = frozenset(["beatRpt", "halfmRpt", "mRpt", "mRpt2", "multiRpt"])
_YES = ("true", "yes")

UNKNOWN_LENGTH = "A note without a length that can be understood was read as a quarter."
NO_PITCH = "A note without a pitch that can be understood was left out."
FINE_ACCIDENTAL = "An accidental finer than a semitone was rounded."
REPEAT_SIGN = "A sign repeats a beat or a bar: what it repeats is not written out and was left empty."


@dataclass(slots=True)
class Written:
    """A note as it stands in a layer.

    Parameters
    ----------
    element : lxml element
    onset, length : Fraction
        In quarters, from the start of the bar; length 0 for a grace note.
    staff : str
        Number of the staff that it is printed on.
    layer : int
        Index of the layer that it is written in, in the order of the bar.
    grace, cue, hidden : bool
    tie : str
        Tie marks of the note and of its chord.
    alter : int
        Filled in by `alter_notes`.
    """

    element: _Element
    onset: Fraction
    length: Fraction
    staff: str
    layer: int
    grace: bool
    cue: bool
    hidden: bool
    tie: str
    alter: int = 0

    @property
    def ordinal(self) -> int:
        """Number of the element in the document."""
        return int(self.element.get(ORDINAL, "0"))

    @property
    def step(self) -> int:
        """Letter, 0 C to 6 B; -1 where there is none."""
        name = self.element.get("pname", "")
        return STEPS.index(name) if name and name in STEPS else -1

    @property
    def octave(self) -> int | None:
        """Octave at which it is read, None where there is none."""
        text = self.element.get("oct.ges") or self.element.get("oct") or ""
        return int(text) if text.lstrip("-").isdecimal() and abs(int(text) - 4) <= 6 else None


@dataclass(slots=True)
class _Marks:
    """What a group says of all that stands in it."""

    factor: Fraction = Fraction(1)
    grace: bool = False
    cue: bool = False
    hidden: bool = False


@dataclass(eq=False)
class LayerReader:
    """Reads the layers of one bar of one staff.

    Parameters
    ----------
    staff : Staff
    faults : list of str
        Takes up what was guessed or left out.
    """

    staff: Staff
    faults: list[str]
    notes: list[Written] = field(default_factory=list)
    cursor: Fraction = Fraction(0)
    reach: Fraction = Fraction(0)
    bars: int = 1
    changes: list[_Element] = field(default_factory=list)
    _layer: int = 0

    def read(self, layer: _Element, index: int) -> None:
        """Read one layer."""
        self.cursor, self._layer = Fraction(0), index
        self._walk(read_children(layer), _Marks(cue=layer.get("cue") in _YES))
        self.reach = max(self.reach, self.cursor)

    def _walk(self, elements: Iterable[_Element], marks: _Marks) -> None:
        for element in elements:
            tag = str(element.tag)
            if tag == "note":
                self._notes(element, [element], marks)
            elif tag == "chord":
                self._notes(element, [one for one in read_children(element) if one.tag == "note"], marks)
            elif tag in ("rest", "space"):
                length = written_length(element)
                self.cursor += length * marks.factor if length is not None and not marks.grace else 0
            elif tag == "tuplet":
                self._walk(read_children(element), _in_tuplet(element, marks))
            elif tag in _GROUPS:
                self._walk(read_children(element), _in_group(element, marks))
            else:
                self._other(element)

    def _other(self, element: _Element) -> None:
        """Take up signs that are no notes."""
        tag = str(element.tag)
        if tag in ("keySig", "meterSig", "meterSigGrp", "clef", "staffDef"):
            if not self.cursor and tag != "clef":
                self.staff.take(element)
            else:
                self.changes.append(element)
        elif tag == "multiRest":
            number = element.get("num", "1")
            self.bars = max(self.bars, min(int(number), 1_000) if number.isdecimal() else 1)
        elif tag in _STANDS_FOR_MUSIC:
            self.faults.append(REPEAT_SIGN)
            beat = Fraction(4, self.staff.metre[1])
            half = self.staff.bar_length / 2
            self.cursor += {"beatRpt": beat, "halfmRpt": half}.get(tag, Fraction(0))

    def _notes(self, owner: _Element, notes: list[_Element], marks: _Marks) -> None:
        """Read a note or a chord at the cursor."""
        grace = marks.grace or owner.get("grace") is not None
        length = Fraction(0)
        if not grace:
            stated = written_length(owner)
            if stated is None and notes:
                stated = written_length(notes[0])
            if stated is None:
                self.faults.append(UNKNOWN_LENGTH)
                stated = Fraction(1)
            length = stated * marks.factor
        for note in notes:
            self.notes.append(
                Written(
                    note,
                    self.cursor,
                    length,
                    note.get("staff") or owner.get("staff") or self.staff.number,
                    self._layer,
                    grace,
                    marks.cue or "true" in (note.get("cue"), owner.get("cue")),
                    marks.hidden or "false" in (note.get("visible"), owner.get("visible")),
                    f"{note.get('tie', '')}{owner.get('tie', '') if note is not owner else ''}",
                )
            )
        self.cursor += length


def _in_tuplet(tuplet: _Element, marks: _Marks) -> _Marks:
    numbers = [tuplet.get("num", "3"), tuplet.get("numbase", "2")]
    if not all(number.isdecimal() and 0 < int(number) < 10_000 for number in numbers):
        return marks
    return _Marks(marks.factor * Fraction(int(numbers[1]), int(numbers[0])), marks.grace, marks.cue, marks.hidden)


def _in_group(group: _Element, marks: _Marks) -> _Marks:
    """Return what holds in a group; the two notes of a fingered tremolo share the time that each one shows."""
    factor = marks.factor / 2 if group.tag == "fTrem" else marks.factor
    grace = marks.grace or group.tag == "graceGrp"
    return _Marks(factor, grace, marks.cue or group.get("cue") in _YES, marks.hidden)


def alter_notes(
    notes: list[Written], scope: Scope, key: dict[int, int], tied: dict[int, int], faults: list[str]
) -> None:
    """Fill in how the notes of one bar of a staff are altered.

    Parameters
    ----------
    notes : list of Written
        Sorted in place by onset.
    scope : Scope
        How long a printed accidental holds.
    key : dict of int to int
        Alteration of each step by the key signature.
    tied : dict of int to int
        Alteration of each note, by ordinal, to which a tie leads from an earlier bar.
    faults : list of str
        Takes up what was rounded or guessed.
    """
    notes.sort(key=lambda note: note.onset)
    held: dict[tuple[int, int | None], int] = {}
    for note in notes:
        printed, sounding = _accidentals(note.element)
        if printed in FINE or sounding in FINE:
            faults.append(FINE_ACCIDENTAL)
        place = note.step, note.octave
        own = ALTERS.get(sounding) if sounding in ALTERS else ALTERS.get(printed)
        if own is not None and (scope is Scope.STATED or printed in ALTERS):
            held[place] = note.alter = own
        elif scope is Scope.STATED:
            note.alter = 0
        elif note.ordinal in tied:
            note.alter = tied[note.ordinal]
        else:
            note.alter = held.get(place, key.get(note.step, 0))


def _accidentals(note: _Element) -> tuple[str, str]:
    """Return the printed accidental of a note and the one that sounds, "" where there is none."""
    printed, sounding = note.get("accid", ""), note.get("accid.ges", "")
    for accid in note.iter("accid"):
        printed = printed or accid.get("accid", "")
        sounding = sounding or accid.get("accid.ges", "")
    return printed, sounding
