"""The plate: what the engraver returns, cleaned for pages, print and files.

What is done to the engraver's SVG
----------------------------------
* One ``viewBox`` in the engraver's inner units (`STAFF_SPACE` of them between two staff lines), and a size in
  millimetres; no nested drawing.
* Ink is ``currentColor``: black by itself, the page's own colour inside a page. No background.
* Every id is ours: ``<prefix>n12`` for the 12th note element, ``<prefix>E0A4`` for a glyph. The prefix is made
  from the content, so two drawings on one page do not meet. Notes carry ``data-note``, bars ``data-bar``.
* No text is set in a music font: accidentals of chord symbols, beat notes and dynamics become outlines, placed
  by the widths of our own text font. All other text is in that font, or, on request, outlines too.
* Marked notes are in the accent colour and stand in a rounded frame, so that they are told without colour.
"""

from __future__ import annotations

import hashlib
from collections.abc import Collection, Iterator
from dataclasses import dataclass, field
from typing import Any

from lxml import etree

from sonorarium.render.extent import NOTED, Box, ink
from sonorarium.render.glyphs import SVG
from sonorarium.render.marking import frames
from sonorarium.render.typeface import SERIF_STACK, covers
from sonorarium.render.wording import TextStyle, redraw_text

STAFF_SPACE = 180.0
"""Inner units between two staff lines."""

RIM = 0.15 * STAFF_SPACE
"""Room left around the ink."""

ACCENT = "#0d6b5b"
"""Colour of what is marked."""

COLOURED = ("notehead", "accid", "stem", "flag", "dots", "ledgerLines")
"""The parts of a marked note that take the accent; its words and fingerings stay black."""

DRAWN = ("path", "rect", "polygon", "polyline", "ellipse")


@dataclass(frozen=True)
class PlateOptions:
    """How a drawing is finished.

    Parameters
    ----------
    description : str
        What the drawing shows, in words; read aloud instead of it.
    staff_mm : float
        Height of a five-line staff, millimetres.
    outlined : bool
        All text as outlines, for files that stand alone.
    centred : bool
        Texts above and below notes are centred on them.
    """

    description: str
    staff_mm: float = 8.0
    outlined: bool = False
    centred: bool = False


@dataclass(frozen=True)
class Engraving:
    """A finished drawing of notation.

    Parameters
    ----------
    svg : str
        The drawing.
    width_mm, height_mm : float
        Its natural size, millimetres.
    description : str
        What it shows, in words.
    notes : tuple of int
        Ordinals of the note elements that are in it, ascending.
    bars : tuple of int
        Indices of the bars that are in it, as drawn.
    remarks : tuple of str
        What was left out or changed.
    """

    svg: str = field(repr=False)
    width_mm: float
    height_mm: float
    description: str
    notes: tuple[int, ...] = ()
    bars: tuple[int, ...] = ()
    remarks: tuple[str, ...] = ()

    def _repr_svg_(self) -> str:
        """The drawing, for notebooks."""
        return self.svg


def finish(
    page: str, options: PlateOptions, *, marked: Collection[int] = (), remarks: tuple[str, ...] = ()
) -> Engraving:
    """Turn a page of the engraver into a finished drawing.

    Parameters
    ----------
    page : str
        SVG from the engraver. Notes have ids ``n0``, ``n1`` …, measures ``b0``, ``b1`` …
    options : PlateOptions
    marked : collection of int
        Ordinals of the note elements to mark.
    remarks : tuple of str
        Carried into the result.

    Returns
    -------
    Engraving
    """
    source = etree.fromstring(page.encode(), etree.XMLParser(huge_tree=True, no_network=True))
    prefix = "s" + hashlib.sha256(f"{page}{sorted(marked)}{options}".encode()).hexdigest()[:8] + "-"
    return _Plate(source, prefix, options, frozenset(marked)).finished(remarks)


