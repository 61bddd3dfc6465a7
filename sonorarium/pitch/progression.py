"""Progressions: a line of chords, realised with the smoothest voicings.

A progression is typed as sets one after another, in any form in which a set can be typed, parted by ``;`` or ``->``
or bar lines with room around them:

    Dm7 | G7 | Cmaj7            C3 G3 E4 ; 4-19 ; Ab over C7            D F# A -> Eb G Bb

Without any of these, the words are chords where the whole is no set by itself: ``Dm7 G7 Cmaj7``. Notes with octaves
are a voicing that stays as it is; a chord symbol with a bass has that bass; a set class may take any of its forms.

The smoothest row of voicings is found for the whole line at once, not from chord to chord: a step that is a little
longer may save more later. See `sonorarium.pitch.realising` for what is weighed.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial

import numpy as np

from sonorarium.errors import InputError, NothingFoundError
from sonorarium.pcs.chordsymbol import Chord
from sonorarium.pcs.pcset import PcSet
from sonorarium.pcs.pitches import Pitches
from sonorarium.pcs.reading import read_set
from sonorarium.pcs.setclass import SetClass
from sonorarium.pcs.spelling import Spelled
from sonorarium.pcs.subject import subject
from sonorarium.pitch.candidates import Compass, placements
from sonorarium.pitch.leading import Chordlike
from sonorarium.pitch.realising import Choices, Realisations, Taste, choices, realised, step_prices
from sonorarium.pitch.voicing import Voicing

ROOM = Compass(48, 79, gap=12)
"""Where voices lie unless something is said: C3 to G5, neighbours an octave apart at most."""


def read_progression(text: str) -> tuple[str, ...]:
    """Part a line of chords.

    Parameters
    ----------
    text : str
        Chords parted by ``;``, ``->``, ``→``, line ends, or ``|`` with a space on either side; or words.

    Returns
    -------
    tuple of str
        Each chord as typed.

    Raises
    ------
    InputError
        Where there is no chord, or a part is not understood.

    Examples
    --------
    >>> read_progression("Dm7 | G7 | Cmaj7"), read_progression("Dm7 G7 C"), read_progression("C E G -> C#, E, A")
    (('Dm7', 'G7', 'Cmaj7'), ('Dm7', 'G7', 'C'), ('C E G', 'C#, E, A'))
    """
    parts = [part.strip() for part in re.split(r";|->|→|\n|(?:^|\s)\|+(?=\s|$)", text)]
    found = tuple(part for part in parts if part)
    if len(found) == 1 and not _reads(found[0]):
        found = tuple(found[0].split())
    for part in found:
        read_set(part)
    if not found:
        raise InputError("No chord was typed.", value=text, suggestion="Try: Dm7 | G7 | Cmaj7.")
    return found


def _reads(text: str) -> bool:
    try:
        read_set(text)
    except InputError:
        return False
    return True


def realise(
    progression: str | Sequence[Chordlike],
    *,
    voices: int | None = None,
    compass: Compass = ROOM,
    taste: Taste | None = None,
    omit: int = 0,
    limit: int = 3,
) -> Realisations:
    """Realise a progression with the smoothest voicings.

    Parameters
    ----------
    progression : str or sequence
        A line as `read_progression` parts it, or its chords.
    voices : int, optional
        How many voices sound throughout; by default as many as the largest chord has notes, or a voicing given.
    compass : Compass
        Where the voices lie.
    taste : Taste, optional
        What is weighed; by default movement, and parallels at 6 semitones each.
    omit : int
        So many notes of a chord may be left out.
    limit : int
        At most so many.

    Returns
    -------
    Realisations
        The cheapest first.

    Raises
    ------
    InputError
        Where a chord is not understood, or has more notes than there are voices.
    NothingFoundError
        Where a chord finds no place in the compass, or there is no way through.

    Examples
    --------
    >>> best = realise("Dm7 | G7 | Cmaj7")[0]
    >>> best.movement, [voicing.pitches for voicing in best.voicings]
    (6, [(50, 53, 57, 60), (50, 53, 55, 59), (48, 52, 55, 59)])
    """
    line = read_progression(progression) if isinstance(progression, str) else progression
    taste = taste or Taste()
    settled = [_settled(chord) for chord in line]
    if not settled:
        raise InputError("A progression needs a chord.", value=progression)
    count = voices or max(chord.size for chord in settled)
    places = [_choices(chord, count, compass, omit) for chord in settled]
    step = partial(step_prices, taste=taste)
    return realised(places, step, taste, limit=limit, names=tuple(chord.names for chord in settled))


@dataclass(frozen=True)
class _Settled:
    """A chord of the line: the sets it may be, its bass, or all its pitches."""

    title: str
    forms: tuple[PcSet, ...]
    names: tuple[Spelled, ...]
    bass: int | None = None
    pitches: tuple[int, ...] = ()

    @property
    def size(self) -> int:
        return len(self.pitches) or len(self.forms[0])


def _settled(chord: Chordlike) -> _Settled:
    if isinstance(chord, Voicing):
        return _Settled(str(chord.pitches), (chord.pcset,), subject(chord.pcset).notes, None, chord.pitches)
    meant = read_set(chord) if isinstance(chord, str) else chord
    title = str(chord)
    if isinstance(meant, SetClass):
        return _Settled(title, meant.forms, ())
    notes = meant.pcset
    names = tuple(getattr(meant, "spelling", None) or subject(chord if isinstance(chord, str) else notes).notes)
    if not notes:
        raise InputError("A chord without notes cannot be voiced.", value=chord)
    if isinstance(meant, Pitches):
        return _Settled(title, (notes,), names, None, meant.midi)
    bass = meant.bass.pc if isinstance(meant, Chord) and meant.bass else None
    return _Settled(title, (notes,), names, bass)


def _choices(chord: _Settled, voices: int, compass: Compass, omit: int) -> Choices:
    if (chord.pitches and len(chord.pitches) != voices) or chord.size - omit > voices:
        raise InputError(
            f"{chord.title} has {chord.size} notes, and there are {voices} voices.",
            value=chord.title,
            suggestion="Give another number of voices, or let notes be left out.",
        )
    if chord.pitches:
        return choices([(chord.forms[0].mask, np.array([chord.pitches], np.int16))])
    by_set = [(form.mask, placements(form, voices, compass, omit=omit, bass=chord.bass)) for form in chord.forms]
    found = choices(by_set)
    if not len(found):
        raise NothingFoundError(
            f"{chord.title} finds no place between MIDI {compass.low} and {compass.high}.",
            value=chord.title,
            suggestion="Give more room.",
        )
    return found
