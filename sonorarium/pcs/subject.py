"""The subject of a sheet, a figure or a sound: a set with the order and the names of its notes settled.

Whatever a person types has to be shown somewhere as notes in a row. A collection brings its root and its spelling;
chords and stacks rise from their root; notes typed by name keep their names and rise from the first one typed; any
other bare set is taken in normal order and spelled freely; a class stands for its best-packed form from C.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

from sonorarium.pcs.chordsymbol import Chord
from sonorarium.pcs.collection import Collection, Degrees
from sonorarium.pcs.german import from_german
from sonorarium.pcs.pcset import PcSet, SetFacts
from sonorarium.pcs.pitches import Pitches
from sonorarium.pcs.reading import Readable, note_words, read_set, with_flats_joined
from sonorarium.pcs.setclass import SetClass
from sonorarium.pcs.spelling import NOTE_PATTERN, Spelled, read_note, spell, spell_freely
from sonorarium.pcs.stacks import IntervalStack, Stacked


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
    bass : Spelled or None
        Its lowest note, where a chord has another than its root.
    is_named : bool
        Whether its names come from what was typed, and not from the rules of spelling alone.
    pitches : tuple of int
        MIDI numbers, ascending, where notes were typed with their octaves.
    """

    title: str
    pcset: PcSet
    notes: tuple[Spelled, ...]
    root: Spelled | None = None
    bass: Spelled | None = None
    is_named: bool = False
    pitches: tuple[int, ...] = ()

    @property
    def rising(self) -> tuple[int, ...]:
        """Pitch classes in the order of the notes."""
        return tuple(note.pc for note in self.notes)

    @property
    def heights(self) -> tuple[int, ...]:
        """Semitones of each note above the first."""
        return tuple((pc - self.rising[0]) % 12 for pc in self.rising)

    @property
    def degrees(self) -> tuple[str, ...]:
        """Each note as a degree of the major scale on the root, altered where it differs: ``♭2``, ``♯4``.

        Counted from the first note where there is no root.

        >>> subject("D double harmonic").degrees
        ('1', '♭2', '3', '4', '5', '♭6', '7')
        """
        return tuple(degree_name(note, self.notes[0]) for note in self.notes)


def degree_name(note: Spelled, root: Spelled) -> str:
    """A note as a degree of the major scale on a root.

    >>> degree_name(Spelled(2, -1), Spelled(0)), degree_name(Spelled(6, -1), Spelled(0, 1))
    ('♭3', '𝄫7')
    """
    letters = (note.step - root.step) % 7
    natural = (0, 2, 4, 5, 7, 9, 11)[letters]
    alter = (note.pc - root.pc - natural + 6) % 12 - 6
    sign = {-3: "♭𝄫", -2: "𝄫", -1: "♭", 0: "", 1: "♯", 2: "𝄪", 3: "♯𝄪"}[alter]
    return f"{sign}{letters + 1}"


def subject(what: str | Readable, *, german: bool = False) -> Subject:
    """Settle order and spelling of what was typed or read.

    Raises `InputError` where a text is not understood.

    >>> subject("D double harmonic").heights
    (0, 1, 4, 5, 7, 8, 11)
    >>> subject("7 0 3").title, subject("C E Ab B").title
    ('C E♭ G', 'C E A♭ B')
    """
    found = read_set(what, german=german) if isinstance(what, str) else what
    if isinstance(found, SetClass):
        rising = found.representative.pcs
        return Subject(found.label, found.representative, spell(rising, Spelled(0)) if rising else ())
    if isinstance(found, Collection):
        return Subject(found.name, found.pcset, found.spelling, found.root, is_named=True)
    if isinstance(found, Chord):
        return replace(_named(found, found.sign(), found.root), bass=found.bass)
    if isinstance(found, Stacked):
        return _named(found, found.name, found.lower.root)
    if isinstance(found, IntervalStack):
        return _named(found, found.name, found.root)
    if isinstance(found, Pitches):
        return replace(_named(found, found.name, None), pitches=found.midi)
    if isinstance(found, Degrees):
        return _named(found, found.name, None)
    typed = _as_typed(from_german(what) if german else what, found) if isinstance(what, str) else None
    return typed or (_placed(what, found) if isinstance(what, str) else None) or _bare(found)


def _named(found: Chord | Stacked | IntervalStack | Degrees | Pitches, title: str, root: Spelled | None) -> Subject:
    """Something that has names for its notes, in rising order from its root, or from the first of them."""
    names = {note.pc: note for note in reversed(found.spelling)}
    first = root or found.spelling[0]
    rising = found.pcset.rising_from(first.pc)
    return Subject(title, found.pcset, tuple(names[pc] for pc in rising), root, is_named=True)


def _as_typed(text: str, found: SetFacts) -> Subject | None:
    """The notes of a text that is nothing but names of the notes found, or None."""
    words = note_words(text)
    if not words or not all(re.fullmatch(NOTE_PATTERN, word) for word in words):
        return None
    if PcSet(read_note(word).pc for word in words) != found.pcset:
        words = with_flats_joined(words)
    names = {note.pc: note for note in reversed([read_note(word) for word in words])}
    rising = PcSet(names).rising_from(read_note(words[0]).pc)
    notes = tuple(names[pc] for pc in rising)
    return Subject(" ".join(note.sign for note in notes), PcSet(names), notes, is_named=True)


def _placed(text: str, found: SetFacts) -> Subject | None:
    """A class, prime form or pattern put on a note, ``4-19A on C``: spelled upward from that note, under its name."""
    place = re.search(rf"\bon ({NOTE_PATTERN})$", text.strip())
    if not place or read_note(place[1]).pc not in found.pcset:
        return None
    first = read_note(place[1])
    notes = spell(found.pcset.rising_from(first.pc), first)
    return Subject(" ".join(text.split()), found.pcset, notes, is_named=True)


def _bare(facts: SetFacts) -> Subject:
    notes = spell_freely(facts.normal_order)
    return Subject(" ".join(n.sign for n in notes) or "the empty set", facts.pcset, notes)
