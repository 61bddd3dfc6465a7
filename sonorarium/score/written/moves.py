"""When each note of a bar begins: the cursor of a MusicXML part, and what moves it.

A part is written as if with one hand: a note moves the cursor forward by its duration, ``<backup>`` moves it back
to begin another voice, ``<forward>`` skips; a note marked ``<chord/>`` begins with the one before it and moves
nothing, nor does a grace note. The voice label says who sings, the cursor says when; where the two seem to disagree
the cursor wins.

Conventions
-----------
* Durations become ticks by exact integer arithmetic; the ticks per quarter are chosen so that nothing is rounded.
* **Tuplets that do not add up.** With 8 divisions to a quarter, a triplet of eighths cannot be written exactly, and
  files say 3 + 3 + 2, or 2 + 2 + 2 and lose a quarter's end. Where the written value (note type, dots, tuplet
  ratio) has no exact duration in the file's divisions, and the stated duration is less than one division away from
  it, the written value counts, and the rest of the bar moves with it. Each such bar is remarked.
* A backup that would leave the bar stops at its beginning, and is remarked.

Sources: W3C, *MusicXML 4.0*, elements "duration", "backup", "forward", "chord", "time-modification".
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from sonorarium.errors import DamagedError
from sonorarium.score.remarks import Findings
from sonorarium.score.written import events as ev
from sonorarium.score.written.attributes import Statements, units_per_quarter
from sonorarium.score.written.events import Events, Flags, Ints, last_true

if TYPE_CHECKING:
    from lxml.etree import _Element

TOO_LONG = "A note or rest of the file is longer than any music."

MOST_TICKS = 1 << 32
"""Most ticks per quarter, so that a long piece still fits 64-bit integers."""

LONGEST = 10_000
"""Longest note, rest or skip that is believed, in quarters."""

TYPE_QUARTERS = {
    "maxima": Fraction(32),
    "long": Fraction(16),
    "breve": Fraction(8),
    **{
        name: Fraction(4, 1 << power)
        for power, name in enumerate(
            ("whole", "half", "quarter", "eighth", "16th", "32nd", "64th", "128th", "256th", "512th", "1024th")
        )
    },
}
"""Quarters in each note type of MusicXML."""


@dataclass(eq=False)
class Moves:
    """Everything that moves the cursor, and every note: one row each, in the order of the event table.

    Parameters
    ----------
    place : ndarray of int
        Place in the event table.
    kind : ndarray of int
        `NOTE`, `BACKUP` or `FORWARD`.
    cell : ndarray of int
        Number of the cell, in order.
    cell_start : ndarray of int
        Row at which each cell starts.
    onset : ndarray of int
        Ticks from the start of the bar.
    duration : ndarray of int
        Ticks, 0 for grace notes.
    cursor : ndarray of int
        Ticks from the start of the bar at which the cursor stands after the move.
    chord, grace, rest : ndarray of bool
    ticks_per_quarter : int
    """

    place: Ints
    kind: NDArray[np.int8]
    cell: Ints
    cell_start: Ints
    onset: Ints
    duration: Ints
    cursor: Ints
    chord: Flags
    grace: Flags
    rest: Flags
    ticks_per_quarter: int

    def cells(self, flags: Flags) -> Ints:
        """Return the cells, each once, in which a flag is set."""
        return np.unique(self.cell[flags])


def read_moves(root: _Element, events: Events, statements: Statements, findings: Findings) -> Moves:
    """Return the moves of a document, in ticks.

    Parameters
    ----------
    root : lxml element
        The document, looked at again only where tuplets do not fit its divisions.
    events : Events
    statements : Statements
    findings : Findings
        Takes up what had to be repaired.

    Returns
    -------
    Moves

    Raises
    ------
    DamagedError
        If durations or divisions are beyond belief.
    """
    is_move = (events.kind >= ev.NOTE) & (events.kind <= ev.FORWARD)
    place = np.flatnonzero(is_move)
    row_of_event = np.cumsum(is_move) - 1
    divisions, index = units_per_quarter(events, statements)
    suspects = _unfitting_tuplets(events, divisions, index)
    units, denominator = _units(events)
    ticks = _ticks_per_quarter(divisions, denominator, suspects)
    scales = np.array([int(ticks / (value * denominator)) for value in divisions], np.int64)
    if int(units.max(initial=0)) * int(scales.max()) > LONGEST * MOST_TICKS:
        raise DamagedError(TOO_LONG)
    chord, grace, rest = (_flagged(events, row_of_event, kind, len(place)) for kind in (ev.CHORD, ev.GRACE, ev.REST))
    duration = np.zeros(len(place), np.int64)
    at = np.flatnonzero((events.kind == ev.DURATION) & (events.holder >= ev.NOTE) & (events.holder <= ev.FORWARD))
    duration[row_of_event[at]] = units[events.word[at]] * scales[index[at]]
    duration[grace] = 0
    _believe(duration, ticks)
    new_cell = (np.diff(events.bar[place], prepend=-1) != 0) | (np.diff(events.part[place], prepend=-1) != 0)
    cell, cell_start = np.cumsum(new_cell) - 1, np.flatnonzero(new_cell)
    nothing = np.zeros(len(place), np.int64)
    moves = Moves(place, events.kind[place], cell, cell_start, nothing, duration, nothing, chord, grace, rest, ticks)
    _run_cursor(moves)
    _repair(moves, root, events, scales[index[place]], suspects, findings)
    return moves


def _believe(duration: Ints, ticks_per_quarter: int) -> None:
    """Refuse durations that are no music, and that could overflow a sum."""
    total = float(duration.sum(dtype=np.float64))
    if int(duration.max(initial=0)) > LONGEST * ticks_per_quarter or total > 1 << 60:
        raise DamagedError(TOO_LONG)


def _flagged(events: Events, row_of_event: Ints, kind: int, rows: int) -> Flags:
    """Return which moves hold an element of a kind."""
    flags = np.zeros(rows, np.bool_)
    flags[row_of_event[(events.kind == kind) & (events.holder == ev.NOTE)]] = True
    return flags


def _units(events: Events) -> tuple[Ints, int]:
    """Return the worth of each word as a duration, in fractions of a division, and what fraction that is."""
    numbers = {word: _duration(word, events) for word in events.words(ev.DURATION)}
    denominator = math.lcm(*(number.denominator for number in numbers.values()))
    if denominator > MOST_TICKS:
        raise DamagedError("The durations in the file have no common measure that can be counted.")
    units = np.zeros(len(events.texts), np.int64)
    for word, number in numbers.items():
        units[word] = min(int(number * denominator), LONGEST * MOST_TICKS + 1)
    return units, denominator


def _duration(word: int, events: Events) -> Fraction:
    """Return a word as a duration."""
    text = events.texts[word]
    try:
        number = ev.exact_number(text or "0")
    except ValueError:
        number = Fraction(-1)
    if not 0 <= number < 1 << 40:
        place = int(np.flatnonzero(events.word == word)[0]) if (events.word == word).any() else 0
        where = f"part {events.part[place] + 1}, measure {events.bar[place] + 1} (counted)"
        raise DamagedError(f"{where}: {text[:30]!r} is not the duration of a note or rest.", value=text)
    return number


def _unfitting_tuplets(events: Events, divisions: list[Fraction], index: Ints) -> list[int]:
    """Return the tuplet figures for which some divisions of the file have no exact duration."""
    at = np.flatnonzero(events.kind == ev.ACTUAL)
    found = set()
    for word, which in set(zip(events.word[at].tolist(), index[at].tolist(), strict=True)):
        text = events.texts[word]
        actual = int(text) if text.isdecimal() and len(text) < 6 else 0
        odd = actual // (actual & -actual) if actual else 1
        # Twice: with 3 divisions a triplet of eighths is exact, one of sixteenths is not.
        if odd > 1 and divisions[which] % (2 * odd):
            found.add(actual)
    return sorted(found)


def _ticks_per_quarter(divisions: list[Fraction], unit_denominator: int, tuplets: list[int]) -> int:
    """Return ticks per quarter in which every duration, and every tuplet that can be repaired, is exact."""
    ticks = math.lcm(*(value.numerator for value in divisions)) * unit_denominator
    for factor in (*tuplets, 32 if tuplets else 1):
        if math.lcm(ticks, factor) <= MOST_TICKS:
            ticks = math.lcm(ticks, factor)
    if ticks > MOST_TICKS:
        raise DamagedError("The divisions of the file have no common multiple that can be counted.")
    return ticks


def _run_cursor(moves: Moves) -> None:
    """Fill in onsets and cursor for all cells at once."""
    if not len(moves.place):
        return
    advance = np.where(moves.kind == ev.BACKUP, -moves.duration, moves.duration)
    advance[moves.chord] = 0
    after = np.cumsum(advance)
    before = after - advance
    start = before[moves.cell_start][moves.cell]
    onset = before - start
    leader = last_true(~moves.chord)
    has_leader = moves.chord & (moves.kind[leader] == ev.NOTE) & (moves.cell[leader] == moves.cell)
    onset[has_leader] = onset[leader[has_leader]]
    moves.onset = onset
    moves.cursor = after - start


def _repair(
    moves: Moves, root: _Element, events: Events, scale: Ints, suspects: list[int], findings: Findings
) -> None:
    """Run the cursor again, step by step, through cells where it left the bar or tuplets do not fit."""
    if not suspects and not (moves.cursor < 0).any():
        return
    outside = moves.cells(moves.cursor < 0)
    written = _written_durations(root, events, moves, scale) if suspects else {}
    snapped = np.zeros(len(moves.place), np.bool_)
    snapped[list(written)] = True
    uneven = moves.cells(snapped)
    for cells, what in (
        (outside, "A backup leads out of the bar: the voice was placed at the beginning of the bar."),
        (uneven, "Tuplets do not add up in the file's divisions: they were given their written length."),
    ):
        first = moves.place[moves.cell_start[cells]]
        for part in np.unique(events.part[first]).tolist():
            findings.add(what, part=part, bars=events.bar[first][events.part[first] == part].tolist())
    ends = np.append(moves.cell_start[1:], len(moves.place))
    for cell in np.union1d(outside, uneven).tolist():
        rows = range(int(moves.cell_start[cell]), int(ends[cell]))
        _walk(moves, rows, written, int(scale[rows.start]))


def _walk(moves: Moves, rows: range, written: dict[int, int], division: int) -> None:
    """Step through one cell, keeping the file's count of time (raw) and the exact one side by side."""
    raw = exact = leader = 0
    exact_at = {0: 0}
    for row in rows:
        stated = int(moves.duration[row])
        kind = int(moves.kind[row])
        if moves.chord[row] and kind == ev.NOTE:
            moves.onset[row] = leader
        else:
            leader = exact
            moves.onset[row] = exact
            raw = max(0, raw - stated) if kind == ev.BACKUP else raw + stated
            exact = exact + written.get(row, stated) if kind == ev.NOTE else _exact(raw, exact_at, division)
            exact_at.setdefault(raw, exact)
        moves.duration[row] = written.get(row, stated)
        moves.cursor[row] = exact


