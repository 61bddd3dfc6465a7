"""Themes: the colours, faces and sizes of lessons, from a small TOML file.

::

    [colours]               # the page, and the handout on white paper
    paper = "#ffffff"
    ink = "#111418"
    accent = "#7a1f3d"

    [dark]                  # the page, where the reader's system is set to dark
    [slides]                # slides; those of the page where nothing is given

    [faces]
    text = "serif"          # or "sans"
    headings = "sans"

    [sizes]
    page_percent = 110      # 90 to 150
    paper_pt = 11           # 9 to 14
    slide_percent = 100     # 80 to 140

Every key may be left out; what is not given is as usual. A key that is not known here is refused. Text must stay
readable: `LEAST_CONTRAST` holds for ink, soft text and accent on the paper, for ink and soft text on the wash, and
for the three in ``[colours]`` on white as well, since handouts are printed on white. ``line`` only parts things, and
is free.

Sources: contrast and the least contrast of text as in Web Content Accessibility Guidelines 2.2 (W3C, 2023), "relative
luminance", "contrast ratio" and success criterion 1.4.3.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from dataclasses import asdict, dataclass, fields, replace
from pathlib import Path
from typing import Any

from sonorarium.errors import InputError
from sonorarium.render.plate import ACCENT
from sonorarium.render.typeface import SANS, SERIF

LEAST_CONTRAST = 4.5
"""Least contrast of text, 1 to 21."""

WHITE = "#ffffff"
HALO = "#fdf8ee"
"""Colour around words on a landscape, which is that of the paper."""

_COLOUR = re.compile(r"#[0-9a-f]{6}")
_TEXTS = (("ink", "paper"), ("soft", "paper"), ("accent", "paper"), ("ink", "wash"), ("soft", "wash"))


@dataclass(frozen=True)
class Palette:
    """The colours of one kind of page, each ``#rrggbb``.

    Parameters
    ----------
    paper, ink : str
        Ground and text.
    soft : str
        Text that stands back: sources, headings of tables.
    line, wash : str
        Rules between things; the ground of code.
    accent : str
        Links, and what is marked in notation.
    """

    paper: str = "#fbf7ee"
    ink: str = "#1c1916"
    soft: str = "#5f574c"
    line: str = "#d9cfbd"
    accent: str = ACCENT
    wash: str = "#f1ead9"


LIGHT = Palette()
DARK = Palette("#1b1a17", "#f0eadd", "#b9b0a0", "#4a453b", "#6cc9b5", "#2a2823")
FACES: Mapping[str, str] = {"serif": SERIF, "sans": SANS}
SIZES: Mapping[str, tuple[float, float]] = {
    "page_percent": (90, 150),
    "paper_pt": (9, 14),
    "slide_percent": (80, 140),
}
"""Least and greatest value of each size."""


@dataclass(frozen=True)
class Theme:
    """How lessons look.

    Parameters
    ----------
    colours, dark, slides : Palette
    text, headings : str
        ``serif`` or ``sans``.
    page_percent, paper_pt, slide_percent : float
        Size of the text on the page, on paper and on slides.
    """

    colours: Palette = LIGHT
    dark: Palette = DARK
    slides: Palette = LIGHT
    text: str = "serif"
    headings: str = "serif"
    page_percent: float = 100
    paper_pt: float = 10.5
    slide_percent: float = 100

    def page_css(self) -> str:
        """What a page's style takes from the theme, to stand after the style of the project."""
        if self == USUAL:
            return ""
        marks = "".join(f'svg [{name}="{ACCENT}"]{{{name}:var(--accent)}}' for name in ("fill", "stroke", "color"))
        marks += f'svg [stroke="{HALO}"]{{stroke:var(--paper)}}'
        return (
            f":root{{{variables(self.colours)}}}{marks}{self.faces_css()}"
            f"html{{font-size:{self.page_percent:g}%}}"
            f"@media (prefers-color-scheme:dark){{:root{{{variables(self.dark)}}}}}\n"
        )

    def faces_css(self) -> str:
        """The faces of text and headings as CSS."""
        return (
            f"body{{font-family:{_family(self.text)}}}"
            f"h1,h2,h3,.title,h1:not(.title){{font-family:{_family(self.headings)}}}"
        )

    def in_typst(self, template: str, palette: Palette | None = None) -> str:
        """A template of the typesetter with its declared colours, faces and size replaced by those of the theme."""
        told = {name: f'rgb("{value}")' for name, value in asdict(palette or self.colours).items()}
        told["hairline"] = told.pop("line")  # the typesetter draws lines by that name
        told |= {"text-face": f'"{FACES[self.text]}"', "heading-face": f'"{FACES[self.headings]}"'}
        told |= {"text-size": f"{self.paper_pt:g}pt", "slide-scale": f"{self.slide_percent / 100:g}"}
        for name, value in told.items():
            template = re.sub(rf"^#let {name} = .*$", f"#let {name} = {value}", template, flags=re.MULTILINE)
        return template


USUAL = Theme()


