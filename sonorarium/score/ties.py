"""Ties joined: from written noteheads to sounding notes.

A tie is drawn between two heads of the same pitch; the file marks its start on the one and its stop on the other.
A head that stops a tie continues the note of the same sounding pitch in the same part that ends where the head begins,
whatever its voice or staff; of several such notes that of the same voice is taken, then of the same staff, then the
oldest. Enharmonic ties (C sharp to D flat) are joined, since the sounding pitch decides.

A head that stops a tie that nothing began begins a new note; a start that nothing takes up ends with its head. Both are
remarked. They occur where a tie leads into a second ending, or is left to ring.

Sources: W3C, *MusicXML 4.0*, element "tie".
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from sonorarium.score.events import Flags, Ints
    from sonorarium.score.score import Notes


@dataclass(frozen=True, eq=False)
class Joining:
    """How heads become notes.

    Parameters
    ----------
    root : ndarray of int
        For each head the first head of its note; itself where it is no continuation.
    end : ndarray of int
        For each first head the tick at which its note ends.
    open_starts, open_stops : list of int
        Heads with a tie that leads nowhere, or comes from nowhere.
    """

    root: Ints
    end: Ints
    open_starts: list[int]
    open_stops: list[int]


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
    root = np.arange(len(heads))
    end = heads["onset"] + heads["duration"]
    tied = np.flatnonzero(starts | stops)
    # Graces first: a grace note tied to its main note comes before it at the same moment.
    tied = tied[np.lexsort((heads["element"][tied], ~heads["grace"][tied], heads["onset"][tied]))]
    columns = (heads[name][tied].tolist() for name in ("part", "pitch", "onset", "voice", "staff"))
    waiting: dict[tuple[int, int, int], list[tuple[int, int, int]]] = {}
    open_stops = []
    for head, start, stop, end_of_head, part, pitch, onset, voice, staff in zip(
        tied.tolist(), starts[tied].tolist(), stops[tied].tolist(), end[tied].tolist(), *columns, strict=True
    ):
        if stop:
            candidates = waiting.get((part, pitch, onset))
            if candidates:
                taken = min(candidates, key=lambda one: (one[1] != voice, one[2] != staff))
                candidates.remove(taken)
                root[head] = root[taken[0]]
                end[root[head]] = end_of_head
            else:
                open_stops.append(head)
        if start:
            waiting.setdefault((part, pitch, end_of_head), []).append((head, voice, staff))
    open_starts = [one[0] for candidates in waiting.values() for one in candidates]
    return Joining(root, end, sorted(open_starts), open_stops)


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
