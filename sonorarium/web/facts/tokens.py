"""The tokens of the look, read from the style sheet itself, and how well each colour can be read on its paper.

The style sheet is the one place where a colour or a size is said; the style guide shows what stands there. Contrast
is the ratio of relative luminances of WCAG 2.2 (W3C Recommendation, 2023, "contrast ratio" and "relative luminance"):
4.5 is asked of text, 3 of large text, of the edges of controls, and of what figures are made of (1.4.3 and 1.4.11).
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path

STYLE_SHEET = Path(__file__).parents[1] / "static" / "house.css"

USES: Mapping[str, tuple[str, float]] = {
    "ink": ("text, notation, filled cells", 4.5),
    "soft": ("secondary text and labels", 4.5),
    "accent": ("controls, marked notes, where the reader is", 4.5),
    "wrong": ("the rule beside a sentence on what is wrong", 3.0),
    "edge": ("edges of controls, empty cells", 3.0),
    "line": ("rules that only divide; nothing depends on them", 1.0),
    "wash": ("a row or an option under the pointer", 1.0),
}
"""What each colour is for, and the contrast with the paper that it must have."""

SIZES: Mapping[str, str] = {
    "t-small": "heads of tables, captions",
    "t-label": "controls and labels, in the sans",
    "t-body": "text, in the serif",
    "t-head": "heads of sections",
    "t-title": "the title of a page",
}
SPACES = ("s1", "s2", "s3", "s4", "s5")


@dataclass(frozen=True)
class Colour:
    """A colour on one of the papers.

    Parameters
    ----------
    name, value, use : str
    contrast : float
        With the paper, 1 to 21.
    wanted : float
        The least that it must have.
    """

    name: str
    value: str
    use: str
    contrast: float
    wanted: float


@dataclass(frozen=True)
class Look:
    """The tokens: colours on light and on dark paper, sizes of type, spaces."""

    light: tuple[Colour, ...]
    dark: tuple[Colour, ...]
    sizes: tuple[tuple[str, str, str], ...]
    spaces: tuple[tuple[str, str], ...]


@cache
def look() -> Look:
    """The tokens, as the style sheet has them."""
    sheet = STYLE_SHEET.read_text(encoding="utf-8")
    light = tokens(sheet, ":root{")
    dark = light | tokens(sheet, ":root[data-paper=dark]{")
    sizes = tuple((name, light[name], use) for name, use in SIZES.items())
    return Look(_colours(light), _colours(dark), sizes, tuple((name, light[name]) for name in SPACES))


def tokens(sheet: str, head: str) -> dict[str, str]:
    """The custom properties of the first rule that begins with a head.

    >>> tokens(":root{--ink:#000;--s1:.35rem}", ":root{")
    {'ink': '#000', 's1': '.35rem'}
    """
    start = sheet.index(head) + len(head)
    return dict(re.findall(r"--([\w-]+):([^;}]+)", sheet[start : sheet.index("}", start)]))


def _colours(there: Mapping[str, str]) -> tuple[Colour, ...]:
    paper = there["paper"]
    return tuple(
        Colour(name, there[name], use, round(contrast(there[name], paper), 1), wanted)
        for name, (use, wanted) in USES.items()
    )


def contrast(one: str, other: str) -> float:
    """The contrast of two colours, each ``#rrggbb``.

    >>> round(contrast("#000000", "#ffffff"), 1), round(contrast("#777777", "#ffffff"), 2)
    (21.0, 4.48)
    """
    lighter, darker = sorted((luminance(one), luminance(other)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def luminance(colour: str) -> float:
    """Relative luminance of a colour, 0 black to 1 white."""
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def guide() -> str:
    """The style guide as a page of Markdown, made from the style sheet."""
    here = look()
    lines = [
        "# The look",
        "",
        "Made from the tokens of the style sheet; `/look` in the workbench shows them at work.",
        "",
        "An engraver's desk: warm paper, black ink, one accent. Notation is set large. The strip (twelve cells,",
        "filled where the set has a note) comes before circles and keyboards. The serif is for reading, the sans",
        "for controls. Pitch classes have no colours, and nothing is told by colour alone: marked notes are framed,",
        "moved notes dashed where they left. Whatever is shown has a `▸ hear` and a `+ keep`. Targets are 24 pixels",
        "or more.",
        "",
        "## Colours",
        "",
        "| token | for | light | contrast | dark | contrast | at least |",
        "|---|---|---|---|---|---|---|",
    ]
    lines += [
        f"| `{a.name}` | {a.use} | `{a.value}` | {a.contrast} | `{b.value}` | {b.contrast} | {a.wanted:g} |"
        for a, b in zip(here.light, here.dark, strict=True)
    ]
    lines += ["", "## Sizes", "", "| token | size | for |", "|---|---|---|"]
    lines += [f"| `{name}` | `{size}` | {use} |" for name, size, use in here.sizes]
    lines += ["", "## Spaces", "", ", ".join(f"`{name}` {size}" for name, size in here.spaces) + ".", ""]
    return "\n".join(lines)
