"""Roles in running text: a set, a scale, a chord or a class, read and set right.

==================================  =====================================================================
what is typed                       what is shown
==================================  =====================================================================
``{set}`6-z10` ``                   6-Z10
``{set}`C E Ab B` ``                C E A♭ B
``{scale}`eb lydian` ``             E♭ lydian; a scale of the catalogue, nothing else
``{chord}`Ebmaj7#5` ``              E♭maj7♯5; a chord symbol, or two chords
``{label}`C E Ab B` ``              4-19B
``{notes}`D double harmonic` ``     D E♭ F♯ G A B♭ C♯
==================================  =====================================================================

After a colon may stand what is to be added in brackets, ``label``, ``notes``, ``steps`` or ``degrees``, parted by
commas: ``{scale}`D double harmonic: notes, label` `` becomes D double harmonic (D E♭ F♯ G A B♭ C♯; 7-22).

What is typed is read like everywhere else, so a class that does not exist or a misspelled scale stops the build with
its line.

``{claim}`5-22 is inside 7-22 twice` `` is a statement: it is shown as running text, and checked by
`sonorarium.lesson.checks.checking`.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping

from markdown_it.token import Token

from sonorarium.errors import InputError
from sonorarium.lesson.checks.checking import CLAIM
from sonorarium.lesson.markdown import Page
from sonorarium.pcs.chordsymbol import Chord
from sonorarium.pcs.collection import Collection
from sonorarium.pcs.pcset import step_pattern
from sonorarium.pcs.reading import Readable, read_set, readings
from sonorarium.pcs.setclass import SetClass
from sonorarium.pcs.stacks import Stacked
from sonorarium.pcs.subject import Subject, subject

Naming = Callable[[str], tuple[str, Readable]]
"""From what is typed to what is shown, and what is meant by it."""


def _set(text: str) -> tuple[str, Readable]:
    return signed(subject(text).title), read_set(text)


def _scale(text: str) -> tuple[str, Readable]:
    meant = _of_kind(text, (Collection,), "scale", "D double harmonic")
    return signed(subject(meant).title), meant


def _chord(text: str) -> tuple[str, Readable]:
    meant = _of_kind(text, (Chord, Stacked), "chord", "Ebmaj7#5")
    return (meant.sign() if isinstance(meant, Chord) else signed(subject(meant).title)), meant


def _of_kind(text: str, kinds: tuple[type, ...], what: str, example: str) -> Readable:
    """The likeliest reading of one kind; `InputError` where there is none."""
    meant = next((one for one in readings(text) if isinstance(one, kinds)), None)
    if meant is None:
        title = subject(text).title  # what cannot be read at all says so itself
        raise InputError(f"{signed(title)} is no {what}.", value=text, suggestion=f"Write, say, {example}.")
    return meant


def _label(text: str) -> tuple[str, Readable]:
    meant = read_set(text)
    return ADDED["label"](text, meant), meant


def _notes(text: str) -> tuple[str, Readable]:
    meant = read_set(text)
    return ADDED["notes"](text, meant), meant


def _shown(text: str, meant: Readable) -> Subject:
    """A set as it is shown: its notes as they were typed; `InputError` for a class, which has no notes."""
    if isinstance(meant, SetClass):
        raise InputError(
            f"{meant} is a class, and has no notes of its own.", value=text, suggestion=f"Write, say, {meant} on C."
        )
    return subject(text) if meant == read_set(text) else subject(meant)


ADDED: Mapping[str, Callable[[str, Readable], str]] = {
    "label": lambda text, meant: meant.label,
    "notes": lambda text, meant: " ".join(note.sign for note in _shown(text, meant).notes),
    "steps": lambda text, meant: "-".join(map(str, step_pattern(_shown(text, meant).rising))),
    "degrees": lambda text, meant: " ".join(_shown(text, meant).degrees),
}
"""What a role may add in brackets, from what was typed and what is meant."""


def named(text: str) -> str:
    """What a role names, without what it is to add in brackets.

    >>> named("D double harmonic: notes, label"), named("6-Z10")
    ('D double harmonic', '6-Z10')
    """
    return text.partition(":")[0].strip()


def _role(naming: Naming) -> Callable[[str], str]:
    """A role that names a set, and adds in brackets what is asked for after a colon."""

    def shown(text: str) -> str:
        what = named(text)
        name, meant = naming(what)
        added = [word.strip() for word in text.partition(":")[2].split(",") if word.strip()]
        unknown = [word for word in added if word not in ADDED]
        if unknown:
            raise InputError(
                f"a role does not add {unknown[0]!r}.", value=text, suggestion=f"It adds {', '.join(ADDED)}."
            )
        return f"{name} ({'; '.join(ADDED[word](what, meant) for word in added)})" if added else name

    return shown


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


ROLES: Mapping[str, Callable[[str], str]] = {
    "set": _role(_set),
    "scale": _role(_scale),
    "chord": _role(_chord),
    "label": _role(_label),
    "notes": _role(_notes),
    CLAIM: _claim_role,
}
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
        typed = token.content
        token.content = ROLES[name](typed)
        if name == CLAIM:
            token.type = "text"  # it reads as part of its sentence
        else:
            token.meta["title"] = signed(subject(named(typed)).title)  # what it may be linked by
    except InputError as error:
        error.sentence = f"Line {line}: {error.sentence}"
        raise