def _exact(raw: int, exact_at: dict[int, int], division: int) -> int:
    """Return the exact time for the file's time: as met before, else moved as the last settled place before it."""
    if raw in exact_at:
        return exact_at[raw]
    settled = max(place for place in exact_at if place <= raw and exact_at[place] % division == 0)
    return raw + exact_at[settled] - settled


def _written_durations(root: _Element, events: Events, moves: Moves, scale: Ints) -> dict[int, int]:
    """Return the written length in ticks of each move whose stated duration is only a rounding of it."""
    in_tuplet = np.zeros(events.elements, np.bool_)
    in_tuplet[events.ordinal[(events.kind == ev.ACTUAL) & (events.holder == ev.NOTE)]] = True
    row_of_ordinal = np.full(events.elements, -1)
    notes = np.flatnonzero(moves.kind == ev.NOTE)
    row_of_ordinal[events.ordinal[moves.place[notes]]] = notes
    found = {}
    rows = row_of_ordinal.tolist()
    for ordinal, note in enumerate(root.iter("note")):
        row = rows[ordinal] if in_tuplet[ordinal] else -1
        if row < 0 or moves.grace[row]:
            continue
        length = written_quarters(note)
        ticks = length * moves.ticks_per_quarter if length is not None else Fraction(1, 2)
        division = int(scale[row])
        error = abs(ticks - int(moves.duration[row]))
        if ticks.denominator == 1 and ticks % division and error < division:
            found[row] = int(ticks)
    return found


def written_quarters(note: _Element) -> Fraction | None:
    """Return the length of a note as its head, dots and tuplet ratio say, in quarters.

    Parameters
    ----------
    note : lxml element
        A ``<note>``.

    Returns
    -------
    Fraction or None
        None where the note does not show it.
    """
    base = TYPE_QUARTERS.get((note.findtext("type") or "").strip())
    try:
        actual = int(note.findtext("time-modification/actual-notes", "1"))
        normal = int(note.findtext("time-modification/normal-notes", "1"))
    except ValueError:
        return None
    if base is None or actual < 1 or normal < 1:
        return None
    dots = len(note.findall("dot"))
    return base * (2 - Fraction(1, 1 << min(dots, 8))) * Fraction(normal, actual)
