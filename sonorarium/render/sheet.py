"""Music to be written down: parts, staves, voices and events, in sounding pitch, before any file format.

A `Sheet` is what `sonorarium.render.musicxml` writes. It is made from voicings (`sheet_of_voicings`, for piano), from
chords given to an ensemble (`sheet_of_scoring`), or from a melody (`sheet_of_melody`). Spelling comes from the names
handed in, those of a collection say; a note that they lack is named near them (`sonorarium.pcs.spelling.spell_in`).

Every voice is a row of events from the beginning of the piece; an event may cross bar lines. Where a key signature
fits the names exactly it is set; otherwise there is none, and accidentals are written as they come.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

import numpy as np

from sonorarium.errors import InputError
from sonorarium.pcs.chordsymbol import Chord
from sonorarium.pcs.spelling import Spelled, spell_in
from sonorarium.pitch.instruments import Instrument, best_clef, instrument, written_pitch
from sonorarium.pitch.limits import Hands, left_hand
from sonorarium.pitch.melody import MelodyNote
from sonorarium.pitch.scoring import Scoring
from sonorarium.pitch.voicing import Voicing, written

SpelledPitch = tuple[int, int, int]
Length = int | Fraction

_SHARPS = (3, 0, 4, 1, 5, 2, 6)  # letters in the order in which a signature sharpens them
_ANY_HANDS = Hands(reach=127, fingers=16)


@dataclass(frozen=True)
class Event:
    """A note, a chord or a rest in one voice.

    Parameters
    ----------
    quarters : Fraction
        How long it lasts, above 0.
    pitches : tuple of (int, int, int)
        Letter, alteration and octave of each note, sounding; none for a rest.
    words : str
        Text above it.
    symbol : Chord, optional
        Chord symbol above it.

    Raises
    ------
    InputError
        Where it does not last.
    """

    quarters: Fraction
    pitches: tuple[SpelledPitch, ...] = ()
    words: str = ""
    symbol: Chord | None = None

    def __post_init__(self) -> None:
        if self.quarters <= 0:
            raise InputError(f"A note of {self.quarters} quarters does not last.", value=self.quarters)


@dataclass(frozen=True)
class SheetStaff:
    """One staff.

    Parameters
    ----------
    clef : str
        ``treble``, ``bass``, ``alto``, ``tenor`` or ``treble-8``.
    voices : tuple of tuple of Event
        The upper voice first.
    """

    clef: str
    voices: tuple[tuple[Event, ...], ...]


@dataclass(frozen=True)
class SheetPart:
    """One part.

    Parameters
    ----------
    name : str
    player : Instrument
    staves : tuple of SheetStaff
        From the top.
    """

    name: str
    player: Instrument
    staves: tuple[SheetStaff, ...]


@dataclass(frozen=True)
class Sheet:
    """A piece to be written down.

    Parameters
    ----------
    parts : tuple of SheetPart
    title, composer : str
    fifths : int or None
        Key signature at sounding pitch: sharps, or flats below 0, -7 to 7; None for no signature in any part.
    metre : tuple of (int, int)
        Beats and unit: (3, 4).
    tempo_qpm : float, optional
        Quarters a minute.

    Raises
    ------
    InputError
        Where there is no part, or metre or signature are none that can be written.
    """

    parts: tuple[SheetPart, ...]
    title: str = ""
    composer: str = ""
    fifths: int | None = None
    metre: tuple[int, int] = (4, 4)
    tempo_qpm: float | None = None

    def __post_init__(self) -> None:
        beats, unit = self.metre
        if not self.parts:
            raise InputError("There is nothing to write down.", value=self.parts)
        if not 1 <= beats <= 64 or unit not in (1, 2, 4, 8, 16, 32):
            raise InputError(f"{beats}/{unit} is no metre.", value=self.metre, suggestion="Use (3, 4), say.")
        if self.fifths is not None and not -7 <= self.fifths <= 7:
            raise InputError(f"There is no key signature of {self.fifths}.", value=self.fifths)

    @property
    def bar_quarters(self) -> Fraction:
        """Length of a bar."""
        return Fraction(4 * self.metre[0], self.metre[1])

    @property
    def end(self) -> Fraction:
        """Length of the longest voice, in quarters."""
        voices = (voice for part in self.parts for staff in part.staves for voice in staff.voices)
        return max((sum((event.quarters for event in voice), Fraction(0)) for voice in voices), default=Fraction(0))


def signature(names: Sequence[Spelled]) -> int | None:
    """The key signature that fits seven names exactly, or None.

    >>> from sonorarium.pcs.collection import collection
    >>> signature(collection("D dorian").spelling), signature(collection("Eb major").spelling)
    (0, -3)
    >>> signature(collection("D double harmonic").spelling) is None
    True
    """
    alters = {name.step: name.alter for name in names}
    if len(names) != 7 or len(alters) != 7:
        return None
    return next((fifths for fifths in range(-7, 8) if alters == key_alters(fifths)), None)


def key_alters(fifths: int) -> dict[int, int]:
    """What a key signature does to each letter.

    >>> key_alters(2)
    {0: 1, 1: 0, 2: 0, 3: 1, 4: 0, 5: 0, 6: 0}
    """
    changed = _SHARPS[:fifths] if fifths > 0 else _SHARPS[fifths:] if fifths else ()
    return {step: (1 if fifths > 0 else -1) if step in changed else 0 for step in range(7)}


def spelled(pitches: tuple[int, ...], names: Sequence[Spelled]) -> tuple[SpelledPitch, ...]:
    """Write pitches by given names, and what these lack by names near them.

    >>> from sonorarium.pcs.collection import collection
    >>> spelled((61, 66), collection("D major").spelling)
    ((0, 1, 4), (3, 1, 4))
    """
    return written(pitches, spell_in(names, dict.fromkeys(pitch % 12 for pitch in pitches)))


@dataclass(frozen=True)
class Heading:
    """What stands over and before the music.

    Parameters
    ----------
    title, composer : str
    metre : tuple of (int, int)
    tempo_qpm : float, optional
    labels : tuple of str
        Texts over the chords, as many as there are chords; or none.
    symbols : tuple of Chord or None
        Chord symbols over the chords, as many as there are chords; or none.
    """

    title: str = ""
    composer: str = ""
    metre: tuple[int, int] = (4, 4)
    tempo_qpm: float | None = None
    labels: tuple[str, ...] = ()
    symbols: tuple[Chord | None, ...] = ()

    def over(self, chords: int) -> list[tuple[str, Chord | None]]:
        """Text and symbol over each of so many chords.

        Raises `InputError` where there are others than that many.
        """
        for given in (self.labels, self.symbols):
            if given and len(given) != chords:
                raise InputError(f"There are {chords} chords and {len(given)} labels.", value=given)
        return list(zip(self.labels or [""] * chords, self.symbols or [None] * chords, strict=True))


PLAIN = Heading()


Names = Sequence[Spelled] | Sequence[Sequence[Spelled]]
"""A name for each pitch class that occurs: the same for all chords, or a row of names for each chord."""


def sheet_of_voicings(
    chords: Sequence[Voicing],
    names: Names,
    *,
    quarters: Length | Sequence[Length] = 4,
    heading: Heading = PLAIN,
) -> Sheet:
    """Write voicings for piano, one after the other.

    Each chord is parted between the hands as they would hold it, or near the middle where none could.

    Parameters
    ----------
    chords : sequence of Voicing
        An empty one is a rest.
    names : sequence of Spelled, or one such sequence for each chord
        Spelling.
    quarters : int or Fraction, or a sequence of them
        How long each chord lasts.
    heading : Heading

    Returns
    -------
    Sheet

    Raises
    ------
    InputError
        Where there are no chords, or lengths or labels for another number of them.

    Examples
    --------
    >>> sheet = sheet_of_voicings([Voicing((48, 55, 64, 71))], [Spelled(0), Spelled(2), Spelled(4), Spelled(6)])
    >>> [[len(event.pitches) for event in staff.voices[0]] for staff in sheet.parts[0].staves]
    [[2], [2]]
    """
    lengths = _lengths(quarters, len(chords))
    hands: tuple[list[Event], list[Event]] = ([], [])
    rows = zip(chords, lengths, heading.over(len(chords)), for_each(names, len(chords)), strict=True)
    for chord, length, (words, symbol), own in rows:
        left = _left(chord.pitches)
        hands[0].append(Event(length, spelled(chord.pitches[left:], own), words, symbol))
        hands[1].append(Event(length, spelled(chord.pitches[:left], own)))
    return _sheet((_piano(tuple(hands[0]), tuple(hands[1])),), names, heading)


def for_each(names: Names, count: int) -> list[Sequence[Spelled]]:
    """The names of each chord."""
    own = [one for one in names if not isinstance(one, Spelled)]
    if not own:
        return [all_names(names)] * count
    if len(own) != count:
        raise InputError(f"There are {count} chords and names for {len(own)}.", value=len(own))
    return own


def all_names(names: Names) -> tuple[Spelled, ...]:
    """Every name, each pitch class by the first that it is given."""
    flat = [name for one in names for name in ((one,) if isinstance(one, Spelled) else one)]
    return tuple({name.pc: name for name in reversed(flat)}.values())[::-1]


def _left(pitches: tuple[int, ...]) -> int:
    if not pitches:
        return 0
    row = np.array([pitches], np.int16)
    held = int(left_hand(row)[0])
    return held if held >= 0 else int(left_hand(row, _ANY_HANDS)[0])


def _piano(right: tuple[Event, ...], left: tuple[Event, ...]) -> SheetPart:
    return SheetPart("Piano", instrument("piano"), (SheetStaff("treble", (right,)), SheetStaff("bass", (left,))))


def _lengths(quarters: Length | Sequence[Length], count: int) -> list[Fraction]:
    lengths = [quarters] * count if isinstance(quarters, int | Fraction) else list(quarters)
    if len(lengths) != count or not count:
        raise InputError(f"There are {count} chords or notes and {len(lengths)} lengths.", value=quarters)
    return [Fraction(length) for length in lengths]


def _sheet(parts: tuple[SheetPart, ...], names: Names, heading: Heading) -> Sheet:
    return Sheet(
        parts, heading.title, heading.composer, signature(all_names(names)), heading.metre, heading.tempo_qpm
    )


def sheet_of_scoring(
    scoring: Scoring,
    names: Names,
    *,
    quarters: Length | Sequence[Length] = 4,
    heading: Heading = PLAIN,
) -> Sheet:
    """Write chords that were given to an ensemble, a part for each seat; two hands are one part of two staves.

    Parameters, errors as for `sheet_of_voicings`; labels and symbols stand over the top part.

    Examples
    --------
    >>> from sonorarium.pitch.scoring import score_out
    >>> scored = score_out([Voicing((48, 55, 64, 72))], "choir")
    >>> [part.name for part in sheet_of_scoring(scored, [Spelled(0), Spelled(2), Spelled(4)]).parts]
    ['Soprano', 'Alto', 'Tenor', 'Bass']
    """
    lengths = _lengths(quarters, len(scoring.chords))
    over = heading.over(len(lengths))
    voices = []
    for line in scoring.lines:
        timed = zip(lengths, line.chords, for_each(names, len(lengths)), strict=True)
        voices.append(tuple(Event(length, spelled(pitches, own)) for length, pitches, own in timed))
    labelled = zip(voices[0], over, strict=True)
    voices[0] = tuple(replace(event, words=words, symbol=symbol) for event, (words, symbol) in labelled)
    if scoring.ensemble.is_keyboard:
        return _sheet((_piano(voices[0], voices[1]),), names, heading)
    seats = [line.seat for line in scoring.lines]
    parts = tuple(_part(seat.name, seat.instrument, voice) for seat, voice in zip(seats, voices, strict=True))
    return _sheet(parts, names, heading)


def _part(name: str, player: Instrument, voice: tuple[Event, ...]) -> SheetPart:
    pitches = tuple(written_pitch(player, pitch) for event in voice for pitch in event.pitches)
    return SheetPart(name[:1].upper() + name[1:], player, (SheetStaff(best_clef(player, pitches), (voice,)),))


def sheet_of_melody(
    pitches: Sequence[int | None],
    quarters: Length | Sequence[Length],
    names: Sequence[Spelled],
    *,
    player: Instrument | None = None,
    heading: Heading = PLAIN,
) -> Sheet:
    """Write a melody.

    Parameters
    ----------
    pitches : sequence of int or None
        Sounding MIDI numbers; None for a rest.
    quarters : int or Fraction, or a sequence of them
        How long each lasts.
    names : sequence of Spelled
        Spelling.
    player : Instrument, optional
        Who plays it; a flute where not given, with no thought of range.
    heading : Heading

    Returns
    -------
    Sheet

    Raises
    ------
    InputError
        As for `sheet_of_voicings`.

    Examples
    --------
    >>> sheet = sheet_of_melody([62, None, 66], [1, Fraction(1, 2), Fraction(5, 2)], [Spelled(1), Spelled(3, 1)])
    >>> sheet.end
    Fraction(4, 1)
    """
    lengths = _lengths(quarters, len(pitches))
    over = heading.over(len(pitches))
    voice = tuple(
        Event(length, () if pitch is None else spelled((pitch,), names), words, symbol)
        for pitch, length, (words, symbol) in zip(pitches, lengths, over, strict=True)
    )
    return _sheet(
        (_part((player or instrument("flute")).name, player or instrument("flute"), voice),), names, heading
    )


def with_melody(sheet: Sheet, melody: Sequence[MelodyNote], names: Sequence[Spelled]) -> Sheet:
    """Put a melody in the place of a sheet's top voice, in the melody's own lengths.

    In a part of chords, as the right hand's, the melody becomes a voice of its own above them; in a part of single
    notes it takes their place, and what stood over them stands over the next part.

    Parameters
    ----------
    sheet : Sheet
        Whose highest notes are those of the melody.
    melody : sequence of MelodyNote
    names : sequence of Spelled
        Spelling.

    Returns
    -------
    Sheet

    Examples
    --------
    >>> from sonorarium.pitch.melody import read_melody
    >>> names = [Spelled(0), Spelled(2), Spelled(4)]
    >>> chords = sheet_of_voicings([Voicing((48, 55, 64, 72))] * 2, names, quarters=1)
    >>> whole = with_melody(chords, read_melody("C5:2"), names)
    >>> [[str(event.quarters) for event in voice] for voice in whole.parts[0].staves[0].voices]
    [['2'], ['1', '1']]
    """
    events = tuple(
        Event(note.duration, spelled((note.pitch,), names) if note.pitch is not None else ()) for note in melody
    )
    first, *others = sheet.parts
    staff, *staves = first.staves
    under = tuple(replace(event, pitches=event.pitches[:-1]) for event in staff.voices[0])
    if any(event.pitches for event in under):
        voices: tuple[tuple[Event, ...], ...] = (events, under)
    else:
        voices = (events,)
        others = [_labelled(part, under) if k == 0 else part for k, part in enumerate(others)]
    changed = replace(first, staves=(replace(staff, voices=voices), *staves))
    return replace(sheet, parts=(changed, *others))


def _labelled(part: SheetPart, source: tuple[Event, ...]) -> SheetPart:
    """A part with the words and symbols of other events of the same lengths over its own."""
    staff, *staves = part.staves
    pairs = zip(staff.voices[0], source, strict=True)
    voice = tuple(replace(own, words=other.words, symbol=other.symbol) for own, other in pairs)
    return replace(part, staves=(replace(staff, voices=(voice, *staff.voices[1:])), *staves))
