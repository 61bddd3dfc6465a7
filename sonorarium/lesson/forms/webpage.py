"""A lesson as one HTML file that opens from disk: drawings, fonts and sounds all inside.

Nothing is fetched: a content policy in the page forbids every address. Starting one sound stops the others, and the
Escape key stops them all.
"""

from __future__ import annotations

import base64
import hashlib
import re
from collections.abc import Mapping, Sequence

import jinja2
from markdown_it.renderer import RendererHTML
from markdown_it.token import Token
from markdown_it.utils import EnvType, OptionsDict
from markupsafe import Markup, escape

from sonorarium.errors import InputError
from sonorarium.lesson.assets import asset, environment
from sonorarium.lesson.forms.theme import USUAL, Theme
from sonorarium.lesson.illustrations.blocks import Made
from sonorarium.lesson.markdown import Page, parser
from sonorarium.lesson.roles import signed
from sonorarium.pcs.subject import subject
from sonorarium.render.sound import CAUTION
from sonorarium.render.typeface import FONT_FOLDER, font_face_css


def html_page(page: Page, made: Mapping[int, Made], *, theme: Theme = USUAL) -> str:
    """Write a lesson as one HTML document.

    Parameters
    ----------
    page : Page
        The text as read.
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
    md.renderer = Renderer(md, made, pages.get_template("blocks.html"), _shown_at(page))
    script = asset("page.js")
    return pages.get_template("page.html").render(
        head=page.head,
        body=Markup(md.renderer.render(page.tokens, md.options, {})),
        caution=CAUTION if any(getattr(b, "clip", None) for m in made.values() for b in m.blocks) else "",
        style=Markup(asset("page.css") + theme.page_css()),
        fonts=Markup(fonts_inside()),
        script=Markup(script),
        script_hash=base64.b64encode(hashlib.sha256(script.encode()).digest()).decode(),
    )


def _shown_at(page: Page) -> dict[str, int]:
    """The line of the first directive that shows each set, by its title."""
    found: dict[str, int] = {}
    for directive in page.directives:
        try:
            found.setdefault(signed(subject(directive.argument).title), directive.line)
        except InputError:
            continue  # a piece, or several sets: nothing that a role could name
    return found


def fonts_inside() -> str:
    """The font rules of the project with every font file inside."""

    def inside(found: re.Match[str]) -> str:
        data = base64.b64encode((FONT_FOLDER / found[1]).read_bytes()).decode()
        return f"url('data:font/woff2;base64,{data}')"

    return re.sub(r"url\('fonts/([\w.-]+)'\)", inside, font_face_css("fonts"))


class Renderer(RendererHTML):
    """The library's HTML renderer, with directives and roles; a role leads to where its set is shown."""

    def __init__(
        self,
        md: object,
        made: Mapping[int, Made],
        template: jinja2.Template,
        shown_at: Mapping[str, int] | None = None,
    ) -> None:
        super().__init__(md)
        self.made = made
        self.template = template
        self.shown_at = shown_at or {}

    def directive(self, tokens: Sequence[Token], idx: int, options: OptionsDict, env: EnvType) -> str:
        """Write what a directive became."""
        line = tokens[idx].meta["directive"].line
        blocks = self.template.render(blocks=[(type(b).__name__, b) for b in self.made[line].blocks])
        return f'<div id="shown-{line}">{blocks}</div>' if line in self.shown_at.values() else blocks

    def myst_role(self, tokens: Sequence[Token], idx: int, options: OptionsDict, env: EnvType) -> str:
        """Write a role as it is to be shown."""
        token = tokens[idx]
        words = f'<strong class="set">{escape(token.content)}</strong>'
        line = self.shown_at.get(token.meta.get("title", ""))
        href = f"#shown-{line}" if line else token.meta.get("href", "")
        return f'<a href="{escape(href)}">{words}</a>' if href else words
