"""Cards: one thing kept, as a small text file that its owner can read, edit and compare.

A card looks like a lesson: a head of ``key: value`` lines between two lines of ``---``, then words in Markdown::

    ---
    format: 1
    set: D double harmonic
    tag: leading tones
    tag: ritual
    ---

    Two leading tones lean on the first note, one from each side.

One thing a line: a key that may hold several things stands once for each of them. Lines that begin with ``#`` are the
owner's own notes. **Nothing that stands in a card is ever lost**: keys that are not known here, notes, blank lines,
the order of all of them and the words are written back as they were; only the value asked for changes. A card of a
later format is not touched at all.

Two people may change the same card at the same time; `merged` joins what they did, or says on what they disagree.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from sonorarium.errors import DamagedError, InputError

FORMAT = 1
"""Version of the form of cards; a card without a ``format`` line is of format 1."""

MOST_BYTES = 1 << 20
"""A card larger than this is not read: it is no card."""

_ENTRY = re.compile(r"([a-z][a-z0-9-]*):(?:\s+(.*?))?\s*")


@dataclass(frozen=True)
class Card:
    r"""One card.

    Parameters
    ----------
    head : tuple of (str, str)
        Key and value of each line; a line that is the owner's own stands under the empty key.
    words : str
        The text below the head, without blank lines at its ends.
    newline : str
        How its lines end in the file.

    Examples
    --------
    >>> card = Card().with_values("set", ["4-19"]).with_values("tag", ["bright", "cold"])
    >>> print(card.text, end="")
    ---
    format: 1
    set: 4-19
    tag: bright
    tag: cold
    ---
    >>> read_card(card.text) == card
    True
    """

    head: tuple[tuple[str, str], ...] = (("format", str(FORMAT)),)
    words: str = ""
    newline: str = "\n"

    def values(self, key: str) -> tuple[str, ...]:
        """Every value of a key, in order."""
        return tuple(value for name, value in self.head if name == key)

    def value(self, key: str, default: str = "") -> str:
        """The first value of a key."""
        return next(iter(self.values(key)), default)

    @property
    def keys(self) -> tuple[str, ...]:
        """The keys of the head, each once, in order."""
        return tuple(dict.fromkeys(name for name, _ in self.head if name))

    def with_values(self, key: str, values: Iterable[str]) -> Card:
        """The card with other values under a key, in the place where the first of them stood, else at the end.

        Line breaks and runs of blanks become one blank: a value is one line. Empty values are left out.
        """
        lines = [" ".join(value.split()) for value in values]
        new = tuple((key, line) for line in lines if line)
        at = next((i for i, (name, _) in enumerate(self.head) if name == key), len(self.head))
        before = tuple(entry for entry in self.head[:at] if entry[0] != key)
        return replace(self, head=(*before, *new, *(entry for entry in self.head[at:] if entry[0] != key)))

    def with_words(self, words: str) -> Card:
        """The card with other words."""
        return replace(self, words=_trimmed(words))

    def with_more(self, words: str) -> Card:
        """The card with a further paragraph below its words; unchanged where there is nothing to add."""
        more = _trimmed(words)
        return self.with_words(f"{self.words}\n\n{more}" if self.words else more) if more else self

    @property
    def text(self) -> str:
        """The card as it stands in its file."""
        lines = ["---", *(f"{key}: {value}".rstrip() if key else value for key, value in self.head), "---"]
        if self.words:
            lines += ["", *self.words.split("\n")]
        return self.newline.join([*lines, ""])


def _trimmed(words: str) -> str:
    plain = words.replace("\r\n", "\n").replace("\r", "\n")
    return re.sub(r"\A(?:[ \t]*\n)+|\s+\Z", "", plain)


def read_card(text: str, *, once: Iterable[str] = ()) -> Card:
    """Read a card.

    Parameters
    ----------
    text : str
        The whole file.
    once : iterable of str
        Keys that may stand in the head only once.

    Raises
    ------
    DamagedError
        Where the text is no card, or one of a later format; the sentence names the line.
    """
    newline = "\r\n" if "\r\n" in text else "\n"
    lines = text.removeprefix("\ufeff").replace("\r\n", "\n").split("\n")
    if lines[0].rstrip() != "---":
        raise DamagedError(
            "Line 1: a card begins with a line of ---.", value=lines[0], suggestion="See docs/study.md."
        )
    end = next((i for i, line in enumerate(lines[1:], start=1) if line.rstrip() == "---"), None)
    if end is None:
        raise DamagedError("The head of the card has no end.", suggestion="Put a line of --- below it.")
    head = tuple(_entry(line, number) for number, line in enumerate(lines[1:end], start=2))
    card = Card(head, _trimmed("\n".join(lines[end + 1 :])), newline)
    _check_format(card)
    for key in ("format", *once):
        if len(card.values(key)) > 1:
            raise DamagedError(f"The head of the card has more than one {key!r}.", value=key, suggestion="Keep one.")
    return card


def _entry(line: str, number: int) -> tuple[str, str]:
    if not line.strip() or line.lstrip().startswith("#"):
        return "", line
    found = _ENTRY.fullmatch(line)
    if not found:
        raise DamagedError(
            f"Line {number}: {line.strip()!r} is no 'key: value' line.",
            value=line,
            suggestion="Words go below the second line of ---.",
        )
    return found[1], found[2] or ""


def _check_format(card: Card) -> None:
    told = card.value("format", str(FORMAT))
    if told == str(FORMAT):
        return
    later = told.isdecimal() and int(told) > FORMAT
    raise DamagedError(
        f"The card is of format {told}; this version reads format {FORMAT}.",
        value=told,
        suggestion="Use the version that wrote it, or a later one." if later else f"Write format: {FORMAT}.",
    )


def merged(base: Card, mine: Card, theirs: Card) -> Card:
    r"""Join two changes of one card.

    Parameters
    ----------
    base : Card
        As both found it.
    mine, theirs : Card
        As each left it.

    Returns
    -------
    Card
        Theirs, with my changes. Under a key that stands several times, what either took away is gone and what either
        added is there; paragraphs that both added below the words follow each other, theirs first.

    Raises
    ------
    InputError
        Where both changed one thing in different ways; the sentence says which.

    Examples
    --------
    >>> base = Card(words="Dark.")
    >>> merged(base, base.with_more("Mine."), base.with_more("Theirs.")).words
    'Dark.\n\nTheirs.\n\nMine.'
    """
    result = theirs
    for key in dict.fromkeys((*base.keys, *mine.keys)):
        if mine.values(key) != base.values(key):
            result = result.with_values(key, _joined(key, base.values(key), mine.values(key), theirs.values(key)))
    return result.with_words(_joined_words(base.words, mine.words, theirs.words))


def _joined(key: str, base: tuple[str, ...], mine: tuple[str, ...], theirs: tuple[str, ...]) -> tuple[str, ...]:
    if theirs in (base, mine):
        return mine
    if max(len(base), len(mine), len(theirs)) <= 1 and base:
        raise _disagreement(key, mine, theirs)
    kept = [value for value in theirs if value not in base or value in mine]
    return (*kept, *(value for value in mine if value not in base and value not in kept))


def _joined_words(base: str, mine: str, theirs: str) -> str:
    if mine in (base, theirs):
        return theirs
    if theirs == base:
        return mine
    mine_more, theirs_more = (words[len(base) :] if words.startswith(base) else None for words in (mine, theirs))
    if mine_more is None or theirs_more is None:
        raise _disagreement("words", mine, theirs)
    return "\n\n".join(_trimmed(part) for part in (base, theirs_more, mine_more) if _trimmed(part))


def _disagreement(what: str, mine: object, theirs: object) -> InputError:
    return InputError(
        f"Another program has changed the {what} of this card in the meantime, in another way.",
        value={"mine": mine, "theirs": theirs},
        suggestion="Nothing was written. Look at the card as it is now, and change it again.",
    )


def stem_of(text: str) -> str:
    """A file name, without suffix, that says what a card is about.

    >>> stem_of("E♭ lydian ♯2"), stem_of("C E A♭ B"), stem_of("6-Z10B"), stem_of("  ")
    ('eb-lydian-s2', 'c-e-ab-b', '6-z10b', 'card')
    """
    plain = text.lower().translate(_PLAIN)
    return re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:80].rstrip("-") or "card"


_PLAIN: Mapping[int, str] = str.maketrans({"♭": "b", "♯": "s", "#": "s", "𝄫": "bb", "𝄪": "ss", "♮": "n"})
