"""Ties joined: from written noteheads to sounding notes.

A tie is drawn between two heads of the same pitch; the file marks its start on the one and its stop on the other. A
head that stops a tie continues the note of the same sounding pitch in the same part that ends where the head
begins, whatever its voice or staff; of several such notes that of the same voice is taken, then of the same staff,
then the oldest. Enharmonic ties (C sharp to D flat) are joined, since the sounding pitch decides.

Many files mark only the start. Such a tie is taken to lead to the head of the same pitch, part and voice that
begins where its own ends, if there is one, and this is remarked: on paper the two cannot be told apart.

Where a broken chord is gathered into a held one, ties lead over the notes between. A start and a stop of the same
pitch and part that find no other partner, lie at most one bar apart, and have only notes with ties between them in
their voice are taken for such a tie: the note sounds through.

A head that stops a tie that nothing began begins a new note; a start that leads nowhere ends with its head. Both
are remarked. They occur where a tie leads into a second ending, or is left to ring.

Sources: W3C, *MusicXML 4.0*, element "tie".
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from sonorarium.score.score import Notes
    from sonorarium.score.written.events import Flags, Ints


UNMARKED_END = "A tie has no marked end: it was taken to lead to the next note of its pitch and voice."
OVER_A_GAP = "A tie leads over a gap: the note was made to sound through."
OPEN_START = "A tie leads to no note: the note ends as written."
OPEN_STOP = "A tie comes from no note: the note begins as written."


@dataclass(frozen=True, eq=False)
class Joining:
    """How heads become notes.

    Parameters
    ----------
    root : ndarray of int
        For each head the first head of its note; itself where it is no continuation.
    end : ndarray of int
        For each first head the tick at which its note ends.
    faults : dict of str to list of int
        What was guessed or left open, and at which heads.
    """

    root: Ints
    end: Ints
    faults: dict[str, list[int]]


def join_ties(heads: Notes, starts: Flags, stops: Flags) -> Joining:
    """Return which heads belong together.

    Parameters
    ----------
    heads : ndarray, dtype `NOTE`
        One row for each written head, in any order.
    starts, stops : ndarray of bool
        Whether a tie starts or stops at each head.

    Returns
    -------
    Joining
    """
    end = heads["onset"] + heads["duration"]
    tied = np.flatnonzero(starts | stops)
    tied = tied[_in_time(heads[tied])]
    follows = np.full(len(heads), -1)
    open_starts, open_stops = _match_marks(heads, end, tied, starts, stops, follows)
    guessed = _guess_ends(heads, end, open_starts, stops, follows)
    bridged = _bridge_gaps(heads, end, (open_starts, open_stops), starts, follows)
    root = np.arange(len(heads))
    later = np.flatnonzero(follows >= 0)
    for head in later[_in_time(heads[later])].tolist():
        root[head] = root[follows[head]]
        end[root[head]] = max(end[root[head]], end[head])
    faults = {
        UNMARKED_END: guessed,
        OVER_A_GAP: sorted(bridged.values()),
        OPEN_START: sorted({*open_starts} - {*guessed} - {*bridged.values()}),
        OPEN_STOP: sorted({*open_stops} - {*bridged}),
    }
    return Joining(root, end, faults)


def _in_time(heads: Notes) -> Ints:
    """Return the order in time, graces first: a grace note that is tied to its main note comes before it."""
    return np.lexsort((heads["element"], ~heads["grace"], heads["onset"]))


def _match_marks(
    heads: Notes, end: Ints, tied: Ints, starts: Flags, stops: Flags, follows: Ints
) -> tuple[list[int], list[int]]:
    """Fill in which head follows which; return the heads whose start or stop has no partner."""
    columns = (heads[name][tied].tolist() for name in ("part", "pitch", "onset", "voice", "staff"))
    rows = zip(tied.tolist(), starts[tied].tolist(), stops[tied].tolist(), end[tied].tolist(), *columns, strict=True)
    waiting: dict[tuple[int, int, int], list[tuple[int, int, int]]] = {}
    open_stops = []
    for head, start, stop, end_of_head, part, pitch, onset, voice, staff in rows:
        candidates = waiting.get((part, pitch, onset)) if stop else None
        if candidates:
            taken = min(candidates, key=lambda one: (one[1] != voice, one[2] != staff))
            candidates.remove(taken)
            follows[head] = taken[0]
        elif stop:
            open_stops.append(head)
        if start:
            waiting.setdefault((part, pitch, end_of_head), []).append((head, voice, staff))
    return [one[0] for candidates in waiting.values() for one in candidates], open_stops


def _guess_ends(heads: Notes, end: Ints, open_starts: list[int], stops: Flags, follows: Ints) -> list[int]:
    """Let ties without a marked end lead to the next head; return those for which there is one."""
    if not open_starts:
        return []
    may_follow = np.flatnonzero(~stops & ~heads["grace"] & (follows < 0))
    columns = (heads[name][may_follow].tolist() for name in ("part", "pitch", "voice", "onset"))
    beginning = dict(zip(zip(*columns, strict=True), may_follow.tolist(), strict=True))
    guessed = []
    for head in open_starts:
        key = (*(int(heads[name][head]) for name in ("part", "pitch", "voice")), int(end[head]))
        follower = beginning.pop(key, head)
        if follower != head:
            follows[follower] = head
            guessed.append(head)
    return sorted(guessed)


def _bridge_gaps(
    heads: Notes, end: Ints, open_heads: tuple[list[int], list[int]], starts: Flags, follows: Ints
) -> dict[int, int]:
    """Let ties lead over a gap; return for each head that stops one the head that starts it."""
    open_starts, open_stops = open_heads
    part, pitch, voice, bar, onset = (heads[name] for name in ("part", "pitch", "voice", "bar", "onset"))
    waiting: dict[tuple[int, int], list[int]] = {}
    taken = set(follows.tolist())
    for head in open_starts:
        if head not in taken:
            waiting.setdefault((int(part[head]), int(pitch[head])), []).append(head)

    def is_broken_chord(start: int, stop: int) -> bool:
        in_voice = (part == part[start]) & (voice == voice[start])
        return not (in_voice & (onset >= end[start]) & (onset < onset[stop]) & ~starts).any()

    bridged: dict[int, int] = {}
    for head in open_stops:
        candidates = waiting.get((int(part[head]), int(pitch[head])), [])
        before = [one for one in candidates if end[one] < onset[head] and bar[head] - bar[one] <= 1]
        before = [one for one in before if is_broken_chord(one, head)]
        if before:
            start = max(before, key=lambda one: (voice[one] == voice[head], int(end[one])))
            candidates.remove(start)
            follows[head] = bridged[head] = start
    return bridged


def joined(heads: Notes, joining: Joining) -> tuple[NDArray[np.void], Ints]:
    """Return one row for each sounding note, unsorted, and the row of each head.

    A grace note that is tied to its main note sounds as the main note: the row has the element of the grace note, and
    is not marked as grace.
    """
    is_first = joining.root == np.arange(len(heads))
    notes = heads[is_first].copy()
    notes["duration"] = (joining.end - heads["onset"])[is_first]
    notes["grace"] &= notes["duration"] == 0
    return notes, (np.cumsum(is_first) - 1)[joining.root]
