"""Which letter for which note: spelled pitch classes, and the rules for spelling a set.

Rules
-----
* A set of **seven notes with a root** takes one letter per degree, in order from the root's letter.
* **Any other set** rises from its root through the letters. Among all such spellings the cheapest is taken, where a
  letter used twice costs most, then a double accidental, then a second that is not minor or major where another
  letter would serve, then distance on the line of fifths from the middle of the root's major scale.
* A set **without a root** is spelled from whichever of its notes, under whichever simple name, comes out cheapest,
  with distance counted from D, the middle of the plain letters.
* The **readable** spelling replaces double accidentals by their plain equals.

The line of fifths is … B♭ F C G D A E B F♯ … with C at 0 and each sharp adding 7 (common practice).
"""

from __future__ import annotations

import re
from functools import cache
from itertools import pairwise
from typing import NamedTuple

from sonorarium.errors import InputError

LETTERS = "CDEFGAB"
NATURAL_PC = (0, 2, 4, 5, 7, 9, 11)
_FIFTHS = (0, 2, 4, -1, 1, 3, 5)
_D = 2  # the middle of the seven plain letters F C G D A E B
_SIGNS = {-3: "♭𝄫", -2: "𝄫", -1: "♭", 0: "", 1: "♯", 2: "𝄪", 3: "♯𝄪"}
_ALTERATION = {
    "": 0,
    "b": -1,
    "♭": -1,
    "bb": -2,
    "𝄫": -2,
    "♭♭": -2,
    "#": 1,
    "♯": 1,
    "##": 2,
    "x": 2,
    "𝄪": 2,
    "♯♯": 2,
    "♮": 0,
}
NOTE_PATTERN = r"[A-Ga-g](?:bb|♭♭|##|♯♯|[b♭#♯x𝄪𝄫♮])?"
"""Regular expression for a note name without octave."""


class Spelled(NamedTuple):
    """A pitch class with its name.

    Parameters
    ----------
    step : int
        Letter, 0 C to 6 B.
    alter : int
        Semitones up (sharp) or down (flat).

    Examples
    --------
    >>> Spelled(2, -1).text, Spelled(2, -1).sign, Spelled(2, -1).pc
    ('Eb', 'E♭', 3)
    """

    step: int
    alter: int = 0

    @property
    def pc(self) -> int:
        """Pitch class, 0 to 11."""
        return (NATURAL_PC[self.step] + self.alter) % 12

    @property
    def text(self) -> str:
        """Name in plain letters, to be typed: ``F#``, ``Bbb``."""
        return LETTERS[self.step] + ("#" * self.alter if self.alter > 0 else "b" * -self.alter)

    @property
    def sign(self) -> str:
        """Name with the signs of notation, to be read: ``F♯``, ``B𝄫``."""
        return LETTERS[self.step] + _SIGNS[self.alter]

    @property
    def fifths(self) -> int:
        """Place on the line of fifths, C = 0, G = 1, F = −1."""
        return _FIFTHS[self.step] + 7 * self.alter

    @property
    def readable(self) -> Spelled:
        """The same note without a double accidental."""
        if abs(self.alter) < 2:
            return self
        return min(
            (s for s in _named(self.pc) if abs(s.alter) < 2), key=lambda s: (abs(s.alter), s.alter * self.alter < 0)
        )


def read_note(text: str) -> Spelled:
    """Read a note name: ``F#``, ``eb``, ``B♭``, ``Fx``.

    Raises `InputError` where it is none.

    >>> read_note("eb")
    Spelled(step=2, alter=-1)
    """
    if not re.fullmatch(NOTE_PATTERN, text):
        raise InputError(f"{text} is not a note name.", value=text, suggestion="Note names look like C, F#, Eb, Bbb.")
    return Spelled(LETTERS.index(text[0].upper()), _ALTERATION[text[1:]])


def _named(pc: int) -> tuple[Spelled, ...]:
    """Every name of a pitch class with at most two accidentals."""
    alters = ((step, (pc - NATURAL_PC[step] + 6) % 12 - 6) for step in range(7))
    return tuple(Spelled(step, alter) for step, alter in alters if abs(alter) <= 2)


