"""What the ``<attributes>`` of the parts say: divisions, metre, transposition, staves.

Conventions
-----------
* **Divisions** tell how many duration units make a quarter. They hold from where they stand to the next statement
  in the same part. A part that never says so is read with 1.
* **Metre** is one for all parts, as all share one time line: that of the first part that states one at a bar. Sums
  (3+2 over 8; 2/4 + 3/8) are added up. ``<senza-misura>`` is a metre of 0 beats. A statement after the start of a
  bar holds from the next bar.
* **Transposition** is what is added to the written pitch to get the sounding one: ``chromatic`` plus twelve times
  ``octave-change``. It holds from its moment on, for one staff where it names one. Octave clefs and ottava lines
  need nothing: MusicXML writes those notes at the octave where they sound.

Sources: W3C, *MusicXML 4.0*, elements "divisions", "time", "transpose".
"""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction
from operator import itemgetter
from typing import TYPE_CHECKING

import numpy as np

from sonorarium.score.remarks import Findings
from sonorarium.score.written import events as ev

if TYPE_CHECKING:
    from lxml.etree import _Element

    from sonorarium.score.written.events import Events, Ints

NO_METRE = (0, 4)
"""Beats and beat type of a bar for which no metre is stated, or expressly none."""


@dataclass(frozen=True, order=True)
class Transposition:
    """From a moment on, one staff or all staves of a part sound elsewhere than written.

    Parameters
    ----------
    bar : int
        Index of the bar.
    event : int
        Place of the statement in the event table; its moment is where the cursor stands there.
    staff : int
        Staff it is for, 0 for all.
    semitones : int
        Added to the written pitch.
    """

    bar: int
    event: int
    staff: int
    semitones: int


@dataclass(eq=False)
class Statements:
    """All statements of a document, in the order of the event table.

    Parameters
    ----------
    divisions : list of (int, Fraction)
        Place in the event table, units to a quarter.
    metres : list of (int, tuple of int)
        Place in the event table, (beats, beat type).
    transpositions : dict of int to list of Transposition
        For each part that has any.
    staves : dict of int to int
        Largest number of staves stated for each part.
    """

    divisions: list[tuple[int, Fraction]] = field(default_factory=list)
    metres: list[tuple[int, tuple[int, int]]] = field(default_factory=list)
    transpositions: dict[int, list[Transposition]] = field(default_factory=dict)
    staves: dict[int, int] = field(default_factory=dict)


def read_statements(events: Events, findings: Findings) -> Statements:
    """Return what the attributes of a document say.

    Parameters
    ----------
    events : Events
        The event table of the document.
    findings : Findings
        Takes up what could not be understood.

    Returns
    -------
    Statements
    """
    statements = Statements()
    for place, element in sorted(events.marks(ev.ATTRIBUTES), key=itemgetter(0)):
        _read_one(element, place, events, statements, findings)
    return statements


def _read_one(element: _Element, place: int, events: Events, statements: Statements, findings: Findings) -> None:
    """Add what one ``<attributes>`` says."""
    part, bar = int(events.part[place]), int(events.bar[place])
    for child in element:
        try:
            if child.tag == "divisions":
                statements.divisions.append((place, _positive(child.text)))
            elif child.tag == "time":
                statements.metres.append((place, _metre(child)))
            elif child.tag == "transpose":
                found = statements.transpositions.setdefault(part, [])
                found.append(Transposition(bar, place, int(child.get("number", "0")), _semitones(child)))
                if child.find("double") is not None:
                    findings.add(
                        "The part is to be doubled an octave away; the doubling is left out.", part=part, bars=[bar]
                    )
            elif child.tag == "staves":
                statements.staves[part] = max(statements.staves.get(part, 1), _staves(child.text))
        except (ValueError, ZeroDivisionError):
            findings.add(f"A <{child.tag}> that cannot be understood was left out.", part=part, bars=[bar])


def _positive(text: str | None) -> Fraction:
    number = ev.exact_number(text)
    if not 0 < number <= 1_000_000:
        raise ValueError(number)
    return number


def _staves(text: str | None) -> int:
    number = int(text or "1")
    if not 1 <= number <= 100:
        raise ValueError(number)
    return number


def _semitones(transpose: _Element) -> int:
    chromatic = ev.exact_number(transpose.findtext("chromatic", "0"))
    octaves = ev.exact_number(transpose.findtext("octave-change", "0"))
    if abs(chromatic + 12 * octaves) > 127:
        raise ValueError(octaves)
    return round(chromatic + 12 * octaves)


def _metre(time: _Element) -> tuple[int, int]:
    """Return the sum of all beats over a common beat type."""
    if time.find("senza-misura") is not None:
        return NO_METRE
    pairs = list(zip(time.findall("beats"), time.findall("beat-type"), strict=True))
    beats = [sum(int(term) for term in (element.text or "").split("+")) for element, _ in pairs]
    types = [int(element.text or "") for _, element in pairs]
    beat_type = max(types)
    total = sum(Fraction(beat * beat_type, kind) for beat, kind in zip(beats, types, strict=True))
    if total <= 0 or total.denominator != 1 or total > 1_000 or beat_type > 1_024:
        raise ValueError(total)
    return int(total), beat_type


def units_per_quarter(events: Events, statements: Statements) -> tuple[list[Fraction], Ints]:
    """Return the divisions in force at each event.

    Returns
    -------
    values : list of Fraction
        The different divisions; the first is 1, for parts that state none.
    index : ndarray, shape (number of events,), int
        Which of them holds at each event.
    """
    values = [Fraction(1)]
    index = np.zeros(len(events.kind), np.int64)
    for place, divisions in statements.divisions:
        if divisions not in values:
            values.append(divisions)
        end = int(np.searchsorted(events.part, events.part[place], side="right"))
        index[place:end] = values.index(divisions)
    return values, index
