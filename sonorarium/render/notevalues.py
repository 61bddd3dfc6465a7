"""Durations as note values: what is written for so many quarters, and how short notes are beamed.

* A length that is a plain or a dotted value is written as one note where it begins on a multiple of half its plain
  value; any other is cut into values that begin on multiples of themselves, and tied. In 6/8, 9/8 and 12/8 it is cut
  at the dotted beats first.
* Lengths in thirds, fifths, sevenths … of a quarter are tuplets: so many in the time of the next lower power of two.
* Notes shorter than a quarter are beamed inside a beat; the beat of 6/8, 9/8 and 12/8 is the dotted quarter, that of
  all other metres the quarter.

Common practice of engraving (Elaine Gould, Behind Bars, 2011, chapters on metre and tuplets, from memory).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from sonorarium.errors import InputError

TYPES = {
    Fraction(8): "breve",
    Fraction(4): "whole",
    Fraction(2): "half",
    Fraction(1): "quarter",
    Fraction(1, 2): "eighth",
    Fraction(1, 4): "16th",
    Fraction(1, 8): "32nd",
    Fraction(1, 16): "64th",
    Fraction(1, 32): "128th",
}
"""Plain note values in quarters."""

_TUPLETS = (3, 5, 7, 9, 11, 13, 15)


@dataclass(frozen=True)
class NoteValue:
    """What is written for a length.

    Parameters
    ----------
    quarters : Fraction
        How long it lasts.
    type : str
        ``quarter``, ``eighth`` …
    is_dotted : bool
    tuplet : tuple of (int, int), optional
        So many in the time of so many: (3, 2).
    """

    quarters: Fraction
    type: str
    is_dotted: bool = False
    tuplet: tuple[int, int] | None = None

    @property
    def beams(self) -> int:
        """How many beams or flags it has."""
        return {"eighth": 1, "16th": 2, "32nd": 3, "64th": 4, "128th": 5}.get(self.type, 0)


def note_values(start: Fraction, quarters: Fraction, beat: Fraction = Fraction(1)) -> tuple[NoteValue, ...]:
    """Write a length as one note value or several that are tied.

    Parameters
    ----------
    start : Fraction
        Quarters from the bar line.
    quarters : Fraction
        Length, above 0.
    beat : Fraction
        Length of a beat, as `beat_quarters` gives it.

    Returns
    -------
    tuple of NoteValue

    Raises
    ------
    InputError
        Where there is no way to write it: shorter than a 128th, or in parts that no tuplet here has.

    Examples
    --------
    >>> [(v.type, v.is_dotted) for v in note_values(Fraction(0), Fraction(5, 2))]
    [('half', False), ('eighth', False)]
    >>> note_values(Fraction(0), Fraction(1, 3))[0].tuplet
    (3, 2)
    """
    tuplet = _tuplet(start, quarters)
    if beat == Fraction(3, 2) and tuplet is None:
        pieces = _by_dotted_beats(start, quarters)
        return tuple(value for at, length in pieces for value in _cut(at, length, None))
    return _cut(start, quarters, tuplet)


def _by_dotted_beats(start: Fraction, quarters: Fraction) -> Iterator[tuple[Fraction, Fraction]]:
    """Starts, from their beat, and lengths: up to the next beat, then whole beats, then what is left."""
    beat, end = Fraction(3, 2), start + quarters
    while start < end:
        inside = start % beat
        whole = [beat * n for n in (4, 2, 1) if beat * n <= end - start]
        length = min(beat - inside, end - start) if inside or not whole else whole[0]
        yield inside, length
        start += length


def _cut(start: Fraction, quarters: Fraction, tuplet: tuple[int, int] | None) -> tuple[NoteValue, ...]:
    stretch = Fraction(*tuplet) if tuplet else Fraction(1)
    written, at = quarters * stretch, (start * stretch if tuplet is None else Fraction(0))
    values = []
    while written:
        value = _single(at, written)
        plain = value if value in TYPES else value * Fraction(2, 3)
        values.append(NoteValue(value / stretch, TYPES[plain], plain != value, tuplet))
        written -= value
        at += value
    return tuple(values)


def _tuplet(start: Fraction, quarters: Fraction) -> tuple[int, int] | None:
    odd = quarters.denominator
    while odd % 2 == 0:
        odd //= 2
    if odd == 1:
        return None
    if odd not in _TUPLETS:
        raise InputError(
            f"{quarters} quarters from {start} of a bar cannot be written.",
            value=quarters,
            suggestion=f"Use lengths whose parts are powers of two, times one of {_TUPLETS}.",
        )
    return odd, 1 << odd.bit_length() - 1


def _single(start: Fraction, length: Fraction) -> Fraction:
    """The longest value that may begin here and is not longer."""
    for plain in TYPES:
        for value in (plain * Fraction(3, 2), plain):
            if value == length and start % (plain / 2) == 0:
                return value
        if plain <= length and start % plain == 0:
            return plain
    raise InputError(
        f"{length} quarters are too short to be written.", value=length, suggestion="A 128th is the shortest."
    )


def beat_quarters(metre: tuple[int, int]) -> Fraction:
    """Length of a beat for beaming.

    >>> beat_quarters((4, 4)), beat_quarters((6, 8))
    (Fraction(1, 1), Fraction(3, 2))
    """
    beats, unit = metre
    return Fraction(3, 2) if unit == 8 and beats % 3 == 0 else Fraction(1)


def beamed(notes: Sequence[tuple[Fraction, int]], beat: Fraction) -> tuple[tuple[str, ...], ...]:
    """Beam the notes of one voice in one bar.

    Parameters
    ----------
    notes : sequence of (Fraction, int)
        Start in quarters from the bar line, and number of beams: 0 for rests and long notes.
    beat : Fraction
        Length of a beat, quarters.

    Returns
    -------
    tuple of tuple of str
        For each note its beams from the outermost: ``begin``, ``continue``, ``end``, ``forward hook`` or ``backward
        hook``; none for a note that stands alone.

    Examples
    --------
    >>> beamed([(Fraction(0), 1), (Fraction(1, 2), 2), (Fraction(3, 4), 2), (Fraction(1), 1)], Fraction(1))
    (('begin',), ('continue', 'begin'), ('end', 'end'), ())
    """
    beams: list[tuple[str, ...]] = [()] * len(notes)
    for group in _groups(notes, beat):
        most = max(notes[at][1] for at in group)
        for at in group:
            levels = [_beam(notes, group, at, level) for level in range(1, most + 1) if notes[at][1] >= level]
            beams[at] = tuple(levels)
    return tuple(beams)


def _groups(notes: Sequence[tuple[Fraction, int]], beat: Fraction) -> Iterator[list[int]]:
    group: list[int] = []
    for at, (start, count) in enumerate(notes):
        joins = group and count and start // beat == notes[group[-1]][0] // beat
        if not joins:
            if len(group) > 1:
                yield group
            group = []
        if count:
            group.append(at)
    if len(group) > 1:
        yield group


def _beam(notes: Sequence[tuple[Fraction, int]], group: list[int], at: int, level: int) -> str:
    before = at - 1 in group and notes[at - 1][1] >= level
    after = at + 1 in group and notes[at + 1][1] >= level
    if before and after:
        return "continue"
    if before or after:
        return "end" if before else "begin"
    return "forward hook" if at == group[0] else "backward hook"