class _Plate:
    """One drawing at work."""

    def __init__(self, source: Any, prefix: str, options: PlateOptions, marked: frozenset[int]) -> None:
        self.prefix, self.options, self.marked = prefix, options, marked
        inner = next(e for e in source.iter(f"{{{SVG}}}svg") if e.get("class") == "definition-scale")
        self.music = next(e for e in inner if e.get("class") == "page-margin")
        self.defs = next((e for e in source if e.tag == f"{{{SVG}}}defs"), etree.Element("defs"))
        self.notes: list[int] = []
        self.bars: list[int] = []

    def finished(self, remarks: tuple[str, ...]) -> Engraving:
        for group in list(self.music.iter(f"{{{SVG}}}g")):
            self._clean_group(group)
        self._rename_glyphs()
        self._redraw_texts()
        remarks += self._missing_signs()
        self._draw_strokes()
        self.music.attrib.clear()
        self.music.set("fill", "currentColor")
        self.music.set("font-family", SERIF_STACK)
        self._mark()
        box = ink(self.music).grown(RIM)
        for path in self.music.iter(f"{{{SVG}}}path"):
            path.attrib.pop(NOTED, "")
        svg = etree.tostring(self._root(box), encoding="unicode")
        mm = self.options.staff_mm / (4 * STAFF_SPACE)
        size = (round(box.width * mm, 2), round(box.height * mm, 2))
        return Engraving(svg, *size, self.options.description, tuple(sorted(self.notes)), tuple(self.bars), remarks)

    def _root(self, box: Box) -> Any:
        """A fresh drawing around the cleaned music."""
        root = etree.Element("svg", nsmap={None: SVG})  # type: ignore[dict-item]
        root.tag = f"{{{SVG}}}svg"
        mm = self.options.staff_mm / (4 * STAFF_SPACE)
        root.set("viewBox", f"{box.left:.0f} {box.top:.0f} {box.width:.0f} {box.height:.0f}")
        root.set("width", f"{box.width * mm:.2f}mm")
        root.set("height", f"{box.height * mm:.2f}mm")
        root.set("role", "img")
        root.set("aria-label", self.options.description)
        root.append(self.defs)
        root.append(self.music)
        etree.cleanup_namespaces(root)
        return root

    def _clean_group(self, group: Any) -> None:
        """Keep our ids, drop the engraver's, and drop groups that draw nothing."""
        name, classes = group.attrib.pop("id", ""), group.get("class", "").split()
        if "placeholder" in classes or not len(group):
            if group.getparent() is not None and group is not self.music:
                group.getparent().remove(group)
            return
        if "note" in classes and name[:1] == "n" and name[1:].isdigit():
            group.set("id", self.prefix + name)
            group.set("data-note", name[1:])
            self.notes.append(int(name[1:]))
        if "measure" in classes and name[:1] == "b" and name[1:].isdigit():
            group.set("data-bar", name[1:])
            self.bars.append(int(name[1:]))

    def _rename_glyphs(self) -> None:
        """Point every use of a glyph to our own id."""
        for glyph in self.defs:
            glyph.set("id", self.prefix + glyph.get("id", "").split("-")[0])
        for use in self.music.iter(f"{{{SVG}}}use"):
            link = use.attrib.pop("{http://www.w3.org/1999/xlink}href")
            use.set("href", f"#{self.prefix}{link[1:].split('-')[0]}")

    def _redraw_texts(self) -> None:
        """Set every text in our own font, with music signs as outlines."""
        for text in list(self.music.iter(f"{{{SVG}}}text")):
            style = _style_of(text)
            centred = self.options.centred and style.kind == "harm"
            parts = redraw_text(text, style, outlined=self.options.outlined, centred=centred)
            parent = text.getparent()
            at = parent.index(text)
            parent[at : at + 1] = parts

    def _missing_signs(self) -> tuple[str, ...]:
        """A remark on the signs in words that our font lacks."""
        texts = self.music.iter(f"{{{SVG}}}text")
        lacking = sorted({sign for text in texts for sign in text.text or "" if not covers(sign)})
        return (f"Our font lacks these signs: {' '.join(lacking)}",) if lacking else ()

    def _draw_strokes(self) -> None:
        """Give every line the ink, which the engraver leaves to a style sheet."""
        for kind in DRAWN:
            for shape in self.music.iter(f"{{{SVG}}}{kind}"):
                if shape.get("stroke-width") and not shape.get("stroke"):
                    shape.set("stroke", "currentColor")

    def _mark(self) -> None:
        """Colour the marked notes and put frames behind them."""
        groups = {int(g.get("data-note")): g for g in self.music.iter(f"{{{SVG}}}g") if g.get("data-note")}
        for ordinal in self.marked & groups.keys():
            groups[ordinal].set("class", "note marked")
            for part in groups[ordinal]:
                if part.get("class") in COLOURED:
                    part.set("fill", ACCENT)
                    part.set("color", ACCENT)
        for frame in reversed(frames(groups, self.marked, ACCENT)):
            self.music.insert(0, frame)


def _style_of(text: Any) -> TextStyle:
    """The look that the engraver's style sheet gives to a text, by the groups around it."""
    kinds = [kind for around in _around(text) for kind in around.get("class", "").split()]
    bold = any(kind in ("ending", "fing", "reh", "tempo") for kind in kinds)
    italic = any(kind in ("dir", "dynam", "mNum") for kind in kinds)
    return TextStyle(bold=bold, italic=italic, kind=kinds[0] if kinds else "")


def _around(element: Any) -> Iterator[Any]:
    """The groups around an element, innermost first."""
    yield from (group for group in element.iterancestors() if group.tag == f"{{{SVG}}}g")
