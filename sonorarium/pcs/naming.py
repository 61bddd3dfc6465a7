"""What a set may be called: chord readings in order, and why the first is first.

A reading takes one of the notes as root and says every other note as a member of a chord on it, by the vocabulary of
`sonorarium.pcs.chordquality`. Nothing is glossed over: a member that the symbol requires and the set has not is
printed (``no5``), and each symbol read back gives exactly the set, with its bass.

Readings are ranked by a cost in named parts (`sonorarium.pcs.chordfit`), the least first; those that cost more than 6
are shown only where there is nothing better. Among equals the root with a perfect fifth above it goes first, then the
plainer name, then the lower pitch class.

The neutral label of the set stands beside every reading. The ranking is this program's own and says its reasons; a
person's pinned names go before it. Chord vocabulary: common practice.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import chain

from sonorarium.errors import InputError
from sonorarium.pcs.chordfit import Cost, qualities_of, quality_cost
from sonorarium.pcs.chordquality import Quality, Style
from sonorarium.pcs.chordsymbol import Chord, chord, simplest_root
from sonorarium.pcs.collection import Collection, Degrees, scales_containing
from sonorarium.pcs.pcset import PcSet, SetFacts
from sonorarium.pcs.spelling import Spelled, root_names
from sonorarium.pcs.stacks import IntervalStack, Stacked, interval_stacks, stacked_readings


@dataclass(frozen=True)
class Reading:
    """One way to call a set.

    Parameters
    ----------
    chord : Chord
        Root, quality and bass.
    cost : Cost
    members : tuple of (Spelled, str)
        Each note with its degree in the chord; a foreign bass has the degree ``bass``.
    pinned : bool
        Whether a person asked for this name.
    """

    chord: Chord
    cost: Cost
    members: tuple[tuple[Spelled, str], ...]
    pinned: bool = False

    @property
    def symbol(self) -> str:
        """Its symbol, to be typed."""
        return self.chord.symbol

    @property
    def root(self) -> Spelled:
        """Its root."""
        return self.chord.root

    @property
    def omitted(self) -> tuple[str, ...]:
        """Members that the symbol says are left out."""
        return self.chord.quality.omitted


@dataclass(frozen=True)
class Naming:
    """Everything a set may be called.

    Parameters
    ----------
    notes : PcSet
    bass : int or None
        Pitch class of the lowest note, where one was given.
    readings : tuple of Reading
        Chord readings, the first first; empty where no chord symbol says exactly this set.
    why : str
        One sentence: why the first is first, or why there is none.
    """

    notes: PcSet
    bass: int | None
    readings: tuple[Reading, ...]
    why: str

    @property
    def label(self) -> str:
        """The neutral name: the label of its class under transposition."""
        return self.notes.label

    @cached_property
    def stacked(self) -> tuple[Stacked, ...]:
        """The set as two chords, one over the other."""
        return stacked_readings(self.notes, bass=self.bass)

    @cached_property
    def stacks(self) -> tuple[IntervalStack, ...]:
        """The set as a stack of one kind of interval."""
        return interval_stacks(self.notes, bass=self.bass)

    @cached_property
    def scales(self) -> tuple[Degrees, ...]:
        """The set as degrees of the smallest and plainest scales that hold it."""
        return scales_containing(self.notes)


def name_set(
    notes: SetFacts,
    *,
    bass: int | None = None,
    within: Collection | Sequence[Spelled] | None = None,
    pinned: Sequence[str] = (),
    limit: int = 8,
    style: Style = "maj7",
) -> Naming:
    """Name a set of 3 to 8 notes.

    Parameters
    ----------
    notes : SetFacts
    bass : int, optional
        Pitch class of the lowest note, which must be in the set.
    within : Collection or sequence of Spelled, optional
        Scale in which the notes stand and from which they take their names; or names that a person has typed for some
        of them, which roots then keep.
    pinned : sequence of str
        Chord symbols that go first; each stands for its quality on every root (``E/C`` for every major triad with
        the minor sixth of its root in the bass).
    limit : int
        At most so many readings.
    style : str
        House style of the symbols in the sentence why.

    Returns
    -------
    Naming

    Raises
    ------
    InputError
        Where the set has not 3 to 8 notes, the bass is not in it, or a pinned symbol cannot be read.

    Examples
    --------
    >>> naming = name_set(PcSet((0, 4, 8, 11)))
    >>> naming.readings[0].symbol, naming.readings[0].members[2], naming.label
    ('Cmaj7#5', (Spelled(step=4, alter=1), '#5'), '4-19B')
    >>> name_set(PcSet((0, 4, 7, 9)), bass=0).why
    'C6 comes first because it costs 1 (quality 1); Am7/C costs 2 (bass 2).'
    """
    if not 3 <= notes.cardinality <= 8:
        raise InputError(
            f"A set of {notes.cardinality} has no chord names.", value=notes, suggestion="Take 3 to 8 notes."
        )
    if bass is not None and not notes.mask >> bass & 1:
        low = root_names(bass)[0].sign if 0 <= bass <= 11 else str(bass)
        raise InputError(f"{low} is not in the set.", value=bass, suggestion="Give a bass from the set.")
    scale = within if isinstance(within, Collection) else None
    typed = {name.pc: name for name in within or ()} if not isinstance(within, Collection) else {}
    pins = tuple(map(chord, pinned))
    found = {r.chord: r for r in (_reading(*c, scale, typed) for c in _chords(notes.mask, bass))}
    for pin in _pinned_chords(pins, notes, bass):
        known = found.get(pin)
        found[pin] = Reading(pin, known.cost if known else _cost(pin), _members(pin, scale), pinned=True)
    readings = tuple(sorted(found.values(), key=_rank)[:limit])
    enough = max((6, *(r.cost.total for r in readings[:1])))
    readings = tuple(r for r in readings if r.pinned or r.cost.total <= enough)
    return Naming(notes.pcset, bass, readings, _why(readings, style))


def _rank(reading: Reading) -> tuple[bool, int, bool, int, int]:
    """Sort key: pinned first, then by cost, then by the rule among equals."""
    root, heights = reading.root, reading.chord.quality.heights
    return not reading.pinned, reading.cost.total, 7 not in heights, abs(root.alter), root.pc


def _why(readings: tuple[Reading, ...], style: Style) -> str:
    if not readings:
        return "No chord symbol says exactly these notes; the label and the stacks do."
    first = readings[0]
    name = first.chord.symbol_in(style)
    if first.pinned:
        return f"{name} comes first because it is pinned."
    if len(readings) == 1:
        return f"{name} is the only reading; it costs {first.cost}."
    second = readings[1]
    other = second.chord.symbol_in(style)
    if first.cost.total < second.cost.total:
        return f"{name} comes first because it costs {first.cost}; {other} costs {second.cost}."
    places = zip(
        _rank(first)[2:], _rank(second)[2:], ("a perfect fifth above its root", "a plainer root", ""), strict=True
    )
    better = next((reason for mine, its, reason in places if mine != its), "")
    because = (
        f"it has {better}" if better else "its root comes first from C upward, and nothing else tells them apart"
    )
    return f"{name} and {other} cost the same, {first.cost}; {name} comes first because {because}."


def _reading(
    quality: Quality, root_pc: int, bass_pc: int | None, within: Collection | None, typed: Mapping[int, Spelled]
) -> Reading:
    simplest = typed.get(root_pc) or simplest_root(root_pc, quality)
    root = within.spell((root_pc,))[0] if within else simplest
    made = Chord(root, quality, _bass_name(root, bass_pc, within))
    return Reading(made, _cost(made), _members(made, within))


def _bass_name(root: Spelled, pc: int | None, within: Collection | None) -> Spelled | None:
    if pc is None or pc == root.pc:
        return None
    if within:
        return within.spell((pc,))[0]
    return min(root_names(pc), key=lambda name: (abs(name.fifths - root.fifths - 1), name))


def _members(made: Chord, within: Collection | None) -> tuple[tuple[Spelled, str], ...]:
    pairs = made.members
    if made.bass and made.bass not in [note for note, _ in pairs]:
        pairs = ((made.bass, "bass"), *pairs)
    if within is None:
        return pairs
    names = within.spell(note.pc for note, _ in pairs)
    return tuple((name, degree) for name, (_, degree) in zip(names, pairs, strict=True))


def _pinned_chords(pins: tuple[Chord, ...], notes: SetFacts, bass: int | None) -> Iterator[Chord]:
    """Each pinned symbol moved to wherever it says exactly the set."""
    for pin in pins:
        for n in range(12):
            root = (pin.root.pc + n) % 12
            low = (pin.bass.pc + n) % 12 if pin.bass else root
            if pin.pcset.transposed(n).mask == notes.mask and bass in (None, low):
                name = simplest_root(root, pin.quality)
                yield Chord(name, pin.quality, _bass_name(name, low, None))


def _cost(made: Chord) -> Cost:
    quality = quality_cost(made.quality)
    if made.bass is None:
        return quality
    member = (made.bass.pc - made.root.pc) % 12 in made.quality.heights
    return Cost(quality.quality, quality.alterations, quality.additions, quality.omissions, 2 if member else 3)


def _chords(mask: int, bass: int | None) -> Iterator[tuple[Quality, int, int | None]]:
    """Every quality, root and bass that together are exactly the set."""
    whole = ((quality, root, bass) for root, at_zero in _rooted(mask) for quality in qualities_of(at_zero))
    if bass is None or mask.bit_count() < 4:
        return whole
    upper = mask & ~(1 << bass)
    above = ((quality, root, bass) for root, at_zero in _rooted(upper) for quality in qualities_of(at_zero))
    return chain(whole, (found for found in above if not quality_cost(found[0]).omissions))


def _rooted(mask: int) -> list[tuple[int, int]]:
    """Each note of a set, with the set moved so that this note is 0."""
    return [(pc, (mask >> pc | mask << (12 - pc)) & 0xFFF) for pc in range(12) if mask >> pc & 1]
