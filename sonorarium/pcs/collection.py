"""Collections: a scale in its place, with a root, a name and a spelling.

"D double harmonic" is a `Collection`: the kind "double harmonic" of the catalogue on the root D. It answers whatever
a `PcSet` answers, and knows its notes by name. A mode is a collection too: the same notes from another root.
"""

from __future__ import annotations

from dataclasses import dataclass

from sonorarium.pcs.pcset import PcSet, SetFacts, step_pattern
from sonorarium.pcs.scales import ScaleKind, find_kind, kind_of
from sonorarium.pcs.spelling import Spelled, read_note, spell


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


def collection(name: str) -> Collection:
    """Read a root and the name of a scale: ``D double harmonic``.

    Raises `InputError` where the root is no note or the catalogue has no such scale.

    >>> collection("F# mixolydian b6").pcs
    (1, 2, 4, 6, 8, 10, 11)
    """
    root, _, kind = name.strip().partition(" ")
    return Collection(read_note(root), find_kind(kind))
