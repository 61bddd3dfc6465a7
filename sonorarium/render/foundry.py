"""Casts the fonts of Sonorarium from the published packages of Source Serif 4 and Source Sans 3.

Run once, when a font changes; the results are kept in the folder ``fonts`` beside this module, whose
``README.md`` says which package versions they come from.

What is made
------------
* **TTF for print**, one file for each style, families "Sonorarium Serif" and "Sonorarium Sans". Each joins the
  packages' Latin and Latin Extended files, some Greek letters, and the signs below.
* **WOFF2 for the web**: the variable Latin and Latin Extended fonts exactly as published, and one small file
  with the signs.

The families have a name of their own because the licence (SIL Open Font License 1.1, condition 3) keeps the
name "Source" for the unchanged fonts, and joining files is a change.

Signs
-----
The Latin files lack the accidentals, the subscript figures and the sideways arrows. Subscripts are the
fonts' own denominator figures, lowered; arrows are the fonts' own upward arrow, turned; accidentals and the
triangle are drawn here, with strokes as heavy as those of the letters beside them.
"""

from __future__ import annotations

import sys
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

MOMENT = 3_700_000_000
"""Creation time written into every font (seconds since 1904), so that casting twice gives the same bytes."""

GREEK = "ΔΩαβγδπσφψω"
"""Greek letters taken along: the major-seventh triangle as people type it, and what formulas use."""


@dataclass(frozen=True)
class Style:
    """One cut of a family: which published file it comes from, and what it is called here."""

    family: str
    package: str
    weight: int
    italic: bool

    @property
    def file(self) -> str:
        """File name of the static font, without suffix."""
        return f"sonorarium-{self.family.lower()}-{self.weight}{'-italic' if self.italic else ''}"

    @property
    def stroke(self) -> int:
        """Thickness of the heavier strokes of the signs, in thousandths of the em."""
        return 84 if self.weight < 500 else 112

    def source(self, folder: Path, script: str) -> Path:
        """The published static file of one script."""
        slope = "italic" if self.italic else "normal"
        return folder / f"{self.package}-{script}-{self.weight}-{slope}.woff2"


STYLES = tuple(
    Style(family, package, weight, italic)
    for family, package in (("Serif", "source-serif-4"), ("Sans", "source-sans-3"))
    for weight in (400, 600)
    for italic in (False, True)
)


def draw_polygon(pen: Any, *corners: tuple[float, float]) -> None:
    """Draw one closed polygon, corners clockwise."""
    pen.moveTo(corners[0])
    for corner in corners[1:]:
        pen.lineTo(corner)
    pen.closePath()


def draw_bar(pen: Any, ends: tuple[float, float], foot: float, thick: float, rise: float = 0) -> None:
    """Draw a bar between two horizontal positions, its right end raised; upright strokes are short thick bars."""
    left, right = ends
    draw_polygon(pen, (left, foot), (left, foot + thick), (right, foot + thick + rise), (right, foot + rise))


def draw_sharp(pen: Any, stroke: int) -> int:
    """Two upright stems, two heavier bars that rise to the right. Returns the advance width, as all do."""
    stem = stroke * 0.55
    for left, foot in ((135, -85), (305, -45)):
        draw_bar(pen, (left, left + stem), foot, 770)
    for foot in (130, 385):
        draw_bar(pen, (45, 440), foot, stroke, 90)
    return 485


def draw_natural(pen: Any, stroke: int) -> int:
    """Two stems, the left one reaching up and the right one down, joined by two rising bars."""
    stem = stroke * 0.55
    draw_bar(pen, (75, 75 + stem), 110, 640)
    draw_bar(pen, (315, 315 + stem), -90, 660)
    for foot in (110, 420):
        draw_bar(pen, (75, 315 + stem), foot, stroke, 70)
    return int(390 + stem)


def draw_flat(pen: Any, stroke: int, at: float = 0) -> int:
    """One stem and a bowl that is heaviest at its right and runs out into a point."""
    left = at + 60
    inner, right = left + stroke * 0.55, left + 330
    pen.moveTo((left, -30))
    for corner in ((left, 750), (inner, 750), (inner, 320)):
        pen.lineTo(corner)
    pen.qCurveTo((inner + 65, 415), (inner + 150, 415))
    pen.qCurveTo((right, 415), (right, 300))
    pen.qCurveTo((right, 205), (left + 175, 85))
    pen.closePath()
    pen.moveTo((inner, 270))
    pen.lineTo((inner, 55))
    pen.qCurveTo((right - stroke * 1.1, 180), (right - stroke * 1.1, 285))
    pen.qCurveTo((right - stroke * 1.1, 362), (inner + 95, 362))
    pen.qCurveTo((inner + 50, 362), (inner, 270))
    pen.closePath()
    return 425


