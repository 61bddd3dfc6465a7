"""Collections: a scale in its place, with a root, a name and a spelling.

"D double harmonic" is a `Collection`: the kind "double harmonic" of the catalogue on the root D. It answers whatever
a `PcSet` answers, and knows its notes by name. A `Mode` is the same notes from another degree; where the catalogue
names it, it is a collection too. `Degrees` are some notes of a collection, counted by its degrees: "1 3 5 7 of D
double harmonic".

Degrees of seven-note collections are numbered 1 to 7 in order; those of other collections are numbered in order too,
so that an octatonic scale has an eighth degree. What a note is against the *major* scale of the root ("b3") is
another question, which `interval_degree` answers.

Messiaen (Technique de mon langage musical, 1944, ch. XVI) numbers the transpositions of his modes of limited
transposition from C upward, the first on C: `limited_transposition`.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from sonorarium.errors import InputError
from sonorarium.pcs.pcset import PcSet, SetFacts, step_pattern
from sonorarium.pcs.scales import ScaleKind, find_kind, kind_of, scale_kinds
from sonorarium.pcs.spelling import (
    NATURAL_PC,
    NOTE_PATTERN,
    Spelled,
    plain_names,
    read_note,
    readable,
    spell,
    spell_in,
)


@dataclass(frozen=True, repr=False)
class Collection(SetFacts):
    """A scale kind on a root.

    Parameters
    ----------
    root : Spelled
        Its first degree.
    kind : ScaleKind
        An entry of the catalogue.

    Examples
    --------
    >>> scale = Collection(read_note("D"), find_kind("double harmonic"))
    >>> scale.name, scale.label, scale.steps
    ('D double harmonic', '7-22', (1, 3, 1, 2, 1, 3, 1))
    >>> " ".join(note.text for note in scale.spelling)
    'D Eb F# G A Bb C#'
    """

    root: Spelled
    kind: ScaleKind

    def __repr__(self) -> str:
        return f"collection({self.name!r})"

    def __str__(self) -> str:
        return self.name

    @property
    def mask(self) -> int:
        """The set as a 12-bit integer."""
        return self.kind.pcset.transposed(self.root.pc).mask

    @property
    def name(self) -> str:
        """Root and kind, as they can be typed: ``Eb lydian``."""
        return f"{self.root.text} {self.kind.name}"

    @property
    def rising(self) -> tuple[int, ...]:
        """Pitch classes from the root upward."""
        return tuple((self.root.pc + n) % 12 for n in self.kind.pcs)

    @property
    def spelling(self) -> tuple[Spelled, ...]:
        """Its notes by name from the root upward."""
        return spell(self.rising, self.root)

    @property
    def readable_spelling(self) -> tuple[Spelled, ...]:
        """Its notes without double accidentals."""
        return readable(self.spelling)

    def spell(self, pcs: Iterable[int]) -> tuple[Spelled, ...]:
        """Name pitch classes as they stand in this collection; see `sonorarium.pcs.spelling.spell_in`.

        >>> [n.text for n in collection("Eb lydian").spell((9, 3, 8))]
        ['A', 'Eb', 'Ab']
        """
        return spell_in(self.spelling, pcs)

    def degree_of(self, pc: int) -> int | None:
        """Degree on which a pitch class stands, 1 for the root, or None where it is foreign."""
        return self.rising.index(pc) + 1 if pc in self.rising else None

    @property
    def steps(self) -> tuple[int, ...]:
        """Semitones from each degree to the next, the last one up to the octave."""
        return step_pattern(self.rising)

    @property
    def modes(self) -> tuple[Mode, ...]:
        """The same notes from each of their degrees, the first degree first."""
        return tuple(
            Mode(i + 1, note, self.steps[i:] + self.steps[:i], self.rising[i:] + self.rising[:i])
            for i, note in enumerate(self.spelling)
        )


@dataclass(frozen=True)
class Mode:
    """One rotation of a collection.

    Parameters
    ----------
    degree : int
        Degree of the collection on which it begins, 1 for the first.
    root : Spelled
        Its first note.
    steps : tuple of int
        Semitones from each note to the next.
    rising : tuple of int
        Pitch classes from its root upward.
    """

    degree: int
    root: Spelled
    steps: tuple[int, ...]
    rising: tuple[int, ...]

    @property
    def heights(self) -> tuple[int, ...]:
        """Semitones of each note above the mode's root."""
        return tuple((pc - self.root.pc) % 12 for pc in self.rising)

    @property
    def brightness(self) -> int:
        """Sum of the heights: of two modes of one scale the brighter has the larger sum (common practice)."""
        return sum(self.heights)

    @property
    def kind(self) -> ScaleKind | None:
        """Its entry in the catalogue, or None."""
        return kind_of(PcSet(self.heights))

    @property
    def collection(self) -> Collection | None:
        """The mode as a collection of its own, or None where the catalogue has no name for it.

        >>> [str(mode.collection) for mode in collection("C melodic minor").modes[3:5]]
        ['F acoustic', 'G mixolydian b6']
        """
        kind = self.kind
        return Collection(self.root, kind) if kind else None

    @property
    def name(self) -> str:
        """Root and name as they can be typed, or the step pattern on the root where there is no name."""
        found = self.collection
        return found.name if found else f"{'-'.join(map(str, self.steps))} on {self.root.text}"


