"""Terms: the sets that a statement speaks of, as a musician writes them in a sentence.

A term is anything that may be typed for a set anywhere (`sonorarium.pcs.reading`), and besides, as prose has it, a
scale or chord without a place ("the double harmonic", "a major triad"), with an article and a noun before it ("the
class 5-22", "the notes C, E, A♭ and B"), or a word that points back ("the scale", where the lesson is about one).

Much that people write can mean several things. Then a term has several **meanings**, and a statement counts as
understood only where all of them lead to the same answer:

* ``C`` is a chord or a note, and ``A major triad`` at the head of a sentence stands on A or has an article;
* "C minor" without another word may be the natural, the harmonic or the melodic minor, or the chord;
* a class without a letter stands for both of its halves where it makes a difference.

``[0148]``, ``(0,1,4,8)`` and ``0148`` are classes by their prime form; ``{0,1,4,8}`` are four notes.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from sonorarium.errors import InputError
from sonorarium.pcs.chordsymbol import Chord, chord
from sonorarium.pcs.collection import Collection
from sonorarium.pcs.families import default_family, find_family
from sonorarium.pcs.family import Family
from sonorarium.pcs.pcset import PcSet
from sonorarium.pcs.pitches import Pitches
from sonorarium.pcs.reading import Readable, readings
from sonorarium.pcs.scales import ScaleKind, find_kind, known_kind
from sonorarium.pcs.setclass import SetClass
from sonorarium.pcs.spelling import NOTE_PATTERN, Spelled
from sonorarium.pcs.stacks import Stacked
from sonorarium.pcs.subject import subject
from sonorarium.study.folder import Study

Sort = Literal["class", "place", "shape"]


@dataclass(frozen=True)
class Term:
    """One meaning of a term.

    Parameters
    ----------
    title : str
        As it is shown: ``D double harmonic``, ``5-22``.
    sort : {"class", "place", "shape"}
        A class by its label or prime form; notes at a place; a scale or chord without a place.
    pcset : PcSet
        The notes; for a class its best-packed form from C, for a shape its notes from C.
    rising : tuple of int
        The notes in order, from the root or the first.
    given : SetClass or None
        The class, where one was named.
    names : tuple of Spelled
        Names of the notes, where it has a place.
    rooted : bool
        Whether the first note is a root.
    """

    title: str
    sort: Sort
    pcset: PcSet
    rising: tuple[int, ...]
    given: SetClass | None = None
    names: tuple[Spelled, ...] = ()
    rooted: bool = False

    @property
    def set_class(self) -> SetClass:
        """The class that was named, else the class of the notes under transposition."""
        return self.given or SetClass(self.pcset.label)

    @property
    def options(self) -> tuple[PcSet, ...]:
        """The sets that it may stand for: both halves of a class that has two, else one."""
        if self.given is None:
            return (self.pcset,)
        return tuple(half.representative for half in self.given.tn_classes)


@dataclass(frozen=True)
class Setting:
    """What surrounds a statement.

    Parameters
    ----------
    study : Study, optional
        Where scores that a statement names are found.
    scale : Term, optional
        What "the scale" points back to.
    """

    study: Study | None = None
    scale: Term | None = None


_BACK = {"the scale", "this scale", "our scale", "the collection", "this collection"}
_NOUNS: dict[str, tuple[type, ...]] = {
    "set class": (SetClass,),
    "class": (SetClass,),
    "scale": (Collection,),
    "collection": (Collection,),
    "chord": (Chord, Stacked, PcSet),
    "notes": (PcSet,),
    "note": (PcSet,),
    "set": (PcSet, SetClass),
    "trichord": (PcSet, SetClass),
    "tetrachord": (PcSet, SetClass),
    "pentachord": (PcSet, SetClass),
    "hexachord": (PcSet, SetClass),
}
_NOUN = re.compile(rf"({'|'.join(_NOUNS)})\s+(?=\S)", re.IGNORECASE)
_LONE = re.compile(r"[a-g]|\d{1,2}|[WHTS]|.*(?:\bno\b|\bon the\b).*")
_PRIME = re.compile(r"[\[(]0[\s,0-9te]*[\])]|0[1-9te]{2,}", re.IGNORECASE)
_CHORD_WORD = re.compile(r".*(?:triad|chord|dominant seventh|half-diminished seventh)s?", re.IGNORECASE)
_INTERVAL = re.compile(
    r"(?:an?\s+|the\s+)?(?:minor|major|perfect|augmented|diminished)\s+"
    r"(?:second|third|fourth|fifth|sixth|seventh|octave|ninth|tenth)s?",
    re.IGNORECASE,
)
"""What names an interval, though some of it could name a chord."""
_VAGUE = {"major", "minor", "augmented", "diminished", "half-diminished", "half diminished"}


def read_term(text: str, setting: Setting | None = None, *, first: bool = False) -> tuple[Term, ...]:
    """Read a term; gives every meaning it can have, or none.

    Parameters
    ----------
    text : str
    setting : Setting, optional
    first : bool
        Whether it stands at the head of a sentence, where ``A`` may be an article.

    Examples
    --------
    >>> [term.title for term in read_term("the class 5-22")], [t.sort for t in read_term("the double harmonic scale")]
    (['5-22'], ['shape'])
    >>> [term.title for term in read_term("C minor")]
    ['C minor', 'C harmonic minor', 'C melodic minor', 'Cm']
    """
    plain = _tidy(text)
    if _INTERVAL.fullmatch(plain):
        return ()
    if plain.lower() in _BACK:
        return (setting.scale,) if setting and setting.scale else ()
    found: dict[Term, None] = {}
    for words, wanted in _peeled(plain, first=first):
        found |= dict.fromkeys(_meanings(words, wanted))
    return tuple(found)


def read_list(text: str, setting: Setting | None = None, *, first: bool = False) -> list[tuple[Term, ...]]:
    """Read one term or several with commas and "and"; an empty list where one of them is no term.

    >>> [[t.title for t in one] for one in read_list("the harmonic minor and the harmonic major")]
    [['harmonic minor'], ['harmonic major']]
    """
    whole = read_term(text, setting, first=first)
    if whole:
        return [whole]
    bare = re.sub(r"^(both|either|neither)\s+", "", text.strip(), flags=re.IGNORECASE)
    parts = re.split(r"\s*,\s*(?:and\s+|or\s+|nor\s+)?|\s+(?:and|or|nor)\s+", bare)
    terms = [read_term(part, setting, first=first and at == 0) for at, part in enumerate(parts)]
    return terms if len(parts) > 1 and all(terms) else []


def _tidy(text: str) -> str:
    plain = " ".join(text.replace("’", "'").replace("–", "-").split()).strip(" ,")
    words = re.split(r"(?:,\s*|\s+)(?:and\s+)?", re.sub(r"^(?:the\s+)?notes\s+", "", plain))
    names = [word for word in words if word]
    if len(names) > 1 and all(re.fullmatch(NOTE_PATTERN, word) and word[0].isupper() for word in names):
        return " ".join(names)
    return plain


def _peeled(plain: str, *, first: bool) -> Iterator[tuple[str, tuple[type, ...]]]:
    """The text as it stands, and without its article and its noun."""
    if not re.match(r"(?:the|an?)\s", plain):
        yield plain, ()
    article = re.match(r"(?:[Tt]he|an?|An|A)\s+" if first else r"(?:[Tt]he|an?)\s+", plain)
    rest = plain[article.end() :] if article else plain
    noun = _NOUN.match(rest)
    if noun:
        yield rest[noun.end() :], _NOUNS[noun[1].lower()]
    elif article:
        yield rest, ()


def _meanings(words: str, wanted: tuple[type, ...]) -> Iterator[Term]:
    if not words or _LONE.fullmatch(words) or _bare_numbers(words) or not balanced(words):
        return
    prime = _by_prime_form(words)
    if prime:
        yield prime
        return
    found = readings(words)
    for meant in found:
        aside = isinstance(meant, Stacked | Pitches) and isinstance(found[0], Chord)  # E/C, E7: chords before all
        if not aside and (not wanted or isinstance(meant, wanted)):
            yield _term(meant, words)
            yield from _other_minors(meant, words)
    if not wanted or Collection in wanted:
        yield from map(_shape, _kinds(words))
    if _CHORD_WORD.fullmatch(words):
        yield from _chord_shape(words)


def _bare_numbers(words: str) -> bool:
    """Whether a text is one or two numbers, which a sentence has for other reasons than to name a set."""
    return (
        "-" not in words
        and not re.search(r"[A-Za-z]{2}|[A-G]", words)
        and len(re.findall(r"\d+|[te]", words)) < 3
        and not (re.search(r"\d{3}", words))
    )


def balanced(text: str) -> bool:
    """Whether every bracket has its fellow.

    >>> balanced("(0148)"), balanced("3) is")
    (True, False)
    """
    return all(text.count(opening) == text.count(closing) for opening, closing in ("()", "[]", "{}", "<>"))


def _term(meant: Readable, words: str) -> Term:
    if isinstance(meant, SetClass):
        return Term(meant.label, "class", meant.representative, meant.representative.pcs, meant)
    shown = subject(words if isinstance(meant, PcSet) and meant in readings(words)[:1] else meant)
    return Term(shown.title, "place", shown.pcset, shown.rising, None, shown.notes, shown.root is not None)


def _other_minors(meant: Readable, words: str) -> Iterator[Term]:
    if isinstance(meant, Collection) and re.fullmatch(r"\S+ minor(?: scale)?", words):
        for name in ("harmonic minor", "melodic minor"):
            yield _term(Collection(meant.root, find_kind(name)), words)


def _by_prime_form(words: str) -> Term | None:
    """A class by its prime form in either convention, where the numbers are one."""
    if not _PRIME.fullmatch(words):
        return None
    pcs = prime_digits(words)
    found = PcSet(pcs).set_class if pcs else None
    if found and pcs in (found.prime_form, found.prime_form_forte):
        return Term(found.label, "class", found.representative, found.representative.pcs, found)
    return None


def prime_digits(text: str) -> tuple[int, ...]:
    """The numbers of a prime form as it is written; empty where they are none.

    >>> prime_digits("[0,1,4,8]"), prime_digits("(0148)"), prime_digits("02468t"), prime_digits("0 2 12")
    ((0, 1, 4, 8), (0, 1, 4, 8), (0, 2, 4, 6, 8, 10), ())
    """
    bare = text.strip(" []()<>{}").lower()
    words = [w for w in re.split(r"[\s,]+", bare) if w] if re.search(r"[\s,]", bare) else list(bare)
    values = {str(n): n for n in range(12)} | {"t": 10, "e": 11, "a": 10, "b": 11}
    return tuple(values[w] for w in words) if all(w in values for w in words) else ()


def _kinds(words: str) -> Iterator[ScaleKind]:
    """The scales that a name without a root may mean."""
    bare = re.sub(r"\s+(scale|collection|set)s?$", "", words, flags=re.IGNORECASE).lower()
    if bare == "minor" and bare != words.lower():
        yield from map(find_kind, ("minor", "harmonic minor", "melodic minor"))
    elif len(bare) >= 5 and (bare not in _VAGUE or (bare == "major" and bare != words.lower())):
        kind = known_kind(bare)
        if kind:
            yield kind


def _shape(kind: ScaleKind) -> Term:
    return Term(kind.name, "shape", kind.pcset, kind.pcs, rooted=True)


def _chord_shape(words: str) -> Iterator[Term]:
    try:
        found = chord("C " + re.sub(r"s$", "", words))
    except InputError:
        return
    if not found.bass:
        yield Term(words, "shape", found.pcset, found.pcset.rising_from(0), rooted=True)


# --- numbers, and families ------------------------------------------------------------------------------------------

_COUNTED = (
    *("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"),
    *("thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen", "twenty"),
)
_ORDERED = (
    *("zeroth", "first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth"),
    *("eleventh", "twelfth", "thirteenth", "fourteenth", "fifteenth", "sixteenth", "seventeenth", "eighteenth"),
    *("nineteenth", "twentieth"),
)
_TIMES = {"once": 1, "twice": 2, "thrice": 3}
NUMBER = rf"(?:\d{{1,3}}|{'|'.join(reversed(_COUNTED))})"
"""Regular expression for a number in figures or words."""
ORDINAL = rf"(?:\d{{1,2}}(?:st|nd|rd|th)|{'|'.join(reversed(_ORDERED[1:]))})"
"""Regular expression for an ordinal number in figures or words."""
TIMES = rf"(?:once|twice|thrice|{NUMBER}\s+times)"
"""Regular expression for how often."""


def number(text: str) -> int:
    """The number that is written in figures or words, as cardinal, ordinal or how often.

    >>> number("five"), number("5th"), number("fifth"), number("twice"), number("Three times")
    (5, 5, 5, 2, 3)
    """
    word = text.lower().split()[0]
    if word in _TIMES:
        return _TIMES[word]
    if word in _COUNTED:
        return _COUNTED.index(word)
    return _ORDERED.index(word) if word in _ORDERED else int(re.sub(r"\D", "", word))


def in_words(count: int) -> str:
    """How often, in words: ``once``, ``twice``, ``5 times``; ``not at all`` for 0.

    >>> in_words(0), in_words(1), in_words(3)
    ('not at all', 'once', 'three times')
    """
    few = {0: "not at all", 1: "once", 2: "twice"}
    return few.get(count) or f"{_COUNTED[count] if count <= 12 else count} times"


_SPACED = re.compile(
    r"(?:seven\s+)?(?:kinds\s+of\s+)?(?:scales|collections) without (?:two semitones in a row|consecutive semitones"
    r"|three notes a semitone apart(?: in a row)?)"
)


def read_family_name(text: str) -> Family | None:
    """The family that a phrase names, or None.

    >>> found = read_family_name("the scales without two semitones in a row")
    >>> found.name if found else ""
    'scales without consecutive semitones'
    """
    plain = re.sub(r"^(?:all |the |of the |all the )+", "", " ".join(text.lower().split()))
    if _SPACED.fullmatch(plain):
        return default_family()
    try:
        return find_family(plain)
    except InputError:
        return None
