"""Voice leading: how the notes of one chord move to the notes of the next.

A **voice leading** sends every note of a chord to some note of the next, and reaches every note there. Between sets
it lives among pitch classes: each voice takes the shorter way, so that moves run from −6 to +6. From or to a
`Voicing`, or notes typed with octaves, it lives among pitches; a set is placed where it is nearest. Chords of
different sizes are led by doubling notes of the smaller one; see `Rules.voices` for more.

The **size** of a voice leading is the sum of its moves, the largest of them, or Euclid's root of the sum of squares,
in semitones, or in steps of a scale where the rules name one. Of equal size, the one whose movement is spread more
evenly comes first. All answers are exact and come in order (`sonorarium.pitch.leadgrid`).

A set class as the goal means whichever of its forms is nearest; as the start, its best-packed form from C.

Sources: Tymoczko, The geometry of musical chords, Science 313 (2006), 72-74, for voice leadings between chords of any
sizes, and for the fact that of the least ones one is without crossings; Cohn, Audacious Euphony (2012), and Straus,
Uniformity, balance, and smoothness in atonal voice leading, Music Theory Spectrum 25 (2003), who count the same sum
(all from memory). Other books measure a voice leading by common tones alone, or forbid doubling; the first is shown
with each result, the second is the rule ``needed`` between chords of one size.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from heapq import merge
from itertools import islice
from math import sqrt

import numpy as np

from sonorarium.errors import InputError, NothingFoundError
from sonorarium.pcs.pcset import PcSet, SetFacts
from sonorarium.pcs.pitches import Pitches
from sonorarium.pcs.reading import Readable, read_set
from sonorarium.pcs.setclass import SetClass
from sonorarium.pcs.spelling import Spelled, spell_in
from sonorarium.pcs.subject import subject
from sonorarium.pitch.leadgrid import Allowed, Grid, Task, Voice, class_grid, closed_grid, open_grid, ranked
from sonorarium.pitch.movement import Measure, Move, Rules, checked_measure
from sonorarium.pitch.voicing import Voicing

Chordlike = str | Readable | SetFacts | Voicing
"""What can be led from and to."""

_CHROMATIC = PcSet(range(12))


@dataclass(frozen=True)
class VoiceLeading:
    """One way from chord to chord.

    Parameters
    ----------
    start, end : tuple of int
        The two chords, ascending: pitch classes, or MIDI numbers where the moves are pitched.
    moves : tuple of Move
        One for each voice, the lowest start first.
    measure : str
        ``sum``, ``largest`` or ``euclid``.

    Examples
    --------
    >>> best = lead("C E G", "C# E A")[0]
    >>> best.size, [move.text for move in best.moves]
    (3, ['C up a semitone to C♯', 'common tone E', 'G up a whole tone to A'])
    """

    start: tuple[int, ...]
    end: tuple[int, ...]
    moves: tuple[Move, ...]
    measure: Measure = "sum"

    @property
    def size(self) -> float:
        """How far the voices move, by the measure."""
        sizes = [move.size for move in self.moves]
        if self.measure == "euclid":
            return sqrt(sum(size * size for size in sizes))
        return max(sizes, default=0) if self.measure == "largest" else sum(sizes)

    @property
    def common_tones(self) -> tuple[int, ...]:
        """Notes that some voice holds, ascending."""
        return tuple(sorted({move.start for move in self.moves if move.is_common_tone}))

    @property
    def doubled(self) -> tuple[int, ...]:
        """Notes of the start from which more than one voice moves."""
        return _repeated([move.start for move in self.moves])

    @property
    def merged(self) -> tuple[int, ...]:
        """Notes of the end in which more than one voice arrives."""
        return _repeated([move.end for move in self.moves])

    @property
    def text(self) -> str:
        """Every voice's move in words."""
        return "; ".join(move.text for move in self.moves)

    @property
    def reversed(self) -> VoiceLeading:
        """The same way back."""
        moves = sorted((move.reversed for move in self.moves), key=lambda move: (move.start, move.by))
        return VoiceLeading(self.end, self.start, tuple(moves), self.measure)


def _repeated(notes: list[int]) -> tuple[int, ...]:
    return tuple(sorted({note for note in notes if notes.count(note) > 1}))


@dataclass(frozen=True)
class Leadings:
    """Voice leadings between two chords, the least first.

    Parameters
    ----------
    found : tuple of VoiceLeading
    cut : bool
        Whether there are more than were asked for.
    """

    found: tuple[VoiceLeading, ...]
    cut: bool

    def __len__(self) -> int:
        return len(self.found)

    def __iter__(self) -> Iterator[VoiceLeading]:
        return iter(self.found)

    def __getitem__(self, place: int) -> VoiceLeading:
        return self.found[place]