@dataclass(frozen=True, repr=False)
class Degrees(SetFacts):
    """Some notes of a collection, by degree.

    Parameters
    ----------
    collection : Collection
    numbers : tuple of int
        Degrees from 1, in any order, without repeats.

    Raises
    ------
    InputError
        Where the collection has no such degree.

    Examples
    --------
    >>> chord = Degrees(collection("D double harmonic"), (1, 3, 5, 7))
    >>> chord.name, [n.text for n in chord.spelling], chord.label
    ('1 3 5 7 of D double harmonic', ['D', 'F#', 'A', 'C#'], '4-20')
    """

    collection: Collection
    numbers: tuple[int, ...]

    def __post_init__(self) -> None:
        size = len(self.collection.kind.pcs)
        wrong = [n for n in self.numbers if not 1 <= n <= size]
        if wrong:
            raise InputError(
                f"{self.collection.name} has no degree {wrong[0]}.",
                value=self.numbers,
                suggestion=f"Its degrees are 1 to {size}.",
            )

    def __repr__(self) -> str:
        return f"degrees({self.name!r})"

    def __str__(self) -> str:
        return self.name

    @property
    def mask(self) -> int:
        """The set as a 12-bit integer."""
        return PcSet(self.collection.rising[n - 1] for n in self.numbers).mask

    @property
    def name(self) -> str:
        """Degrees and collection, as they can be typed."""
        return f"{' '.join(map(str, self.numbers))} of {self.collection.name}"

    @property
    def spelling(self) -> tuple[Spelled, ...]:
        """Its notes, named as in the collection, in the order of the degrees given."""
        names = self.collection.spelling
        return tuple(names[n - 1] for n in self.numbers)


def interval_degree(root: Spelled, note: Spelled) -> str:
    """What a note is against the major scale of a root: ``b3``, ``#11`` is ``#4`` here, ``bb7``.

    >>> interval_degree(read_note("D"), read_note("F")), interval_degree(read_note("C"), read_note("F#"))
    ('b3', '#4')
    """
    number = (note.step - root.step) % 7
    offset = (note.pc - root.pc - NATURAL_PC[number] + 6) % 12 - 6
    return ("#" * offset if offset > 0 else "b" * -offset) + str(number + 1)


def degrees_in(scale: Collection, notes: SetFacts) -> Degrees | None:
    """Count a set by the degrees of a collection, or None where the collection lacks one of its notes.

    >>> degrees_in(collection("C major"), PcSet((2, 5, 9)))
    degrees('2 4 6 of C major')
    """
    if notes.mask & ~scale.mask:
        return None
    return Degrees(scale, tuple(i + 1 for i, pc in enumerate(scale.rising) if notes.mask >> pc & 1))


def limited_transposition(mode: int, number: int = 1) -> Collection:
    """Give a mode of limited transposition by Messiaen's numbers.

    Parameters
    ----------
    mode : int
        1 to 7.
    number : int
        Transposition; the first begins on C, each next one a semitone higher.

    Raises
    ------
    InputError
        Where there is no such mode or transposition.

    Examples
    --------
    >>> limited_transposition(2, 3)
    collection('D octatonic semitone-tone')
    """
    if not 1 <= mode <= 7:
        raise InputError(
            f"There is no mode of limited transposition {mode}.", value=mode, suggestion="They are numbered 1 to 7."
        )
    kind = find_kind(f"Messiaen mode {mode}")
    count = distinct_transpositions(kind.pcset)
    if not 1 <= number <= count:
        raise InputError(
            f"Mode {mode} has no transposition {number}.",
            value=number,
            suggestion=f"It has {count}, numbered from 1 on C.",
        )
    return Collection(_ON_C[number - 1], kind)


def transposition_number(scale: Collection) -> tuple[int, int] | None:
    """Give Messiaen's numbers of a collection: mode and transposition, or None where it is none of his modes.

    >>> transposition_number(collection("F# whole tone")), transposition_number(collection("C major"))
    ((1, 1), None)
    """
    for mode in range(1, 8):
        kind = find_kind(f"Messiaen mode {mode}").pcset
        for n in range(distinct_transpositions(kind)):
            if kind.transposed(n).mask == scale.mask:
                return mode, n + 1
    return None


def distinct_transpositions(pcset: PcSet) -> int:
    """Count the different transpositions of a set: 12 for most, 2 for the whole-tone scale.

    >>> distinct_transpositions(PcSet((0, 2, 4, 6, 8, 10)))
    2
    """
    return 12 // len(pcset.transpositional_symmetry)


