"""The bars of a piece: how long each one is, what it is called, and where in its metre it begins.

Conventions
-----------
* The n-th measure of every part is the same bar: all parts share one time line.
* **Length.** A bar is as long as the longest content of any part: a pick-up, the halves of a split bar and a
  cadenza are as long as what is in them. Three things do not count as content: a whole bar's rest (so marked, or
  alone in its part's bar), which takes the length of the bar whatever duration the file gives it; other rests and
  skips beyond the end of the metre; and skips in a bar that has no number of its own. Without any content a bar has
  the length of its metre.
* **Label.** The ``number`` of the first part that has the measure. Where the measure is ``implicit`` (no number is
  printed) and its number is a makeshift such as "X1", it carries the label of the bar before: the halves of a split
  bar share one label. A pick-up of that kind is "0".
* **Lead.** Ticks of the metre that are missing before a bar's first tick, so that its beats count right. A bar
  shorter than its metre stays open; the next bar continues it if both together make up the metre, or if it is
  implicit and fits in. A short bar that continues nothing and that is not continued has its lead before it (a
  pick-up) if it is the first of several bars, or implicit; otherwise it begins on its first beat.
* A bar that is longer than its metre, or shorter without being any of these or the last, is remarked.

Sources: W3C, *MusicXML 4.0*, element "measure". The lead rule is our own.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

import numpy as np

from sonorarium.score.remarks import Findings
from sonorarium.score.score import BAR
from sonorarium.score.written import events as ev
from sonorarium.score.written.attributes import NO_METRE, Statements
from sonorarium.score.written.events import Events, Flags, Ints
from sonorarium.score.written.moves import Moves

if TYPE_CHECKING:
    from lxml.etree import _Element
    from numpy.typing import NDArray

Metre = tuple[int, int]

LONGEST_LABEL = BAR["label"].itemsize // 4
"""Signs that fit the bar table."""


@dataclass(frozen=True)
class Measure:
    """What the file says of one bar.

    Parameters
    ----------
    label : str
        As it will be shown.
    implicit : bool
        Whether the file says that the bar has no number of its own.
    """

    label: str
    implicit: bool


def read_measures(root: _Element, part_ids: list[str], findings: Findings) -> list[Measure]:
    """Return label and kind of each bar, from the first part that has it."""
    if root.tag == "score-timewise":
        elements = list(root.iterchildren("measure"))
    else:
        elements = []
        counts = set()
        for part in root.iterchildren("part"):
            own = list(part.iterchildren("measure"))
            counts.add(len(own))
            elements += own[len(elements) :]
        if len(counts) > 1:
            findings.add(f"The parts have {min(counts)} to {max(counts)} bars: the shorter ones end in silence.")
    measures: list[Measure] = []
    for index, element in enumerate(elements):
        measures.append(_measure(element, index, measures[-1].label if measures else "0", findings))
    return measures


def _measure(element: _Element, index: int, label_before: str, findings: Findings) -> Measure:
    number = element.get("number")
    implicit = element.get("implicit") == "yes"
    if number is None:
        findings.add("The bar has no number: it was counted.", bars=[index])
        return Measure(str(index + 1), implicit)
    label = " ".join(number.split())
    if len(label) > LONGEST_LABEL:
        findings.add(f"The number of the bar was cut to {LONGEST_LABEL} signs.", bars=[index])
        label = label[:LONGEST_LABEL]
    if implicit and not any(sign.isdigit() for sign in label[:1]):
        findings.add(
            "The bar is not counted in print: it has the label of the bar before.", bars=[index] if index else ()
        )
        label = label_before
    return Measure(label, implicit)


def metres(count: int, events: Events, statements: Statements, moves: Moves) -> list[list[Metre]]:
    """Return for each bar the different metres in force in the parts, in the order of the parts.

    A part that states none up to a bar is silent on it; where all are, `NO_METRE` is in force.
    """
    stated: dict[int, dict[int, Metre]] = {}
    for place, metre in statements.metres:
        bar = int(events.bar[place]) + (cursor_at(place, events, moves) > 0)
        stated.setdefault(bar, {}).setdefault(int(events.part[place]), metre)
    in_force: dict[int, Metre] = {}
    found: list[list[Metre]] = []
    for bar in range(count):
        if bar in stated:
            in_force = dict(sorted({**in_force, **stated[bar]}.items()))
        found.append(list(dict.fromkeys(in_force.values())) or [NO_METRE])
    return found


def cursor_at(place: int, events: Events, moves: Moves) -> int:
    """Return where the cursor stands at an event, in ticks from the start of its bar."""
    row = int(np.searchsorted(moves.place, place)) - 1
    if row < 0:
        return 0
    before = int(moves.place[row])
    same = events.part[before] == events.part[place] and events.bar[before] == events.bar[place]
    return int(moves.cursor[row]) if same else 0


def build_bars(
    measures: list[Measure],
    metres_of_bars: list[list[Metre]],
    events: Events,
    moves: Moves,
    findings: Findings,
    whole_rest: Flags,
) -> NDArray[np.void]:
    """Return the bar table.

    Parameters
    ----------
    measures : list of Measure
    metres_of_bars : list of list of (beats, beat type)
        From `metres`.
    events : Events
    moves : Moves
    findings : Findings
        Takes up over-full and under-full bars.
    whole_rest : ndarray of bool
        Which moves are whole-bar rests.

    Returns
    -------
    ndarray, shape (number of bars,), dtype `BAR`
    """
    bars = np.zeros(len(measures), BAR)
    if not measures:
        return bars
    quarter = moves.ticks_per_quarter
    implicit = np.array([measure.implicit for measure in measures])
    reach, notes_reach = _reach(implicit, events, moves, whole_rest)
    chosen = [_choose(candidates, int(end), quarter) for candidates, end in zip(metres_of_bars, reach, strict=True)]
    bars["beats"], bars["beat_type"] = np.array(chosen).T
    full = np.array([_ticks(metre, quarter) for metre in chosen])
    bars["label"] = [measure.label for measure in measures]
    bars["duration"] = np.where(full > 0, np.maximum(notes_reach, np.minimum(reach, full)), reach)
    bars["duration"] = np.where(bars["duration"] > 0, bars["duration"], full)
    _remark_metres(metres_of_bars, findings)
    findings.add(
        "Rests go on beyond the end of the metre: the bar was not made longer for them.",
        bars=np.flatnonzero(reach > bars["duration"]).tolist(),
    )
    bars["onset"] = np.cumsum(bars["duration"]) - bars["duration"]
    bars["lead"] = leads(bars["duration"].tolist(), full.tolist(), implicit.tolist(), findings)
    _remark_parts(bars, events, moves, findings)
    return bars


def _ticks(metre: Metre, ticks_per_quarter: int) -> int:
    """Return the length of a bar of a metre; 0 for none."""
    beats, beat_type = metre
    return beats * 4 * ticks_per_quarter // beat_type


def _choose(candidates: list[Metre], reach: int, ticks_per_quarter: int) -> Metre:
    """Return the first metre that is as long as the content of the bar, else the first."""
    for metre in candidates:
        if _ticks(metre, ticks_per_quarter) == reach:
            return metre
    return candidates[0]


def _remark_metres(metres_of_bars: list[list[Metre]], findings: Findings) -> None:
    if metres_of_bars[0] == [NO_METRE]:
        findings.add("No metre is stated at the beginning.", bars=[0])
    differing = [
        bar
        for bar, candidates in enumerate(metres_of_bars)
        if len(candidates) > 1 and len({Fraction(beats, beat_type) for beats, beat_type in candidates}) > 1
    ]
    findings.add("The parts are in metres of different length: the one that fits the bar counts.", bars=differing)


def _reach(implicit: Flags, events: Events, moves: Moves, whole_rest: Flags) -> tuple[Ints, Ints]:
    """Return how far the content of each bar reaches, and how far its notes do, in ticks."""
    bar = events.bar[moves.place]
    end = np.maximum(moves.onset + moves.duration, moves.cursor)
    end[moves.kind == ev.BACKUP] = 0
    end[(moves.kind == ev.FORWARD) & implicit[bar]] = 0
    is_note = (moves.kind == ev.NOTE) & ~moves.rest
    reach, notes_reach, with_rests = (np.zeros(len(implicit), np.int64) for _ in range(3))
    np.maximum.at(reach, bar[~whole_rest], end[~whole_rest])
    np.maximum.at(notes_reach, bar[is_note], end[is_note])
    np.maximum.at(with_rests, bar, end)
    # Nothing but whole-bar rests: they count where no metre tells the length of the bar.
    return np.where(reach > 0, reach, with_rests), notes_reach


def leads(lengths: list[int], full: list[int], implicit: list[bool], findings: Findings) -> list[int]:
    """Return the lead of each bar, and remark bars that do not fit their metre.

    Parameters
    ----------
    lengths, full : list of int
        Length of each bar, and its length by its metre (0 without metre), in ticks.
    implicit : list of bool
        Whether a bar has no number of its own.
    findings : Findings
        Takes up bars that are too long or too short.

    Examples
    --------
    >>> leads([1, 4, 3, 1, 4], [4] * 5, [False] * 5, Findings())
    [3, 0, 0, 3, 0]
    """
    count = len(lengths)
    lead = [0] * count
    short: list[int] = []
    reached = 0  # how much of the open metrical bar has gone by; 0 where none is open
    for bar, (length, whole) in enumerate(zip(lengths, full, strict=True)):
        same_metre = bar > 0 and full[bar - 1] == whole
        together = reached + length
        if reached and same_metre and (together == whole or (implicit[bar] and together < whole)):
            lead[bar] = reached
        elif 0 < length < whole:
            continued = bar + 1 < count and full[bar + 1] == whole and length + lengths[bar + 1] == whole
            is_pick_up = bar == 0 or (implicit[bar] and not continued)
            if is_pick_up and count > 1:
                lead[bar] = whole - length
            elif not continued:
                short.append(bar)
        reached = (lead[bar] + length) if 0 < lead[bar] + length < whole else 0
    findings.add("The bar is longer than its metre.", bars=[b for b in range(count) if lengths[b] > full[b] > 0])
    findings.add("The bar is shorter than its metre.", bars=[b for b in short if b != count - 1])
    return lead


def _remark_parts(bars: NDArray[np.void], events: Events, moves: Moves, findings: Findings) -> None:
    """Remark cells whose content ends before their bar does."""
    if not len(moves.place):
        return
    reach = np.maximum.reduceat(np.maximum(moves.onset + moves.duration, moves.cursor), moves.cell_start)
    first = moves.place[moves.cell_start]
    bar, part = events.bar[first], events.part[first]
    under = (reach > 0) & (reach < bars["duration"][bar])
    for index in np.unique(part[under]).tolist():
        findings.add(
            "The part does not fill the bar: the rest of it is silence.",
            part=index,
            bars=bar[under & (part == index)].tolist(),
        )
