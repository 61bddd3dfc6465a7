"""One piece of music as tables: its notes, its bars, its parts.

Conventions
-----------
* **Time** is in integer ticks from the start of the piece; ``ticks_per_quarter`` is the least common multiple
  that the file needs, so every tuplet is exact. Repeats are not unfolded: time is the time of the page.
* **Pitch** is sounding pitch as a MIDI number (middle C = 60), with transposing instruments at pitch and octave
  clefs applied. ``step``, ``alter`` and ``octave`` keep the spelling that is written on the page.
* **Ties** are joined: one row is one sounding note. `Score.element_note` finds the row of every written notehead.
* **Marked** notes (grace, cue, hidden, unpitched) are in the table; `Score.sounding` leaves them out.
* **Bars** have an index (0 …, the key everywhere) and the label printed in the score, which may repeat, be "0"
  for a pick-up, or be any text.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction
from functools import cached_property
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

NOTE = np.dtype(
    [
        ("onset", "i8"),  # ticks from the start of the piece
        ("duration", "i8"),  # ticks, ties joined; 0 for grace notes
        ("pitch", "i2"),  # sounding MIDI number; -1 where unpitched
        ("step", "i1"),  # written letter: 0 C, 1 D … 6 B; -1 where unpitched
        ("alter", "i1"),  # written alteration in semitones
        ("octave", "i1"),  # written octave: 4 begins with middle C
        ("part", "i2"),  # index into Score.parts
        ("staff", "i1"),  # 1, 2 … within the part
        ("voice", "i2"),  # index into Part.voices
        ("bar", "i4"),  # index into Score.bars of the bar it is written in; a grace note may end one
        ("grace", "?"),
        ("cue", "?"),
        ("hidden", "?"),  # print-object="no"
        ("element", "i4"),  # number, from 0 in document order, of the <note> element of its first head
    ]
)
"""Row of the note table. Rows are sorted by onset, then part, staff, voice, pitch, element."""

BAR = np.dtype(
    [
        ("onset", "i8"),  # ticks
        ("duration", "i8"),  # ticks really present
        ("label", "U12"),  # as printed
        ("beats", "i2"),  # metre in force, e.g. 3; 0 where there is none
        ("beat_type", "i2"),  # metre in force, e.g. 8; 4 where there is none
        ("lead", "i8"),  # ticks missing before the first note of a pick-up or of the second half of a split bar
    ]
)
"""Row of the bar table, in order of time."""

Notes = NDArray[np.void]
"""A note table (dtype `NOTE`), or rows of one."""


@dataclass(frozen=True)
class Part:
    """One part of a score: an instrument or a singer.

    Parameters
    ----------
    id : str
        The part's identifier in the file.
    name : str
        As printed before the first system; may be empty.
    staves : int
        Number of staves, 1 or more.
    voices : tuple of str
        The file's own voice labels; the ``voice`` column indexes this.
    transposition : int
        Semitones from written to sounding pitch where it first sounds (−2 for a clarinet in B flat).
    """

    id: str
    name: str
    staves: int = 1
    voices: tuple[str, ...] = ()
    transposition: int = 0


@dataclass(frozen=True)
class Remark:
    """Something in a file that was repaired, guessed or left out, and where.

    Parameters
    ----------
    what : str
        One sentence.
    part : int
        Index of the part, or -1 where it concerns the whole file.
    bar : str
        Printed label of the bar, or "" where it concerns the whole file.
    """

    what: str
    part: int = -1
    bar: str = ""


@dataclass(frozen=True, eq=False)
class Score:
    """One piece: metadata, a note table, a bar table.

    Parameters
    ----------
    notes : ndarray, shape (n,), dtype `NOTE`
    bars : ndarray, shape (m,), dtype `BAR`
    parts : tuple of Part
    ticks_per_quarter : int
    title, composer, rights, encoder : str
        As the file states them; "" where it does not.
    path : Path or None
        The file it was read from.
    digest : str
        SHA-256 of that file's bytes, hexadecimal; results can be traced to it.
    element_note : ndarray, shape (number of <note> elements,), int32
        Row in ``notes`` for each <note> element in document order; -1 for rests and chord symbols. The tied
        noteheads of one sounding note share its row.
    remarks : tuple of Remark
        What was repaired, guessed or left out.
    date : str
        Date of composition as the file writes it, "" where it does not.
    format : str
        Name of the format that it was read from, as in `sonorarium.score.formats.sniffing.Format`.
    """

    notes: Notes
    bars: NDArray[np.void]
    parts: tuple[Part, ...]
    ticks_per_quarter: int
    title: str = ""
    composer: str = ""
    rights: str = ""
    encoder: str = ""
    path: Path | None = None
    digest: str = ""
    element_note: NDArray[np.int32] = field(default_factory=lambda: np.empty(0, np.int32))
    remarks: tuple[Remark, ...] = ()
    date: str = ""
    format: str = ""

    @cached_property
    def sounding(self) -> NDArray[np.intp]:
        """Rows of ``notes`` that analysis looks at: pitched, of some length, not grace, not cue, not hidden."""
        n = self.notes
        return np.flatnonzero((n["pitch"] >= 0) & (n["duration"] > 0) & ~n["grace"] & ~n["cue"] & ~n["hidden"])

    @cached_property
    def end(self) -> int:
        """Ticks at which the last bar, or the last note if later, ends."""
        last_bar = int(self.bars["onset"][-1] + self.bars["duration"][-1]) if len(self.bars) else 0
        last_note = int((self.notes["onset"] + self.notes["duration"]).max()) if len(self.notes) else 0
        return max(last_bar, last_note)

    def bar_at(self, tick: int) -> int:
        """Index of the bar that holds a tick; the last bar for anything later, 0 for anything earlier."""
        at = int(np.searchsorted(self.bars["onset"], tick, side="right")) - 1
        return max(0, min(at, len(self.bars) - 1))

    def beat_at(self, tick: int) -> Fraction:
        """Beat of a tick inside its bar, 1 for the first, in units of the metre's lower figure."""
        bar = self.bars[self.bar_at(tick)]
        into_bar = tick - int(bar["onset"]) + int(bar["lead"])
        return 1 + Fraction(into_bar * int(bar["beat_type"]), 4 * self.ticks_per_quarter)
