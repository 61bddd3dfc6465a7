"""Text inside a drawing: our own font for words, outlines for signs of the music font.

The engraver writes a text as nested spans, with accidentals, beat notes and dynamics in a music font that a
reader may not have. Here a text is taken apart into runs, the runs are set one after the other by the widths
of our own font, and every run of music signs becomes outlines.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import groupby
from typing import Any

from lxml import etree

from sonorarium.render.extent import NOTED, Box, sign_box, words_box
from sonorarium.render.glyphs import MUSIC_FONTS, SVG, glyph
from sonorarium.render.typeface import Face, covers, text_outline, text_width

LETTERS = {0x266D: "♭", 0x266E: "♮", 0x266F: "♯", 0xE260: "♭", 0xE261: "♮", 0xE262: "♯", 0xE263: "𝄪", 0xE264: "𝄫"}
LETTERS |= {0xEA64: "♭", 0xEA65: "♮", 0xEA66: "♯"}
LETTERS |= {0xED60: "♭", 0xED61: "♮", 0xED62: "♯", 0xED63: "𝄪", 0xED64: "𝄫"}
LETTERS |= {0xE870: "°", 0xE871: "ø", 0xE872: "+", 0xE873: "△", 0xE874: "−", 0x25B3: "△", 0x20: " "}
"""Signs of the music font (SMuFL: accidentals, chord symbols) that our text font has as letters."""

WORDS_TO_MUSIC = 0.5625
"""Size of words over size of the music font, as the engraver sets them side by side."""

PRIVATE_USE = ("\ue000", "\uf8ff")
"""Where SMuFL puts its signs."""

MUSIC_FAMILIES = {*MUSIC_FONTS, "VerovioText", "Leland", "Petaluma", "Gootville"}


@dataclass(frozen=True)
class TextStyle:
    """How a stretch of text looks.

    Parameters
    ----------
    bold, italic : bool
    size : float
        Font size, inner units.
    music : bool
        Set in the music font.
    spacing : float
        Added after every sign, inner units.
    kind : str
        What the engraver calls the text: "syl", "harm", "dynam" …
    """

    bold: bool = False
    italic: bool = False
    size: float = 0.0
    music: bool = False
    spacing: float = 0.0
    kind: str = ""

    @property
    def face(self) -> Face:
        """The cut of our text font."""
        return Face(self.bold, self.italic)


@dataclass(frozen=True)
class Run:
    """A stretch of text in one style; ``x`` and ``y`` where it begins a new line."""

    text: str
    style: TextStyle
    x: float | None = None
    y: float | None = None

    @property
    def width(self) -> float:
        """Width, inner units."""
        if not self.style.music:
            return text_width(self.text, self.style.face) * self.style.size / 1000
        signs = [glyph(ord(sign)) for sign in self.text]
        advance = sum(sign.advance for sign in signs if sign) * self.style.size / 1000
        return advance + len(self.text) * self.style.spacing


def styled(element: Any, style: TextStyle) -> TextStyle:
    """The style inside a span."""
    size, weight, slope = element.get("font-size"), element.get("font-weight"), element.get("font-style")
    family, spacing = element.get("font-family"), element.get("letter-spacing")
    if size is not None:
        style = replace(style, size=float(size.removesuffix("px")))
    if weight is not None:
        style = replace(style, bold=weight == "bold")
    if slope is not None:
        style = replace(style, italic=slope in ("italic", "oblique"))
    if family is not None:
        style = replace(style, music=family in MUSIC_FAMILIES)
    if spacing is not None:
        style = replace(style, spacing=float(spacing.removesuffix("px")))
    return style


def runs(element: Any, style: TextStyle) -> Iterator[Run]:
    """The runs of a text element or span, in order."""
    style = styled(element, style)
    x, y = (None if (v := element.get(name)) is None else float(v) for name in ("x", "y"))
    if x is not None or y is not None:
        yield Run("", style, x, y)
    yield from _split(element.text or "", style)
    for child in element:
        yield from runs(child, style)
        if child.tail and child.tail.strip():
            yield from _split(child.tail, style)


def _split(text: str, style: TextStyle) -> Iterator[Run]:
    """One run, or several where a text of the file itself has signs of a music font among its words."""
    music = replace(style, music=True, size=style.size / WORDS_TO_MUSIC)
    for signs, stretch in groupby(text, key=lambda sign: PRIVATE_USE[0] <= sign <= PRIVATE_USE[1]):
        yield Run("".join(stretch), music if signs and not style.music else style)


def lines(all_runs: Iterator[Run]) -> list[tuple[float, float, list[Run]]]:
    """Runs grouped by line: where each line begins, and what stands on it."""
    found: list[tuple[float, float, list[Run]]] = []
    x = y = 0.0
    for run in all_runs:
        if run.x is not None or run.y is not None:
            x, y = x if run.x is None else run.x, y if run.y is None else run.y
            found.append((x, y, []))
        elif run.text:
            found[-1][2].append(run)
    return [line for line in found if line[2]]


def redraw_text(text: Any, style: TextStyle, *, outlined: bool, centred: bool) -> list[Any]:
    """Return the elements that replace a text of the engraver.

    Parameters
    ----------
    text : lxml element
        A ``text`` element.
    style : TextStyle
        What the groups around it say.
    outlined : bool
        Words as outlines too.
    centred : bool
        Centre the text on its place, whatever its own anchor.
    """
    anchor = "middle" if centred else text.get("text-anchor", "start")
    made = []
    for x, y, found in lines(runs(text, style)):
        made += _set_line(_merged(found), (x, y), anchor, outlined)
    return made


def _worded(found: list[Run]) -> list[Run]:
    """Turn runs of music signs that our own font has as letters into words, as large as the words beside them."""
    words = next((run.style for run in found if not run.style.music), None)
    made = []
    for run in found:
        if run.style.music and all(ord(sign) in LETTERS for sign in run.text):
            style = words or replace(run.style, music=False, size=run.style.size * WORDS_TO_MUSIC, spacing=0.0)
            made.append(Run("".join(LETTERS[ord(sign)] for sign in run.text), style))
        else:
            made.append(replace(run, text=_typeset(run.text.replace("\xa0", " "), run.style.kind)))
    return made


def _typeset(text: str, kind: str) -> str:
    """Write the accidentals of chord symbols and instrument names as such."""
    if kind == "harm":
        return re.sub(r"[b#](?=\d)", lambda found: "♭" if found[0] == "b" else "♯", text)
    if kind in ("label", "labelAbbr"):
        return re.sub(r"\b([A-G])b(?=\s|$)", r"\1♭", text)
    return text


def _merged(found: list[Run]) -> list[Run]:
    """Join neighbours of one style; kerning works only inside one element."""
    kept: list[Run] = []
    for run in _worded(found):
        if kept and kept[-1].style == run.style:
            kept[-1] = replace(run, text=kept[-1].text + run.text)
        else:
            kept.append(run)
    return kept


def _set_line(found: list[Run], at: tuple[float, float], anchor: str, outlined: bool) -> list[Any]:
    """Set the runs of one line from left to right."""
    x, y = at
    if len(found) == 1 and not found[0].style.music and not outlined:
        return [_words(found[0], x, y, anchor)]
    whole = sum(run.width for run in found)
    x -= {"start": 0.0, "middle": whole / 2, "end": whole}[anchor]
    made = []
    for run in found:
        if run.style.music:
            made += _signs(run, x, y)
        elif run.text.strip():
            drawn = outlined and covers(run.text, run.style.face)
            made.append(_outlined(run, x, y) if drawn else _words(run, x, y, "start"))
        x += run.width
    return made


def _words(run: Run, x: float, y: float, anchor: str) -> Any:
    """A run as text. Readers drop blanks at the ends, so those in front are taken into its place."""
    element = etree.Element(f"{{{SVG}}}text")
    before = len(run.text) - len(run.text.lstrip())
    if anchor == "start" and before:
        x += text_width(run.text[:before], run.style.face) * run.style.size / 1000
    element.set("x", f"{x:.0f}")
    element.set("y", f"{y:.0f}")
    element.set("font-size", f"{run.style.size:g}")
    if run.style.bold:
        element.set("font-weight", "600")
    if run.style.italic:
        element.set("font-style", "italic")
    if anchor != "start":
        element.set("text-anchor", anchor)
    element.text = run.text.strip()
    return element


def _outlined(run: Run, x: float, y: float) -> Any:
    """A run of words as one path."""
    element = _path(text_outline(run.text, run.style.face), x, y, run.style.size / 1000, upright=False)
    return _noted(element, words_box(run.width, x, y, run.style.size))


def _signs(run: Run, x: float, y: float) -> list[Any]:
    """A run of music signs, each as one path."""
    made, scale = [], run.style.size / 1000
    for sign in run.text:
        found = glyph(ord(sign))
        if found is not None:
            if found.outline:
                path = _path(found.outline, x, y, scale, upright=True)
                made.append(_noted(path, sign_box(found, x, y, scale)))
            x += found.advance * scale
        x += run.style.spacing
    return made


def _noted(path: Any, box: Box) -> Any:
    """The path, with its box written on it for `sonorarium.render.extent`."""
    path.set(NOTED, f"{box.left:.0f} {box.top:.0f} {box.right:.0f} {box.bottom:.0f}")
    return path


def _path(outline: str, x: float, y: float, scale: float, *, upright: bool) -> Any:
    """An outline at its place; ``upright`` where its y axis points upward."""
    element = etree.Element(f"{{{SVG}}}path")
    element.set("transform", f"translate({x:.0f} {y:.0f}) scale({scale:g} {-scale if upright else scale:g})")
    element.set("d", outline)
    return element
