"""The kin of a set: what it becomes when one note gives way, its complement, and its partner in interval content.

Moves
-----
========  ==========================================================  =========  ===========================
kind      what happens                                                semitones  example, from C E G
========  ==========================================================  =========  ===========================
move      a note goes a semitone up or down, onto a free place        1          E moves to E♭
split     a note stays and also goes a semitone up or down            1          E splits into E and F
merge     of two notes a semitone apart one goes to the other         1          (none)
spread    a note goes to both of its chromatic neighbours             2          E spreads to E♭ and F
fuse      two notes a whole tone apart go to the note between them    2          (none)
========  ==========================================================  =========  ===========================

Moves are single-semitone voice leadings; spread and fuse are Callender's split and fuse (Journal of Music
Theory 42, 1998, pp. 219 ff.; from memory). A split or a merge is the same set
as one with a note added or left out; what is said is how near the note lies.

Spelling: a note that goes a semitone keeps its letter, unless that needs a double accidental or names a white key
after its neighbour (E♯ for F); then it takes the simplest name near the set on the line of fifths. In a scale of
seven notes a move never changes the letter for the second reason, so that seven letters stay seven. The names of
the others stay.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache

from sonorarium.errors import InputError
from sonorarium.pcs.insides import Source, settle
from sonorarium.pcs.pcset import PcSet
from sonorarium.pcs.scales import scale_kinds
from sonorarium.pcs.setclass import SetClass
from sonorarium.pcs.spelling import NATURAL_PC, Spelled, spell_in
from sonorarium.pcs.subject import Subject

KINDS = ("move", "split", "merge", "spread", "fuse")
_SAID = {
    "move": "moves to",
    "split": "splits into",
    "merge": "merge into",
    "spread": "spreads to",
    "fuse": "fuse into",
}
_SEMITONES = {"move": 1, "split": 1, "merge": 1, "spread": 2, "fuse": 2}


@dataclass(frozen=True)
class Neighbour:
    """A set that comes of another by one small move.

    Parameters
    ----------
    kind : str
        ``move``, ``split``, ``merge``, ``spread`` or ``fuse``.
    before, after : tuple of Spelled
        The notes concerned, and what they become.
    notes : tuple of Spelled
        The whole new set, rising from the root of the old where it has kept it, else from the note next above.
    scale : str
        What the catalogue of scales calls it, with its root (the old root where possible), or empty.
    """

    kind: str
    before: tuple[Spelled, ...]
    after: tuple[Spelled, ...]
    notes: tuple[Spelled, ...]
    scale: str

    @property
    def pcset(self) -> PcSet:
        """The new set."""
        return PcSet(note.pc for note in self.notes)

    @property
    def label(self) -> str:
        """Label of its class under transposition."""
        return self.pcset.label

    @property
    def semitones(self) -> int:
        """Semitones moved in all: 1 or 2."""
        return _SEMITONES[self.kind]

    @property
    def sentence(self) -> str:
        """What happens, in words: ``C♯ moves to C``."""
        before, after = (" and ".join(note.sign for note in notes) for notes in (self.before, self.after))
        return f"{before} {_SAID[self.kind]} {after}"


@dataclass(frozen=True)
class Kin:
    """The kin of a set.

    Parameters
    ----------
    title : str
        The set, as it is headed.
    neighbours : tuple of Neighbour
        By kind, then by the degree that gives way.
    complement : PcSet
        The notes that it has not.
    complement_class : SetClass
        Their class under transposition.
    partner : SetClass or None
        The other class with the same interval-class vector.
    mirror : SetClass
        The class, under transposition, of its inversions; its own where it is symmetrical.
    """

    title: str
    neighbours: tuple[Neighbour, ...]
    complement: PcSet
    complement_class: SetClass
    partner: SetClass | None
    mirror: SetClass


def kin(source: Source) -> Kin:
    """Everything near a set.

    Parameters
    ----------
    source : str, PcSet, SetClass, Collection or Subject

    Raises
    ------
    InputError
        Where a text is not understood.

    Examples
    --------
    >>> found = kin("D double harmonic")
    >>> found.complement_class, found.partner, found.mirror
    (SetClass('5-22'), None, SetClass('7-22'))
    """
    scale = settle(source)
    held = scale.pcset
    return Kin(scale.title, neighbours(scale), ~held, (~held).tn_class, held.partner, held.inverted().tn_class)


def neighbours(source: Source, *, kinds: tuple[str, ...] = KINDS) -> tuple[Neighbour, ...]:
    """Sets that come of a set by one small move, with the notes concerned.

    Parameters
    ----------
    source : str, PcSet, SetClass, Collection or Subject
    kinds : tuple of str
        Which of the moves above.

    Returns
    -------
    tuple of Neighbour
        By kind, then by degree, down before up.

    Raises
    ------
    InputError
        Where a text is not understood, or there is no such kind of move.

    Examples
    --------
    >>> for one in neighbours("D double harmonic", kinds=("move",))[:3]:
    ...     print(one.label, one.sentence, one.scale, sep=" | ")
    7-32B | E♭ moves to E | D harmonic major
    7-30A | F♯ moves to F | D neapolitan minor
    7-20B | G moves to G♯ | D lydian b2 b6
    """
    strange = [kind for kind in kinds if kind not in KINDS]
    if strange:
        raise InputError(
            f"There is no move {strange[0]!r}.", value=kinds, suggestion=f"There are: {', '.join(KINDS)}."
        )
    scale = settle(source)
    return tuple(
        _neighbour(scale, kind, before, after)
        for kind in KINDS
        if kind in kinds
        for before, after in _changes(kind, scale.rising)
    )


Change = tuple[tuple[int, ...], tuple[int, ...]]


def _changes(kind: str, rising: tuple[int, ...]) -> Iterator[Change]:
    """Pitch classes before and after, for every move of a kind."""
    for pc in rising:
        for by in (-1, 1):
            other = (pc + by) % 12
            if kind == "move" and other not in rising:
                yield (pc,), (other,)
            if kind == "split" and other not in rising:
                yield (pc,), (pc, other) if by > 0 else (other, pc)
            if kind == "merge" and other in rising:
                yield (pc, other) if by > 0 else (other, pc), (other,)
        below, above, top = (pc - 1) % 12, (pc + 1) % 12, (pc + 2) % 12
        if kind == "spread" and below not in rising and above not in rising:
            yield (pc,), (below, above)
        if kind == "fuse" and top in rising and above not in rising:
            yield (pc, top), (above,)


def _neighbour(scale: Subject, kind: str, before: tuple[int, ...], after: tuple[int, ...]) -> Neighbour:
    names = dict(zip(scale.rising, scale.notes, strict=True))
    old = tuple(names[pc] for pc in before)
    new = tuple(names[pc] if pc in before else _gone(old[0], pc, scale, kind) for pc in after)
    kept = {pc: note for pc, note in names.items() if pc not in before} | {note.pc: note for note in new}
    notes = tuple(kept[pc] for pc in PcSet(kept).rising_from(scale.rising[0]))
    return Neighbour(kind, old, new, notes, scale_name(notes, scale.notes[0]))


def _gone(note: Spelled, pc: int, scale: Subject, kind: str) -> Spelled:
    """Name what a note becomes when it goes a semitone up or down."""
    same = Spelled(note.step, (pc - NATURAL_PC[note.step] + 6) % 12 - 6)
    needless = same.alter != 0 and pc in NATURAL_PC and not (kind == "move" and len(scale.notes) == 7)
    return spell_in(scale.notes, (pc,))[0] if needless or abs(same.alter) > 1 else same


def scale_name(notes: tuple[Spelled, ...], root: Spelled) -> str:
    """Name a set as a scale of the catalogue: on a given root if it is one there, else on the root of its parent.

    >>> from sonorarium.pcs.spelling import read_note
    >>> def named(notes: str, root: str) -> str:
    ...     return scale_name(tuple(map(read_note, notes.split())), read_note(root))
    >>> named("D E F G A Bb C#", "D"), named("E F G A Bb C# D", "C"), named("D F A", "D")
    ('D harmonic minor', 'D harmonic minor', '')
    """
    mask = PcSet(note.pc for note in notes).mask
    if (mask, root.pc) in _scale_names():
        return f"{root.text} {_scale_names()[mask, root.pc]}"
    pc, name = _parents().get(mask, (0, ""))
    return next((f"{note.text} {name}" for note in notes if name and note.pc == pc), "")


@cache
def _scale_names() -> dict[tuple[int, int], str]:
    """The first name of every scale of the catalogue by its notes and its root."""
    found: dict[tuple[int, int], str] = {}
    for kind in scale_kinds():
        for pc in range(12):
            found.setdefault((kind.pcset.transposed(pc).mask, pc), kind.name)
    return found


@cache
def _parents() -> dict[int, tuple[int, str]]:
    """For every set that is a scale of the catalogue, the root and name of the first that it is."""
    found: dict[int, tuple[int, str]] = {}
    for (mask, pc), name in _scale_names().items():
        found.setdefault(mask, (pc, name))
    return found
