"""Which letter for which note: spelled pitch classes, and the rules for spelling a set.

Rules
-----
* A set of **seven notes with a root** takes one letter per degree, in order from the root's letter, as long as no
  degree lies more than two semitones from its place in the root's major scale.
* **Any other set** rises from its root through the letters. Among all such spellings the cheapest is taken. Most
  costs a double accidental; then a letter used twice, or a major third or fifth above the root on another letter than
  its own; then a step or skip of unusual size (an augmented second, say) where another letter would serve; then a
  white key under another's name; and always twice the distance on the line of fifths from the middle of the root's
  scale: the major scale where the third is major, the minor scale where it is minor, the root itself where both are
  there. So letters repeat only where each its own would take double accidentals or a mix of far sharps and flats: the
  blues scale on C is C E♭ F G♭ G B♭, not C D♯ E♯ F♯ G B♭.
* A set **without a root** is spelled from whichever of its notes, under whichever simple name, comes out cheapest,
  with distance counted from D, the middle of the plain letters.
* A chord **in a scale** takes its notes' names from the scale; a note foreign to the scale takes the simplest name
  nearest to the scale on the line of fifths. So one figure never has two names for one note.
* The **readable** spelling replaces double accidentals by their plain equals; letters may then repeat.

The line of fifths is … B♭ F C G D A E B F♯ … with C at 0 and each sharp adding 7 (common practice). Other books spell
sets of other sizes than seven by their parent scale or by the key at hand; neither is known here.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import cache
from itertools import pairwise
from typing import NamedTuple

from sonorarium.errors import InputError

LETTERS = "CDEFGAB"
NATURAL_PC = (0, 2, 4, 5, 7, 9, 11)
_FIFTHS = (0, 2, 4, -1, 1, 3, 5)
_D = 2  # the middle of the seven plain letters F C G D A E B
_SEMITONES = {"b": -1, "♭": -1, "𝄫": -2, "#": 1, "♯": 1, "x": 2, "𝄪": 2, "♮": 0}
_USUAL = {1: (1, 2), 2: (3, 4), 3: (5, 6), 4: (6, 7), 5: (8, 9), 6: (10, 11), 7: (12,)}
_PILLARS = {4: 2, 7: 4}  # semitones above the root -> the letters above it where they belong
NOTE_PATTERN = r"[A-Ga-g](?:[b♭]?𝄫|[b♭]{1,3}|[#♯]?[x𝄪]|[#♯]{1,3}|♮)?"
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
        single, double = ("♯", "𝄪") if self.alter > 0 else ("♭", "𝄫")
        return LETTERS[self.step] + single * (abs(self.alter) % 2) + double * (abs(self.alter) // 2)

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
    return Spelled(LETTERS.index(text[0].upper()), sum(_SEMITONES[sign] for sign in text[1:]))


def above(root: Spelled, letters: int, semitones: int) -> Spelled:
    """Name the note so many letters and so many semitones above another.

    >>> above(read_note("Ab"), 2, 3).text, above(read_note("C"), 6, 9).text
    ('Cb', 'Bbb')
    """
    step = (root.step + letters) % 7
    return Spelled(step, (root.pc + semitones - NATURAL_PC[step] + 6) % 12 - 6)


_QUALITIES = {0: ("diminished", "perfect", "augmented"), 1: ("diminished", "minor", "major", "augmented")}
_NUMBERS = ("unison", "second", "third", "fourth", "fifth", "sixth", "seventh")


def interval_name(low: Spelled, high: Spelled) -> str:
    """Name the interval from one note up to another, within the octave.

    >>> interval_name(read_note("C"), read_note("Ab")), interval_name(read_note("F"), read_note("B"))
    ('minor sixth', 'augmented fourth')
    """
    letters = (high.step - low.step) % 7
    off = (high.pc - low.pc - NATURAL_PC[letters] + 6) % 12 - 6
    perfect = letters in (0, 3, 4)
    place = off + (1 if perfect else 2)
    names = _QUALITIES[0 if perfect else 1]
    if place not in range(len(names)):
        extra = abs(place) if place < 0 else place - len(names) + 1
        return f"{'doubly' if extra == 1 else 'multiply'} {names[0 if place < 0 else -1]} {_NUMBERS[letters]}"
    return f"{names[place]} {_NUMBERS[letters]}"


@cache
def _named(pc: int) -> tuple[Spelled, ...]:
    """Every name of a pitch class with at most two accidentals."""
    alters = ((step, (pc - NATURAL_PC[step] + 6) % 12 - 6) for step in range(7))
    return tuple(Spelled(step, alter) for step, alter in alters if abs(alter) <= 2)


def plain_names(pc: int) -> tuple[Spelled, ...]:
    """Names of a pitch class with at most one accidental.

    >>> [n.text for n in plain_names(1)], [n.text for n in plain_names(2)]
    (['C#', 'Db'], ['D'])
    """
    return tuple(name for name in _named(pc) if abs(name.alter) < 2)


def root_names(pc: int) -> tuple[Spelled, ...]:
    """Names on which chords and stacks are written: a white key has its own name only.

    >>> [n.text for n in root_names(1)], [n.text for n in root_names(5)]
    (['C#', 'Db'], ['F'])
    """
    return tuple(name for name in plain_names(pc) if not name.alter or pc not in NATURAL_PC)


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
    return _cheapest(pcs_rising, root, _middle(pcs_rising, root))[1]


def spell_freely(pcs: tuple[int, ...]) -> tuple[Spelled, ...]:
    """Spell a set without a root; the names come in the order given.

    >>> [n.text for n in spell_freely((8, 0, 3, 6))]
    ['Ab', 'C', 'Eb', 'Gb']
    """
    names = _spelled_freely(tuple(sorted(set(pcs))))
    return tuple(names[pc] for pc in pcs)


@cache
def _spelled_freely(pcs: tuple[int, ...]) -> dict[int, Spelled]:
    rotations = [pcs[i:] + pcs[:i] for i in range(len(pcs))]
    options = [_cheapest(turned, name, _D) for turned in rotations for name in plain_names(turned[0])]
    return {name.pc: name for name in min(options)[1]} if options else {}


def spell_in(scale: Iterable[Spelled], pcs: Iterable[int]) -> tuple[Spelled, ...]:
    """Spell notes as they stand in a scale.

    Parameters
    ----------
    scale : iterable of Spelled
        The scale's notes by name.
    pcs : iterable of int
        Pitch classes, in any order; those that the scale lacks are named near it on the line of fifths.

    Returns
    -------
    tuple of Spelled
        One for each pitch class, in the same order.

    Examples
    --------
    >>> scale = spell((2, 3, 6, 7, 9, 10, 1), read_note("D"))
    >>> [n.text for n in spell_in(scale, (6, 10, 1, 0))]
    ['F#', 'Bb', 'C#', 'C']
    """
    names = {note.pc: note for note in scale}
    fifths = sorted(note.fifths for note in names.values()) or [_D]
    middle = (fifths[0] + fifths[-1]) / 2

    def foreign(pc: int) -> Spelled:
        return min(_named(pc), key=lambda n: (abs(n.alter) > 1, abs(n.fifths - middle), n.fifths))

    return tuple(names.get(pc) or foreign(pc) for pc in pcs)


def readable(names: Iterable[Spelled]) -> tuple[Spelled, ...]:
    """Replace double accidentals by their plain equals.

    >>> [n.text for n in readable((read_note("Fx"), read_note("Bbb"), read_note("E#")))]
    ['G', 'A', 'E#']
    """
    return tuple(name.readable for name in names)


def _one_letter_each(pcs: tuple[int, ...], root: Spelled) -> tuple[Spelled, ...] | None:
    heights = [(pc - root.pc) % 12 for pc in pcs]
    if any(abs(h - plain) > 2 for h, plain in zip(heights, NATURAL_PC, strict=True)):
        return None  # a cluster, which letters in order cannot carry
    names = tuple(above(root, i, height) for i, height in enumerate(heights))
    return names if max(abs(n.alter) for n in names) <= 3 else None


def _middle(pcs: tuple[int, ...], root: Spelled) -> int:
    """Where on the line of fifths the notes should gather."""
    minor, major = ((root.pc + third) % 12 in pcs for third in (3, 4))
    if minor and major:
        return root.fifths
    return root.fifths - 1 if minor else root.fifths + 2


@cache
def _cheapest(pcs: tuple[int, ...], root: Spelled, middle: int) -> tuple[int, tuple[Spelled, ...]]:
    """Least cost and its spelling, by dynamic programming over the letters of neighbouring notes."""
    best: dict[int, tuple[int, tuple[Spelled, ...]]] = {
        0: (_note_cost(root, middle), (root,))
    }  # letters above the root -> cost, names
    for before, pc in pairwise(pcs):
        reached: dict[int, tuple[int, tuple[Spelled, ...]]] = {}
        for name in _named(pc):
            height = _height(name, root)
            own = _note_cost(name, middle) + (40 if _PILLARS.get((pc - root.pc) % 12, height) != height else 0)
            for below, (cost, names) in best.items():
                if height < below:
                    continue
                total = cost + _step_cost(height - below, (pc - before) % 12) + own
                if height not in reached or total < reached[height][0]:
                    reached[height] = total, (*names, name)
        best = reached
    to_octave = (root.pc - pcs[-1]) % 12 or 12
    return min((cost + _step_cost(7 - height, to_octave), names) for height, (cost, names) in best.items())


def _height(name: Spelled, root: Spelled) -> int:
    """Letters above the root; 7 for the root's own letter just under the octave."""
    if name.step == root.step and name.alter < root.alter:
        return 7
    return (name.step - root.step) % 7


def _note_cost(name: Spelled, middle: int) -> int:
    """Distance, a double accidental, and a white key under another's name."""
    needless = name.alter != 0 and name.pc in NATURAL_PC
    return 2 * abs(name.fifths - middle) + (200 if abs(name.alter) > 1 else 0) + 4 * needless


def _step_cost(letters: int, semitones: int) -> int:
    """What it costs to go up so many letters for so many semitones."""
    if letters == 0:
        return 44
    return 0 if semitones in _USUAL[letters] else 12
