"""Sets as stacks: two chords one over the other, and piles of one kind of interval.

**Two chords.** ``Ab over C7`` is a triad or seventh chord above another; notes may be shared. Neither may lie wholly
inside the other, for then it says nothing. Readings are ranked by how plain the two chords are, how many notes they
share, and, where a bass is given, whether it is the root of the lower chord.

**One interval kind.** A set is a stack of fourths where all of its notes, each once, follow each other by perfect or
augmented fourths: ``fourths 4-#4-4 on C``. The kinds are seconds (minor, major), thirds (minor, major), fourths
(perfect, augmented) and fifths (perfect, diminished); the pattern names each step, plain numbers for the major and
perfect ones.

Common practice of chord description; the terms are the trade's, the ranking is this program's own.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache

import numpy as np

from sonorarium.errors import InputError
from sonorarium.pcs import tables
from sonorarium.pcs.chordquality import Quality
from sonorarium.pcs.chordsymbol import Chord, chord, simplest_root
from sonorarium.pcs.pcset import PcSet, SetFacts
from sonorarium.pcs.spelling import (
    NOTE_PATTERN,
    Spelled,
    above,
    interval_name,
    read_note,
    root_names,
    spell,
)

_COSTS = {"": 0, "m": 0, "7": 1, "maj7": 1, "m7": 1, "aug": 2, "dim": 2, "m7b5": 3, "mMaj7": 3, "dim7": 3}
"""Chords of which stacks are made, and how far each is from the plainest."""

KINDS = {"seconds": (1, 2), "thirds": (2, 4), "fourths": (3, 5), "fifths": (4, 7)}
"""Interval kinds: letters and semitones of the plain size (major second and third, perfect fourth and fifth)."""
_SIZES = {"seconds": (2, 1), "thirds": (4, 3), "fourths": (5, 6), "fifths": (7, 6)}


@dataclass(frozen=True, repr=False)
class Stacked(SetFacts):
    """Two chords, one over the other.

    Parameters
    ----------
    upper, lower : Chord

    Examples
    --------
    >>> s = stacked("Ab over C7")
    >>> s.name, s.distance, s.interval, [n.text for n in s.spelling]
    ('Ab over C7', 8, 'minor sixth', ['C', 'E', 'G', 'Bb', 'Ab', 'Eb'])
    """

    upper: Chord
    lower: Chord

    def __repr__(self) -> str:
        return f"stacked({self.name!r})"

    def __str__(self) -> str:
        return self.name

    @property
    def mask(self) -> int:
        """The set as a 12-bit integer."""
        return self.upper.mask | self.lower.mask

    @property
    def name(self) -> str:
        """Both symbols, as they can be typed."""
        return f"{self.upper.symbol} over {self.lower.symbol}"

    @property
    def distance(self) -> int:
        """Semitones from the lower root up to the upper one, 0 to 11."""
        return (self.upper.root.pc - self.lower.root.pc) % 12

    @property
    def interval(self) -> str:
        """Name of that distance."""
        return interval_name(self.lower.root, self.upper.root)

    @property
    def spelling(self) -> tuple[Spelled, ...]:
        """Its notes by name, the lower chord's first; a shared note has the lower chord's name."""
        names = {note.pc: note for note in self.lower.spelling}
        for note in self.upper.spelling:
            names.setdefault(note.pc, note)
        return tuple(names.values())


def stacked(text: str) -> Stacked:
    """Read two chords: ``Ab over C7``, ``Ab|C7``.

    Raises `InputError` where it is not two chords.

    >>> stacked("D | Cmaj7").pcs
    (0, 2, 4, 6, 7, 9, 11)
    """
    parts = re.split(r"\s*\|\s*|\s+over\s+", text.strip(), flags=re.IGNORECASE)
    if len(parts) != 2:
        raise InputError(f"{text!r} is not two chords.", value=text, suggestion="Write them as in Ab over C7.")
    return Stacked(chord(parts[0]), chord(parts[1]))


@cache
def _pairs() -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Every pair of chords: its union, its cost and its number (upper · n + lower), sorted by union, then cost."""
    masks = np.array([Quality(q).mask << r for r in range(12) for q in _COSTS])
    masks = masks & tables.FULL | masks >> 12
    plain = np.array(list(_COSTS.values()) * 12)
    upper, lower = masks[:, None], masks[None, :]
    union, shared = upper | lower, tables.size()[upper & lower].astype(int)
    cost = plain[:, None] + plain[None, :] + 2 * shared + (tables.size()[upper] > tables.size()[lower])
    useful = np.flatnonzero((union != upper) & (union != lower))
    order = useful[np.lexsort((cost.ravel()[useful], union.ravel()[useful]))]
    return union.ravel()[order], cost.ravel()[order], order


