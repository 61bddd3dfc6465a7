"""Little scores written as text, so that a test can be read beside its claim.

Each voice is one line: notes and rests with their lengths in quarters. ``C4:1 r:1/2 E4+G4:2`` is a quarter C, an
eighth rest, and a half-note third struck together.
"""

from __future__ import annotations

from fractions import Fraction
from itertools import count

import numpy as np
from numpy.typing import NDArray

from sonorarium.pcs.pitches import read_pitches
from sonorarium.score.score import BAR, NOTE, Part, Score

TICKS = 12
Row = tuple[int, int, int, int, int, int, int, int, int]


def little_score(
    parts: dict[str, list[str]], *, metre: tuple[int, int] = (4, 4), pickup: int = 0, transposition: int = 0
) -> Score:
    """A score of parts with voices; ``pickup`` in quarters; ``transposition`` from written to sounding pitch."""
    rows: list[Row] = []
    for part, voices in enumerate(parts.values()):
        for voice, line in enumerate(voices):
            rows += _voice(line, part, voice, transposition)
    end = max((row[0] + row[1] for row in rows), default=TICKS)
    bars = _bars(end, metre, pickup)
    notes = np.zeros(len(rows), NOTE)
    for name, column in zip(
        ("onset", "duration", "pitch", "step", "alter", "octave", "part", "staff", "voice"),
        zip(*rows, strict=True),
        strict=True,
    ):
        notes[name] = column
    notes["bar"] = np.searchsorted(bars["onset"], notes["onset"], side="right") - 1
    notes = np.sort(notes, order=["onset", "part", "staff", "voice", "pitch"])
    notes["element"] = np.arange(len(notes))
    made = tuple(
        Part(f"P{i}", name, voices=tuple(str(v) for v in range(len(voices))))
        for i, (name, voices) in enumerate(parts.items())
    )
    return Score(notes, bars, made, TICKS, title="A little score")


def _voice(line: str, part: int, voice: int, transposition: int) -> list[Row]:
    rows: list[Row] = []
    at = 0
    for word in line.split():
        names, _, length = word.partition(":")
        ticks = int(Fraction(length) * TICKS)
        if names != "r":
            for note, octave in read_pitches(names.replace("+", " ")).notes:
                pitch = 12 * (octave + 1) + (0, 2, 4, 5, 7, 9, 11)[note.step] + note.alter + transposition
                rows.append((at, ticks, pitch, note.step, note.alter, octave, part, 1, voice))
        at += ticks
    return rows


def _bars(end: int, metre: tuple[int, int], pickup: int) -> NDArray[np.void]:
    length = TICKS * 4 * metre[0] // metre[1]
    rows = [(0, pickup * TICKS, "0", *metre, length - pickup * TICKS)] if pickup else []
    at = pickup * TICKS
    for number in count(1):
        if at >= end and rows:
            break
        rows.append((at, length, str(number), *metre, 0))
        at += length
    return np.array(rows, BAR)