def lead(
    from_: Chordlike, to: Chordlike, *, measure: str = "sum", limit: int = 5, rules: Rules | None = None
) -> Leadings:
    """Lead the voices of one chord to another, by the least movement.

    Parameters
    ----------
    from_, to : str, Readable, SetFacts or Voicing
        The two chords. Notes with octaves and voicings are taken as pitches, all else as pitch classes.
    measure : str
        ``sum``, ``largest`` or ``euclid``.
    limit : int
        At most so many.
    rules : Rules, optional
        What voices may do; by default as many as are needed move, without crossing.

    Returns
    -------
    Leadings
        The least first; ties by the more even movement.

    Raises
    ------
    InputError
        Where a chord is not understood or empty, or the rules do not fit it.
    NothingFoundError
        Where no voice leading keeps the rules.

    Examples
    --------
    >>> [leading.size for leading in lead("C", "Am", limit=3)]
    [2, 10, 14]
    >>> best = lead("C3 G3 E4", "F7")[0]
    >>> best.end, best.doubled, best.moves[1].text
    ((48, 57, 63, 65), (64,), 'G3 up a whole tone to A3')
    >>> lead("C7", "4-28")[0].text
    'C up a semitone to C♯; common tone E; common tone G; common tone B♭'
    """
    rules = rules or Rules()
    measure = checked_measure(measure)
    if limit < 1:
        raise InputError(f"{limit} voice leadings were asked for.", value=limit, suggestion="Ask for 1 or more.")
    (start, *_), goals = _sides(from_), _sides(to)
    ways = (_Way(start, goal, measure, rules) for goal in goals)
    every = merge(*(way.ranked() for way in ways), key=lambda entry: entry[0])
    found = tuple(leading for _, leading in islice(every, limit + 1))
    if not found:
        raise NothingFoundError(
            "No voice leading keeps these rules.",
            value=rules,
            suggestion="Allow crossings, parallels or a larger leap, or settle fewer voices.",
        )
    return Leadings(found[:limit], len(found) > limit)


def straight(
    start: Voicing, end: Voicing, *, names: tuple[tuple[Spelled, ...], ...] = ((), ()), measure: Measure = "sum"
) -> VoiceLeading:
    """Lead each voice to the voice that lies at the same place, counted from the lowest.

    Parameters
    ----------
    start, end : Voicing
        Of one size.
    names : tuple of (tuple of Spelled, tuple of Spelled)
        Names for the notes of each; those that have none are spelled for the chord in which they occur.

    Raises
    ------
    InputError
        Where the two have not the same number of voices.

    Examples
    --------
    >>> straight(Voicing((48, 55, 64)), Voicing((47, 55, 62))).size
    3
    """
    if len(start.pitches) != len(end.pitches):
        raise InputError("The two voicings have not the same number of voices.", value=(start, end))
    voiced = zip((start, end), names, strict=True)
    at_start, at_end = ({**_named(v.pcset), **{n.pc: n for n in given}} for v, given in voiced)
    moves = (
        Move(a, b, b - a, (at_start[a % 12], at_end[b % 12]), pitched=True)
        for a, b in zip(start.pitches, end.pitches, strict=True)
    )
    return VoiceLeading(start.pitches, end.pitches, tuple(moves), measure)


# --- the two chords -----------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class _Side:
    notes: tuple[int, ...]
    pitched: bool
    names: tuple[Spelled, ...]

    @property
    def pcs(self) -> tuple[int, ...]:
        return tuple(sorted({note % 12 for note in self.notes}))


def _sides(chord: Chordlike) -> tuple[_Side, ...]:
    """Settle notes and names; a set class gives a side for each of its forms, the one from C first."""
    if isinstance(chord, Voicing):
        return (_filled(_Side(chord.pitches, True, tuple(_named(chord.pcset).values()))),)
    meant = read_set(chord) if isinstance(chord, str) else chord
    if isinstance(meant, SetClass):
        forms = dict.fromkeys((meant.representative, *meant.forms))
        return tuple(_filled(_Side(form.pcs, False, tuple(_named(form).values()))) for form in forms)
    names = getattr(meant, "spelling", None)
    if names is None:
        names = subject(chord).notes if isinstance(chord, str) else tuple(_named(meant.pcset).values())
    pitched = isinstance(meant, Pitches)
    return (_filled(_Side(meant.midi if isinstance(meant, Pitches) else meant.pcs, pitched, tuple(names))),)


def _filled(side: _Side) -> _Side:
    if not side.notes:
        raise InputError("A chord without notes cannot be led.", value=side.notes)
    return side


def _named(notes: SetFacts) -> dict[int, Spelled]:
    return {name.pc: name for name in subject(notes.pcset).notes}


