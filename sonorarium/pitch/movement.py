"""How one voice moves, in numbers and in words, and the rules that voices keep when chords move.

A move leads from a note to a note: between pitches by any number of semitones, between pitch classes along the
shorter way round the octave, six semitones at most (up or down for the tritone). Inside a scale it is counted in
steps of the scale too. Where nothing moves the voice holds a common tone.

The words are the trade's for intervals, counted in semitones whatever the spelling: E to F and E to E# are both "up a
semitone". Common practice.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from sonorarium.errors import InputError
from sonorarium.pcs.pcset import SetFacts
from sonorarium.pcs.spelling import Spelled

Measure = Literal["sum", "largest", "euclid"]
"""How moves make up one size: their sum, the largest of them, or the root of the sum of their squares."""
MEASURES: tuple[Measure, ...] = ("sum", "largest", "euclid")

_INTERVALS = (
    "nothing",
    "a semitone",
    "a whole tone",
    "a minor third",
    "a major third",
    "a fourth",
    "a tritone",
    "a fifth",
    "a minor sixth",
    "a major sixth",
    "a minor seventh",
    "a major seventh",
    "an octave",
)
_COUNTS = ("no", "a", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")


@dataclass(frozen=True)
class Move:
    """One voice's way from one chord to the next.

    Parameters
    ----------
    start, end : int
        MIDI numbers, or pitch classes 0 to 11.
    by : int
        Semitones, up positive.
    names : tuple of (Spelled, Spelled)
        What the two notes are called.
    pitched : bool
        Whether these are pitches.
    steps : int, optional
        The same in steps of the scale inside which the voice moves.

    Examples
    --------
    >>> Move(64, 65, 1, (Spelled(2), Spelled(3)), pitched=True).text
    'E4 up a semitone to F4'
    >>> Move(4, 0, -4, (Spelled(2), Spelled(0)), steps=-2).text
    'E down two steps to C'
    """

    start: int
    end: int
    by: int
    names: tuple[Spelled, Spelled]
    pitched: bool = False
    steps: int | None = None

    @property
    def size(self) -> int:
        """How far it goes, in steps where these are counted, else in semitones."""
        return abs(self.by if self.steps is None else self.steps)

    @property
    def is_common_tone(self) -> bool:
        """Whether the voice stays where it is."""
        return self.by == 0

    @property
    def start_name(self) -> str:
        """Name of the note it leaves, with its octave where there is one."""
        return note_name(self.start, self.names[0], pitched=self.pitched)

    @property
    def end_name(self) -> str:
        """Name of the note it reaches, with its octave where there is one."""
        return note_name(self.end, self.names[1], pitched=self.pitched)

    @property
    def text(self) -> str:
        """The move in words: ``E4 up a semitone to F4``, ``common tone G4``."""
        if self.is_common_tone:
            return f"common tone {self.start_name}"
        return f"{self.start_name} {'up' if self.by > 0 else 'down'} {self._distance} to {self.end_name}"

    @property
    def _distance(self) -> str:
        if self.steps is not None:
            count = _COUNTS[self.size] if self.size < len(_COUNTS) else str(self.size)
            return f"{count} step{'s' if self.size > 1 else ''}"
        return _INTERVALS[self.size] if self.size < len(_INTERVALS) else f"{self.size} semitones"

    @property
    def reversed(self) -> Move:
        """The same way back."""
        back = None if self.steps is None else -self.steps
        return Move(self.end, self.start, -self.by, self.names[::-1], self.pitched, back)


def note_name(note: int, name: Spelled, *, pitched: bool) -> str:
    """Name a note with the signs of notation, and with its octave where it is a pitch.

    >>> note_name(60, Spelled(6, 1), pitched=True), note_name(10, Spelled(6, -1), pitched=False)
    ('B♯3', 'B♭')
    """
    return f"{name.sign}{(note - name.alter) // 12 - 1}" if pitched else name.sign


@dataclass(frozen=True)
class Rules:
    """What voices may do.

    Parameters
    ----------
    voices : int, "needed" or "free"
        How many voices move. ``needed``: as many as the larger chord has notes; notes of the smaller one are doubled.
        ``free``: notes on both sides may be doubled where that makes the whole smaller, but no voice is there for
        nothing (each has at one end at least a note that no other voice has). A number: exactly so many.
    crossings : bool
        Whether voices may cross. They never need to: of the least voice leadings one has no crossing (Tymoczko 2006).
    parallels : bool
        Whether two voices may move in parallel fifths, octaves or unisons. Between pitch classes a fourth counts as a
        fifth, since it is not known which of the voices lies lower.
    leap : int, optional
        The farthest that a voice may move, in the unit that counts (semitones, or steps where ``within`` is given).
        Voices that go from pitches to pitch classes move an octave at most where nothing is said.
    fixed : tuple of (int, int)
        Voices that are settled: the note each leaves and the note it reaches, MIDI numbers for a voicing and pitch
        classes for a set. ``(64, 64)`` holds a note.
    within : SetFacts, optional
        A scale. Voices then step through its notes only, and moves are counted in its steps.

    Raises
    ------
    InputError
        Where a number of voices or a leap is no sensible number.

    Examples
    --------
    >>> Rules(crossings=True, leap=2)
    Rules(voices='needed', crossings=True, parallels=True, leap=2, fixed=(), within=None)
    """

    voices: int | Literal["needed", "free"] = "needed"
    crossings: bool = False
    parallels: bool = True
    leap: int | None = None
    fixed: tuple[tuple[int, int], ...] = ()
    within: SetFacts | None = None

    def __post_init__(self) -> None:
        if isinstance(self.voices, str):
            if self.voices not in ("needed", "free"):
                raise InputError(
                    f"{self.voices!r} is no number of voices.", value=self.voices, suggestion="Say needed, free or 4."
                )
        elif not 1 <= self.voices <= 24:
            raise InputError(f"{self.voices} voices cannot be led.", value=self.voices, suggestion="Use 1 to 24.")
        if self.leap is not None and self.leap < 0:
            raise InputError(f"A leap of {self.leap} is no distance.", value=self.leap, suggestion="Use 0 or more.")


def checked_measure(measure: str) -> Measure:
    """Give a measure back, or say which there are.

    Raises `InputError` where there is no such measure.

    >>> checked_measure("largest")
    'largest'
    """
    for known in MEASURES:
        if measure == known:
            return known
    raise InputError(
        f"{measure!r} is no measure of voice leading.", value=measure, suggestion=f"Use {', '.join(MEASURES)}."
    )