def stacked_readings(notes: SetFacts, *, bass: int | None = None, limit: int = 6) -> tuple[Stacked, ...]:
    """Read a set as two chords stacked, the plainest first.

    Parameters
    ----------
    notes : SetFacts
    bass : int, optional
        Pitch class of the lowest note, which must then be in the lower chord.
    limit : int
        At most so many.

    Returns
    -------
    tuple of Stacked

    Examples
    --------
    >>> [s.name for s in stacked_readings(PcSet((0, 1, 4, 6, 7, 10)), limit=2)]
    ['F# over C', 'C over F#']
    """
    unions, costs, numbers = _pairs()
    low, high = np.searchsorted(unions, [notes.mask, notes.mask + 1])
    found = []
    for cost, number in zip(costs[low:high].tolist(), numbers[low:high].tolist(), strict=True):
        upper, lower = divmod(number, 12 * len(_COSTS))
        if bass is None or _mask_at(lower) >> bass & 1:
            found.append((cost + (2 if bass not in (None, _chord_at(lower)[0]) else 0), lower, upper))
    # one reading for each pair of sets: an augmented triad is one chord, whichever of its notes is called the root
    once: dict[tuple[int, int], tuple[int, int]] = {}
    for _, lower, upper in sorted(found):
        once.setdefault((_mask_at(upper), _mask_at(lower)), (upper, lower))
    return tuple(_named_pair(upper, lower) for upper, lower in list(once.values())[:limit])


def _mask_at(number: int) -> int:
    root, quality = _chord_at(number)
    return PcSet.of_mask(Quality(quality).mask).transposed(root).mask


@cache
def _chord_at(number: int) -> tuple[int, str]:
    root, quality = divmod(number, len(_COSTS))
    return root, tuple(_COSTS)[quality]


@cache
def _named_pair(upper: int, lower: int) -> Stacked:
    root, quality = _chord_at(lower)
    below = Chord(simplest_root(root, Quality(quality)), Quality(quality))
    names = {n.pc: n for n in below.spelling}
    middle = sum(n.fifths for n in below.spelling) / len(below.spelling)
    root, quality = _chord_at(upper)
    options = [Chord(name, Quality(quality)) for name in root_names(root)]

    def strain(option: Chord) -> float:
        return sum(abs(n.fifths - middle) + 20 * (names.get(n.pc, n) != n) for n in option.spelling)

    return Stacked(min(options, key=strain), below)


@dataclass(frozen=True, repr=False)
class IntervalStack(SetFacts):
    """A pile of one kind of interval.

    Parameters
    ----------
    root : Spelled
        Its lowest note.
    kind : str
        ``seconds``, ``thirds``, ``fourths`` or ``fifths``.
    sizes : tuple of int
        Semitones of each step upward.

    Examples
    --------
    >>> s = interval_stack("fourths 4-#4-4 on C")
    >>> s.name, [n.text for n in s.spelling]
    ('fourths 4-#4-4 on C', ['C', 'F', 'B', 'E'])
    """

    root: Spelled
    kind: str
    sizes: tuple[int, ...]

    def __repr__(self) -> str:
        return f"interval_stack({self.name!r})"

    def __str__(self) -> str:
        return self.name

    @property
    def pattern(self) -> str:
        """Its steps in the trade's numbers: ``4-#4-4``."""
        letters, plain = KINDS[self.kind]
        signs = [size - plain for size in self.sizes]
        return "-".join(("#" * s if s > 0 else "b" * -s) + str(letters + 1) for s in signs)

    @property
    def name(self) -> str:
        """Kind, pattern and lowest note, as they can be typed."""
        return f"{self.kind} {self.pattern} on {self.root.text}"

    @property
    def rising(self) -> tuple[int, ...]:
        """Pitch classes from the lowest note upward, in the order of the stack."""
        heights = np.cumsum((self.root.pc, *self.sizes)) % 12
        return tuple(heights.tolist())

    @property
    def mask(self) -> int:
        """The set as a 12-bit integer."""
        return PcSet(self.rising).mask

    @property
    def spelling(self) -> tuple[Spelled, ...]:
        """Its notes by name in the order of the stack, one letter a step as long as a double accidental serves."""
        names = [self.root]
        for size in self.sizes:
            names.append(above(names[-1], KINDS[self.kind][0], size))
        once = {note.pc: note for note in names}
        if len(once) == len(names) and all(abs(n.alter) <= 2 for n in names):
            return tuple(names)
        named = {n.pc: n for n in spell(self.pcset.rising_from(self.root.pc), self.root)}
        return tuple(named[pc] for pc in dict.fromkeys(self.rising))


