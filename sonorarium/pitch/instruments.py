"""Instruments and voices: what they can play, where they play well, and how their parts are written.

The facts are in ``instruments.csv``, which names its handbooks and says how its values are known: the whole range of
a good player, the comfortable register in it, transposition, clefs, and the General MIDI program. Handbooks differ by
a few semitones at the ends; the table is a guide, not a law.

**Sounding and written.** Everything here is in sounding pitch but `written_pitch`, which gives the note on the page:
a clarinet in B flat reads D to sound C. The name follows the interval (sounding F♯ is written G♯, not A♭), unless it
would be a double accidental; then the plain name of the same note is written.

Sources: Samuel Adler, The Study of Orchestration (3rd edition, 2002); Stefan Kostka and Dorothy Payne, Tonal Harmony,
for the ranges of choral voices; both from memory.
"""

from __future__ import annotations

from dataclasses import dataclass
from difflib import get_close_matches
from functools import cache
from importlib.resources import files

from sonorarium.errors import InputError
from sonorarium.pcs.spelling import NATURAL_PC, Spelled

WrittenPitch = tuple[int, int, int]
"""Letter (0 C to 6 B), alteration in semitones, octave (4 begins with middle C)."""

CLEF_LINES = {"treble": (30, 38), "bass": (18, 26), "alto": (24, 32), "tenor": (22, 30), "treble-8": (23, 31)}
"""Lowest and highest line of the staff under each clef, in letters from the lowest C; E4 is 30."""


@dataclass(frozen=True)
class Instrument:
    """An instrument or a voice.

    Parameters
    ----------
    name : str
    family : str
        ``woodwind``, ``brass``, ``string``, ``plucked``, ``keyboard``, ``percussion`` or ``voice``.
    low, high : int
        Whole range, sounding MIDI numbers.
    easy : tuple of (int, int)
        Comfortable register, sounding MIDI numbers.
    transposition : tuple of (int, int)
        Semitones and letters from the written to the sounding note: (-2, -1) for a clarinet in B flat.
    clefs : tuple of str
        Names of `CLEF_LINES`, the usual one first.
    program : int
        General MIDI program, counted from 0.
    source : str
    """

    name: str
    family: str
    low: int
    high: int
    easy: tuple[int, int]
    transposition: tuple[int, int]
    clefs: tuple[str, ...]
    program: int
    source: str

    def can_play(self, pitch: int) -> bool:
        """Whether a sounding pitch is in its range."""
        return self.low <= pitch <= self.high

    def strain(self, pitch: int) -> int:
        """Semitones by which a sounding pitch leaves the comfortable register; 0 inside it.

        >>> instrument("flute").strain(60), instrument("flute").strain(72)
        (4, 0)
        """
        return max(self.easy[0] - pitch, pitch - self.easy[1], 0)

    def register(self, pitch: int) -> str:
        """Where a sounding pitch lies: ``comfortable``, ``low``, ``high`` or ``out of range``.

        >>> [instrument("horn in F").register(p) for p in (30, 36, 60, 76)]
        ['out of range', 'low', 'comfortable', 'high']
        """
        if not self.can_play(pitch):
            return "out of range"
        return "low" if pitch < self.easy[0] else "high" if pitch > self.easy[1] else "comfortable"


@cache
def instruments() -> tuple[Instrument, ...]:
    """All instruments of the table, in its order.

    >>> len(instruments()), instruments()[0].name
    (38, 'piccolo')
    """
    text = files("sonorarium.pitch").joinpath("instruments.csv").read_text(encoding="utf-8")
    rows = [line.split("|") for line in text.splitlines() if not line.startswith("#")][1:]
    return tuple(_of_row(row) for row in rows)


def _of_row(row: list[str]) -> Instrument:
    name, family, low, easy_low, easy_high, high, chromatic, diatonic, clefs, program, source = row
    easy, transposition = (int(easy_low), int(easy_high)), (int(chromatic), int(diatonic))
    return Instrument(
        name, family, int(low), int(high), easy, transposition, tuple(clefs.split()), int(program), source
    )


ALIASES = {
    "clarinet": "clarinet in Bb",
    "horn": "horn in F",
    "trumpet": "trumpet in C",
    "cor anglais": "english horn",
    "violoncello": "cello",
    "contrabass": "double bass",
    "saxophone": "alto saxophone",
}
"""Other names, and which of several instruments a bare name means."""


def instrument(name: str) -> Instrument:
    """Find an instrument by name.

    Parameters
    ----------
    name : str
        As in the table, in any letter case, or one of `ALIASES`.

    Returns
    -------
    Instrument

    Raises
    ------
    InputError
        Where the table has no such instrument; it offers the nearest names.

    Examples
    --------
    >>> instrument("Clarinet").transposition
    (-2, -1)
    """
    known = {one.name.lower(): one for one in instruments()}
    key = " ".join(name.lower().replace("♭", "b").split())
    found = known.get(ALIASES.get(key, key).lower())
    if found is None:
        near = get_close_matches(key, [*known, *ALIASES], n=3)
        hint = f"The nearest are: {', '.join(near)}." if near else f"There are: {', '.join(known)}."
        raise InputError(f"There is no instrument {name!r} in the table.", value=name, suggestion=hint)
    return found


def midi_of(pitch: WrittenPitch) -> int:
    """MIDI number of a spelled pitch.

    >>> midi_of((6, 1, 3))
    60
    """
    step, alter, octave = pitch
    return 12 * (octave + 1) + NATURAL_PC[step] + alter


def written_pitch(player: Instrument, sounding: WrittenPitch) -> WrittenPitch:
    """Write a sounding note for an instrument.

    Parameters
    ----------
    player : Instrument
    sounding : (int, int, int)
        Letter, alteration, octave.

    Returns
    -------
    (int, int, int)
        The note on the page.

    Examples
    --------
    >>> written_pitch(instrument("clarinet"), (0, 0, 4)), written_pitch(instrument("horn"), (6, -1, 2))
    ((1, 0, 4), (3, 0, 3))
    """
    semitones, letters = player.transposition
    place = 7 * sounding[2] + sounding[0] - letters
    pitch = midi_of(sounding) - semitones
    step, octave = place % 7, place // 7
    alter = pitch - midi_of((step, 0, octave))
    if abs(alter) < 2 or (semitones, letters) == (12 * (letters // 7), 7 * (letters // 7)):
        return step, alter, octave
    plain = Spelled(step, alter).readable
    return plain.step, plain.alter, (pitch - plain.alter) // 12 - 1


def ledger_lines(pitch: WrittenPitch, clef: str) -> int:
    """Ledger lines that a written note needs under a clef.

    >>> ledger_lines((0, 0, 4), "treble"), ledger_lines((0, 0, 4), "alto"), ledger_lines((5, 0, 5), "treble")
    (1, 0, 1)
    """
    low, high = CLEF_LINES[clef]
    place = 7 * pitch[2] + pitch[0]
    return max(low - place, place - high, 0) // 2


def best_clef(player: Instrument, pitches: tuple[WrittenPitch, ...]) -> str:
    """Choose among an instrument's clefs the one that needs the fewest ledger lines; the usual one where equal.

    >>> best_clef(instrument("cello"), ((0, 0, 4), (2, 0, 4))), best_clef(instrument("viola"), ((0, 0, 4),))
    ('tenor', 'alto')
    """
    return min(player.clefs, key=lambda clef: sum(ledger_lines(pitch, clef) for pitch in pitches))