# --- one way ------------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class _Ladder:
    """The notes through which voices step: a scale, or all twelve."""

    scale: SetFacts

    @property
    def octave(self) -> int:
        return self.scale.cardinality

    def steps(self, notes: tuple[int, ...]) -> tuple[int, ...]:
        """Count notes in steps; raises `InputError` where one is foreign to the scale."""
        foreign = [note for note in notes if note % 12 not in self.scale.pcs]
        if foreign:
            raise InputError(
                f"Pitch class {foreign[0] % 12} is foreign to the scale in which the voices are to move.",
                value=foreign[0],
                suggestion="Take chords of the scale, or lead them by semitones.",
            )
        return tuple(note // 12 * self.octave + self.scale.pcs.index(note % 12) for note in notes)

    def note(self, step: int) -> int:
        return step // self.octave * 12 + self.scale.pcs[step % self.octave]


@dataclass(frozen=True)
class _Way:
    """From one side to another under rules."""

    start: _Side
    goal: _Side
    measure: Measure
    rules: Rules

    def ranked(self) -> Iterator[tuple[tuple[int, int], VoiceLeading]]:
        if self.goal.pitched and not self.start.pitched:
            fixed = tuple((end, start) for start, end in self.rules.fixed)
            back = _Way(self.goal, self.start, self.measure, replace(self.rules, fixed=fixed))
            yield from ((key, leading.reversed) for key, leading in back.ranked())
            return
        task = Task(
            self.measure,
            self._voices,
            self.rules.crossings,
            thrifty=self.rules.voices == "free",
            clash=None if self.rules.parallels else self._clash,
        )
        yield from ((key, self._leading(voices)) for key, voices in ranked(self._grid, task))

    @cached_property
    def ladder(self) -> _Ladder:
        return _Ladder(_CHROMATIC if self.rules.within is None else self.rules.within)

    @property
    def _goal_notes(self) -> tuple[int, ...]:
        return self.goal.notes if self.goal.pitched else self.goal.pcs

    @property
    def _voices(self) -> tuple[int, ...]:
        sizes = len(self.start.notes), len(self._goal_notes)
        if self.rules.voices == "needed":
            return (max(sizes),)
        if self.rules.voices == "free":
            return tuple(range(max(sizes), sum(sizes)))
        if self.rules.voices < max(sizes):
            raise InputError(
                f"{self.rules.voices} voices do not fill chords of {sizes[0]} and {sizes[1]} notes.",
                value=self.rules.voices,
                suggestion=f"Use {max(sizes)} or more.",
            )
        return (int(self.rules.voices),)

    @cached_property
    def _grid(self) -> Grid:
        starts, ends = self.ladder.steps(self.start.notes), self.ladder.steps(self._goal_notes)
        octave, leap = self.ladder.octave, self.rules.leap
        if self.goal.pitched:
            grid = closed_grid(starts, ends)
        elif self.start.pitched:
            grid = open_grid(starts, ends, octave=octave, reach=octave if leap is None else leap)
        else:
            grid = class_grid(starts, ends, octave=octave)
        allowed = grid.allowed if leap is None else grid.allowed & (grid.distances <= leap)
        for fixed in self.rules.fixed:
            allowed = self._settled(grid, allowed, fixed)
        return replace(grid, allowed=allowed)

    def _settled(self, grid: Grid, allowed: Allowed, fixed: tuple[int, int]) -> Allowed:
        """Leave a note one way to go; ends below 12 are pitch classes."""
        note, end = fixed
        places = np.array([self.ladder.note(int(e)) for e in grid.ends])
        there = places % 12 == end if end < 12 else places == end
        if note not in self.start.notes or not there.any():
            raise InputError(
                f"No voice can be settled from {note} to {end}: the chords have not both notes.",
                value=fixed,
                suggestion="Use MIDI numbers for voicings and pitch classes for sets.",
            )
        row = np.array(self.start.notes) == note
        settled: Allowed = allowed & (~row[:, None] | there)
        return settled

    def _clash(self, one: Voice, other: Voice) -> bool:
        """Whether two voices move in parallel fifths, octaves or unisons."""
        (low, low_to), (high, high_to) = sorted(tuple(map(self.ladder.note, voice)) for voice in (one, other))
        perfect = (0, 7) if self.start.pitched else (0, 5, 7)
        interval = (high - low) % 12
        same_way = (low_to - low) * (high_to - high) > 0
        return same_way and interval in perfect and (high_to - low_to) % 12 == interval

    def _leading(self, voices: tuple[Voice, ...]) -> VoiceLeading:
        moves = tuple(sorted(map(self._move, voices), key=lambda move: (move.start, move.by)))
        reached = tuple(sorted({move.end for move in moves}))
        return VoiceLeading(self.start.notes, reached, moves, self.measure)

    def _move(self, voice: Voice) -> Move:
        start, end = map(self.ladder.note, voice)
        steps = None if self.rules.within is None else voice[1] - voice[0]
        names = self._name(self.start, start), self._name(self.goal, end)
        if self.start.pitched:
            return Move(start, end, end - start, names, True, steps)
        return Move(start % 12, end % 12, end - start, names, False, steps)

    def _name(self, side: _Side, note: int) -> Spelled:
        names = getattr(self.rules.within, "spelling", side.names)
        return spell_in(names, (note % 12,))[0]
