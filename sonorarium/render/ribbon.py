"""The ribbon: the collections of a piece over its bars, as strips set upright side by side.

Time runs across, one band for each span of a tracing, as wide as the span is long. The twelve rows are the pitch
classes, the lowest row a chosen one, so that what two collections share goes on as an unbroken line. How a cell looks
says what the note is there:

* filled: in the collection, and heard;
* an empty frame: in the collection, but not heard;
* a ring: heard, but foreign;
* filled with strokes: heard, in a span that is undecided or none of these.

A triangle at the left edge of a band marks the row of the likely centre. Bands are numbered; the list below the
ribbon says in words what each of them is. Nothing is told by colour only.
"""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from html import escape
from textwrap import wrap

from sonorarium.render.strips import ACCENT, LINE
from sonorarium.render.typeface import SERIF_STACK
from sonorarium.score.analysis.span import Span

ROW = 11
_LEFT, _TOP, _LINE_HEIGHT, _GAP = 26, 22, 19, 1.5
_ROW_NAMES = ("C", "C♯/D♭", "D", "D♯/E♭", "E", "F", "F♯/G♭", "G", "G♯/A♭", "A", "A♯/B♭", "B")


def draw_ribbon(spans: Sequence[Span], *, width: int = 860, lowest: int = 0) -> str:
    """Draw the spans of a tracing as one SVG.

    Parameters
    ----------
    spans : sequence of Span
        In order, without gaps.
    width : int
        Pixels.
    lowest : int
        Pitch class of the lowest row.

    Returns
    -------
    str
        A stand-alone SVG element.

    Examples
    --------
    >>> from fractions import Fraction
    >>> from sonorarium.pcs.pcset import PcSet
    >>> beats = (Fraction(1), Fraction(5))
    >>> span = Span(0, 16, (0, 3), ("1", "4"), beats, "silent", PcSet(), PcSet(), 0.0, 0.0, (), None)
    >>> "bars 1–4: nothing sounds." in draw_ribbon([span])
    True
    """
    words = [f"{i}. {_in_words(span)}" for i, span in enumerate(spans, 1)]
    strokes = "r" + hashlib.sha256("".join(words).encode()).hexdigest()[:8]
    below = _TOP + 12 * ROW + 18
    lines = [line for text in words for line in wrap(text, max(20, (width - _LEFT) // 7), subsequent_indent="\u2003")]
    height = below + _LINE_HEIGHT * len(lines) + 8
    scale = (width - _LEFT) / max(1, spans[-1].end - spans[0].onset) if spans else 0.0
    start = spans[0].onset if spans else 0
    bands = "".join(_band(span, i, (_LEFT, start, scale), lowest, strokes) for i, span in enumerate(spans, 1))
    texts = "".join(_text(_LEFT, below + _LINE_HEIGHT * i, line, 14) for i, line in enumerate(lines, 1))
    label = escape("The collections of the piece: " + " ".join(words), quote=True)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="ribbon" role="img" aria-label="{label}" width="{width}" '
        f'height="{height}" viewBox="0 0 {width} {height}" font-family="{escape(SERIF_STACK, quote=True)}" '
        f'fill="currentColor"><defs><pattern id="{strokes}" width="4" height="4" patternUnits="userSpaceOnUse" '
        f'patternTransform="rotate(45)"><path d="M0 0V4" stroke="currentColor" stroke-width="2.6"/></pattern></defs>'
        f"{_rows(lowest)}{bands}{texts}</svg>"
    )


def _in_words(span: Span) -> str:
    """The span in words, with its foreign notes and its centre."""
    words = span.sentence
    if span.foreign:
        words += f" Foreign: {', '.join(_ROW_NAMES[pc] for pc in span.foreign.pcs)}."
    if span.centre:
        words += f" Centre: {span.centre.note.sign if span.centre.note else 'undecided'}."
    return words


def _y(pc: int, lowest: int) -> int:
    return _TOP + ROW * (11 - (pc - lowest) % 12)


def _rows(lowest: int) -> str:
    """Names of the rows that are white keys, at the left."""
    names = [(pc, name) for pc, name in enumerate(_ROW_NAMES) if len(name) == 1]
    return "".join(_text(4, _y(pc, lowest) + ROW - 2, name, 10) for pc, name in names)


def _band(span: Span, number: int, axis: tuple[float, int, float], lowest: int, strokes: str) -> str:
    left, start, scale = axis
    x, right = left + (span.onset - start) * scale, left + (span.end - start) * scale
    wide = max(1.0, right - x - _GAP)
    bottom = _TOP + 12 * ROW
    member = span.collection
    claimed = member.mask if member else 0
    cells = "".join(
        _cell(x, _y(pc, lowest), wide, _look(pc, span, claimed, strokes))
        for pc in range(12)
        if (claimed | span.heard.mask | span.foreign.mask) >> pc & 1
    )
    edge = f'<path d="M{x:.1f} {_TOP - 4}V{bottom + 4}" stroke="{LINE}" fill="none"/>'
    words = _text(x + 2, _TOP - 7, str(number), 12) + _text(x + 2, bottom + 14, span.bars[0], 11)
    return f"<g><title>{escape(_in_words(span))}</title>{edge}{cells}{words}{_centre(span, x, lowest)}</g>"


def _look(pc: int, span: Span, claimed: int, strokes: str) -> str:
    if span.foreign.mask >> pc & 1:
        return "ring"
    if not span.heard.mask >> pc & 1:
        return f'fill="none" stroke="{LINE}" stroke-width="1.2"'
    return 'fill="currentColor"' if claimed >> pc & 1 else f'fill="url(#{strokes})" stroke="currentColor"'


def _cell(x: float, y: int, wide: float, look: str) -> str:
    if look == "ring":
        across = x + min(wide, 14) / 2
        return (
            f'<circle cx="{across:.1f}" cy="{y + ROW / 2}" r="3.2" fill="none" stroke="{ACCENT}" stroke-width="1.8"/>'
        )
    return (
        f'<rect x="{x + 0.6:.1f}" y="{y + 1}" width="{max(0.6, wide - 0.6):.1f}" height="{ROW - 2}" rx="1.5" {look}/>'
    )


def _centre(span: Span, x: float, lowest: int) -> str:
    if not span.centre or not span.centre.note:
        return ""
    y = _y(span.centre.note.pc, lowest)
    shape = f"M{x - 1:.1f} {y + 1}v{ROW - 2}l6 -{(ROW - 2) / 2}z"
    return f'<path d="{shape}" fill="{ACCENT}" stroke="white" stroke-width=".8"/>'


def _text(x: float, y: float, words: str, size: int) -> str:
    return f'<text x="{x:.1f}" y="{y:.1f}" font-size="{size}">{escape(words)}</text>'
