"""What is here? All readings of a stretch of bars: its chords, its lines, its notes as one set, its collections.

Conventions
-----------
* The stretch is given by bars, by their printed numbers, and by parts. A note belongs to it as far as it sounds in
  it.
* **Verticals**: slices, neighbours of equal pitches made one. Each has its set, its bass, and its names as a chord.
* **Lines**: each voice of each part, its notes in order; notes struck together are taken low to high. A line is of
  the voice and not of the ear: a tune that passes from one voice to another is two lines.
* **The whole**: all pitch classes that sound, and how much of the sounding time each takes.
* **Collections**, best first. Those that hold every note come before those that do not. Among them a collection
  that claims fewer notes than are heard in the stretch goes first, then the order of the family. Of those that do
  not hold every note, the one goes first that holds the most of the sounding time. Nothing is said here about what
  surrounds the stretch; that is `sonorarium.score.analysis.tracing`.

What a bar is built on is a question of the trade; that all four answers stand side by side is our own choice, for no
one of them is the true one.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from sonorarium.errors import InputError
from sonorarium.pcs import tables
from sonorarium.pcs.collection import Degrees, scales_containing
from sonorarium.pcs.families import default_family
from sonorarium.pcs.family import Family, Member
from sonorarium.pcs.naming import Naming, name_set
from sonorarium.pcs.pcset import PcSet
from sonorarium.score.barnames import bar_range, bars_in_words
from sonorarium.score.metre import Metre, Place
from sonorarium.score.notenames import sounding_names
from sonorarium.score.score import Notes, Score
from sonorarium.score.slices import Rows, Slices, part_name, rows_of_parts, slice_score

LEAST_INSIDE = 0.75
"""Collections that hold less of the sounding time than this are left out."""

MOST_COLLECTIONS = 12
"""At most so many collections are kept."""


@dataclass(frozen=True)
class Vertical:
    """What sounds together for a while.

    Parameters
    ----------
    place : Place
        Where it begins.
    onset, end : int
        Ticks.
    pitches : tuple of int
        MIDI numbers, ascending, each once.
    notes : tuple of str
        Their names as written, low to high.
    """

    place: Place
    onset: int
    end: int
    pitches: tuple[int, ...]
    notes: tuple[str, ...]

    @property
    def pcset(self) -> PcSet:
        """Its pitch classes."""
        return PcSet(pitch % 12 for pitch in self.pitches)

    @property
    def label(self) -> str:
        """Label of its class."""
        return self.pcset.label

    @property
    def naming(self) -> Naming | None:
        """What it may be called as a chord; None where it has not 3 to 8 pitch classes."""
        known = 3 <= self.pcset.cardinality <= 8
        return name_set(self.pcset, bass=self.pitches[0] % 12) if known else None

    @property
    def symbol(self) -> str:
        """Its first chord name, or its label where it has none."""
        naming = self.naming
        return naming.readings[0].symbol if naming and naming.readings else self.label


@dataclass(frozen=True)
class VoiceLine:
    """The notes of one voice.

    Parameters
    ----------
    part, voice : str
        Names of both.
    pitches : tuple of int
        MIDI numbers in order.
    notes : tuple of str
        Their names as written.
    """

    part: str
    voice: str
    pitches: tuple[int, ...]
    notes: tuple[str, ...]

    @property
    def pcset(self) -> PcSet:
        """Its pitch classes."""
        return PcSet(pitch % 12 for pitch in self.pitches)

    @property
    def label(self) -> str:
        """Label of its class."""
        return self.pcset.label


@dataclass(frozen=True)
class Holder:
    """A collection that holds a stretch, or most of it.

    Parameters
    ----------
    member : Member
    inside : float
        Share of the sounding time that lies in it.
    foreign : tuple of int
        Pitch classes that are heard and do not belong to it.
    missing : tuple of int
        Pitch classes of it that are not heard.
    """

    member: Member
    inside: float
    foreign: tuple[int, ...]
    missing: tuple[int, ...]


@dataclass(frozen=True, eq=False)
class Readings:
    """All readings of a stretch.

    Parameters
    ----------
    score : Score
    bar_indices : (int, int)
        First and last bar, as indices into `Score.bars`.
    parts : tuple of str or int
        Parts that were looked at; empty for all.
    family : Family
    """

    score: Score
    bar_indices: tuple[int, int]
    parts: tuple[str | int, ...]
    family: Family

    @property
    def where(self) -> str:
        """The bars in words: ``bars 9–12``."""
        return bars_in_words(self.score, *self.bar_indices)

    @property
    def onset(self) -> int:
        """Where it begins, in ticks."""
        return int(self.score.bars["onset"][self.bar_indices[0]])

    @property
    def end(self) -> int:
        """Where it ends, in ticks."""
        last = self.score.bars[self.bar_indices[1]]
        return int(last["onset"] + last["duration"])

    @cached_property
    def _slices(self) -> Slices:
        return slice_score(self.score, self.parts)

    @cached_property
    def rows(self) -> Rows:
        """Rows of the notes that sound in it, in the order of the note table."""
        return self._slices.rows_between(self.onset, self.end)

    @cached_property
    def verticals(self) -> tuple[Vertical, ...]:
        """What sounds together, from moment to moment; moments in which nothing sounds are left out."""
        return tuple(self._verticals())

    def _verticals(self) -> Iterator[Vertical]:
        slices, metre = self._slices, Metre(self.score)
        inside = np.flatnonzero((slices.ends > self.onset) & (slices.onsets < self.end) & (slices.masks > 0))
        chords = [(i, slices.pitches(i)) for i in inside.tolist()]
        for k, (i, pitches) in enumerate(chords):
            if k and chords[k - 1] == (i - 1, pitches):
                continue
            last = next(j for j in range(k, len(chords)) if chords[j + 1 : j + 2] != [(chords[j][0] + 1, pitches)])
            onset, end = max(self.onset, int(slices.cuts[i])), min(self.end, int(slices.cuts[chords[last][0] + 1]))
            yield Vertical(metre.place(onset), onset, end, pitches, self._names(i, pitches))

    def _names(self, index: int, pitches: tuple[int, ...]) -> tuple[str, ...]:
        """Names of the pitches of a slice, as the first note of each writes it."""
        slices = self._slices
        notes = self.score.notes[slices.rows_between(int(slices.cuts[index]), int(slices.cuts[index + 1]))]
        named = dict(zip(reversed(notes["pitch"].tolist()), reversed(sounding_names(notes)), strict=True))
        return tuple(named[pitch] for pitch in pitches)

    @cached_property
    def lines(self) -> tuple[VoiceLine, ...]:
        """The notes of each voice that sounds in it."""
        notes = self.score.notes[self.rows]
        ordered = notes[np.lexsort((notes["pitch"], notes["onset"], notes["voice"], notes["part"]))]
        voices = sorted({(int(part), int(voice)) for part, voice in ordered[["part", "voice"]].tolist()})
        return tuple(self._line(ordered, part, voice) for part, voice in voices)

    def _line(self, notes: Notes, part: int, voice: int) -> VoiceLine:
        own = notes[(notes["part"] == part) & (notes["voice"] == voice)]
        labels = self.score.parts[part].voices
        label = labels[voice] if voice < len(labels) else str(voice + 1)
        return VoiceLine(part_name(self.score, part), label, tuple(own["pitch"].tolist()), sounding_names(own))

    @cached_property
    def shares(self) -> NDArray[np.float64]:
        """Share of the sounding time that each pitch class takes: shape (12,)."""
        slices = self._slices
        long = np.clip(np.minimum(slices.ends, self.end) - np.maximum(slices.onsets, self.onset), 0, None)
        sounding = long @ tables.members()[slices.masks]
        return np.asarray(sounding / max(1, sounding.sum()), np.float64)

    @cached_property
    def whole(self) -> PcSet:
        """All pitch classes that sound in it."""
        return PcSet(np.flatnonzero(self.shares).tolist())

    @property
    def naming(self) -> Naming | None:
        """What the whole may be called as a chord; None where it has not 3 to 8 pitch classes."""
        return name_set(self.whole) if 3 <= self.whole.cardinality <= 8 else None

    @cached_property
    def collections(self) -> tuple[Holder, ...]:
        """Members of the family that hold it or most of it, best first; at most `MOST_COLLECTIONS`."""
        masks, heard = self.family.masks, self.whole.mask
        inside = np.minimum(1.0, self.shares @ tables.members()[masks].T).round(9)
        foreign = tables.size()[heard & ~masks]
        missing = tables.size()[masks & ~heard]
        order = np.lexsort((missing, -inside, foreign > 0))
        kept = [i for i in order.tolist() if heard and inside[i] >= LEAST_INSIDE][:MOST_COLLECTIONS]
        return tuple(self._holder(self.family.members[i], float(inside[i])) for i in kept)

    def _holder(self, member: Member, inside: float) -> Holder:
        heard = self.whole.mask
        foreign, missing = PcSet.of_mask(heard & ~member.mask), PcSet.of_mask(member.mask & ~heard)
        return Holder(member, inside, foreign.pcs, missing.pcs)

    @property
    def scales(self) -> tuple[Degrees, ...]:
        """The whole as degrees of the smallest and plainest scales of the catalogue that hold it."""
        return scales_containing(self.whole) if self.whole.mask else ()


def read_stretch(
    score: Score, bars: str | tuple[int, int] = "", *, parts: Iterable[str | int] = (), family: Family | None = None
) -> Readings:
    """Ask what is in a stretch of bars.

    Parameters
    ----------
    score : Score
    bars : str or (int, int)
        Printed numbers, ``9`` or ``9-12``, or indices of the first and the last bar; empty for the whole piece.
    parts : iterable of str or int
        Parts to look at, by printed name or index; empty for all.
    family : Family, optional
        Whose collections are asked; by default the scales without consecutive semitones.

    Returns
    -------
    Readings

    Raises
    ------
    InputError
        Where the score has no such bar or part.

    Examples
    --------
    >>> from sonorarium.score.score import BAR, NOTE, Part
    >>> notes, bars = np.zeros(4, NOTE), np.array([(0, 4, "1", 4, 4, 0)], BAR)
    >>> notes["onset"], notes["duration"], notes["pitch"] = (0, 0, 2, 2), 2, (60, 64, 59, 67)
    >>> notes["step"], notes["octave"] = (0, 2, 6, 4), (4, 4, 3, 4)
    >>> here = read_stretch(Score(notes, bars, (Part("P1", "Lute", voices=("1",)),), ticks_per_quarter=1), "1")
    >>> [vertical.notes for vertical in here.verticals], here.whole.label, here.naming.readings[0].symbol
    ([('C4', 'E4'), ('B3', 'G4')], '4-20', 'Cmaj7')
    >>> [holder.member.name for holder in here.collections[:2]]
    ['C hexatonic', 'C diatonic']
    """
    chosen = tuple(parts)
    rows_of_parts(score, chosen)
    first, last = bar_range(score, bars) if isinstance(bars, str) else bars
    if not 0 <= first <= last < len(score.bars):
        raise InputError(
            f"{score.title or 'The score'} has no bars with the indices {first} to {last}.",
            value=bars,
            suggestion=f"It has {len(score.bars)}, counted from 0." if len(score.bars) else "It has no bars.",
        )
    return Readings(score, (first, last), chosen, family or default_family())
