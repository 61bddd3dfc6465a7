"""Engraving: scales, chords and passages of real scores as clean SVG.

`engrave_notes` draws what a textbook prints large: a scale, a chord, a row of chords. `engrave_passage` draws
some bars of a score from the score's own file, with the notes in question marked. Both give an `Engraving`,
whose drawing can be put on a page, in a handout, or (`sonorarium.render.typesetting`) turned into PNG and PDF.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from sonorarium.errors import InputError
from sonorarium.render.glyphs import MUSIC_FONT
from sonorarium.render.notation import Column, SpelledPitch, choose_staves, height, scale, write_mei
from sonorarium.render.plate import STAFF_SPACE, Engraving, PlateOptions, finish
from sonorarium.render.press import shared_press
from sonorarium.render.typeface import text_width

__all__ = ["Column", "Engraving", "SpelledPitch", "engrave_notes", "scale"]

PRESS_OPTIONS: dict[str, Any] = {
    "font": MUSIC_FONT,
    "svgViewBox": True,
    "svgFormatRaw": True,
    "smuflTextFont": "none",
    "adjustPageHeight": True,
    "header": "none",
    "footer": "none",
    "pageMarginLeft": 0,
    "pageMarginRight": 0,
    "pageMarginTop": 0,
    "pageMarginBottom": 0,
    "pageHeight": 60000,
}
"""Options common to all drawings."""

NOTE_STEP = 4.2
"""Distance between the notes of a row, staff spaces, where words do not ask for more."""

STEP_PER_SPACING = 6360 / STAFF_SPACE
"""Staff spaces between whole notes for one unit of the engraver's linear spacing (measured)."""

WORD_SIZE = 2.25
"""Size of words at notes, staff spaces: the engraver's own."""


def engrave_notes(
    columns: Sequence[Column],
    *,
    clefs: tuple[str, ...] | None = None,
    description: str = "",
    staff_mm: float = 10.0,
    outlined: bool = False,
) -> Engraving:
    """Draw a scale, a chord or a row of chords as stemless whole notes.

    Parameters
    ----------
    columns : sequence of Column
        What stands side by side; `scale` makes them from the notes of a scale.
    clefs : tuple of str, optional
        "treble", "bass", "alto" or "tenor" from the top staff; by the range where not given.
    description : str
        What is shown, in words; the notes' names where empty.
    staff_mm : float
        Height of a staff, millimetres.
    outlined : bool
        Words as outlines, for files that stand alone.

    Returns
    -------
    Engraving
        Its ``notes`` count the pitches in order of columns.

    Raises
    ------
    InputError
        When there is nothing to draw, or a pitch cannot be written.
    ToolError
        When the engraver fails.

    Examples
    --------
    >>> drawing = engrave_notes(scale([(1, 0, 4), (2, -1, 4), (3, 1, 4)], ["1", "♭2", "3"]))
    >>> drawing.notes, drawing.description
    ((0, 1, 2), 'D4, E♭4, F♯4')
    """
    if not any(column.pitches for column in columns):
        raise InputError("There are no notes to draw.")
    columns = [_ascending(column) for column in columns]
    mei = write_mei(columns, clefs or choose_staves(columns))
    options = PRESS_OPTIONS | {"breaks": "none", "adjustPageWidth": True, "pageWidth": 60000}
    options["spacingLinear"] = _needed_step(columns) / STEP_PER_SPACING
    page = shared_press().engrave(mei, options)[0]
    marked, first = set(), 0
    for column in columns:
        marked |= {first + index for index in column.marked}
        first += len(column.pitches)
    look = PlateOptions(description or describe(columns), staff_mm, outlined, centred=True)
    return finish(page, look, marked=marked)


def _ascending(column: Column) -> Column:
    """The column with its pitches from low to high, marks going along."""
    order = sorted(range(len(column.pitches)), key=lambda i: (height(column.pitches[i]), column.pitches[i][1]))
    marked = tuple(place for place, i in enumerate(order) if i in column.marked)
    return Column(tuple(column.pitches[i] for i in order), column.below, column.above, marked)


def _needed_step(columns: Sequence[Column]) -> float:
    """Staff spaces between columns: the usual step, or what the widest word needs."""
    widest = max(text_width(word) for column in columns for word in (column.below, column.above))
    return max(NOTE_STEP, widest * WORD_SIZE / 1000 + 1.0)


def describe(columns: Sequence[Column]) -> str:
    """Return the notes in words: a comma between columns, a hyphen between the notes of a chord.

    Examples
    --------
    >>> describe([Column(((0, 0, 4), (2, -1, 4))), Column(((5, 1, 3),))])
    'C4-E♭4, A♯3'
    """
    signs = {-2: "𝄫", -1: "♭", 0: "", 1: "♯", 2: "𝄪"}
    return ", ".join(
        "-".join(f"{'CDEFGAB'[step]}{signs.get(alter, '?')}{octave}" for step, alter, octave in column.pitches)
        for column in columns
    )
