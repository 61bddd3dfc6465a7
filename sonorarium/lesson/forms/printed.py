"""A lesson on paper: its tokens and blocks as Typst source, set by `sonorarium.render.typesetting`.

All text goes to Typst as string literals, so no sign in a title or a caption can act as markup. Each figure and each
row of a table stays whole across page breaks.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Mapping, Sequence

from markdown_it.token import Token

from sonorarium.lesson.assets import asset
from sonorarium.lesson.forms.theme import LIGHT, USUAL, Palette, Theme, dressed
from sonorarium.lesson.illustrations.blocks import Block, Cell, Facts, Figure, Made, Table
from sonorarium.lesson.markdown import Page

PAPERS = ("a4", "us-letter")


def typst_source(
    page: Page, made: Mapping[int, Made], *, paper: str = "a4", theme: Theme = USUAL
) -> tuple[str, dict[str, bytes]]:
    """Write a lesson as Typst source.

    Parameters
    ----------
    page : Page
        The text as read.
    made : mapping of int to Made
        What each directive became, by its line.
    paper : str
        ``a4`` or ``us-letter``.
    theme : Theme

    Returns
    -------
    (str, dict of str to bytes)
        The source, and the drawings it names.
    """
    writer = Writer(made, theme.colours)
    body = writer.blocks(page.tokens)
    template = theme.in_typst(asset("page.typ"))
    head = {key: page.head.get(key, "") for key in ("title", "subtitle", "author")}
    arguments = ", ".join(f"{key}: {literal(value)}" for key, value in head.items())
    source = f"{template}\n#show: lesson.with({arguments}, paper: {literal(paper)})\n\n{body}"
    return source, writer.files


def literal(text: str) -> str:
    r"""A Typst string literal: quotes and backslashes escaped.

    >>> literal('say "a" \\ b')
    '"say \\"a\\" \\\\ b"'
    """
    return json.dumps(" ".join(text.split()), ensure_ascii=False)


def _words(text: str) -> str:
    """Text in content mode, ended by a semicolon so that nothing after it is read as a call."""
    edge = (text[:1].isspace() and " ") or ""
    tail = (text[-1:].isspace() and text.strip() and " ") or ""
    return f"{edge}#{literal(text)};{tail}" if text.strip() else " "


class Writer:
    """Walks a token stream once, writes it as Typst source and collects the drawings it meets.

    Parameters
    ----------
    made : mapping of int to Made
        What each directive became, by its line.
    palette : Palette
        Colours of the drawings.
    """

    def __init__(self, made: Mapping[int, Made], palette: Palette = LIGHT) -> None:
        self.made, self.palette = made, palette
        self.files: dict[str, bytes] = {}
        self.single: dict[str, Callable[[Token], str]] = {
            "text": lambda t: _words(t.content),
            "softbreak": lambda t: " ",
            "hardbreak": lambda t: "#linebreak();",
            "code_inline": lambda t: f"#raw({json.dumps(t.content, ensure_ascii=False)});",
            "fence": lambda t: f"#raw(block: true, {json.dumps(t.content, ensure_ascii=False)})\n\n",
            "code_block": lambda t: f"#raw(block: true, {json.dumps(t.content, ensure_ascii=False)})\n\n",
            "hr": lambda t: "#line(length: 100%, stroke: 0.5pt)\n\n",
            "myst_role": lambda t: f"#strong[{_words(t.content)}]",
            "image": lambda t: _words(t.content),
            "directive": self.directive,
            "inline": lambda t: self.blocks(t.children or []),
        }

    def blocks(self, tokens: Sequence[Token]) -> str:
        """Write tokens one after another."""
        return "".join(self._walk(iter(tokens)))

    def _walk(self, tokens: Iterator[Token]) -> Iterator[str]:
        for token in tokens:
            if token.nesting == 0:
                yield self.single[token.type](token)
            elif token.nesting == 1:
                yield self.opened(token, tokens)
            else:
                return

    def opened(self, token: Token, tokens: Iterator[Token]) -> str:
        """Write what an opening token encloses."""
        if token.type == "table_open":
            return self.markdown_table(tokens)
        inner = list(self._walk(tokens))
        text = "".join(inner)
        match token.type.removesuffix("_open"):
            case "paragraph":
                return text if token.hidden else f"{text}\n\n"
            case "heading":
                return f"#heading(level: {token.tag[1:]})[{text}]\n\n"
            case "em":
                return f"#emph[{text}]"
            case "strong":
                return f"#strong[{text}]"
            case "s":
                return f"#strike[{text}]"
            case "link":
                return f"#link({literal(str(token.attrs.get('href', '')))})[{text}]"
            case "blockquote":
                return f"#quote(block: true)[{text}]\n\n"
            case "bullet_list":
                return f"#list({''.join(inner)})\n\n"
            case "ordered_list":
                return f"#enum(start: {token.attrs.get('start', 1)}, {''.join(inner)})\n\n"
            case "list_item":
                return f"[{text}], "
            case other:
                raise NotImplementedError(f"no print form for {other}")

    def markdown_table(self, tokens: Iterator[Token]) -> str:
        """Write a table of the text."""
        rows: list[list[str]] = []
        for token in tokens:
            if token.type == "table_close":
                break
            if token.type == "tr_open":
                rows.append([])
            elif token.type in ("th_open", "td_open"):
                rows[-1].append("".join(self._walk(tokens)))
        header = ", ".join(f"[#strong[{cell}]]" for cell in rows[0])
        cells = ", ".join(f"[{cell}]" for row in rows[1:] for cell in row)
        return f"#table(columns: {len(rows[0])}, table.header({header}), {cells})\n\n"

    def directive(self, token: Token) -> str:
        """Write what a directive became."""
        made = self.made[token.meta["directive"].line]
        return "".join(self.block(block) for block in made.blocks)

    def block(self, block: Block) -> str:
        """Write one block."""
        match block:
            case Figure():
                return self.figure(block)
            case Table():
                return self.table(block)
            case Facts():
                rows = ", ".join(f"[{_words(term)}], [{_words(value)}]" for term, value in block.items)
                return f"#facts({literal(block.title)}, {rows})\n\n"

    def drawing(self, svg: str) -> str:
        """Keep a drawing and return the name it goes by."""
        name = f"drawing-{len(self.files) + 1}.svg"
        self.files[name] = dressed(svg, self.palette).encode()
        return name

    def figure(self, figure: Figure) -> str:
        """Write a figure."""
        parts = [f"alt: {literal(figure.description)}", f"caption: {literal(figure.caption)}"]
        parts.append(
            f"source: {literal(figure.source)}, label: {literal(figure.label)}, above: {literal(figure.above)}"
        )
        if figure.svg:
            parts.append(f"drawing: {literal(self.drawing(figure.svg))}, width: {figure.width_mm:.1f}mm")
        if figure.clip:
            parts.append(f"seconds: {figure.clip.duration_s:.0f}")
        return f"#specimen({', '.join(parts)})\n\n"

    def table(self, table: Table) -> str:
        """Write a table of findings."""
        heads = ", ".join(literal(c) for c in table.columns)
        cells = ", ".join(self.cell(cell) for row in table.rows for cell in row)
        title, note = literal(table.title), literal(table.note)
        return f"#findings(({heads},), title: {title}, note: {note}, {cells})\n\n"

    def cell(self, cell: Cell) -> str:
        """Write one cell of a table."""
        shown = f"#cellstrip({literal(self.drawing(cell.svg))});" if cell.svg else ""
        words = _words(cell.text) if cell.text else ""
        return f"[{shown}{f'#strong[{words}]' if cell.strong and words else words}]"
