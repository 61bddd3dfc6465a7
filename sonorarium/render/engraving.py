"""Engraving: scales, chords and passages of real scores as clean SVG.

`engrave_notes` draws what a textbook prints large: a scale, a chord, a row of chords. `engrave_passage` draws
some bars of a score from the score's own file, with the notes in question marked. Both give an `Engraving`,
whose drawing can be put on a page, in a handout, or (`sonorarium.render.typesetting`) turned into PNG and PDF.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from sonorarium.errors import InputError, ToolError
from sonorarium.render.excerpt import Excerpt, cut, sheets_of
from sonorarium.render.glyphs import MUSIC_FONT
from sonorarium.render.notation import Column, SpelledPitch, choose_staves, height, scale, write_mei
from sonorarium.render.plate import STAFF_SPACE, Engraving, PlateOptions, finish
from sonorarium.render.press import shared_press
from sonorarium.render.typeface import text_width
from sonorarium.score.score import Score

__all__ = [
    "Column",
    "Engraving",
    "PassageLook",
    "SpelledPitch",
    "engrave_notes",
    "engrave_passage",
    "scale",
    "sounding_parts",
]

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


@dataclass(frozen=True)
class PassageLook:
    """How a passage is drawn.

    Parameters
    ----------
    width_mm : float, optional
        Longest line of music, millimetres; longer passages go on several systems. One line where not given.
    staff_mm : float
        Height of a staff, millimetres.
    part_names : bool
        Whether parts are named before the first system.
    outlined : bool
        Words as outlines, for files that stand alone.
    description : str
        What is shown, in words; piece, bars and parts where empty.
    """

    width_mm: float | None = 170.0
    staff_mm: float = 7.0
    part_names: bool = True
    outlined: bool = False
    description: str = ""


def engrave_passage(
    score: Score,
    first_bar: int,
    last_bar: int,
    *,
    marked_rows: Collection[int] = (),
    parts: Sequence[int] | None = None,
    look: PassageLook = PassageLook(),
) -> Engraving:
    """Draw some bars of a score from its own file, certain notes marked.

    Marked notes are in the accent colour and framed; every notehead of a tied note is marked. Lyrics and chord
    symbols are shown as the file has them.

    Parameters
    ----------
    score : Score
        Read from a MusicXML file that is still there, unchanged.
    first_bar, last_bar : int
        Indices into ``score.bars``, both included.
    marked_rows : collection of int
        Rows of ``score.notes``.
    parts : sequence of int, optional
        Indices into ``score.parts``; all where not given.
    look : PassageLook

    Returns
    -------
    Engraving
        ``notes`` has the ordinals of the note elements drawn, ``bars`` the indices of the bars drawn.

    Raises
    ------
    InputError
        When the score has no file, or not these bars or parts.
    ToolError
        When the engraver fails or draws other bars than these.
    """
    if score.path is None:
        raise InputError("The score was not read from a file, so there is nothing to engrave.")
    if score.format not in ("", "MusicXML"):
        raise InputError(
            f"{score.path.name} is {score.format}; passages are engraved from MusicXML only.",
            value=score.format,
            suggestion="Export it as MusicXML from your notation software.",
        )
    sheets = sheets_of(score.path, score.digest)
    row_of, labels = score.element_note, score.bars["label"].tolist()
    excerpt = cut(
        sheets, (first_bar, last_bar), parts=parts, element_row=row_of, labels=labels, part_names=look.part_names
    )
    pages = shared_press().engrave(excerpt.xml, PRESS_OPTIONS | _line_options(look))
    if len(pages) > 1:
        raise InputError("These bars are too many for one drawing.", suggestion="Choose fewer bars.")
    marked = set(np.flatnonzero(np.isin(row_of, list(marked_rows))).tolist()) if len(marked_rows) else set()
    description = look.description or describe_passage(score, first_bar, last_bar, parts)
    options = PlateOptions(description, look.staff_mm, look.outlined)
    drawing = finish(pages[0], options, marked=marked, remarks=excerpt.remarks)
    return _checked(drawing, excerpt, (first_bar, last_bar))


def _line_options(look: PassageLook) -> dict[str, Any]:
    """The engraver's options for one line, or for lines of some width."""
    if look.width_mm is None:
        return {"breaks": "none", "adjustPageWidth": True, "pageWidth": 100000}
    spaces = look.width_mm / look.staff_mm * 4
    return {"breaks": "auto", "pageWidth": max(100, round(spaces * STAFF_SPACE / 10))}


def _checked(drawing: Engraving, excerpt: Excerpt, bars: tuple[int, int]) -> Engraving:
    """Refuse a drawing of other bars; remark notes that the engraver left out."""
    wanted = tuple(range(bars[0], bars[1] + 1))
    if drawing.bars != wanted:
        raise ToolError(f"The engraver drew other bars than the {len(wanted)} asked for.", value=drawing.bars)
    lost = set(excerpt.notes) - set(drawing.notes)
    if not lost:
        return drawing
    remark = f"The engraver left out {len(lost)} of {len(excerpt.notes)} notes."
    return replace(drawing, remarks=(*drawing.remarks, remark))


def sounding_parts(score: Score, first_bar: int, last_bar: int) -> tuple[int, ...]:
    """Return the indices of the parts that have a note in these bars, for ``parts`` of `engrave_passage`.

    Parameters
    ----------
    score : Score
    first_bar, last_bar : int
        Indices into ``score.bars``, both included.
    """
    begin, last = int(score.bars["onset"][first_bar]), score.bars[last_bar]
    end = int(last["onset"] + last["duration"])
    notes = score.notes[~score.notes["hidden"]]
    inside = (notes["onset"] < end) & (np.maximum(notes["onset"] + notes["duration"], notes["onset"] + 1) > begin)
    return tuple(np.unique(notes["part"][inside]).tolist())


def describe_passage(score: Score, first_bar: int, last_bar: int, parts: Sequence[int] | None = None) -> str:
    """Return in words what an excerpt shows: composer, title, printed bar numbers, parts."""
    labels = [str(score.bars["label"][bar]) for bar in (first_bar, last_bar)]
    where = f"bar {labels[0]}" if first_bar == last_bar else f"bars {labels[0]} to {labels[1]}"
    names = [score.parts[index].name for index in (range(len(score.parts)) if parts is None else parts)]
    shown = ", ".join(name for name in names if name)
    piece = ": ".join(text for text in (score.composer, score.title) if text)
    return ", ".join(text for text in (piece, where, shown) if text)
