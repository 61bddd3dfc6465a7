"""The least voice-leading distance between any two sets or classes, exact, equal or unequal in size.

A voice leading pairs every note of one set with one or more notes of the other, so that none is left out at either
side. Its size is the sum of the semitones that the voices move, each the shorter way round the octave (the taxicab
norm); the distance of two sets is the size of the least voice leading, that of two classes the least over all their
forms.

Conventions
-----------
* **Voices.** As a rule there are as many voices as the larger set has notes: equal sets are paired one to one, and
  notes of the smaller are doubled where sizes differ. With ``free``, any note on either side may be doubled, as
  in the procedure of Tymoczko's supplement, even between equal sets: C-E-G-B to E-G♯-B-D♯ is 4 semitones in four
  voices and 3 in five.
* Forms are transposed by whole semitones; Tymoczko (2008) also lets classes slide continuously.
* 255 in a table means that there is no voice leading (from or to the empty set).

How it is found
---------------
Let f(p) be the number of voices that cross from pitch class p up to p + 1, less those that cross down. The size is
the sum of all abs(f). At each pitch class f may change only as the notes there allow: by one upward at a note to be
left by one voice, downward at one to be reached, and so on; where both sets have the note any surplus stays at no
cost. So the least size is a shortest closed walk over f, and walks over six pitch classes are tabulated for all 64
× 64 pairs of half sets and joined in pairs. No voice leading that is least has f beyond 6 either way (the tests try
further).

`least_leading` finds the voices themselves, by Tymoczko's matrix, and under other norms too; the tests hold each of
the two methods against the other and against exhaustive search.

Sources: Dmitri Tymoczko, The geometry of musical chords, Science 313 (2006), and its supporting online material (the
matrix, fig. S12; read in a transcription); Set-class similarity, voice leading, and the Fourier transform, Journal of
Music Theory 52 (2008), from memory.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from sonorarium.errors import InputError
from sonorarium.pcs import catalogue, tables
from sonorarium.pcs.pcset import PcSet, SetFacts
from sonorarium.pcs.setclass import SetClass, form_masks

Semitones = NDArray[np.uint8]
NONE = 255
"""In a table: there is no voice leading."""
_FAR = 100  # more than any walk costs, and twice it still fits a byte
REACH = 6


def _steps(reach: int, free: bool) -> dict[tuple[int, int], Semitones]:
    """Cost of going from f to the next f at a pitch class, by (in the larger set, in the smaller)."""
    f = np.arange(-reach, reach + 1)
    up = f[None, :] - f[:, None]
    cost = np.broadcast_to(np.abs(f), up.shape)
    allowed = {
        (0, 0): up == 0,
        (1, 0): up >= 1 if free else up == 1,
        (0, 1): up <= -1,
        (1, 1): np.ones_like(up, bool) if free else up <= 0,
    }
    return {held: np.where(may, cost, _FAR).astype(np.uint8) for held, may in allowed.items()}


def _half_walks(reach: int, free: bool) -> Semitones:
    """Least cost over six pitch classes: shape (64, 64, f, f), by the half masks of the two sets."""
    steps, states = _steps(reach, free), 2 * reach + 1
    walks = np.where(np.eye(states, dtype=bool), 0, _FAR).astype(np.uint8)[None, None]
    for _ in range(6):
        longer = [[_joined(walks, steps[larger, smaller]) for smaller in (0, 1)] for larger in (0, 1)]
        walks = np.concatenate([np.concatenate(row, axis=1) for row in longer], axis=0)
    return walks


def _joined(walks: Semitones, step: Semitones) -> Semitones:
    """Walks lengthened by a step: the least over the state between."""
    totals = [walks[..., mid, None] + step[mid] for mid in range(len(step))]
    best = totals[0]
    for total in totals[1:]:
        best = np.minimum(best, total)
    out: Semitones = np.minimum(best, _FAR).astype(np.uint8)
    return out


def walk_distances(larger: tables.Masks, *, free: bool = False, reach: int = REACH) -> Semitones:
    """Distances from some sets to all sets not larger, by joining half walks.

    Parameters
    ----------
    larger : integer array, shape (n,)
        Masks.
    free : bool
        Let any note be doubled; then the other sets may be of any size.
    reach : int
        The most voices that may cross between two pitch classes.

    Returns
    -------
    ndarray of uint8, shape (n, 4096)
        Semitones; `NONE` where there is no voice leading.
    """
    walks, states = _half_walks(reach, free), (2 * reach + 1) ** 2
    low = walks.reshape(64, 64, states)
    high = np.ascontiguousarray(walks.swapaxes(2, 3)).reshape(64, 64, states)
    out = np.empty((len(larger), 64, 64), np.uint8)
    for row, mask in zip(out, larger.tolist(), strict=True):
        row[:] = (high[mask >> 6][:, None, :] + low[mask & 63][None, :, :]).min(axis=2)
    return np.where(out >= _FAR, NONE, out).astype(np.uint8).reshape(len(larger), tables.SETS)


@cache
def set_distances(*, free: bool = False) -> Semitones:
    """Distance from every Tn class, taken by its best-packed set from 0, to every set: shape (352, 4096)."""
    masks = catalogue.tn_masks()
    found = walk_distances(masks, free=free)
    if not free:
        row, mask = np.nonzero(tables.size()[masks][:, None] < tables.size())
        found[row, mask] = found[_place(mask, masks[row])]
    return tables.frozen(found)


def _place(one: NDArray[np.integer], other: NDArray[np.integer]) -> tuple[NDArray[np.int16], NDArray[np.int16]]:
    """Where in the table the distance from one set to another is found."""
    down = -tables.normal_start()[one].astype(int) % 12
    return catalogue.tn_index()[one], tables.transposed()[down, other]


@cache
def tn_distances(*, free: bool = False) -> Semitones:
    """Distance of every two Tn classes: shape (352, 352), catalogue order."""
    return _least_by(catalogue.tn_index(), set_distances(free=free))


@cache
def class_distances(*, free: bool = False) -> Semitones:
    """Distance of every two TnI classes: shape (224, 224), catalogue order; symmetrical, 0 on the diagonal.

    >>> at = {label: i for i, label in enumerate(catalogue.tni_labels())}
    >>> table = class_distances()
    >>> int(table[at["7-35"], at["7-34"]]), int(table[at["8-28"], at["7-34"]])
    (1, 2)
    """
    return _least_by(catalogue.tni_index(), set_distances(free=free)[catalogue.tn_index()[catalogue.tni_masks()]])


def _least_by(index: NDArray[np.int16], distances: Semitones) -> Semitones:
    """The least over the sets of each class."""
    order = np.argsort(index, kind="stable")
    starts = np.flatnonzero(np.diff(index[order], prepend=-1))
    return tables.frozen(np.minimum.reduceat(distances[:, order], starts, axis=1))


def distance(one: SetFacts, other: SetFacts, *, free: bool = False) -> int:
    """Semitones of the least voice leading between two sets as they stand.

    Parameters
    ----------
    one, other : SetFacts
    free : bool
        Let any note on either side be doubled.

    Raises
    ------
    InputError
        Where just one of them is empty.

    Examples
    --------
    >>> distance(PcSet((0, 4, 7)), PcSet((0, 4, 9))), distance(PcSet((0, 4, 7)), PcSet((6, 10, 1)))
    (2, 6)
    >>> c, e = PcSet((0, 4, 7, 11)), PcSet((4, 8, 11, 3))
    >>> distance(c, e), distance(c, e, free=True)
    (4, 3)
    """
    return _known(int(set_distances(free=free)[_place(np.array(one.mask), np.array(other.mask))]), (one, other))


def class_distance(one: SetClass, other: SetClass, *, free: bool = False) -> int:
    """Semitones of the least voice leading between a form of one class and a form of another.

    Parameters
    ----------
    one, other : SetClass
        Under transposition alone where the label has a letter.
    free : bool
        Let any note on either side be doubled.

    Raises
    ------
    InputError
        Where just one of them is the empty class.

    Examples
    --------
    >>> class_distance(SetClass("7-35"), SetClass("7-32")), class_distance(SetClass("3-11A"), SetClass("3-11B"))
    (1, 1)
    """
    found = set_distances(free=free)[catalogue.tn_index()[one.mask], form_masks(other)]
    if not one.letter:
        found = np.minimum(found, set_distances(free=free)[catalogue.tn_index()[_mirror(one)], form_masks(other)])
    return _known(int(found.min()), (one, other))


def _mirror(wanted: SetClass) -> int:
    return int(tables.inverted()[0, wanted.mask])


def nearest_forms(notes: SetFacts, wanted: SetClass, *, free: bool = False) -> tuple[PcSet, ...]:
    """Forms of a class that lie nearest to a set, by mask.

    Raises `InputError` where just one of the two is empty.

    >>> nearest_forms(PcSet((0, 4, 7)), SetClass("3-12"))
    (PcSet((0, 4, 8)),)
    """
    forms = form_masks(wanted).astype(int)
    found = set_distances(free=free)[_place(np.full(len(forms), notes.mask), forms)]
    _known(int(found.min()), (notes, wanted))
    return tuple(PcSet.of_mask(m) for m in forms[found == found.min()].tolist())


def _known(found: int, between: object) -> int:
    if found == NONE:
        raise InputError("There is no voice leading between a set and the empty set.", value=between)
    return found


@dataclass(frozen=True)
class Leading:
    """A voice leading between two sets of pitch classes.

    Parameters
    ----------
    voices : tuple of (int, int)
        Where each voice begins and ends, as pitch classes.
    """

    voices: tuple[tuple[int, int], ...]

    @property
    def moves(self) -> tuple[int, ...]:
        """Semitones that each voice moves, −5 to 6, up positive."""
        return tuple((end - start + 5) % 12 - 5 for start, end in self.voices)

    @property
    def semitones(self) -> int:
        """Semitones that all voices move together."""
        return sum(map(abs, self.moves))


def least_leading(one: SetFacts, other: SetFacts, *, power: int = 1, free: bool = False) -> Leading:
    """Find a least voice leading between two sets as they stand.

    Parameters
    ----------
    one, other : SetFacts
    power : int
        1 makes the sum of the semitones least; 2 the sum of their squares, which shares the motion out; 1 or more.
    free : bool
        Let any note on either side be doubled.

    Returns
    -------
    Leading
        One of the least, without crossings.

    Raises
    ------
    InputError
        Where one of them is empty, or the power is less than 1.

    Examples
    --------
    >>> least_leading(PcSet((0, 4, 7)), PcSet((0, 5, 9))).voices
    ((0, 0), (4, 5), (7, 9))
    >>> least_leading(PcSet((0, 4, 7, 11)), PcSet((4, 8, 11, 3)), free=True).semitones
    3
    """
    if not (one.mask and other.mask) or power < 1:
        wrong = "power" if one.mask and other.mask else "empty set"
        raise InputError(f"There is no least voice leading of this {wrong}.", value=(one, other, power))
    turned = other.cardinality > one.cardinality
    larger, smaller = (other.pcs, one.pcs) if turned else (one.pcs, other.pcs)
    rotations = [smaller[i:] + smaller[:i] for i in range(len(smaller))]
    voices = min((_led(larger, rotation, power, free) for rotation in rotations), key=lambda found: found[0])[1]
    return Leading(tuple(sorted((end, start) if turned else (start, end) for start, end in voices)))


Found = tuple[int, tuple[tuple[int, int], ...]]


def _led(larger: tuple[int, ...], smaller: tuple[int, ...], power: int, free: bool) -> Found:
    """The least leading that holds the first pair, by Tymoczko's matrix; its last row and column repeat the first."""
    rows, columns = len(larger), len(smaller)
    best: dict[tuple[int, int], Found] = {}
    for i in range(rows + 1):
        for j in range(columns + 1):
            pair = larger[i % rows], smaller[j % columns]
            before = [best[at] for at in _before(i, j, free) if at in best]
            if not before and (i, j) != (0, 0):
                continue
            cost, voices = min(before, key=lambda found: found[0]) if before else (0, ())
            closed = (i, j) == (rows, columns)  # the first pair come round again
            own = abs((pair[1] - pair[0] + 5) % 12 - 5) ** power
            best[i, j] = (cost, voices) if closed else (cost + own, (*voices, pair))
    return best[rows, columns]


def _before(i: int, j: int, free: bool) -> tuple[tuple[int, int], ...]:
    """Pairs that may come just before: every voice of the larger set is used once, unless doubling is free."""
    return ((i - 1, j - 1), (i - 1, j), (i, j - 1)) if free else ((i - 1, j - 1), (i - 1, j))
