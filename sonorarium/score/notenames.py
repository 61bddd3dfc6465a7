"""Names of sounding notes, spelled after the page.

A note keeps the letter and the accidental that are printed, with the octave at which it sounds; middle C is C4
(Acoustical Society of America, 1939; common practice). A note of a transposing instrument is printed elsewhere than
it sounds. Its name is moved along the line of fifths by as many fifths as the transposition takes, between five
down and six up: a clarinet in B flat that reads D sounds C, one that reads B sounds A; a clarinet in A that reads C
sounds A.
"""

from __future__ import annotations

from sonorarium.pcs.spelling import NATURAL_PC, Spelled
from sonorarium.score.score import Notes

_STEP_OF_FIFTH = (3, 0, 4, 1, 5, 2, 6)  # F C G D A E B


def sounding_names(notes: Notes) -> tuple[str, ...]:
    """Name sounding notes with their octaves: ``F#4``, ``Bb3``.

    Parameters
    ----------
    notes : ndarray, dtype `sonorarium.score.score.NOTE`
        Rows of a note table; pitched.

    Returns
    -------
    tuple of str
        One for each row.

    Examples
    --------
    >>> import numpy as np
    >>> from sonorarium.score.score import NOTE
    >>> notes = np.zeros(2, NOTE)
    >>> notes["pitch"], notes["step"], notes["alter"], notes["octave"] = (66, 58), (3, 0), (1, 0), (4, 4)
    >>> sounding_names(notes)  # F sharp at pitch; C read by a clarinet in B flat
    ('F#4', 'Bb3')
    """
    columns = (notes[name].tolist() for name in ("pitch", "step", "alter", "octave"))
    return tuple(_name(*row) for row in zip(*columns, strict=True))


def _name(pitch: int, step: int, alter: int, octave: int) -> str:
    written = Spelled(step, alter)
    moved = pitch - (12 * (octave + 1) + NATURAL_PC[step] + alter)
    sounding = written if not moved else _moved(written, moved)
    return f"{sounding.text}{(pitch - NATURAL_PC[sounding.step] - sounding.alter) // 12 - 1}"


def _moved(written: Spelled, semitones: int) -> Spelled:
    """Move a name by so many semitones, along the line of fifths."""
    fifths = written.fifths + (7 * semitones + 5) % 12 - 5
    alter, place = divmod(fifths + 1, 7)
    return Spelled(_STEP_OF_FIFTH[place], alter)