def _family(face: str) -> str:
    return f"'{FACES[face]}',{'Georgia,serif' if face == 'serif' else 'sans-serif'}"


def variables(palette: Palette) -> str:
    """A palette as declarations of CSS.

    >>> variables(LIGHT).split(";")[:2]
    ['--paper:#fbf7ee', '--ink:#1c1916']
    """
    return ";".join(f"--{name}:{value}" for name, value in asdict(palette).items())


def dressed(svg: str, palette: Palette) -> str:
    """A drawing in the colours of a palette, for places that no style reaches: print and files.

    >>> dressed('<path fill="currentColor" stroke="#0d6b5b"/>', Palette(ink="#000000", accent="#7a1f3d"))
    '<path fill="#000000" stroke="#7a1f3d"/>'
    """
    return svg.replace("currentColor", palette.ink).replace(ACCENT, palette.accent).replace(HALO, palette.paper)


def contrast(one: str, other: str) -> float:
    """Contrast of two colours ``#rrggbb``, 1 (none) to 21 (black on white).

    >>> round(contrast("#000000", "#ffffff"), 2)
    21.0
    """
    high, low = sorted((_luminance(one), _luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def _luminance(colour: str) -> float:
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def read_theme(path: Path) -> Theme:
    """Read a theme.

    Parameters
    ----------
    path : Path
        A TOML file.

    Returns
    -------
    Theme

    Raises
    ------
    InputError
        Where the file cannot be read, a key is not known, a value is out of its limits, or text would be hard to
        read; the sentence names the key.
    """
    try:
        told = tomllib.loads(path.read_text(encoding="utf-8"))
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
        raise InputError(f"The theme {path} could not be read: {error}.", value=path) from error
    try:
        return _theme(told)
    except InputError as error:
        error.sentence = f"{path.name}: {error.sentence}"
        raise


def _theme(told: Mapping[str, Any]) -> Theme:
    tables = {name: _table(told, name, keys) for name, keys in _KEYS.items()}
    _known(told, tuple(_KEYS), "table")
    colours = _palette("colours", tables["colours"], LIGHT, grounds=(WHITE,))
    dark, slides = _palette("dark", tables["dark"], DARK), _palette("slides", tables["slides"], colours)
    rest: dict[str, Any] = {name: _face(name, value) for name, value in tables["faces"].items()}
    rest |= {name: _size(name, value) for name, value in tables["sizes"].items()}
    return Theme(colours, dark, slides, **rest)


_COLOURS = tuple(one.name for one in fields(Palette))
_KEYS: Mapping[str, tuple[str, ...]] = {
    "colours": _COLOURS,
    "dark": _COLOURS,
    "slides": _COLOURS,
    "faces": ("text", "headings"),
    "sizes": tuple(SIZES),
}


def _table(told: Mapping[str, Any], name: str, keys: tuple[str, ...]) -> Mapping[str, Any]:
    table = told.get(name, {})
    if not isinstance(table, dict):
        raise InputError(f"{name} is no table.", value=table, suggestion=f"Write [{name}] above its keys.")
    _known(table, keys, f"key of [{name}]")
    return table


def _known(table: Mapping[str, Any], keys: tuple[str, ...], what: str) -> None:
    for key in table:
        if key not in keys:
            raise InputError(f"there is no {what} {key!r}.", value=key, suggestion=f"There are: {', '.join(keys)}.")


def _palette(name: str, told: Mapping[str, Any], usual: Palette, *, grounds: tuple[str, ...] = ()) -> Palette:
    for key, value in told.items():
        if not isinstance(value, str) or not _COLOUR.fullmatch(value.lower()):
            raise InputError(
                f"{name}.{key} is {value!r}, which is no colour.", value=value, suggestion='Write it as "#1c1916".'
            )
    made = replace(usual, **{key: value.lower() for key, value in told.items()})
    pairs = [(text, ground, getattr(made, ground)) for text, ground in _TEXTS]
    pairs += [(text, "white", ground) for ground in grounds for text in ("ink", "soft", "accent")]
    for text, ground, colour in pairs:
        found = contrast(getattr(made, text), colour)
        if found < LEAST_CONTRAST:
            raise InputError(
                f"{name}.{text} ({getattr(made, text)}) on {ground} ({colour}) has a contrast of {found:.1f}.",
                value=found,
                suggestion=f"Text needs {LEAST_CONTRAST} or more: make one darker or the other lighter.",
            )
    return made


def _face(name: str, value: object) -> str:
    if not isinstance(value, str) or value not in FACES:
        raise InputError(
            f"faces.{name} is {value!r}, which is not there.",
            value=value,
            suggestion=f"There are: {', '.join(FACES)}.",
        )
    return value


def _size(name: str, value: object) -> float:
    least, most = SIZES[name]
    if isinstance(value, bool) or not isinstance(value, int | float) or not least <= value <= most:
        raise InputError(
            f"sizes.{name} is {value!r}.", value=value, suggestion=f"It takes a number from {least:g} to {most:g}."
        )
    return float(value)