def spell(pcs_rising: tuple[int, ...], root: Spelled) -> tuple[Spelled, ...]:
    """Spell a set from its root upward by the rules above.

    Parameters
    ----------
    pcs_rising : tuple of int
        Pitch classes in rising order from the root.
    root : Spelled
        Name of the first of them.

    Returns
    -------
    tuple of Spelled
        One for each pitch class, in the same order.

    Raises
    ------
    InputError
        Where the first pitch class is not the root.

    Examples
    --------
    >>> [n.text for n in spell((2, 3, 6, 7, 9, 10, 1), read_note("D"))]
    ['D', 'Eb', 'F#', 'G', 'A', 'Bb', 'C#']
    >>> [n.text for n in spell((0, 3, 4, 7, 8, 11), read_note("C"))]
    ['C', 'D#', 'E', 'G', 'Ab', 'B']
    """
    if not pcs_rising or pcs_rising[0] != root.pc:
        raise InputError(f"A set spelled from {root.text} must begin with it.", value=pcs_rising)
    if len(pcs_rising) == 7:
        one_each = _one_letter_each(pcs_rising, root)
        if one_each:
            return one_each
    return _cheapest(pcs_rising, root, root.fifths + 2)[1]


def spell_freely(pcs: tuple[int, ...]) -> tuple[Spelled, ...]:
    """Spell a set without a root, in the rotation given.

    >>> [n.text for n in spell_freely((8, 0, 3, 6))]
    ['Ab', 'C', 'Eb', 'Gb']
    """
    if not pcs:
        return ()
    rotations = [pcs[i:] + pcs[:i] for i in range(len(pcs))]
    options = [
        (_cheapest(r, name, _D)[0], i, name)
        for i, r in enumerate(rotations)
        for name in _named(r[0])
        if abs(name.alter) < 2
    ]
    _, turn, name = min(options)
    spelled = _cheapest(rotations[turn], name, _D)[1]
    return spelled[len(pcs) - turn :] + spelled[: len(pcs) - turn]


def _one_letter_each(pcs: tuple[int, ...], root: Spelled) -> tuple[Spelled, ...] | None:
    steps = [(root.step + i) % 7 for i in range(7)]
    alters = [(pc - NATURAL_PC[step] + 6) % 12 - 6 for pc, step in zip(pcs, steps, strict=True)]
    if max(map(abs, alters)) > 2:
        return None  # a cluster, which letters in order cannot carry
    return tuple(Spelled(s, a) for s, a in zip(steps, alters, strict=True))


@cache
def _cheapest(pcs: tuple[int, ...], root: Spelled, middle: int) -> tuple[int, tuple[Spelled, ...]]:
    """Least cost and its spelling, by dynamic programming over the letters of neighbouring notes."""
    best: dict[int, tuple[int, tuple[Spelled, ...]]] = {
        0: (_note_cost(root, middle), (root,))
    }  # letters above the root -> cost, names
    for before, pc in pairwise(pcs):
        reached: dict[int, tuple[int, tuple[Spelled, ...]]] = {}
        for name in _named(pc):
            height = (name.step - root.step) % 7
            for below, (cost, names) in best.items():
                if height < below:
                    continue
                total = cost + _step_cost(height - below, (pc - before) % 12) + _note_cost(name, middle)
                if height not in reached or total < reached[height][0]:
                    reached[height] = total, (*names, name)
        best = reached
    return min(best.values())


def _note_cost(name: Spelled, middle: int) -> int:
    return abs(name.fifths - middle) + (100 if abs(name.alter) > 1 else 0)


def _step_cost(letters: int, semitones: int) -> int:
    """What it costs to go up so many letters for so many semitones."""
    if letters == 0:
        return 1000
    usual = {1: (1, 2), 2: (3, 4), 3: (5, 6), 4: (6, 7), 5: (8, 9), 6: (10, 11)}[letters]
    return 0 if semitones in usual else 6
