"""Systems of a section: its drawing cut into lines of music, each with bar numbers to press and a ribbon under it.

The engraver gives some bars as one drawing. The ribbon must stand under each line of music and follow its bars,
whose widths only the drawing knows; so the drawing is cut here by its systems. All systems of a section keep the
section's left and right edge, and with them one scale. Nothing of the notation is drawn anew.

In each drawing a bar has a field over its whole height (``data-bar-field``), which takes the pointer, and its number
above (``data-bar-button``), which takes the keyboard.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from html import escape
from typing import Any

from lxml import etree

from sonorarium.render.engraving import Engraving
from sonorarium.render.extent import NOTED, PLACE, Box, ink, path_box
from sonorarium.render.glyphs import SVG
from sonorarium.render.plate import STAFF_SPACE
from sonorarium.score.score import Score
from sonorarium.web.facts.drawings import USUAL_LOOK

RIM = 60.0
LINE = (USUAL_LOOK.width_mm or 170.0) / USUAL_LOOK.staff_mm * 4 * STAFF_SPACE
"""Width of a full line of music; a shorter one keeps its scale."""

NUMBER_HIGH = 760.0
NUMBER_SIZE = 400.0
SIGN = 420.0
"""Room that is taken for an outlined sign, whose own box the drawing does not tell."""


@dataclass(frozen=True)
class System:
    """One line of music.

    Parameters
    ----------
    music : lxml element
        What is drawn.
    box : Box
        Its room, from the section's left edge to its right.
    bars : dict of int to Box
        Room of each bar.
    heads : dict of int to float
        Left edge of the first head of each note element.
    """

    music: Any
    box: Box
    bars: Mapping[int, Box]
    heads: Mapping[int, float]


def systems_of(drawing: Engraving) -> tuple[str, list[System]]:
    """The signs that a drawing uses, as the text of its ``defs``, and its systems from top to bottom."""
    root = etree.fromstring(drawing.svg.encode(), etree.XMLParser(huge_tree=True, no_network=True))
    left, top, width, height = (float(part) for part in str(root.get("viewBox")).split())
    defs, music = root[0], root[1]
    for number in list(music.iter(f"{{{SVG}}}g")):
        if "mNum" in number.get("class", "").split():
            number.getparent().remove(number)  # every bar has its number above
    _note_signs(music)
    groups = [group for group in music if group.get("class") == "system"]
    loose = [element for element in music if element not in groups]
    edges = Box(left, top, left + max(width, LINE), top + height)
    found = [_system(group, edges) for group in groups]
    for frame in loose:
        _take(frame, found)
    return etree.tostring(defs, encoding="unicode"), found


def _note_signs(music: Any) -> None:
    """Write a box on outlined signs, which are drawn around a point of their own."""
    for path in music.iter(f"{{{SVG}}}path"):
        at = PLACE.match(path.get("transform", ""))
        if at:
            x, y = float(at[1]), float(at[2])
            path.set(NOTED, f"{x:.0f} {y - SIGN:.0f} {x + SIGN:.0f} {y + SIGN / 3:.0f}")


def _system(group: Any, edges: Box) -> System:
    drawn = ink(group).grown(RIM)
    box = Box(edges.left, drawn.top, edges.right, drawn.bottom)
    bars = {int(bar.get("data-bar")): _staves(bar) for bar in group.iter(f"{{{SVG}}}g") if bar.get("data-bar")}
    heads = {int(note.get("data-note")): x for note in group.iter(f"{{{SVG}}}g") if (x := _head(note)) is not None}
    for path in group.iter(f"{{{SVG}}}path"):
        path.attrib.pop(NOTED, "")
    return System(group, box, bars, heads)


def _staves(bar: Any) -> Box:
    """The room of the staves of a bar: from the top line of the first to the bottom line of the last."""
    lines = [
        path_box(line)
        for staff in bar
        if staff.get("class") == "staff"
        for line in staff
        if line.tag == f"{{{SVG}}}path"
    ]
    boxes = [line for line in lines if line is not None]
    whole = boxes[0] if boxes else ink(bar)
    for box in boxes[1:]:
        whole = whole.around(box)
    return whole


def _head(note: Any) -> float | None:
    if not note.get("data-note"):
        return None
    uses = (use for group in note if group.get("class") == "notehead" for use in group.iter(f"{{{SVG}}}use"))
    places = [PLACE.match(use.get("transform", "")) for use in uses]
    return min((float(place[1]) for place in places if place), default=None)


def _take(frame: Any, found: Sequence[System]) -> None:
    """Put a frame of marked notes behind the music of the system that it lies in."""
    middle = float(frame.get("y", "0")) + float(frame.get("height", "0")) / 2
    near = min(found, key=lambda system: max(system.box.top - middle, middle - system.box.bottom), default=None)
    if near is not None:
        near.music.insert(0, frame)


def place_of(score: Score, system: System, tick: int) -> float:
    """Where a tick stands in a system; its left or right edge where it lies before or after it.

    A bar begins at its line, and any other tick where the first note stands that begins with it; without such a note
    it is placed by its share of the bar.
    """
    first, last = min(system.bars), max(system.bars)
    onsets = score.bars["onset"]
    if tick <= onsets[first]:
        return system.bars[first].left
    bar = bisect_right(onsets.tolist(), tick) - 1
    if bar > last:
        return system.bars[last].right
    box, begin = system.bars[bar], int(onsets[bar])
    if tick == begin:
        return box.left
    rows = {ordinal: int(score.element_note[ordinal]) for ordinal in system.heads}
    heads = [system.heads[n] for n, row in rows.items() if row >= 0 and int(score.notes["onset"][row]) == tick]
    inside = [x for x in heads if box.left <= x <= box.right]
    return min(inside) if inside else box.left + box.width * (tick - begin) / max(1, int(score.bars["duration"][bar]))


def draw_system(
    system: System, defs: str, labels: Sequence[str], chosen: range, *, below: str = "", below_high: float = 0.0
) -> str:
    """A system as a drawing whose bars can be chosen.

    Parameters
    ----------
    system : System
    defs : str
        The signs it uses; empty where a drawing above it on the page has them already.
    labels : sequence of str
        Printed number of every bar of the piece.
    chosen : range
        Indices of the bars that are selected.
    below : str
        What is drawn under it, in the same units, from the lower edge of its box.
    below_high : float
        The room that this takes.
    """
    box, bars = system.box, sorted(system.bars)
    high = NUMBER_HIGH + box.height + below_high
    words = f"bars {labels[bars[0]]} to {labels[bars[-1]]}" if len(bars) > 1 else f"bar {labels[bars[0]]}"
    fields = "".join(_field(bar, system, bar in chosen) for bar in bars)
    buttons = "".join(_button(bar, system, str(labels[bar]), bar in chosen) for bar in bars)
    music = etree.tostring(system.music, encoding="unicode")
    size = f"{box.left:.0f} {box.top - NUMBER_HIGH:.0f} {box.width:.0f} {high:.0f}"
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="system-drawing" role="group" aria-label="{escape(words)}" '
        f'viewBox="{size}" data-first="{bars[0]}" data-last="{bars[-1]}">{defs}{fields}'
        f'<g role="img" aria-label="notes of {escape(words)}" fill="currentColor">{music}</g>'
        f'{buttons}<g transform="translate(0 {box.bottom:.0f})">{below}</g></svg>'
    )


def _field(bar: int, system: System, chosen: bool) -> str:
    room, box = system.bars[bar], system.box
    top, high = box.top - NUMBER_HIGH, box.height + NUMBER_HIGH
    return (
        f'<rect class="bar-field{" chosen" if chosen else ""}" data-bar-field="{bar}" x="{room.left:.0f}" '
        f'y="{top:.0f}" width="{room.width:.0f}" height="{high:.0f}"/>'
    )


def _button(bar: int, system: System, label: str, chosen: bool) -> str:
    room, top = system.bars[bar], system.box.top - NUMBER_HIGH
    wide = max(NUMBER_HIGH, 240 + 0.55 * NUMBER_SIZE * len(label))
    return (
        f'<g class="bar-button" role="button" tabindex="-1" data-bar-button="{bar}" aria-label="bar {escape(label)}" '
        f'aria-pressed="{"true" if chosen else "false"}"><rect x="{room.left:.0f}" y="{top:.0f}" width="{wide:.0f}" '
        f'height="{NUMBER_HIGH - 60:.0f}" rx="80"/><text x="{room.left + 120:.0f}" '
        f'y="{top + NUMBER_HIGH - 210:.0f}" font-size="{NUMBER_SIZE:.0f}">{escape(label)}</text></g>'
    )
