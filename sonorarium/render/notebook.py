"""How values show themselves in a notebook: notation, strip and a line of words instead of a ``repr``.

`register` teaches a running IPython to show sets, classes, collections, chords, families, scores, passages,
voicings and clips. ``import sonorarium`` calls it where IPython is running. Displays carry no scripts, so that
notebooks nobody trusts show them too; what cannot be drawn falls back to its ``repr``.
"""

from __future__ import annotations

import base64
from collections.abc import Callable, Mapping
from html import escape
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING, Any

from sonorarium.errors import SonorariumError

if TYPE_CHECKING:
    from sonorarium.pcs.family import Family
    from sonorarium.pcs.reading import Readable
    from sonorarium.pitch.leading import Leadings
    from sonorarium.pitch.realising import Realisation
    from sonorarium.pitch.voiced import Voicings
    from sonorarium.pitch.voicing import Voicing
    from sonorarium.render.sheet import Sheet
    from sonorarium.render.sound import Clip
    from sonorarium.score.score import Score
    from sonorarium.score.search.passage import Passage

FIRST_BARS = 4
"""So many bars of a score are shown."""


def set_html(meant: Readable) -> str:
    """A set: its name, class and notes, its notes on a staff, its strip."""
    from sonorarium.pcs.subject import subject
    from sonorarium.pitch.voicing import close_position, written
    from sonorarium.render.engraving import engrave_notes, scale
    from sonorarium.render.strips import Strip, draw_strips

    shown = subject(meant)
    notes = " ".join(note.sign for note in shown.notes)
    words = f"<strong>{escape(shown.title)}</strong> {shown.pcset.label} &nbsp; {notes}"
    if not shown.notes:
        return f"<div>{words}</div>"
    drawing = engrave_notes(scale(written(close_position(shown.rising).pitches, shown.notes)), staff_mm=7)
    strip = draw_strips([Strip(shown.heights, description=f"{shown.title}: {notes}")])
    return f"<div>{words}{drawing.svg}{strip}</div>"


def family_html(family: Family) -> str:
    """A family: the strip of each kind under its name."""
    from sonorarium.render.strips import Strip, draw_strips

    strips = [
        Strip(
            k.pcset.pcs, label=f"{k.label}   {k.name}, {k.transpositions} places", description=f"{k.name}: {k.label}"
        )
        for k in family.kinds
    ]
    head = f"<strong>{escape(family.name)}</strong> {len(family)} members"
    return f"<div>{head}{draw_strips(strips, label_width=320)}</div>"


def voicing_html(voicing: Voicing) -> str:
    """A voicing: its notes on one staff or two."""
    from sonorarium.pcs.spelling import spell_freely
    from sonorarium.pitch.voicing import written
    from sonorarium.render.engraving import Column, engrave_notes

    names = spell_freely(voicing.pcset.normal_order)
    drawing = engrave_notes([Column(written(voicing.pitches, names))], staff_mm=7)
    return f"<div><strong>{voicing.pcset.label}</strong> {escape(drawing.description)}{drawing.svg}</div>"


def voicings_html(voicings: Voicings) -> str:
    """Voicings found: a row of them, each with its number, and how many there were."""
    from sonorarium.render.engraving import Column, engrave_notes

    columns = [Column(one.written, below=str(number)) for number, one in enumerate(voicings, start=1)]
    drawing = engrave_notes(columns, staff_mm=7)
    return f"<div><strong>{escape(voicings.title)}</strong> {escape(voicings.summary)}{drawing.svg}</div>"


def realisation_html(line: Realisation) -> str:
    """A line of chords: its voicings in a row, each with its label."""
    from sonorarium.pcs.spelling import spell_freely, spell_in
    from sonorarium.pitch.voicing import written
    from sonorarium.render.engraving import Column, engrave_notes

    columns = []
    for place, (chord, voicing) in enumerate(zip(line.chords, line.voicings, strict=True)):
        given = line.names[place] if line.names else ()
        names = spell_in(given, chord) if given else spell_freely(chord.normal_order)
        columns.append(Column(written(voicing.pitches, names), below=chord.label))
    return f"<div>price {line.price:g}{engrave_notes(columns, staff_mm=7).svg}</div>"


