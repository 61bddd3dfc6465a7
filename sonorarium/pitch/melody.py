"""Melodies as pitches with durations, and the spans of time over which chords lie.

A melody is typed note by note, each with its octave and, after a colon, its duration in quarter notes; a note without
a duration lasts as long as the one before it. ``r`` is a rest:

    C5 D5:1/2 E5 r F5:2

A **span** is the time of one chord. Spans follow a rhythm that is given, or one that is proposed: chords then change
where notes begin, or at whole multiples of the pace inside a long note; each lasts about as long as the pace says;
and changes between multiples of the pace are avoided. What is least by these prices is found exactly, by dynamic
programming.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import accumulate, pairwise

from sonorarium.errors import InputError, NothingFoundError
from sonorarium.pcs.pitches import read_pitches
from sonorarium.pcs.spelling import Spelled

OFF_PACE = Fraction(1, 2)
"""What it costs to change chords between multiples of the pace; a chord of twice the pace costs 1."""
LONGEST = 4
"""A proposed chord lasts at most so many times the pace."""


@dataclass(frozen=True)
class MelodyNote:
    """A note, or a rest.

    Parameters
    ----------
    pitch : int or None
        MIDI number; None is a rest.
    duration : Fraction
        In quarter notes, above 0.

    Raises
    ------
    InputError
        Where the pitch or the duration is out of range.

    Examples
    --------
    >>> MelodyNote(72, Fraction(1, 2))
    MelodyNote(pitch=72, duration=Fraction(1, 2))
    """

    pitch: int | None
    duration: Fraction = Fraction(1)

    def __post_init__(self) -> None:
        if self.pitch is not None and not 0 <= self.pitch <= 127:
            raise InputError(f"{self.pitch} is no pitch.", value=self.pitch, suggestion="Use MIDI numbers 0 to 127.")
        if self.duration <= 0:
            raise InputError(f"A note cannot last {self.duration} quarters.", value=self.duration)


Melody = tuple[MelodyNote, ...]


def read_melody(text: str) -> Melody:
    """Read a melody.

    Parameters
    ----------
    text : str
        Notes as above.

    Raises
    ------
    InputError
        Where a word is no note.

    Examples
    --------
    >>> [(note.pitch, str(note.duration)) for note in read_melody("C5 D5:1/2 r Eb5:2")]
    [(72, '1'), (74, '1/2'), (None, '1/2'), (75, '2')]
    """
    notes: list[MelodyNote] = []
    duration = Fraction(1)
    for word in re.split(r"[\s,]+", text.strip()):
        found = re.fullmatch(r"(r|[^:]+?)(?::(\d+(?:/[1-9]\d*)?|\d*\.\d+))?", word)
        if not found:
            raise InputError(f"{word!r} is no note of a melody.", value=text, suggestion="Try: C5 D5:1/2 r E5:2.")
        duration = Fraction(found[2]) if found[2] else duration
        pitch = None if found[1] == "r" else read_pitches(found[1]).midi[0]
        notes.append(MelodyNote(pitch, duration))
    return tuple(notes)


def melody_names(text: str) -> tuple[Spelled, ...]:
    """The names of a melody's notes as they are typed, each pitch class by its first; errors as of `read_melody`.

    >>> [name.text for name in melody_names("E5 F#5:1/2 r Bb5 A#4")]
    ['E', 'F#', 'Bb']
    """
    read_melody(text)
    words = (word.split(":")[0] for word in re.split(r"[\s,]+", text.strip()))
    names = (read_pitches(word).notes[0][0] for word in words if word != "r")
    found: dict[int, Spelled] = {}
    for name in names:
        found.setdefault(name.pc, name)
    return tuple(found.values())


@dataclass(frozen=True)
class Span:
    """The time of one chord, and what the melody does in it.

    Parameters
    ----------
    onset, end : Fraction
        In quarter notes from the beginning.
    sounding : tuple of (int, Fraction)
        Pitches of the melody and how long each sounds within the span; empty where it rests.
    """

    onset: Fraction
    end: Fraction
    sounding: tuple[tuple[int, Fraction], ...]

    @property
    def duration(self) -> Fraction:
        """In quarter notes."""
        return self.end - self.onset

    @property
    def first(self) -> int | None:
        """The first pitch of the melody in the span."""
        return self.sounding[0][0] if self.sounding else None

    @property
    def lowest(self) -> int | None:
        """The lowest pitch of the melody in the span."""
        return min((pitch for pitch, _ in self.sounding), default=None)

    @property
    def highest(self) -> int | None:
        """The highest pitch of the melody in the span."""
        return max((pitch for pitch, _ in self.sounding), default=None)

    def foreign_to(self, mask: int) -> Fraction:
        """Which share of the sounding melody is foreign to a set.

        >>> Span(Fraction(0), Fraction(2), ((60, Fraction(1)), (62, Fraction(1)))).foreign_to(1)
        Fraction(1, 2)
        """
        whole = sum((long for _, long in self.sounding), Fraction(0))
        foreign = sum((long for pitch, long in self.sounding if not mask >> pitch % 12 & 1), Fraction(0))
        return foreign / whole if whole else Fraction(0)


def spans(melody: Melody, durations: Sequence[Fraction | int]) -> tuple[Span, ...]:
    """Lay a melody over chords of given durations.

    Raises `InputError` where the chords do not last as long as the melody.

    >>> [(span.first, str(span.duration)) for span in spans(read_melody("C5:3 D5:1"), (2, 2))]
    [(72, '2'), (72, '2')]
    """
    lengths = [Fraction(duration) for duration in durations]
    if any(length <= 0 for length in lengths) or sum(lengths) != length_of(melody):
        raise InputError(
            f"The chords last {sum(lengths)} quarters and the melody {length_of(melody)}.",
            value=durations,
            suggestion="Give durations above 0 that add up to the melody.",
        )
    bounds = list(accumulate(lengths, initial=Fraction(0)))
    return tuple(span_between(melody, onset, end) for onset, end in pairwise(bounds))


def length_of(melody: Melody) -> Fraction:
    """How long a melody lasts, in quarter notes."""
    return sum((note.duration for note in melody), Fraction(0))


def span_between(melody: Melody, onset: Fraction, end: Fraction) -> Span:
    """Cut a span out of a melody."""
    sounding: list[tuple[int, Fraction]] = []
    at = Fraction(0)
    for note in melody:
        within = min(at + note.duration, end) - max(at, onset)
        if within > 0 and note.pitch is not None:
            sounding.append((note.pitch, within))
        at += note.duration
    return Span(onset, end, tuple(sounding))


def propose_spans(melody: Melody, pace: Fraction, fits: Callable[[Span], bool]) -> tuple[Span, ...]:
    """Propose a chord rhythm.

    Parameters
    ----------
    melody : tuple of MelodyNote
    pace : Fraction
        About how many quarter notes a chord lasts.
    fits : callable
        Whether some chord can stand over a span.

    Raises
    ------
    InputError
        Where the pace is not above 0 or there is no melody.
    NothingFoundError
        Where some note cannot be harmonised.

    Examples
    --------
    >>> found = propose_spans(read_melody("C5:1/2 D5 E5 F5 G5:2"), Fraction(1), lambda span: True)
    >>> [str(span.duration) for span in found]
    ['1', '1', '1', '1']
    """
    if pace <= 0 or not melody:
        raise InputError(f"No chord rhythm of pace {pace} can be proposed for {len(melody)} notes.", value=pace)
    bounds = _bounds(melody, pace)
    best: list[tuple[Fraction, tuple[Span, ...]] | None] = [(Fraction(0), ())]
    for last, end in enumerate(bounds[1:], start=1):
        options = []
        for onset, before in zip(bounds[:last], best[:last], strict=True):
            if before is not None and end - onset <= LONGEST * pace:
                span = span_between(melody, onset, end)
                if fits(span):
                    options.append((before[0] + _strain(span, pace), (*before[1], span)))
        best.append(min(options, key=lambda option: option[0], default=None))
    whole = best[-1]
    if whole is None:
        stuck = next(at for at, found in zip(bounds, best, strict=True) if found is None)
        raise NothingFoundError(
            f"No chord holds the melody just before quarter {stuck}.",
            value=stuck,
            suggestion="Allow more chords, or foreign notes in the melody.",
        )
    return whole[1]


def _bounds(melody: Melody, pace: Fraction) -> list[Fraction]:
    onsets: Iterable[Fraction] = accumulate((note.duration for note in melody), initial=Fraction(0))
    beats = (pace * n for n in range(int(length_of(melody) / pace) + 1))
    return sorted({*onsets, *beats})


def _strain(span: Span, pace: Fraction) -> Fraction:
    off = OFF_PACE if (span.onset / pace).denominator > 1 else Fraction(0)
    return abs(span.duration - pace) / pace + off
