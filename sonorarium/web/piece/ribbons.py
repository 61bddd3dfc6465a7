"""The ribbon under a line of music: a band for each collection, over the bars in which it rules.

A band carries the number of its span, the name of the collection and its strip from C upward, as far as there is
room; its frame is whole where the collection is decided, and broken where it is not. A band that goes on from the
line before, or to the line after, is open on that side.
"""

from __future__ import annotations

from collections.abc import Sequence
from html import escape

from sonorarium.lesson.roles import signed
from sonorarium.render.typeface import text_width
from sonorarium.score.analysis.span import Span
from sonorarium.score.score import Score
from sonorarium.web.answers import address
from sonorarium.web.piece.scoring import SpanFacts
from sonorarium.web.piece.systems import System, place_of

HIGH = 1060.0
"""Room of a ribbon, in the units of the drawing, in which a staff space has 180."""

TOP, BAND = 160.0, 720.0
SIZE = 380.0
CELL = 190.0
_PAD, _STRIP = 130.0, 12 * CELL


def draw_ribbon_of(score: Score, system: System, spans: Sequence[Span], told: Sequence[SpanFacts]) -> str:
    """The bands of the spans that sound in a system; the text of a group, drawn downward from 0."""
    first, last = min(system.bars), max(system.bars)
    begin = int(score.bars["onset"][first])
    end = int(score.bars["onset"][last] + score.bars["duration"][last])
    here = [(span, facts) for span, facts in zip(spans, told, strict=True) if span.onset < end and span.end > begin]
    drawn = []
    for span, facts in here:
        left = place_of(score, system, max(begin, span.onset))
        right = system.bars[last].right if span.end >= end else place_of(score, system, span.end)
        if right - left > 1:
            drawn.append(_band(span, facts, (left, right), (span.onset >= begin, span.end <= end)))
    return f'<g class="ribbon" role="group" aria-label="collections under these bars">{"".join(drawn)}</g>'


def _band(span: Span, facts: SpanFacts, across: tuple[float, float], closed: tuple[bool, bool]) -> str:
    left, right = across[0] + 20, across[1] - 20
    words = f"{'' if closed[0] else '… '}{facts.number} {signed(facts.name)}"
    shown, room = _fitting(words, str(facts.number), right - left - 2 * _PAD)
    y = TOP + BAND / 2 + SIZE * 0.34
    text = f'<text x="{left + _PAD:.0f}" y="{y:.0f}" font-size="{SIZE:.0f}">{escape(shown)}</text>' if shown else ""
    strip = _strip(span, right - _PAD - _STRIP) if right - left > room + _STRIP + 3 * _PAD else ""
    told = signed(facts.sentence)
    kind = span.verdict.replace(" ", "-")
    return (
        f'<a class="band {kind}" href="{escape(address("/sheet", set=facts.set), quote=True)}" '
        f'aria-label="{escape(f"{words}: {told}", quote=True)}"><title>{escape(told)}</title>'
        f'<rect class="ground" x="{left:.0f}" y="{TOP:.0f}" width="{right - left:.0f}" height="{BAND:.0f}"/>'
        f'<path class="frame" d="{_frame(left, right, closed)}"/>{text}{strip}</a>'
        if facts.set
        else f'<g class="band silent"><path class="frame" d="{_frame(left, right, closed)}"/>{text}</g>'
    )


def _fitting(words: str, shorter: str, room: float) -> tuple[str, float]:
    """The words where there is room for them, else the shorter ones, else none; and the room that they take."""
    for text in (words, shorter):
        wide = text_width(text) * SIZE / 1000
        if wide <= room:
            return text, wide
    return "", 0.0


def _frame(left: float, right: float, closed: tuple[bool, bool]) -> str:
    """The path of a frame, open on the sides on which the band goes on."""
    top, bottom = TOP, TOP + BAND
    begin = f"M{left:.0f} {bottom:.0f}V{top:.0f}" if closed[0] else f"M{left:.0f} {top:.0f}"
    end = f"V{bottom:.0f}" if closed[1] else f"M{right:.0f} {bottom:.0f}"
    return f"{begin}H{right:.0f}{end}H{left:.0f}"


def _strip(span: Span, x: float) -> str:
    """The twelve pitch classes from C: filled where heard, framed where only claimed, ringed where foreign."""
    claimed = span.collection.mask if span.collection else 0
    cells = []
    for pc in range(12):
        left, y = x + pc * CELL, TOP + (BAND - CELL) / 2
        if span.foreign.mask >> pc & 1:
            kind = "foreign"
        elif span.heard.mask >> pc & 1:
            kind = "heard"
        else:
            kind = "claimed" if claimed >> pc & 1 else "none"
        size = f'width="{CELL - 30:.0f}" height="{CELL - 30:.0f}" rx="20"'
        cells.append(f'<rect class="{kind}" x="{left:.0f}" y="{y:.0f}" {size}/>')
    return f'<g class="cells">{"".join(cells)}</g>'