def leadings_html(leadings: Leadings) -> str:
    """Voice leadings: each as a list of movements, the least first."""
    rows = "".join(
        f"<li>{one.size:g}: {escape('; '.join(move.text for move in one.moves))}</li>" for one in leadings.found
    )
    return f"<div><ol>{rows}</ol></div>"


def sheet_html(sheet: Sheet) -> str:
    """A sheet: engraved."""
    from sonorarium.render.saving import engrave_sheet

    return f"<div><strong>{escape(sheet.title)}</strong>{engrave_sheet(sheet).svg}</div>"


def score_html(score: Score) -> str:
    """A score: title, composer, size, and its first bars."""
    from sonorarium.render.engraving import engrave_passage

    size = f"{len(score.bars)} bars, {len(score.sounding)} notes, {len(score.parts)} parts"
    head = f"<strong>{escape(score.title or 'untitled')}</strong> {escape(score.composer)} &nbsp; {size}"
    drawing = engrave_passage(score, 0, min(FIRST_BARS, len(score.bars)) - 1)
    return f"<div>{head}{drawing.svg}</div>"


def passage_html(passage: Passage) -> str:
    """A passage: where it is, and its bars from its own file with its notes marked."""
    from sonorarium.render.engraving import engrave_passage
    from sonorarium.score.reading import read_score

    score = read_score(Path(passage.source.path))
    drawing = engrave_passage(score, *passage.bar_indices, marked_rows=passage.rows)
    where = f"{passage.source.title}, bars {'–'.join(passage.bars)}: {passage.kind} of {passage.label}"
    return f"<div><strong>{escape(where)}</strong>{drawing.svg}</div>"


def clip_html(clip: Clip) -> str:
    """A clip: a player and the usual caution."""
    from sonorarium.render.sound import CAUTION

    data = base64.b64encode(clip.data).decode()
    player = f'<audio controls src="data:{clip.media_type};base64,{data}"></audio>'
    return f"<div>{player}<p>{clip.soundfont}. {CAUTION}</p></div>"


DISPLAYS: Mapping[tuple[str, str], Callable[[Any], str]] = {
    ("sonorarium.pcs.pcset", "PcSet"): set_html,
    ("sonorarium.pcs.setclass", "SetClass"): set_html,
    ("sonorarium.pcs.collection", "Collection"): set_html,
    ("sonorarium.pcs.collection", "Degrees"): set_html,
    ("sonorarium.pcs.chordsymbol", "Chord"): set_html,
    ("sonorarium.pcs.stacks", "Stacked"): set_html,
    ("sonorarium.pcs.stacks", "IntervalStack"): set_html,
    ("sonorarium.pcs.pitches", "Pitches"): set_html,
    ("sonorarium.pcs.family", "Family"): family_html,
    ("sonorarium.pitch.voicing", "Voicing"): voicing_html,
    ("sonorarium.pitch.voiced", "Voicings"): voicings_html,
    ("sonorarium.pitch.realising", "Realisation"): realisation_html,
    ("sonorarium.pitch.leading", "Leadings"): leadings_html,
    ("sonorarium.render.sheet", "Sheet"): sheet_html,
    ("sonorarium.score.score", "Score"): score_html,
    ("sonorarium.score.search.passage", "Passage"): passage_html,
    ("sonorarium.render.sound", "Clip"): clip_html,
}
"""How each type is shown, by module and name; types are looked up by name so that none is imported needlessly."""


def _quietly(show: Callable[[Any], str]) -> Callable[[Any], str | None]:
    """Show nothing where a value cannot be drawn: the notebook then prints its ``repr``."""

    def shown(value: Any) -> str | None:
        try:
            return show(value)
        except SonorariumError:
            return None

    return shown


def register() -> None:
    """Teach the running IPython these displays; without one, do nothing."""
    shell = import_module("IPython").get_ipython()
    if shell is None:
        return
    html = shell.display_formatter.formatters["text/html"]
    for (module, name), show in DISPLAYS.items():
        html.for_type_by_name(module, name, _quietly(show))
