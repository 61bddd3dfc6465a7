"""The subject of a sheet, a figure or a sound: a set with the order and the names of its notes settled.

Whatever a person types has to be shown somewhere as notes in a row. A collection brings its root and its spelling; a
bare set is taken in normal order and spelled freely; a class stands for its best-packed form from C.
"""

from __future__ import annotations

from dataclasses import dataclass

from sonorarium.pcs.collection import Collection
from sonorarium.pcs.pcset import PcSet, SetFacts
from sonorarium.pcs.reading import Readable, read_set
from sonorarium.pcs.setclass import SetClass
from sonorarium.pcs.spelling import Spelled, spell_freely


@dataclass(frozen=True)
class Subject:
    """A set in the order and spelling in which it is shown.

    Parameters
    ----------
    title : str
        As it is headed: ``D double harmonic``, ``4-19B``, ``C E A♭ B``.
    pcset : PcSet
    notes : tuple of Spelled
        Rising from the root, or in normal order where there is none.
    root : Spelled or None
        Its root, where one was given.
    """

    title: str
    pcset: PcSet
    notes: tuple[Spelled, ...]
    root: Spelled | None = None

    @property
    def rising(self) -> tuple[int, ...]:
        """Pitch classes in the order of the notes."""
        return tuple(note.pc for note in self.notes)

    @property
    def heights(self) -> tuple[int, ...]:
        """Semitones of each note above the first."""
        return tuple((pc - self.rising[0]) % 12 for pc in self.rising)


def subject(what: str | Readable) -> Subject:
    """Settle order and spelling of what was typed or read.

    Raises `InputError` where a text is not understood.

    >>> subject("D double harmonic").heights
    (0, 1, 4, 5, 7, 8, 11)
    >>> subject("7 0 3").title
    'C E♭ G'
    """
    found = read_set(what) if isinstance(what, str) else what
    if isinstance(found, Collection):
        return Subject(found.name, found.pcset, found.spelling, found.root)
    if isinstance(found, SetClass):
        return _bare(found.representative, found.label)
    return _bare(found, "")


def _bare(facts: SetFacts, title: str) -> Subject:
    notes = spell_freely(facts.normal_order)
    return Subject(title or " ".join(n.sign for n in notes) or "the empty set", facts.pcset, notes)
