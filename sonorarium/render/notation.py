"""Small notation: a scale, a chord, a row of chords, written as MEI for the engraver.

As in a textbook: stemless whole notes in a row, no metre, no bar lines. Every altered note has its accidental;
a note whose letter was altered earlier in the row has a natural. The clef follows the range; what does not
fit on one staff goes on two, divided at middle C.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from xml.sax.saxutils import escape, quoteattr

from sonorarium.errors import InputError

SpelledPitch = tuple[int, int, int]
"""A written pitch: letter (0 = C … 6 = B), alteration in semitones (−2 … 2), octave (4 begins with middle C)."""

ACCIDENTALS = {-2: "ff", -1: "f", 0: "n", 1: "s", 2: "x"}
MIDDLE_C = 28
"""Letters counted from the lowest C: seven to an octave."""

TREBLE_FLOOR = MIDDLE_C - 3
"""Lowest note written in the treble clef where all notes are to go on one staff: G3, two ledger lines."""

BASS_CEILING = MIDDLE_C + 3
"""Highest note written in the bass clef where all notes are to go on one staff: F4, two ledger lines."""

CLEFS = {"treble": ("G", 2), "bass": ("F", 4), "alto": ("C", 3), "tenor": ("C", 4)}


@dataclass(frozen=True)
class Column:
    """What sounds together, and the words at it.

    Parameters
    ----------
    pitches : tuple of (int, int, int)
        Letter, alteration, octave of each note; one note for a scale, several for a chord.
    below, above : str
        A degree, a class label, a chord symbol; empty for none.
    marked : tuple of int
        Indices of the pitches to mark.
    """

    pitches: tuple[SpelledPitch, ...]
    below: str = ""
    above: str = ""
    marked: tuple[int, ...] = ()


def scale(pitches: Sequence[SpelledPitch], below: Sequence[str] = ()) -> tuple[Column, ...]:
    """Return one column for each note of a scale.

    Parameters
    ----------
    pitches : sequence of (int, int, int)
    below : sequence of str
        As many labels as notes, or none.

    Raises
    ------
    InputError
        When there are labels, but not as many as notes.

    Examples
    --------
    >>> scale([(0, 0, 4), (1, -1, 4)], ["1", "♭2"])[1]
    Column(pitches=((1, -1, 4),), below='♭2', above='', marked=())
    """
    if below and len(below) != len(pitches):
        raise InputError(f"There are {len(pitches)} notes but {len(below)} labels below them.", value=tuple(below))
    labels = below or [""] * len(pitches)
    return tuple(Column((pitch,), below=label) for pitch, label in zip(pitches, labels, strict=True))


def height(pitch: SpelledPitch) -> int:
    """Return the place of a written pitch on the staff: letters counted from the lowest C.

    Examples
    --------
    >>> height((0, 1, 4))
    28
    """
    return pitch[2] * 7 + pitch[0]


def choose_staves(columns: Sequence[Column]) -> tuple[str, ...]:
    """Return the clefs that hold the notes: one, or treble and bass.

    Examples
    --------
    >>> choose_staves([Column(((0, 0, 3), (2, 0, 5)))])
    ('treble', 'bass')
    """
    heights = [height(pitch) for column in columns for pitch in column.pitches]
    if not heights or min(heights) >= TREBLE_FLOOR:
        return ("treble",)
    return ("bass",) if max(heights) <= BASS_CEILING else ("treble", "bass")


def write_mei(columns: Sequence[Column], staves: tuple[str, ...]) -> str:
    """Return the notation as MEI. Notes have the ids ``n0``, ``n1`` … in order of columns and pitches.

    Parameters
    ----------
    columns : sequence of Column
    staves : tuple of str
        Clefs from the top: names of `CLEFS`, one or two.

    Raises
    ------
    InputError
        When a pitch or a clef is not one that can be written.
    """
    if not 1 <= len(staves) <= 2:
        raise InputError(f"Notes go on one staff or two, not on {len(staves)}.", value=staves)
    for clef in staves:
        if clef not in CLEFS:
            raise InputError(
                f"No clef is called {clef!r}.", value=clef, suggestion=f"Choose one of {', '.join(CLEFS)}."
            )
    layers: list[list[str]] = [[] for _ in staves]
    words, first = [], 0
    naturals = _naturals(columns)
    for column in columns:
        for layer, place in zip(layers, range(len(staves)), strict=True):
            layer.append(_chord(column, first, naturals, staff=place, staves=len(staves)))
        words.append(_words(column, first, len(staves)))
        first += len(column.pitches)
    return _document(staves, layers, words)


def _naturals(columns: Sequence[Column]) -> frozenset[int]:
    """Ordinals of the unaltered notes whose letter was altered before, or is altered beside them."""
    found: set[int] = set()
    altered: set[int] = set()
    ordinal = 0
    for column in columns:
        here = {step for step, alter, _ in column.pitches if alter}
        for step, alter, _ in column.pitches:
            if not alter and step in altered | here:
                found.add(ordinal)
            ordinal += 1
        altered |= here
    return frozenset(found)


def _chord(column: Column, first: int, naturals: frozenset[int], *, staff: int, staves: int) -> str:
    """The notes of a column that go on one staff."""
    notes = [
        _note(pitch, first + i, natural=first + i in naturals)
        for i, pitch in enumerate(column.pitches)
        if staves == 1 or (height(pitch) >= MIDDLE_C) == (staff == 0)
    ]
    return f'<chord dur="1">{"".join(notes)}</chord>' if notes else '<space dur="1"/>'


def _note(pitch: SpelledPitch, ordinal: int, *, natural: bool) -> str:
    """One note."""
    step, alter, octave = pitch
    if not 0 <= step <= 6 or alter not in ACCIDENTALS or not 0 <= octave <= 9:
        raise InputError(
            f"The pitch {tuple(pitch)} cannot be written.",
            value=pitch,
            suggestion="Letters run from 0 to 6, alterations from -2 to 2, octaves from 0 to 9.",
        )
    accidental = f' accid="{ACCIDENTALS[alter]}"' if alter or natural else ""
    return f'<note xml:id="n{ordinal}" pname="{"cdefgab"[step]}" oct="{octave}"{accidental}/>'


def _words(column: Column, first: int, staves: int) -> str:
    """The texts of a column."""
    texts = [("below", staves, column.below), ("above", 1, column.above)]
    return "".join(
        f'<harm place="{place}" staff="{staff}" startid="#n{first}">{escape(text)}</harm>'
        for place, staff, text in texts
        if text and column.pitches
    )


def _document(staves: tuple[str, ...], layers: list[list[str]], words: list[str]) -> str:
    """The whole file."""
    brace = ' symbol="brace" bar.thru="true"' if len(staves) > 1 else ""
    staff_defs = "".join(
        f'<staffDef n="{n}" lines="5" clef.shape={quoteattr(CLEFS[clef][0])} clef.line="{CLEFS[clef][1]}"/>'
        for n, clef in enumerate(staves, 1)
    )
    staff = "".join(
        f'<staff n="{n}"><layer n="1">{"".join(layer)}</layer></staff>' for n, layer in enumerate(layers, 1)
    )
    return (
        '<mei xmlns="http://www.music-encoding.org/ns/mei" meiversion="5.0"><meiHead><fileDesc><titleStmt><title/>'
        "</titleStmt><pubStmt/></fileDesc></meiHead><music><body><mdiv><score><scoreDef>"
        f"<staffGrp{brace}>{staff_defs}</staffGrp></scoreDef><section>"
        f'<measure n="1" right="invis">{staff}{"".join(words)}</measure>'
        "</section></score></mdiv></body></music></mei>"
    )
