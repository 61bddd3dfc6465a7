"""A lesson as slides, 16:9: what stands on each, and the slides as one HTML file and as a PDF.

A heading of level 1 or 2 begins a slide, and so does a line ``---``. A figure or table that would be small under the
words before it gets a slide of its own under the same heading, long text and long tables go on over several slides;
so notation stands large and nothing runs over the edge. Both files show the same slides with the same numbers.

Conventions
-----------
* Sizes are in units of which a slide has 120 across and 67.5 down (16 pixels each on a screen of 1920 x 1080).
* How much room text takes is reckoned from its letters; the two files still shrink what would not fit.
* The HTML page opens from disk; it holds fonts, drawings and sounds, and no address can be fetched. Keys: arrows,
  space and page keys turn; Home and End; S plays and stops the sound of a slide; R shows all slides as one page to
  read; Escape stops every sound. Without its script the page shows all slides one under another.
"""

from __future__ import annotations

import base64
import hashlib
import math
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import chain

from markdown_it.token import Token
from markupsafe import Markup

from sonorarium.lesson.assets import asset, environment
from sonorarium.lesson.forms.printed import Writer, literal
from sonorarium.lesson.forms.theme import USUAL, Theme, variables
from sonorarium.lesson.forms.webpage import Renderer, fonts_inside
from sonorarium.lesson.illustrations.blocks import Block, Facts, Figure, Made, Table
from sonorarium.lesson.markdown import Page, parser
from sonorarium.render.sound import CAUTION

WIDTH, HEIGHT = 103.0, 46.0
"""Room under the heading, in units."""

LINE, LETTERS = 3.6, 78
"""Height of a line of text in units, and the letters that it holds."""

FEW_LINES = 6
"""Text of no more than this stands larger where it stands alone."""

LINES_OVER_FIGURE = 4
"""More text than this does not share a slide with a figure or a table."""

UNITS_PER_MM = 1.0
"""Largest size of notation: a staff of 8 mm on paper is 8 units high."""

LARGE, LEAST_SHARE = 0.6, 0.72
"""Units per millimetre of notation that is still large; the share of its size alone that is enough otherwise."""

ROWS = 9
"""Rows of a table on one slide."""


@dataclass(frozen=True)
class Slide:
    """What stands on one slide.

    Parameters
    ----------
    heading : tuple of Token
        The inline tokens of the heading; none where the lesson begins without one.
    text : tuple of Token
        Running text.
    blocks : tuple of Block
        A figure, a table or facts under it; sounds may stand beside.
    continued : bool
        Whether an earlier slide has the same heading.
    """

    heading: tuple[Token, ...] = ()
    text: tuple[Token, ...] = ()
    blocks: tuple[Block, ...] = ()
    continued: bool = False

    @property
    def title(self) -> str:
        """The heading as plain text."""
        return "".join(t.content for token in self.heading for t in token.children or ()).strip()

    @property
    def few(self) -> bool:
        """Whether it holds nothing but a few words, which are then set larger."""
        return bool(self.text) and not self.blocks and lines_of(self.text) <= FEW_LINES


def slides(page: Page, made: Mapping[int, Made], *, scale: float = 1.0) -> tuple[Slide, ...]:
    r"""Part a lesson into slides, the title slide not counted.

    Parameters
    ----------
    page : Page
    made : mapping of int to Made
        What each directive became, by its line.
    scale : float
        Size of the text over the usual one.

    Examples
    --------
    >>> from sonorarium.lesson.markdown import read_page
    >>> [one.title for one in slides(read_page("# One\n\nwords\n\n## Two\n\nwords\n"), {})]
    ['One', 'Two']
    """
    found: list[Slide] = []
    for heading, parts in _sections(page.tokens):
        begun = len(found)
        for slide in _parted(parts, made, scale):
            found.append(replace(slide, heading=heading, continued=len(found) > begun))
        if len(found) == begun and heading:
            found.append(Slide(heading))
    return tuple(found)


def _sections(tokens: Sequence[Token]) -> Iterator[tuple[tuple[Token, ...], list[list[Token]]]]:
    """Each heading of level 1 or 2 with the top-level parts under it; a rule begins a section of the same heading."""
    heading: tuple[Token, ...] = ()
    parts: list[list[Token]] = []
    for part in _parts(tokens):
        if part[0].type == "heading_open" and part[0].tag in ("h1", "h2"):
            if heading or parts:
                yield heading, parts
            heading, parts = tuple(part[1:-1]), []
        else:
            parts.append(part)
    if heading or parts:
        yield heading, parts


def _parts(tokens: Sequence[Token]) -> Iterator[list[Token]]:
    """Top-level parts of a token stream: a paragraph, a list, a directive."""
    part: list[Token] = []
    depth = 0
    for token in tokens:
        if token.type == "front_matter":
            continue
        part.append(token)
        depth += token.nesting
        if depth == 0:
            yield part
            part = []