def draw_double_flat(pen: Any, stroke: int) -> int:
    """Two flats, close together."""
    draw_flat(pen, stroke)
    return 305 + draw_flat(pen, stroke, 305)


def draw_double_sharp(pen: Any, stroke: int) -> int:
    """A slanting cross whose arms end in squares."""
    thin, side = stroke * 0.4, stroke * 0.72
    low, high, left, right = 130.0, 450.0, 110.0, 430.0
    draw_polygon(
        pen,
        (left - thin, low + thin),
        (right - thin, high + thin),
        (right + thin, high - thin),
        (left + thin, low - thin),
    )
    draw_polygon(
        pen,
        (left + thin, high + thin),
        (right + thin, low + thin),
        (right - thin, low - thin),
        (left - thin, high - thin),
    )
    for x in (left, right):
        for y in (low, high):
            draw_bar(pen, (x - side, x + side), y - side, side * 2)
    return 540


def draw_triangle(pen: Any, stroke: int) -> int:
    """An open triangle, the major-seventh sign."""
    thin = stroke * 0.62
    draw_polygon(pen, (40, 0), (330, 640), (620, 0))
    draw_polygon(pen, (40 + 1.75 * thin, thin), (620 - 1.75 * thin, thin), (330, 640 - 2.4 * thin))
    return 660


DRAWN = {
    0x266D: draw_flat,
    0x266E: draw_natural,
    0x266F: draw_sharp,
    0x1D12A: draw_double_sharp,
    0x1D12B: draw_double_flat,
    0x25B3: draw_triangle,
}
"""Code point and drawing of every sign that no published file has."""


def add_glyph(font: Any, code: int, glyph: Any, advance: int) -> None:
    """Put one outline into a font under its code point."""
    name = f"u{code:04X}"
    font.setGlyphOrder([*font.getGlyphOrder(), name])
    font["glyf"][name] = glyph
    glyph.recalcBounds(font["glyf"])
    font["hmtx"][name] = (advance, glyph.xMin)
    for table in font["cmap"].tables:
        if table.isUnicode() and (code <= 0xFFFF or table.format == 12):
            table.cmap[code] = name


def add_full_map(font: Any) -> None:
    """Add the kind of character map that reaches beyond 16 bits, where the double accidentals are."""
    from fontTools.ttLib.tables._c_m_a_p import CmapSubtable

    table = CmapSubtable.newSubtable(12)
    table.platformID, table.platEncID, table.language = 3, 10, 0
    table.cmap = dict(font.getBestCmap())
    font["cmap"].tables.append(table)


def redrawn(font: Any, name: str, matrix: tuple[float, ...]) -> Any:
    """An outline of the font, moved, scaled or turned by an affine matrix."""
    from fontTools.pens.recordingPen import DecomposingRecordingPen
    from fontTools.pens.transformPen import TransformPen
    from fontTools.pens.ttGlyphPen import TTGlyphPen

    glyphs = font.getGlyphSet()
    drawing, pen = DecomposingRecordingPen(glyphs), TTGlyphPen(None)
    glyphs[name].draw(drawing)
    drawing.replay(TransformPen(pen, matrix))
    return pen.glyph()


def add_signs(font: Any, stroke: int) -> None:
    """Give a font its accidentals, its triangle, its arrows and its subscript figures."""
    from fontTools.pens.ttGlyphPen import TTGlyphPen

    add_full_map(font)
    for code, draw in DRAWN.items():
        pen = TTGlyphPen(None)
        advance = draw(pen, stroke)
        add_glyph(font, code, pen.glyph(), advance)
    names = font.getBestCmap()
    small = denominators(font)
    for figure in range(10):
        lowered = redrawn(font, small[names[0x30 + figure]], (1, 0, 0, 1, 0, -130))
        add_glyph(font, 0x2080 + figure, lowered, font["hmtx"][small[names[0x30 + figure]]][0])
    up, width = names[0x2191], font["hmtx"][names[0x2191]][0]
    middle = 300
    length = 2 * middle + 40
    add_glyph(font, 0x2192, redrawn(font, up, (0, -1, 1, 0, 0, middle + width / 2)), length)
    add_glyph(font, 0x2190, redrawn(font, up, (0, 1, -1, 0, length, middle - width / 2)), length)


def denominators(font: Any) -> dict[str, str]:
    """The font's own small figures: glyph name of a figure to that of its denominator."""
    table = font["GSUB"].table
    at = next(r.Feature.LookupListIndex[0] for r in table.FeatureList.FeatureRecord if r.FeatureTag == "dnom")
    subtable = table.LookupList.Lookup[at].SubTable[0]
    return dict(getattr(subtable, "ExtSubTable", subtable).mapping)