_STEP = r"[b#]{0,2}[2-5]"
_STACK = (
    rf"(?:(?P<first>{NOTE_PATTERN})\s+)?(?P<kind>seconds|thirds|fourths|fifths)\s+(?P<steps>{_STEP}(?:-{_STEP})*)"
)


def interval_stack(text: str) -> IntervalStack:
    """Read a stack: ``fourths 4-#4-4 on C``, or with the note first, ``C fourths 4-#4-4``.

    Raises `InputError` where the text has not this form.

    >>> interval_stack("D seconds 2-b2-2").pcs
    (2, 4, 5, 7)
    """
    plain = text.strip().replace("♯", "#").replace("♭", "b")
    found = re.fullmatch(rf"{_STACK}(?:\s+on\s+(?P<last>{NOTE_PATTERN}))?", plain, re.IGNORECASE)
    if not found or bool(found["first"]) == bool(found["last"]):
        raise InputError(f"{text!r} is no stack of intervals.", value=text, suggestion="Try: fourths 4-#4-4 on C.")
    kind = found["kind"].lower()
    letters, plain_size = KINDS[kind]
    steps = found["steps"].lower().split("-")
    if any(int(step[-1]) != letters + 1 for step in steps):
        raise InputError(
            f"{found['steps']} are not all {kind}.", value=text, suggestion=f"Write each step with {letters + 1}."
        )
    sizes = tuple(plain_size + step.count("#") - step.count("b") for step in steps)
    return IntervalStack(read_note(found["first"] or found["last"]), kind, sizes)


def interval_stacks(notes: SetFacts, *, bass: int | None = None) -> tuple[IntervalStack, ...]:
    """Read a set of 3 to 8 notes as a stack of one interval kind, the purest first; one reading a kind.

    Parameters
    ----------
    notes : SetFacts
    bass : int, optional
        Pitch class on which the stack must stand.

    Returns
    -------
    tuple of IntervalStack
        Empty where the set is no such stack.

    Examples
    --------
    >>> [s.name for s in interval_stacks(PcSet((2, 4, 7, 9, 11)))]
    ['fourths 4-4-4-4 on B', 'fifths 5-5-5-5 on G']
    """
    if not 3 <= notes.cardinality <= 8:
        return ()
    found = []
    for kind, sizes in _SIZES.items():
        starts = notes.pcs if bass is None else (bass,) if notes.mask >> bass & 1 else ()
        paths = [path for start in starts for path in _paths(notes.mask & ~(1 << start), start, sizes)]
        if paths:
            mixed = min(paths, key=lambda p: (sum(size != sizes[0] for size in p[1:]), p))
            found.append((sum(size != sizes[0] for size in mixed[1:]), kind, mixed))
    found.sort(key=lambda f: f[0])
    return tuple(_named_stack(kind, start, sizes) for _, kind, (start, *sizes) in found)


def _paths(left: int, at: int, sizes: tuple[int, ...]) -> Iterator[tuple[int, ...]]:
    """Every way to visit all notes left, from one at hand, by steps of these sizes; the start, then the steps."""

    def walk(left: int, at: int) -> Iterator[tuple[int, ...]]:
        if not left:
            yield ()
        for size in sizes:
            to = (at + size) % 12
            if left >> to & 1:
                for rest in walk(left & ~(1 << to), to):
                    yield (size, *rest)

    return ((at, *steps) for steps in walk(left, at))


def _named_stack(kind: str, start: int, sizes: list[int]) -> IntervalStack:
    options = [IntervalStack(name, kind, tuple(sizes)) for name in root_names(start)]
    return min(options, key=lambda s: sum(abs(n.alter) + 3 * (abs(n.alter) > 1) for n in s.spelling))
