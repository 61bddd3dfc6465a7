"""What shall be played: tones in musical time, a tempo, and the players who sound them.

A `Performance` is made from pitches (`struck`, `arpeggiated`, `as_scale`, `in_order`) or from a stretch of a score
(`from_score`). It becomes a MIDI file in `sonorarium.render.midi` and sound in `sonorarium.render.sound`.

Conventions
-----------
* **Time** is in integer ticks; lengths that a person gives are in quarters. At ``tempo_qpm=60`` a quarter is a
  second.
* **Pitch** is a MIDI number, middle C = 60. **Program** is a General MIDI program counted from 0 (0 = acoustic
  grand piano); books that count from 1 call it number 1.
* **Grace notes** are short notes before the beat, a thirty-second each, in the order of the page (common practice;
  for earlier music many books want them on the beat). The note table does not tell a grace chord from grace notes
  in a row, so a grace chord is rolled upward.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from operator import index

import numpy as np

from sonorarium.errors import InputError, NothingFoundError
from sonorarium.score.score import Score

TICKS_PER_QUARTER = 480
"""Resolution of performances made from pitches: tuplets of 3 and 5 are exact."""

TEMPO_QPM = 84.0
"""Quarters a minute where nothing else is said."""

SLOWEST_QPM, FASTEST_QPM = 10.0, 600.0
"""Tempi outside are taken for a mistake of unit; a MIDI file cannot say less than 3.6 in any case."""

VELOCITY = 80
"""Strength of a tone where nothing else is said, 1 to 127: mezzo-forte (common practice)."""

GRACES_PER_QUARTER = 8
"""A grace note lasts this part of a quarter; a group of them half a quarter at most."""

LATEST_TICK = 0x0FFFFFFF
"""Last tick that a MIDI file can reach in one step: its variable-length quantities have 28 bits."""

Quarters = int | float | Fraction
"""A length in quarter notes."""


def _check_range(what: str, value: object, low: int, high: int, unit: str) -> None:
    if not isinstance(value, int) or not low <= value <= high:
        raise InputError(f"{what} {value} is out of range.", value=value, suggestion=f"Use {low} to {high} ({unit}).")


@dataclass(frozen=True, order=True)
class Tone:
    """One tone of a performance.

    Parameters
    ----------
    onset_ticks : int
        0 or more.
    duration_ticks : int
        1 or more.
    pitch : int
        MIDI number, 0 to 127.
    velocity : int
        Strength, 1 to 127.
    player : int
        Index into `Performance.players`.

    Raises
    ------
    InputError
        Where a value is out of range.
    """

    onset_ticks: int
    duration_ticks: int
    pitch: int
    velocity: int = VELOCITY
    player: int = 0

    def __post_init__(self) -> None:
        _check_range("Pitch", self.pitch, 0, 127, "MIDI numbers, middle C = 60")
        _check_range("Velocity", self.velocity, 1, 127, "1 softest, 127 strongest")
        _check_range("Onset", self.onset_ticks, 0, LATEST_TICK, "ticks from the start")
        _check_range("Duration", self.duration_ticks, 1, LATEST_TICK, "ticks; a tone must last")
        _check_range("Player", self.player, 0, 0xFFFF, "an index")

    @property
    def end_ticks(self) -> int:
        """Where the tone is released."""
        return self.onset_ticks + self.duration_ticks


@dataclass(frozen=True)
class Player:
    """One instrument of a performance.

    Parameters
    ----------
    name : str
        Goes into the MIDI file as the name of the track.
    program : int
        General MIDI program, 0 to 127.

    Raises
    ------
    InputError
        Where the program is out of range.
    """

    name: str = ""
    program: int = 0

    def __post_init__(self) -> None:
        _check_range("Program", self.program, 0, 127, "General MIDI programs counted from 0, 0 = piano")


@dataclass(frozen=True)
class Performance:
    """What is to be played.

    Parameters
    ----------
    tones : tuple of Tone
        At least one, in any order.
    players : tuple of Player
    tempo_qpm : float
        Quarters a minute, 10 to 600.
    ticks_per_quarter : int
        1 or more.

    Raises
    ------
    InputError
        Where there is nothing to play, a tone has no player, or tempo or resolution are out of range.

    Examples
    --------
    >>> Performance((Tone(0, 480, 60), Tone(480, 480, 64)), tempo_qpm=60).duration_s
    2.0
    """

    tones: tuple[Tone, ...]
    players: tuple[Player, ...] = (Player(),)
    tempo_qpm: float = TEMPO_QPM
    ticks_per_quarter: int = TICKS_PER_QUARTER

    def __post_init__(self) -> None:
        if not self.tones:
            raise InputError("There is nothing to play.", value=self.tones, suggestion="Give at least one pitch.")
        if not SLOWEST_QPM <= self.tempo_qpm <= FASTEST_QPM:
            raise InputError(
                f"A tempo of {self.tempo_qpm} is out of range.",
                value=self.tempo_qpm,
                suggestion=f"Give quarters a minute, {SLOWEST_QPM:.0f} to {FASTEST_QPM:.0f}.",
            )
        _check_range("Resolution", self.ticks_per_quarter, 1, LATEST_TICK, "ticks per quarter")
        if (last := max(tone.player for tone in self.tones)) >= len(self.players):
            raise InputError(f"There is no player {last}: there are {len(self.players)}, counted from 0.", value=last)

    @property
    def end_ticks(self) -> int:
        """Where the last tone is released."""
        return max(tone.end_ticks for tone in self.tones)

    @property
    def duration_s(self) -> float:
        """Seconds from the start to the release of the last tone."""
        return self.end_ticks / self.ticks_per_quarter * 60 / self.tempo_qpm


def struck(
    pitches: Sequence[int],
    *,
    quarters: Quarters = 4,
    tempo_qpm: float = TEMPO_QPM,
    velocity: int = VELOCITY,
    program: int = 0,
) -> Performance:
    """Play pitches together.

    Parameters
    ----------
    pitches : sequence of int
        MIDI numbers 0 to 127, at least one.
    quarters : int, float or Fraction
        How long they are held.
    tempo_qpm : float
        Quarters a minute, 10 to 600.
    velocity : int
        1 to 127.
    program : int
        General MIDI program, 0 to 127.

    Returns
    -------
    Performance

    Raises
    ------
    InputError
        Where a value is out of range, or there is no pitch.

    Examples
    --------
    >>> [tone.pitch for tone in struck((60, 64, 68, 71)).tones]
    [60, 64, 68, 71]
    """
    return in_order([pitches], quarters=quarters, tempo_qpm=tempo_qpm, velocity=velocity, program=program)


def in_order(
    chords: Sequence[Sequence[int]],
    *,
    quarters: Quarters = 2,
    tempo_qpm: float = TEMPO_QPM,
    velocity: int = VELOCITY,
    program: int = 0,
) -> Performance:
    """Play chords one after the other, each as long as the next.

    Parameters
    ----------
    chords : sequence of sequences of int
        MIDI numbers; no chord may be empty.
    quarters : int, float or Fraction
        How long each is held.
    tempo_qpm, velocity, program
        As for `struck`.

    Returns
    -------
    Performance

    Raises
    ------
    InputError
        Where a value is out of range, or a chord is empty.

    Examples
    --------
    >>> in_order([(60, 64, 67), (60, 65, 69)], tempo_qpm=60).duration_s
    4.0
    """
    length = _ticks(quarters)
    steps = [(k * length, length, chord) for k, chord in enumerate(chords)]
    return _performance(steps, tempo_qpm, velocity, program)


def arpeggiated(
    pitches: Sequence[int],
    *,
    each_quarters: Quarters = 0.5,
    held_quarters: Quarters = 4,
    tempo_qpm: float = TEMPO_QPM,
    velocity: int = VELOCITY,
    program: int = 0,
) -> Performance:
    """Play pitches one by one in the order given, then all together.

    Parameters
    ----------
    pitches : sequence of int
        MIDI numbers 0 to 127, at least one.
    each_quarters, held_quarters : int, float or Fraction
        How long each single pitch, and the chord at the end, is held.
    tempo_qpm, velocity, program
        As for `struck`.

    Returns
    -------
    Performance

    Raises
    ------
    InputError
        Where a value is out of range, or there is no pitch.

    Examples
    --------
    >>> [(tone.onset_ticks, tone.pitch) for tone in arpeggiated((60, 64, 67)).tones]
    [(0, 60), (240, 64), (480, 67), (720, 60), (720, 64), (720, 67)]
    """
    each = _ticks(each_quarters)
    steps = [(k * each, each, [pitch]) for k, pitch in enumerate(pitches)]
    return _performance([*steps, (len(steps) * each, _ticks(held_quarters), pitches)], tempo_qpm, velocity, program)


def as_scale(
    pitches: Sequence[int],
    *,
    each_quarters: Quarters = 0.5,
    descend: bool = False,
    tempo_qpm: float = TEMPO_QPM,
    velocity: int = VELOCITY,
    program: int = 0,
) -> Performance:
    """Play rising pitches as a scale: up to the octave of the first, and back down if wanted.

    Parameters
    ----------
    pitches : sequence of int
        MIDI numbers, rising. The first is the tonic; its octave is added at the top unless it is there.
    each_quarters : int, float or Fraction
        How long each is held; the last is held twice as long.
    descend : bool
        Whether to come down again to the tonic.
    tempo_qpm, velocity, program
        As for `struck`.

    Returns
    -------
    Performance

    Raises
    ------
    InputError
        Where a value is out of range, the pitches do not rise, or there is none.

    Examples
    --------
    >>> [tone.pitch for tone in as_scale((60, 61, 64, 65, 67, 68, 71)).tones]
    [60, 61, 64, 65, 67, 68, 71, 72]
    """
    run = _pitches(pitches)
    if any(a >= b for a, b in pairwise(run)):
        raise InputError(f"{run} does not rise.", value=run, suggestion="Give the scale from low to high.")
    if (run[-1] - run[0]) % 12 or len(run) == 1:
        run.append(run[0] + 12 * ((run[-1] - run[0]) // 12 + 1))
    run += run[-2::-1] if descend else []
    each = _ticks(each_quarters)
    steps = [(k * each, each, [pitch]) for k, pitch in enumerate(run[:-1])]
    return _performance([*steps, (len(steps) * each, 2 * each, run[-1:])], tempo_qpm, velocity, program)


def from_score(
    score: Score,
    first_tick: int = 0,
    last_tick: int | None = None,
    *,
    parts: Iterable[int] | None = None,
    programs: Mapping[int, int] | None = None,
    tempo_qpm: float = TEMPO_QPM,
) -> Performance:
    """Play a stretch of a score as written, repeats not unfolded.

    Notes that reach beyond the stretch are cut at its ends. Grace notes are played before the beat; cue notes, hidden
    and unpitched notes are not played. The note table has no tempo and no dynamics: tempo is what is asked for, all
    notes are equally strong.

    Parameters
    ----------
    score : Score
    first_tick, last_tick : int
        The stretch, in ticks of the score, the last tick left out; None for the end of the piece.
    parts : iterable of int, optional
        Indices into ``score.parts``; all of them where left out.
    programs : mapping of int to int, optional
        General MIDI program for a part's index; piano for the parts that are left out.
    tempo_qpm : float
        Quarters a minute, 10 to 600.

    Returns
    -------
    Performance
        One player for each part chosen, named like it.

    Raises
    ------
    InputError
        Where the stretch is empty or there is no such part.
    NothingFoundError
        Where no note sounds in the stretch.
    """
    chosen = _chosen_parts(score, parts, programs or {})
    last = score.end if last_tick is None else last_tick
    if first_tick >= last:
        raise InputError(f"A stretch from tick {first_tick} to tick {last} is empty.", value=(first_tick, last))
    rows, quarter = _rows_played(score, first_tick, last)
    rows = [row for row in rows if row[3] in chosen]
    if not rows:
        raise NothingFoundError(
            f"No note sounds between tick {first_tick} and tick {last}.", value=(first_tick, last)
        )
    start = _start(rows)
    tones = tuple(Tone(on - start, long, pitch, VELOCITY, chosen.index(part)) for on, long, pitch, part, _ in rows)
    players = tuple(Player(score.parts[p].name, (programs or {}).get(p, 0)) for p in chosen)
    return Performance(tuple(sorted(tones)), players, tempo_qpm, quarter)


def times_played(
    score: Score, first_tick: int = 0, last_tick: int | None = None, *, tempo_qpm: float = TEMPO_QPM
) -> tuple[float, list[tuple[int, float, float]]]:
    """When each note is heard in what `from_score` plays of a stretch, all parts of it.

    Returns
    -------
    (float, list of (int, float, float))
        Seconds at which the stretch itself begins, above 0 where grace notes come before; and for each note its row
        in the note table and the seconds at which it begins and ends, in order of time.
    """
    rows, quarter = _rows_played(score, first_tick, score.end if last_tick is None else last_tick)
    start, second = _start(rows), 60 / tempo_qpm / quarter
    heard = [(row, (on - start) * second, (on - start + long) * second) for on, long, _, _, row in rows]
    return -start * second, sorted(heard, key=lambda one: (one[1], one[0]))


def _pitches(pitches: Iterable[int]) -> list[int]:
    """Plain integers from whatever holds them, NumPy arrays included."""
    try:
        found = [index(pitch) for pitch in pitches]
    except TypeError as error:
        raise InputError(f"{pitches!r} are not MIDI numbers.", value=pitches, suggestion="Give integers.") from error
    if not found:
        raise InputError("There is nothing to play.", value=pitches, suggestion="Give at least one pitch.")
    return found


def _ticks(quarters: Quarters) -> int:
    ticks = round(quarters * TICKS_PER_QUARTER) if math.isfinite(quarters) else 0
    if ticks < 1:
        raise InputError(
            f"A tone cannot last {quarters} quarters.", value=quarters, suggestion="Give a length above 0."
        )
    return ticks


def _performance(
    steps: Sequence[tuple[int, int, Sequence[int]]], tempo_qpm: float, velocity: int, program: int
) -> Performance:
    """Tones for steps of (onset, duration, pitches)."""
    tones = tuple(Tone(on, long, pitch, velocity) for on, long, pitches in steps for pitch in _pitches(pitches))
    return Performance(tones, (Player(program=program),), tempo_qpm)


_Row = tuple[int, int, int, int, int]
"""Onset and duration in performance ticks, pitch, index of the part, row of the note table."""


def _rows_played(score: Score, first: int, last: int) -> tuple[list[_Row], int]:
    """What is played of a stretch, and the ticks of a quarter: finer where the score's are too coarse for graces."""
    finer = -(-12 * GRACES_PER_QUARTER // score.ticks_per_quarter)
    return _measured(score, first, last, finer) + _graces(score, first, last, finer), score.ticks_per_quarter * finer


def _start(rows: Sequence[_Row]) -> int:
    """Where it begins: before 0 where grace notes need room before the first beat."""
    return min([0, *(row[0] for row in rows)])


def _chosen_parts(score: Score, parts: Iterable[int] | None, programs: Mapping[int, int]) -> list[int]:
    chosen = list(range(len(score.parts))) if parts is None else sorted(set(parts))
    for part in [*chosen, *programs]:
        if not 0 <= part < len(score.parts):
            raise InputError(
                f"There is no part {part}: the score has {len(score.parts)}, counted from 0.", value=part
            )
    return chosen


def _measured(score: Score, first: int, last: int, finer: int) -> list[_Row]:
    """Notes of some length that sound in the stretch, cut at its ends."""
    notes = score.notes[score.sounding]
    onset = np.maximum(notes["onset"], first)
    end = np.minimum(notes["onset"] + notes["duration"], last)
    inside = onset < end
    columns = ((onset - first) * finer, (end - onset) * finer, notes["pitch"], notes["part"], score.sounding)
    return list(zip(*(column[inside].tolist() for column in columns), strict=True))


def _graces(score: Score, first: int, last: int, finer: int) -> list[_Row]:
    """Grace notes whose main note begins in the stretch, set before it; onsets may be negative."""
    n = score.notes
    inside = n["grace"] & ~n["cue"] & ~n["hidden"] & (n["pitch"] >= 0) & (first <= n["onset"]) & (n["onset"] < last)
    groups: dict[tuple[int, ...], list[int]] = {}
    for row in sorted(np.flatnonzero(inside).tolist(), key=lambda row: int(n["element"][row])):
        groups.setdefault(tuple(int(n[f][row]) for f in ("onset", "part", "staff", "voice")), []).append(row)
    quarter = score.ticks_per_quarter * finer
    rows = []
    for (onset, part, *_), group in groups.items():
        each = max(1, min(quarter // GRACES_PER_QUARTER, quarter // (2 * len(group))))
        start = (onset - first) * finer - each * len(group)
        rows += [(start + k * each, each, int(n["pitch"][row]), part, row) for k, row in enumerate(group)]
    return rows