def name_font(font: Any, style: Style) -> None:
    """Write the names that programs choose a font by, keeping the copyright line."""
    copyright_line = font["name"].getDebugName(0)
    family = f"Sonorarium {style.family}"
    cut = f"{'SemiBold' if style.weight == 600 else 'Regular'}{' Italic' if style.italic else ''}"
    font["name"].names = []
    full = f"{family} {cut}".removesuffix(" Regular")
    entries = {0: copyright_line, 1: full.removesuffix(" Italic"), 2: "Italic" if style.italic else "Regular"}
    entries |= {3: f"{full}; 1", 4: full, 5: "Version 1.000", 6: full.replace(" ", ""), 13: LICENCE}
    entries |= {16: family, 17: cut}
    for number, text in entries.items():
        font["name"].setName(text, number, 3, 1, 0x409)
    font["OS/2"].usWeightClass = style.weight
    font["OS/2"].fsSelection = (font["OS/2"].fsSelection & ~0x61) | (1 if style.italic else 0x40)
    font["head"].macStyle = 2 if style.italic else 0
    font["head"].created = font["head"].modified = MOMENT
    font.recalcTimestamp = False


LICENCE = "SIL Open Font License, Version 1.1"


def joined(style: Style, folder: Path, workplace: Path) -> Any:
    """The Latin, Latin Extended and some Greek glyphs of one style in one font, with the signs."""
    from fontTools import merge, subset, ttLib

    paths: list[str] = []
    for script, letters in (("latin", None), ("latin-ext", None), ("greek", GREEK)):
        font = ttLib.TTFont(style.source(folder, script))
        keep = subset.Subsetter(subset.Options(layout_features=["*"], notdef_outline=True, glyph_names=True))
        held = {chr(code) for code in font.getBestCmap()}
        taken = set().union(*(ttLib.TTFont(p).getBestCmap() for p in paths))
        keep.populate(text="".join(c for c in sorted(letters or held) if c in held and ord(c) not in taken))
        keep.subset(font)
        font.flavor = None
        paths.append(str(workplace / f"{style.file}-{script}.ttf"))
        font.save(paths[-1])
    whole = merge.Merger().merge(paths)
    add_signs(whole, style.stroke)
    name_font(whole, style)
    return whole


def signs_only(font: Any) -> Any:
    """A joined font, stripped of everything but the signs."""
    from fontTools import subset

    keep = subset.Subsetter(subset.Options(layout_features=[], glyph_names=False))
    keep.populate(unicodes=[*DRAWN, *range(0x2080, 0x208A), 0x2190, 0x2192, *map(ord, "ΔΩ")])
    keep.subset(font)
    return font


def cast_signs(family: str, fonts: dict[int, Any]) -> Any:
    """Join the signs of the regular and the semibold cut into one font of variable weight.

    A page needs them so: beside fonts of variable weight, a browser passes over files for part of the weights.
    """
    from fontTools.designspaceLib import AxisDescriptor, DesignSpaceDocument, SourceDescriptor
    from fontTools.varLib import build

    plan = DesignSpaceDocument()
    lightest, heaviest = min(fonts), max(fonts)
    plan.addAxis(AxisDescriptor(tag="wght", name="Weight", minimum=lightest, default=lightest, maximum=heaviest))
    for weight, font in sorted(fonts.items()):
        plan.addSource(
            SourceDescriptor(font=font, location={"Weight": weight}, familyName=f"Sonorarium Signs {family}")
        )
    variable, _, _ = build(plan, exclude=["STAT", "avar", "MVAR"])
    variable.recalcTimestamp = False
    variable.flavor = "woff2"
    return variable


def cast(folder: Path, target: Path) -> list[Path]:
    """Write every font file.

    Parameters
    ----------
    folder : Path
        Holds the ``.woff2`` files of the four packages, static and variable.
    target : Path
        Where the cast fonts go.

    Returns
    -------
    list of Path
        The files written, in order of name.
    """
    with TemporaryDirectory() as workplace:
        signs: dict[str, dict[int, Any]] = {}
        for style in STYLES:
            font = joined(style, folder, Path(workplace))
            font.save(target / f"{style.file}.ttf", reorderTables=True)
            if not style.italic:
                signs.setdefault(style.family, {})[style.weight] = signs_only(font)
        for family, fonts in signs.items():
            cast_signs(family, fonts).save(target / f"sonorarium-signs-{family.lower()}.woff2")
    for package in ("source-serif-4", "source-sans-3"):
        for script in ("latin", "latin-ext"):
            for slope in ("normal", "italic"):
                name = f"{package}-{script}-wght-{slope}.woff2"
                (target / name).write_bytes((folder / name).read_bytes())
    return sorted([*target.glob("*.ttf"), *target.glob("*.woff2")])


if __name__ == "__main__":
    for written in cast(Path(sys.argv[1]), Path(__file__).parent / "fonts"):
        sys.stdout.write(f"{written.stat().st_size:>8}  {written.name}\n")
