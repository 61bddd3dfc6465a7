"""Themes are read whole or refused, and never make text hard to read."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sonorarium.errors import InputError
from sonorarium.lesson.forms.theme import (
    DARK,
    LEAST_CONTRAST,
    LIGHT,
    USUAL,
    WHITE,
    Palette,
    Theme,
    contrast,
    dressed,
    read_theme,
    variables,
)

COLOURS = st.integers(0, 0xFFFFFF).map(lambda value: f"#{value:06x}")


def theme_of(folder: Path, text: str) -> Theme:
    place = folder / "theme.toml"
    place.write_text(text, encoding="utf-8")
    return read_theme(place)


# The grey #767676 is the lightest on white that passes level AA, #777777 the first that fails; the ratios are those
# commonly given beside success criterion 1.4.3 (from memory).
@pytest.mark.parametrize(
    ("one", "other", "ratio"),
    [
        ("#000000", "#ffffff", 21.0),
        ("#767676", "#ffffff", 4.54),
        ("#777777", "#ffffff", 4.48),
        ("#0000ff", "#ffffff", 8.59),
    ],
)
def test_contrast_is_that_of_the_guidelines(one: str, other: str, ratio: float) -> None:
    assert contrast(one, other) == pytest.approx(ratio, abs=0.005)


@given(COLOURS, COLOURS)
def test_contrast_has_its_laws(one: str, other: str) -> None:
    assert contrast(one, other) == contrast(other, one)
    assert 1 <= contrast(one, other) <= 21.001
    assert contrast(one, one) == 1


@pytest.mark.parametrize("palette", [LIGHT, DARK], ids=["light", "dark"])
def test_the_usual_colours_can_be_read(palette: Palette) -> None:
    for text in (palette.ink, palette.soft, palette.accent):
        assert contrast(text, palette.paper) >= LEAST_CONTRAST
    for text in (palette.ink, palette.soft):
        assert contrast(text, palette.wash) >= LEAST_CONTRAST
    if palette is LIGHT:
        assert all(contrast(text, WHITE) >= LEAST_CONTRAST for text in (palette.ink, palette.soft, palette.accent))


def test_an_empty_theme_is_the_usual_one(tmp_path: Path) -> None:
    assert theme_of(tmp_path, "") == USUAL
    assert USUAL.page_css() == ""


def test_what_is_given_is_taken_and_the_rest_stays(tmp_path: Path) -> None:
    theme = theme_of(
        tmp_path,
        '[colours]\naccent = "#7A1F3D"\n[slides]\npaper = "#101010"\nink = "#eeeeee"\nsoft = "#bbbbbb"\n'
        'accent = "#ffb3c7"\nwash = "#222222"\n[faces]\nheadings = "sans"\n[sizes]\npaper_pt = 12\n',
    )
    assert theme.colours == Palette(accent="#7a1f3d")
    assert (theme.slides.paper, theme.slides.line) == ("#101010", LIGHT.line)
    assert (theme.dark, theme.text, theme.headings, theme.paper_pt) == (DARK, "serif", "sans", 12.0)
    assert "--accent:#7a1f3d" in theme.page_css()
    assert variables(DARK) in theme.page_css()


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ('[colors]\nink = "#000000"\n', r"theme\.toml: there is no table 'colors'.*colours, dark, slides"),
        ('[colours]\nlink = "#000000"\n', r"there is no key of \[colours\] 'link'"),
        ('[colours]\nink = "black"\n', r"colours\.ink is 'black', which is no colour"),
        ("[colours]\nink = 3\n", r"colours\.ink is 3, which is no colour"),
        (
            '[colours]\nsoft = "#999999"\n',
            r"colours\.soft \(#999999\) on paper .* has a contrast of 2\.7\. Text needs 4\.5",
        ),
        ('[colours]\nwash = "#333333"\n', r"colours\.ink .* on wash"),
        (
            '[colours]\npaper="#000000"\nink="#ffffff"\nsoft="#cccccc"\naccent="#aaaaff"\nwash="#111111"\n',
            "ink .* on white",
        ),
        ('[slides]\npaper = "#000000"\n', r"slides\.ink"),
        ('[faces]\ntext = "gothic"\n', r"faces\.text is 'gothic'.*serif, sans"),
        ("[sizes]\npaper_pt = 30\n", r"sizes\.paper_pt is 30\. It takes a number from 9 to 14"),
        ("[sizes]\npaper_pt = true\n", r"sizes\.paper_pt is True"),
        ("colours = 3\n", "colours is no table"),
        ("[colours\n", "could not be read"),
    ],
)
def test_what_is_not_understood_or_hard_to_read_is_refused(tmp_path: Path, text: str, sentence: str) -> None:
    with pytest.raises(InputError) as caught:
        theme_of(tmp_path, text)
    assert caught.match(sentence)


def test_a_missing_theme_is_said(tmp_path: Path) -> None:
    with pytest.raises(InputError, match=r"nowhere\.toml could not be read"):
        read_theme(tmp_path / "nowhere.toml")


def test_drawings_are_dressed() -> None:
    made = dressed('<g fill="currentColor"><path stroke="#0d6b5b"/></g>', DARK)
    assert made == f'<g fill="{DARK.ink}"><path stroke="{DARK.accent}"/></g>'
