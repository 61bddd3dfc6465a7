"""Roles in running text: a set, read and set right.

``{set}`6-z10` `` becomes **6-Z10**, ``{set}`eb lydian` `` becomes **E♭ lydian**: what is typed is read like
everywhere else, so a class that does not exist or a misspelled scale stops the build with its line.

``{claim}`5-22 is inside 7-22 twice` `` is a statement: it is shown as running text, and checked by
`sonorarium.lesson.checking`.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping

from markdown_it.token import Token

from sonorarium.errors import InputError
from sonorarium.lesson.checking import CLAIM
from sonorarium.lesson.markdown import Page
from sonorarium.pcs.subject import subject


def _set_role(text: str) -> str:
    return signed(subject(text).title)


def signed(title: str) -> str:
    """The title of a subject with the signs of notation: ``Eb lydian #2`` becomes ``E♭ lydian ♯2``.

    >>> signed("Eb lydian #2"), signed("Bb blues"), signed("C double harmonic")
    ('E♭ lydian ♯2', 'B♭ blues', 'C double harmonic')
    """
    words = title.split(" ")
    return " ".join(_signed_word(word) for word in words)


def _signed_word(word: str) -> str:
    head, tail = word[:1], word[1:]
    if head in "ABCDEFG" and tail and set(tail) <= {"b", "#"}:
        return head + tail.replace("bb", "𝄫").replace("##", "𝄪").replace("b", "♭").replace("#", "♯")
    if head in "b#" and word.lstrip("b#").isdigit():
        return word.replace("bb", "𝄫").replace("b", "♭").replace("#", "♯")
    return word


def _claim_role(text: str) -> str:
    """A statement with the signs of notation."""
    return re.sub(r"(?<!\w)[A-G](?:bb?|##?)(?![\w#])", lambda found: _signed_word(found[0]), text)


ROLES: Mapping[str, Callable[[str], str]] = {"set": _set_role, CLAIM: _claim_role}
"""Every role, by name: from what is typed to what is shown."""


def set_roles(page: Page) -> Page:
    """Read every role of a page; raises `InputError`, with the line, where one is not understood."""
    for token in page.tokens:
        for child in token.children or ():
            if child.type == "myst_role":
                _read(child, token.map[0] + 1 if token.map else 0)
    return page


def _read(token: Token, line: int) -> None:
    name = token.meta["name"]
    if name not in ROLES:
        raise InputError(
            f"Line {line}: there is no role {name!r}.", value=name, suggestion=f"There are: {', '.join(ROLES)}."
        )
    try:
        token.content = ROLES[name](token.content)
        if name == CLAIM:
            token.type = "text"  # it reads as part of its sentence
    except InputError as error:
        error.sentence = f"Line {line}: {error.sentence}"
        raise
