"""What comes of a search for voicings: each with its figures, and how many there were."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import overload

from sonorarium.pcs.spelling import Spelled
from sonorarium.pitch.voicing import Voicing, written

SIGNS = {-2: "𝄫", -1: "♭", 0: "", 1: "♯", 2: "𝄪"}


@dataclass(frozen=True)
class Figures:
    """What is measured of a voicing; all are better when lower.

    Parameters
    ----------
    roughness : float
        Sethares (1993), without unit.
    unevenness : float
        Standard deviation of the distances between neighbours, semitones.
    period : float
        Octaves from the lowest note down to one common fundamental, Stolzenburg (2015).
    span : int
        Semitones from the lowest to the highest note.
    movement, profile : int, optional
        Semitones of movement from the model, and of difference between its distances and these; None without a model.
    """

    roughness: float
    unevenness: float
    period: float
    span: int
    movement: int | None = None
    profile: int | None = None


@dataclass(frozen=True)
class Voiced:
    """A voicing that was found.

    Parameters
    ----------
    voicing : Voicing
    names : tuple of Spelled
        Names of its pitches, from the lowest.
    figures : Figures
    kinds : tuple of str
        Kinds of spacing that it shows.
    left : int or None
        How many of its notes the left hand takes; None where two hands cannot hold it, or none were asked for.
    blurred : tuple of (int, int)
        Neighbours below the low-interval limits.
    omitted : tuple of Spelled
        Notes of the set that it leaves out.
    """

    voicing: Voicing
    names: tuple[Spelled, ...]
    figures: Figures
    kinds: tuple[str, ...] = ()
    left: int | None = None
    blurred: tuple[tuple[int, int], ...] = ()
    omitted: tuple[Spelled, ...] = ()

    @property
    def pitches(self) -> tuple[int, ...]:
        """MIDI numbers, ascending."""
        return self.voicing.pitches

    @property
    def written(self) -> tuple[tuple[int, int, int], ...]:
        """Letter, alteration and octave of each note."""
        return written(self.pitches, self.names)

    @property
    def text(self) -> str:
        """Its notes as they are read: ``C3 G3 E♭4``."""
        return " ".join(f"{'CDEFGAB'[step]}{SIGNS.get(alter, '?')}{octave}" for step, alter, octave in self.written)

    @property
    def hands(self) -> tuple[tuple[int, ...], tuple[int, ...]] | None:
        """Pitches of the left hand and of the right."""
        return None if self.left is None else (self.pitches[: self.left], self.pitches[self.left :])

    @property
    def doubled(self) -> tuple[Spelled, ...]:
        """Notes that sound in more than one octave, from the lowest."""
        pcs = [pitch % 12 for pitch in self.pitches]
        return tuple(dict.fromkeys(name for name in self.names if pcs.count(name.pc) > 1))


@dataclass(frozen=True)
class Removal:
    """A limit and how many voicings break it.

    Parameters
    ----------
    limit : str
        What it asks for.
    count : int
    """

    limit: str
    count: int


@dataclass(frozen=True)
class Voicings(Sequence[Voiced]):
    """Voicings found, the best first.

    Parameters
    ----------
    title : str
        The set, as it is headed.
    found : tuple of Voiced
    total : int
        All ways to set it in the range.
    kept : int
        How many of these keep every limit.
    removed : tuple of Removal
        How many each limit takes away, by itself, the strictest first.
    """

    title: str
    found: tuple[Voiced, ...]
    total: int
    kept: int
    removed: tuple[Removal, ...] = ()

    @property
    def is_cut(self) -> bool:
        """Whether more were left than are listed."""
        return self.kept > len(self.found)

    @property
    def summary(self) -> str:
        """How many there were, how many were left, and how many are shown."""
        shown = f", the best {len(self.found)} shown" if self.is_cut else ""
        return f"{self.title}: {self.total:,} ways, {self.kept:,} within the limits{shown}"

    def __len__(self) -> int:
        return len(self.found)

    @overload
    def __getitem__(self, at: int) -> Voiced: ...
    @overload
    def __getitem__(self, at: slice) -> tuple[Voiced, ...]: ...
    def __getitem__(self, at: int | slice) -> Voiced | tuple[Voiced, ...]:
        return self.found[at]

    def __iter__(self) -> Iterator[Voiced]:
        return iter(self.found)
