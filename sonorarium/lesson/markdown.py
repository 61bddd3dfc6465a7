"""The text of a lesson: Markdown with directives and roles, as MyST writes them.

A directive is a fence of three or more back-ticks or colons whose first line names it in braces::

    ```{passage} pieces/lantern.musicxml
    :set: 5-26
    :kind: texture

    The words below the options are the caption.
    ```

A role is a name in braces before back-ticks: ``{set}`6-Z10` ``. A block between lines of ``---`` at the very top
holds ``title``, ``subtitle`` and ``author`` of the page as ``key: value`` lines. Raw HTML is shown as text, never
passed on.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from markdown_it import MarkdownIt
from markdown_it.token import Token
from mdit_py_plugins.colon_fence import colon_fence_plugin
from mdit_py_plugins.front_matter import front_matter_plugin
from mdit_py_plugins.myst_role import myst_role_plugin

from sonorarium.errors import InputError

HEAD_KEYS = ("title", "subtitle", "author")


@dataclass(frozen=True)
class Directive:
    """One directive of a lesson.

    Parameters
    ----------
    name, argument : str
        ``passage`` and ``pieces/lantern.musicxml``.
    options : mapping of str to str
        The ``:key: value`` lines.
    body : str
        What follows the options.
    line : int
        Line of the file on which it begins, 1 for the first.
    """

    name: str
    argument: str
    options: Mapping[str, str]
    body: str
    line: int

    def choice(self, option: str, allowed: tuple[str, ...]) -> str:
        """The value of an option that takes one of a few words, the first by default; `InputError` for another."""
        value = self.options.get(option, allowed[0])
        if value not in allowed:
            raise InputError(
                f"the option {option!r} is {value!r}, which is not understood.",
                value=value,
                suggestion=f"It takes {', '.join(allowed[:-1])} or {allowed[-1]}.",
            )
        return value

    def number(self, option: str, default: int, *, least: int, most: int) -> int:
        """The value of an option that takes a whole number; `InputError` for anything else."""
        value = self.options.get(option, str(default))
        if not value.isdecimal() or not least <= int(value) <= most:
            raise InputError(
                f"the option {option!r} is {value!r}, which is not understood.",
                value=value,
                suggestion=f"It takes a whole number from {least} to {most}.",
            )
        return int(value)

    def words(self, option: str, default: str) -> tuple[str, ...]:
        """The values of an option that takes several, separated by commas."""
        return tuple(word.strip() for word in self.options.get(option, default).split(",") if word.strip())


@dataclass(frozen=True)
class Page:
    """A lesson as read.

    Parameters
    ----------
    head : mapping of str to str
        ``title``, ``subtitle`` and ``author`` where they are given.
    tokens : sequence of Token
        The parsed text; a directive is a token of type ``directive`` with a `Directive` under ``meta["directive"]``.
    """

    head: Mapping[str, str]
    tokens: Sequence[Token]

    @property
    def directives(self) -> tuple[Directive, ...]:
        """Every directive, in order."""
        return tuple(t.meta["directive"] for t in self.tokens if t.type == "directive")


def parser() -> MarkdownIt:
    """The Markdown parser of lessons: CommonMark with tables, directives and roles."""
    md = MarkdownIt("commonmark", {"html": False, "typographer": True}).enable(["table", "strikethrough"])
    md.enable(["replacements", "smartquotes"])
    return md.use(front_matter_plugin).use(colon_fence_plugin).use(myst_role_plugin)


def read_page(text: str) -> Page:
    r"""Parse the text of a lesson.

    Raises `InputError`, with the line, where a directive or the head is malformed.

    Examples
    --------
    >>> page = read_page("# Hello\n\n```{scale} D double harmonic\n:octaves: 1\n\nAll of it.\n```\n")
    >>> page.directives[0].name, page.directives[0].options, page.directives[0].body
    ('scale', {'octaves': '1'}, 'All of it.')
    """
    tokens = parser().parse(text)
    head: dict[str, str] = {}
    kept: list[Token] = []
    for token in tokens:
        if token.type == "front_matter":
            head = _read_head(token.content)
        elif token.type in ("fence", "colon_fence") and token.info.strip().startswith("{"):
            kept.append(_as_directive(token))
        else:
            kept.append(token)
    return Page(head, kept)


def _read_head(text: str) -> dict[str, str]:
    head = {}
    for number, line in enumerate(text.splitlines(), start=2):
        if not line.strip():
            continue
        key, colon, value = line.partition(":")
        if not colon or key.strip() not in HEAD_KEYS:
            raise InputError(
                f"Line {number}: the head of a lesson holds {', '.join(HEAD_KEYS)}, not {line.strip()!r}.",
                value=line,
                suggestion="Write, for example, 'title: The double harmonic scale'.",
            )
        head[key.strip()] = value.strip().strip("\"'")
    return head


def _as_directive(token: Token) -> Token:
    line = token.map[0] + 1 if token.map else 0
    found = re.fullmatch(r"\{([a-z-]+)\}\s*(.*)", token.info.strip())
    if not found:
        raise InputError(
            f"Line {line}: {token.info.strip()!r} does not name a directive.",
            value=token.info,
            suggestion="A directive begins like ```{scale} D double harmonic.",
        )
    options, body = _read_options(token.content, line)
    new = Token("directive", "", 0, map=token.map, block=True)
    new.meta["directive"] = Directive(found[1], found[2].strip(), options, body, line)
    return new


def _read_options(content: str, first_line: int) -> tuple[dict[str, str], str]:
    options: dict[str, str] = {}
    lines = content.splitlines()
    at = 0
    while at < len(lines) and (found := re.fullmatch(r":([a-z-]+):\s*(.*)", lines[at].strip())):
        if found[1] in options:
            raise InputError(f"Line {first_line + at + 1}: the option {found[1]!r} is given twice.", value=found[1])
        options[found[1]] = found[2].strip()
        at += 1
    return options, "\n".join(lines[at:]).strip()