def _parted(parts: Sequence[list[Token]], made: Mapping[int, Made], scale: float) -> Iterator[Slide]:
    """Fill slides with the parts of a section."""
    text: list[Token] = []
    most = HEIGHT / LINE / scale
    for part in chain.from_iterable(_shorter(part, most) for part in parts):
        if part[0].type == "hr":
            if text:
                yield Slide(text=tuple(text))
            text = []
        elif part[0].type == "directive":
            yield from _shown(text, made[part[0].meta["directive"].line].blocks, scale)
            text = []
        else:
            if text and lines_of(text) + lines_of(part) > most:
                yield Slide(text=tuple(text))
                text = []
            text.extend(part)
    if text:
        yield Slide(text=tuple(text))


def _shorter(part: list[Token], most: float) -> Iterator[list[Token]]:
    """A list that takes more lines than a slide has as several, numbers going on; anything else as it is."""
    if part[0].type not in ("bullet_list_open", "ordered_list_open") or lines_of(part) <= most:
        yield part
        return
    first = int(part[0].attrs.get("start", 1))
    items: list[list[Token]] = []
    for at, item in enumerate(_parts(part[1:-1])):
        if items and lines_of([*chain.from_iterable(items), *item]) > most:
            yield _as_list(part, items, first + at - len(items))
            items = []
        items.append(item)
    yield _as_list(part, items, first + at + 1 - len(items))


def _as_list(whole: list[Token], items: list[list[Token]], start: int) -> list[Token]:
    """Some items of a list as a list that begins with a number."""
    opening = whole[0].copy()
    if opening.type == "ordered_list_open":
        opening.attrs = {**opening.attrs, "start": start}
    return [opening, *chain.from_iterable(items), whole[-1]]


def _shown(text: list[Token], blocks: Sequence[Block], scale: float) -> Iterator[Slide]:
    """The slides of a directive's blocks; the text before them shares the first where there is room."""
    waiting: list[Block] = []
    for block in chain.from_iterable(map(_pieces, blocks)):
        joins = not waiting and shares(text, block, scale) if text else _joins(waiting, block, scale)
        if (waiting or text) and not joins:
            yield Slide(text=tuple(text), blocks=tuple(waiting))
            text, waiting = [], []
        waiting.append(block)
        if text:
            yield Slide(text=tuple(text), blocks=tuple(waiting))
            text, waiting = [], []
    if waiting or text:
        yield Slide(text=tuple(text), blocks=tuple(waiting))


def _joins(waiting: Sequence[Block], block: Block, scale: float) -> bool:
    """Whether a figure without a drawing, a sound or a question, can stand under others on one slide."""
    together = [*waiting, block]
    if not all(isinstance(one, Figure) and not one.svg for one in together):
        return False
    return sum(_heard_height(one, scale) for one in together if isinstance(one, Figure)) <= HEIGHT


def _heard_height(figure: Figure, scale: float) -> float:
    """Height of a figure without a drawing, in units."""
    lines = math.ceil((len(figure.label) + len(figure.words) + 2) / LETTERS)
    return lines * LINE * scale + (4 if figure.clip else 0) + (2 if figure.source else 0) + 2


def _pieces(block: Block) -> Iterator[Block]:
    """A table in pieces that fit; anything else as it is."""
    if not isinstance(block, Table) or len(block.rows) <= ROWS + 2:
        yield block
        return
    count = math.ceil(len(block.rows) / ROWS)
    size = math.ceil(len(block.rows) / count)
    for at in range(count):
        title = f"{block.title} ({at + 1} of {count})"
        yield replace(block, title=title, rows=block.rows[at * size : (at + 1) * size])


def lines_of(tokens: Sequence[Token]) -> float:
    """Lines that running text takes, with half a line between its parts."""
    lines = 0.0
    for token in tokens:
        if token.type == "inline":
            shown = "".join(" " if t.type == "softbreak" else t.content for t in token.children or ())
            lines += max(1, math.ceil(len(shown) / LETTERS)) + 0.5
        elif token.type in ("fence", "code_block"):
            lines += token.content.count("\n") + 1
    return lines


def shares(text: Sequence[Token], block: Block, scale: float = 1.0) -> bool:
    """Whether a block can share a slide with the text before it and still stand large."""
    lines = lines_of(text) * scale
    if isinstance(block, Figure) and not block.svg:
        return lines * LINE + _heard_height(block, scale) <= HEIGHT
    if lines > LINES_OVER_FIGURE + 0.5:
        return False
    match block:
        case Table():
            return (lines + (len(block.rows) + 2) * 0.95) * LINE < HEIGHT
        case Facts():
            return (lines + math.ceil(len(block.items) / 4) * 2.2) * LINE < HEIGHT
        case Figure():
            alone, under = drawn_width(block, HEIGHT), drawn_width(block, HEIGHT - lines * LINE)
            return under >= min(LARGE * figure_width(block), LEAST_SHARE * alone)


