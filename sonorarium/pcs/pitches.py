"""Note names with octaves: a set with its heights, as typed.

``C3 G3 E4`` is a set of pitch classes, and it is also a voicing. `Pitches` keeps what was typed, names and heights
both; the pitch layer makes its voicing of the MIDI numbers. Octaves are numbered so that middle C is C4 (the
scientific numbering, Acoustical Society of America 1939; common practice); C4 is MIDI number 60. An octave belongs to
the letter: B3 and B#3 stand in the same octave, and B#3 sounds like C4.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from sonorarium.errors import InputError
from sonorarium.pcs.pcset import PcSet, SetFacts
from sonorarium.pcs.spelling import NATURAL_PC, NOTE_PATTERN, Spelled, read_note

PITCH_PATTERN = rf"{NOTE_PATTERN}-?\d"
"""Regular expression for a note name with an octave, −1 to 9."""


@dataclass(frozen=True, repr=False)
class Pitches(SetFacts):
    """Notes at their heights.

    Parameters
    ----------
    notes : tuple of (Spelled, int)
        Name and octave of each, in the order typed.

    Raises
    ------
    InputError
        Where a note lies outside MIDI numbers 0 to 127.

    Examples
    --------
    >>> p = read_pitches("C3 G3 E4")
    >>> p.midi, p.pcs, p.name
    ((48, 55, 64), (0, 4, 7), 'C3 G3 E4')
    """

    notes: tuple[tuple[Spelled, int], ...]

    def __post_init__(self) -> None:
        for note, octave in self.notes:
            if not 0 <= midi_number(note, octave) <= 127:
                raise InputError(
                    f"{note.text}{octave} lies outside what can sound.",
                    value=self.notes,
                    suggestion="Notes run from C-1 to G9; middle C is C4.",
                )

    def __repr__(self) -> str:
        return f"read_pitches({self.name!r})"

    def __str__(self) -> str:
        return self.name

    @property
    def mask(self) -> int:
        """The set as a 12-bit integer."""
        return PcSet(note.pc for note, _ in self.notes).mask

    @property
    def midi(self) -> tuple[int, ...]:
        """MIDI numbers, ascending, each once; middle C = 60."""
        return tuple(sorted({midi_number(note, octave) for note, octave in self.notes}))

    @property
    def name(self) -> str:
        """The notes as they can be typed."""
        return " ".join(f"{note.text}{octave}" for note, octave in self.notes)

    @property
    def bass(self) -> Spelled:
        """Its lowest note."""
        return min(self.notes, key=lambda pair: midi_number(*pair))[0]

    @property
    def spelling(self) -> tuple[Spelled, ...]:
        """Each pitch class once, under the name first typed for it, in the order typed."""
        names: dict[int, Spelled] = {}
        for note, _ in self.notes:
            names.setdefault(note.pc, note)
        return tuple(names.values())


def midi_number(note: Spelled, octave: int) -> int:
    """MIDI number of a note in an octave; C4 is 60.

    >>> midi_number(read_note("B#"), 3), midi_number(read_note("Cb"), 4)
    (60, 59)
    """
    return 12 * (octave + 1) + NATURAL_PC[note.step] + note.alter


def read_pitches(text: str) -> Pitches:
    """Read note names with octaves; a later note without one lies next above the note before it.

    Raises `InputError` where the text has not this form.

    >>> read_pitches("Eb3, G Bb D").midi
    (51, 55, 58, 62)
    """
    words = [w for w in re.split(r"[\s,;]+", text.strip()) if w]
    if not words or not re.fullmatch(PITCH_PATTERN, words[0]):
        raise InputError(f"{text!r} has no note with an octave.", value=text, suggestion="Try: C3 G3 E4.")
    notes: list[tuple[Spelled, int]] = []
    for word in words:
        found = re.fullmatch(rf"({NOTE_PATTERN})(-?\d)?", word)
        if not found:
            raise InputError(
                f"{word!r} in {text!r} is no note with an octave.", value=text, suggestion="Try: C3 G3 E4."
            )
        note = read_note(found[1])
        notes.append((note, int(found[2]) if found[2] else _next_above(note, notes[-1])))
    return Pitches(tuple(notes))


def _next_above(note: Spelled, before: tuple[Spelled, int]) -> int:
    floor, octave = midi_number(*before), before[1]
    return next(o for o in range(octave - 1, octave + 3) if midi_number(note, o) > floor)