_ON_C = tuple(map(read_note, ("C", "Db", "D", "Eb", "E", "F")))


@cache
def _scale_masks() -> NDArray[np.int64]:
    """Every kind of the catalogue on every root: shape (kinds, 12)."""
    at_c = np.array([kind.pcset.mask for kind in scale_kinds()])[:, None]
    n = np.arange(12)
    return (at_c << n | at_c >> (12 - n)) & 0xFFF


@cache
def _scale_order() -> NDArray[np.intp]:
    """Kinds by size, then by their place in the catalogue."""
    return np.argsort([len(kind.pcs) for kind in scale_kinds()], kind="stable")


def scales_containing(
    notes: SetFacts, *, kinds: Sequence[ScaleKind] | None = None, root: int | None = None, limit: int = 12
) -> tuple[Degrees, ...]:
    """Find the scales of the catalogue that hold a set, with the degrees that it is there.

    Parameters
    ----------
    notes : SetFacts
    kinds : sequence of ScaleKind, optional
        Look among these only; modes of one collection count as one scale otherwise, the parent being named.
    root : int, optional
        Pitch class on which the scale must stand; modes then count one by one.
    limit : int
        At most so many.

    Returns
    -------
    tuple of Degrees
        Smaller scales first, then by the order of the catalogue; scales that begin on a note of the set first.

    Examples
    --------
    >>> [d.name for d in scales_containing(PcSet((0, 4, 8, 11)), limit=2)]
    ['1 3 4 5 of E major pentatonic b6', '1 2 4 6 of B hexatonic semitone-third']
    """
    order = _scale_order()
    every, masks = scale_kinds(), _scale_masks()
    holds = masks[order] & notes.mask == notes.mask
    if root is not None:
        holds &= np.arange(12) == root
    if kinds is not None:
        wanted = set(kinds)
        holds &= np.array([every[i] in wanted for i in order])[:, None]
    one_a_scale = kinds is None and root is None
    found: dict[object, tuple[tuple[int, bool, int], ScaleKind, int]] = {}
    for at, on in np.argwhere(holds).tolist():
        kind = every[order[at]]
        if one_a_scale and kind != _first_of(kind):
            continue
        entry = ((len(kind.pcs), not notes.mask >> on & 1, at), kind, on)
        key = int(masks[order[at], on]) if one_a_scale else (at, on)
        found[key] = min(found.get(key, entry), entry, key=lambda e: e[0])
    ranked = sorted(found.values(), key=lambda entry: entry[0])
    return tuple(_as_degrees(kind, on, notes) for _, kind, on in ranked[:limit])


@cache
def _first_of(kind: ScaleKind) -> ScaleKind:
    return next(k for k in scale_kinds() if k.parent == kind.parent)


def _as_degrees(kind: ScaleKind, on: int, notes: SetFacts) -> Degrees:
    found = degrees_in(Collection(simplest_tonic(kind, on), kind), notes)
    if found is None:
        raise InputError(f"{kind.name} does not hold the set.", value=notes)
    return found


@cache
def simplest_tonic(kind: ScaleKind, pc: int) -> Spelled:
    """Name a scale's first note so that the scale has the fewest accidentals.

    >>> simplest_tonic(scale_kinds()[0], 1).text, simplest_tonic(scale_kinds()[5], 1).text
    ('Db', 'C#')
    """

    def strain(root: Spelled) -> tuple[int, int]:
        names = Collection(root, kind).spelling
        return sum(abs(n.alter) + 3 * (abs(n.alter) > 1) for n in names), abs(root.fifths)

    return min(plain_names(pc), key=strain)


def collection(name: str) -> Collection:
    """Read a root and the name of a scale: ``D double harmonic``.

    Raises `InputError` where the root is no note or the catalogue has no such scale.

    >>> collection("F# mixolydian b6").pcs
    (1, 2, 4, 6, 8, 10, 11)
    """
    root, _, kind = name.strip().partition(" ")
    return Collection(read_note(root), find_kind(kind))


def degrees(name: str) -> Degrees:
    """Read degrees of a collection: ``1 3 5 7 of D double harmonic``.

    Raises `InputError` where the text has not this form.

    >>> degrees("2 4 6 of C major").pcs
    (2, 5, 9)
    """
    found = re.fullmatch(rf"((?:\d+[\s,-]*)+)(?:of|in) ({NOTE_PATTERN} .+)", name.strip(), re.IGNORECASE)
    if not found:
        raise InputError(f"{name!r} are no degrees of a scale.", value=name, suggestion="Try: 1 3 5 7 of D dorian.")
    numbers = tuple(map(int, re.findall(r"\d+", found[1])))
    return Degrees(collection(found[2]), tuple(dict.fromkeys(numbers)))