def figure_width(figure: Figure) -> float:
    """Width of a figure at its largest, in units, were there room."""
    return max(1.0, figure.width_mm * UNITS_PER_MM)


def drawn_width(figure: Figure, room: float) -> float:
    """Width at which a figure is drawn in a room of some height, caption and source included, in units."""
    below = 2.6 * math.ceil(len(figure.words) / 95) + (1.8 if figure.source else 0) + (3.6 if figure.clip else 0) + 2
    return max(1.0, min(WIDTH, figure_width(figure), (room - below) * aspect(figure.svg)))


def aspect(svg: str) -> float:
    r"""Width over height of a drawing, from its viewBox.

    >>> aspect('<svg viewBox="0 0 30 10"/>')
    3.0
    """
    found = re.search(r'viewBox="[-\d.]+ [-\d.]+ ([\d.]+) ([\d.]+)"', svg)
    return float(found[1]) / float(found[2]) if found and float(found[2]) else 1.0


def slides_html(page: Page, made: Mapping[int, Made], *, theme: Theme = USUAL) -> str:
    """Write the slides as one HTML document.

    Parameters
    ----------
    page : Page
    made : mapping of int to Made
        What each directive became, by its line.
    theme : Theme

    Returns
    -------
    str
        The document; the same input gives the same text.
    """
    pages = environment()
    pages.filters["data"] = lambda raw: base64.b64encode(raw).decode()
    md = parser()
    renderer = Renderer(md, made, pages.get_template("blocks.html"))

    def shown(tokens: Sequence[Token]) -> Markup:
        return Markup(renderer.render(list(tokens), md.options, {}))

    script, style = asset("slides.js"), asset("slides.css")
    look = f":root{{{variables(theme.slides)};--size:{theme.slide_percent / 100:g}}}{theme.faces_css()}"
    return pages.get_template("slides.html").render(
        head=page.head,
        slides=[
            {
                "title": slide.title,
                "heading": shown(slide.heading),
                "text": shown(slide.text),
                "blocks": [(type(block).__name__, block) for block in slide.blocks],
                "continued": slide.continued,
                "few": slide.few,
            }
            for slide in slides(page, made, scale=theme.slide_percent / 100)
        ],
        caution=CAUTION if any(getattr(b, "clip", None) for m in made.values() for b in m.blocks) else "",
        limit=UNITS_PER_MM,
        aspect=aspect,
        style=Markup(style + look),
        fonts=Markup(fonts_inside()),
        script=Markup(script),
        script_hash=base64.b64encode(hashlib.sha256(script.encode()).digest()).decode(),
    )


def slides_typst(page: Page, made: Mapping[int, Made], *, theme: Theme = USUAL) -> tuple[str, dict[str, bytes]]:
    """Write the slides as Typst source.

    Parameters, as for `slides_html`.

    Returns
    -------
    (str, dict of str to bytes)
        The source, and the drawings it names.
    """
    writer = _SlideWriter(made, theme.slides)
    template = theme.in_typst(asset("slides.typ"), theme.slides)
    head = {key: page.head.get(key, "") for key in ("title", "subtitle", "author")}
    arguments = ", ".join(f"{key}: {literal(value)}" for key, value in head.items())
    parts = [f"{template}\n#show: deck.with({arguments})\n"]
    parts += [writer.slide(slide) for slide in slides(page, made, scale=theme.slide_percent / 100)]
    return "\n".join(parts), writer.files


class _SlideWriter(Writer):
    """Writes slides; figures and tables by the forms of ``slides.typ``."""

    def slide(self, slide: Slide) -> str:
        heading = "none" if not slide.heading else f"[{self.blocks(slide.heading)}]"
        text = f"[{self.blocks(slide.text)}]" if slide.text else "none"
        stage = f"[{''.join(self.block(block) for block in slide.blocks)}]" if slide.blocks else "none"
        told = ", ".join(f"{name}: {str(getattr(slide, name)).lower()}" for name in ("continued", "few"))
        return f"#slide({heading}, {text}, {stage}, {told})"

    def figure(self, figure: Figure) -> str:
        parts = [
            f"label: {literal(figure.label)}",
            f"caption: {literal(figure.words)}",
            f"source: {literal(figure.source)}",
        ]
        if figure.svg:
            name, most = self.drawing(figure.svg), figure.width_mm * UNITS_PER_MM
            parts.append(f"alt: {literal(figure.description)}, drawing: {literal(name)}")
            parts.append(f"most: {most:.2f}, aspect: {aspect(figure.svg):.4f}")
        if figure.clip:
            parts.append(f"seconds: {figure.clip.duration_s:.0f}")
        return f"#specimen({', '.join(parts)})"
