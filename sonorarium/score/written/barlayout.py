"""Bars laid out from what their parts hold: how long each one is and what it is called. For MEI, Humdrum and ABC.

Conventions
-----------
* A bar is as long as what is written in it, notes and rests; a bar with nothing but rests for whole bars has the
  length of the metre. What is missing before its first tick is found as for MusicXML
  (`sonorarium.score.written.bars.leads`).
* The label is the number that the file prints. A bar without one that continues a short bar has the label of that
  bar; else it is counted: a pick-up is 0, the first full bar 1.
* In a file of several pieces or movements the label begins with the number of the piece: ``3:12``.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

from sonorarium.score.remarks import Findings
from sonorarium.score.score import BAR
from sonorarium.score.written.bars import LONGEST_LABEL, leads

COUNTED = "The file does not number its bars: they were counted."
NO_NUMBER = "The bar has no number: it has the label of the bar before."


@dataclass(slots=True)
class Bar:
    """One bar as it was read.

    Parameters
    ----------
    number : str
        As printed, "" where there is none.
    metre : (int, int)
        Beats and beat type.
    reach : Fraction
        Where all that is written in it ends, in quarters; 0 where that are rests for whole bars.
    bars : int
        How many bars it stands for: more than 1 for a rest of several bars.
    """

    number: str
    metre: tuple[int, int]
    reach: Fraction
    bars: int = 1

    @property
    def full(self) -> Fraction:
        """Length by the metre, in quarters; 0 without metre."""
        return Fraction(4 * self.metre[0], self.metre[1])

    @property
    def length(self) -> Fraction:
        """Length in quarters."""
        return self.reach or self.full * self.bars


def bar_table(bars: Sequence[Bar], ticks: int, piece: str, first_index: int, findings: Findings) -> NDArray[np.void]:
    """Return the bars of one piece, from tick 0.

    Parameters
    ----------
    bars : sequence of Bar
        At least one.
    ticks : int
        Ticks per quarter.
    piece : str
        What its labels begin with, "" for nothing.
    first_index : int
        Index of its first bar in the whole score.
    findings : Findings
        Takes up bars that do not fit their metre, or have no number.
    """
    table = np.zeros(len(bars), BAR)
    table["duration"] = [int(bar.length * ticks) for bar in bars]
    table["onset"] = np.cumsum(table["duration"]) - table["duration"]
    table["beats"], table["beat_type"] = np.array([bar.metre for bar in bars]).T
    full = [int(bar.full * bar.bars * ticks) for bar in bars]
    own = Findings()
    numbered = any(bar.number for bar in bars)
    table["lead"] = leads(table["duration"].tolist(), full, [numbered and not bar.number for bar in bars], own)
    findings.take(own, first_index)
    labels = _labels(bars, table["lead"].tolist(), first_index, findings)
    table["label"] = [f"{piece}:{label}"[:LONGEST_LABEL] if piece else label[:LONGEST_LABEL] for label in labels]
    return table


def _labels(bars: Sequence[Bar], lead: list[int], first_index: int, findings: Findings) -> list[str]:
    """Return the label of each bar."""
    numbered = any(bar.number for bar in bars)
    if not numbered:
        findings.add(COUNTED)
    labels: list[str] = []
    for index, bar in enumerate(bars):
        if bar.number:
            labels.append(bar.number)
        elif not index:
            labels.append("0" if lead[0] or (len(bars) > 1 and bars[1].number == "1") else "1")
        elif lead[index]:
            labels.append(labels[-1])
        elif numbered:
            findings.add(NO_NUMBER, bars=[first_index + index])
            labels.append(labels[-1])
        else:
            labels.append(str(int(labels[-1]) + 1))
    return labels
