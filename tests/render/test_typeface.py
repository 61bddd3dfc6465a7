"""The fonts: what they cover, how they are named, that they may be shipped."""

from __future__ import annotations

import pytest

from sonorarium.render.foundry import STYLES
from sonorarium.render.typeface import (
    FONT_FOLDER,
    RANGES,
    SIGN_RANGE,
    Face,
    covers,
    font_face_css,
    text_outline,
    text_width,
)

SIGNS = "♭♯♮𝄪𝄫△Δø°−–→←•₀₁₂₃₄₅₆₇₈₉½×…‘’“”·"
NAMES = "Dvořák Bartók Łódź Škroup Ødegård œuvre süß Brâncuși"


@pytest.mark.parametrize("face", [Face(bold, italic) for bold in (False, True) for italic in (False, True)])
def test_the_serif_has_the_signs_of_the_trade(face: Face) -> None:
    assert covers(SIGNS + NAMES, face)


@pytest.mark.parametrize("style", STYLES, ids=lambda style: style.file)
def test_names_weights_and_signs_of_every_printed_font(style: object) -> None:
    from fontTools.ttLib import TTFont

    from sonorarium.render.foundry import Style

    assert isinstance(style, Style)
    font = TTFont(FONT_FOLDER / f"{style.file}.ttf")
    assert font["name"].getDebugName(16) == f"Sonorarium {style.family}"
    assert font["OS/2"].usWeightClass == style.weight
    assert set(map(ord, SIGNS)) <= set(font.getBestCmap())
    assert "Reserved Font Name" in font["name"].getDebugName(0)


def test_no_changed_font_bears_the_reserved_name() -> None:
    from fontTools.ttLib import TTFont

    for path in FONT_FOLDER.glob("sonorarium-*"):
        names = [str(record) for record in TTFont(path)["name"].names if record.nameID not in (0, 13)]
        assert not any("Source" in name for name in names), path.name


def test_the_licence_is_shipped() -> None:
    licence = (FONT_FOLDER / "OFL.txt").read_text(encoding="utf-8")
    assert "SIL OPEN FONT LICENSE Version 1.1" in licence
    assert "Reserved Font Name 'Source'" in licence


def test_fonts_are_light() -> None:
    assert sum(path.stat().st_size for path in FONT_FOLDER.iterdir()) < 2_500_000


def codes(ranges: str) -> set[int]:
    """The code points of a unicode-range."""
    found: set[int] = set()
    for item in ranges.split(","):
        first, _, last = item.removeprefix("U+").partition("-")
        found |= set(range(int(first, 16), int(last or first, 16) + 1))
    return found


def test_web_fonts_together_cover_what_the_printed_font_covers() -> None:
    from fontTools.ttLib import TTFont

    promised: set[int] = set()
    for script, ranges in {**RANGES, "signs": SIGN_RANGE}.items():
        name = "sonorarium-signs-serif" if script == "signs" else f"source-serif-4-{script}-wght-normal"
        promised |= codes(ranges) & set(TTFont(FONT_FOLDER / f"{name}.woff2").getBestCmap())
    assert set(map(ord, SIGNS + NAMES)) <= promised


def test_css_names_only_files_that_exist() -> None:
    css = font_face_css("/fonts")
    files = [piece.split("'")[0] for piece in css.split("url('/fonts/")[1:]]
    assert len(files) == 12
    assert all((FONT_FOLDER / name).is_file() for name in files)


@pytest.mark.parametrize("family", ["serif", "sans"])
def test_signs_for_pages_have_the_weights_of_the_printed_fonts(family: str) -> None:
    """The variable signs, at both ends, are the static ones."""
    from fontTools.ttLib import TTFont
    from fontTools.varLib.instancer import instantiateVariableFont

    for weight in (400, 600):
        static = TTFont(FONT_FOLDER / f"sonorarium-{family}-{weight}.ttf")
        signs = instantiateVariableFont(TTFont(FONT_FOLDER / f"sonorarium-signs-{family}.woff2"), {"wght": weight})
        for code in codes(SIGN_RANGE) & set(signs.getBestCmap()):
            ours, theirs = (font["glyf"][font.getBestCmap()[code]] for font in (signs, static))
            assert [ours.xMin, ours.yMin, ours.xMax, ours.yMax] == pytest.approx(
                [theirs.xMin, theirs.yMin, theirs.xMax, theirs.yMax], abs=1
            )


def test_every_rule_of_a_family_names_the_same_weights() -> None:
    """A browser takes the rules of one span of weights together and passes over the others."""
    assert {rule.split("font-weight:")[1].split(";")[0] for rule in font_face_css().splitlines()} == {"200 900"}


def test_widths_add_up() -> None:
    assert text_width("B♭7") == text_width("B") + text_width("♭") + text_width("7")
    assert text_width("") == 0
    assert text_width("bold", Face(bold=True)) > text_width("bold")


def test_outline_of_blank_and_letter() -> None:
    assert text_outline("") == ""
    assert text_outline("♭").count("Z") == 2
