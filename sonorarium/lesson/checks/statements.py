"""Statements: the small grammar in which a claim about sets is written.

A grammar is a list of **forms**. A form is a pattern of plain words with slots for what changes:

===========  =========================================================================================
slot         holds
===========  =========================================================================================
``<a>``      a term (`sonorarium.lesson.checks.terms`); also ``<b>``, ``<c>``
``<as>``     one term or several, with commas and "and"; also ``<bs>``
``<n>``      a number in figures or words; also ``<m>``
``<nth>``    an ordinal in figures or words
``<times>``  how often, where it is said: once, twice, three times; with exactly, only, at least, at most
``<often>``  the same where it must be said
``<family>`` a family of scales by its name
``<digits>`` numbers in a row, with or without brackets and commas
``<steps>``  semitones from note to note, with dashes
``<notes>``  note names in a row; ``<note>`` is one
``<piece>``  a score of the study by its place
``<bars>``   bars by their printed numbers
``<sort>``   chord, line or texture
``<name>``   any words
===========  =========================================================================================

The whole statement has to fit; half a fit is none. Each form knows how to weigh what it has read; forms with "not"
are weighed as the same form without it, turned round.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from itertools import islice, product

from sonorarium.lesson.checks.terms import (
    NUMBER,
    ORDINAL,
    TIMES,
    Setting,
    Term,
    read_family_name,
    read_list,
    read_term,
)
from sonorarium.lesson.checks.verdicts import NOT_UNDERSTOOD, Outcome, Verdict, judge
from sonorarium.pcs.spelling import NOTE_PATTERN

MOST_READINGS = 64
"""A statement with more readings than this is not understood."""


@dataclass(frozen=True)
class Asked:
    """One reading of a statement.

    Parameters
    ----------
    terms : mapping of str to tuple of Term
        What stands in each slot for terms.
    words : mapping of str to str
        What stands in each other slot.
    setting : Setting
    """

    terms: Mapping[str, tuple[Term, ...]]
    words: Mapping[str, str]
    setting: Setting

    def one(self, slot: str) -> Term:
        """The term of a slot that holds one."""
        return self.terms[slot][0]

    def said(self, slot: str) -> str:
        """The words of a slot, or empty where it was left out."""
        return self.words.get(slot) or ""


Weigh = Callable[[Asked], Outcome | None]
"""From one reading to its outcome; None where the form does not apply to what was read."""


@dataclass(frozen=True)
class Form:
    """One form of statement.

    Parameters
    ----------
    kind : str
        What is stated, in a word or two.
    patterns : tuple of str
        The ways in which it is said.
    weigh : callable
    examples : tuple of str
        True statements, shown in the manual and run in the tests.
    turns : bool
        Whether it may be denied.
    """

    kind: str
    patterns: tuple[str, ...]
    weigh: Weigh = field(repr=False)
    examples: tuple[str, ...]
    turns: bool = False

    @cached_property
    def expressions(self) -> tuple[re.Pattern[str], ...]:
        """The patterns as regular expressions."""
        return tuple(expression(pattern) for pattern in self.patterns)


_NOTE = NOTE_PATTERN.replace("[A-Ga-g]", "[A-G]")
_TERM = r"\S.*?"
_SLOTS = {
    **dict.fromkeys(("as", "bs", "a", "b", "c", "family", "name"), _TERM),
    **dict.fromkeys(("n", "m"), NUMBER),
    "nth": ORDINAL,
    "digits": r"[\[({<]?\s*[0-9te](?:[\s,]*[0-9te])*\s*[\])}>]?",
    "steps": r"\d{1,2}(?:-\d{1,2})+",
    "notes": rf"(?-i:{_NOTE}(?:(?:,?\s+and\s+|,\s*|\s+|-){_NOTE})*)",
    "note": rf"(?-i:{_NOTE})",
    "piece": r"\S+\.(?:musicxml|mxl|xml)",
    "bars": r"bars?\s+\w+(?:\s*(?:-|–|to)\s*\w+)?",
    "sort": r"chord|line|texture",
}
_HOW = r"exactly\s+|only\s+|just\s+|at\s+least\s+|at\s+most\s+"
_SPECIAL = {
    "times": rf"(?:(?:\s+|,\s+)(?P<how>{_HOW})?(?P<times>{TIMES}))?",
    "often": rf"(?P<how>{_HOW})?(?P<times>{TIMES})",
}


def expression(pattern: str) -> re.Pattern[str]:
    """Turn a pattern with slots into a regular expression that the whole statement has to match."""

    def slot(found: re.Match[str]) -> str:
        return _SPECIAL.get(found[1]) or f"(?P<{found[1]}>{_SLOTS[found[1]]})"

    spaced = pattern.replace(" ", r"\s+")
    return re.compile(re.sub(r"(?<!\?P)<(\w+)>", slot, spaced), re.IGNORECASE)


_DENIALS = (
    (r"\b(is|are|does|do)n['’]t\b", r"\1 not"),
    (r"\b(is|are) not (?=.)", r"\1 "),
    (r"\b(?:does|do) not (hold|contain|include|have|lie|occur|appear|share)\b", r"\1"),
    (r"\bcannot be\b", "is"),
)


def affirmed(text: str) -> tuple[str, bool]:
    """A statement without its "not", and whether it had one.

    >>> affirmed("7-22 does not hold 5-32"), affirmed("5-32 is inside 7-35")
    (('7-22 hold 5-32', True), ('5-32 is inside 7-35', False))
    """
    plain, denied = re.sub(*_DENIALS[0], text), False
    for pattern, instead in _DENIALS[1:]:
        plain, count = re.subn(pattern, instead, plain)
        denied = denied or bool(count)
    return plain, denied


_TUPLES = {"di": 2, "tri": 3, "tetra": 4, "penta": 5, "hexa": 6, "hepta": 7, "octa": 8, "nona": 9}
_NUMBERS = ("twos", "threes", "fours", "fives", "sixes", "sevens", "eights", "nines", "tens")


def normal(text: str) -> str:
    """A statement in the words of the grammar: "pentachord classes" are classes of 5 notes.

    >>> normal("7-34 is the second most even of the sevens"), normal("7-22 holds twelve pentachord classes")
    ('7-34 is the second most even of the classes of 7 notes', '7-22 holds twelve classes of 5 notes')
    """
    plain = " ".join(text.replace("’", "'").split())
    plain = re.sub(rf"\b({NUMBER})[- ]note (classes|sets|scales|collections|subsets)\b", r"\2 of \1 notes", plain)
    names = "|".join(_TUPLES)
    plain = re.sub(
        rf"\b({names})chord(?:al)? classes\b", lambda found: f"classes of {_TUPLES[found[1].lower()]} notes", plain
    )
    numbers = "|".join(_NUMBERS)
    return re.sub(
        rf"\bthe ((?:\d+ )?)({numbers})\b",
        lambda found: f"the {found[1]}classes of {_NUMBERS.index(found[2]) + 2} notes",
        plain,
    )


def weigh(text: str, forms: Sequence[Form], setting: Setting) -> Verdict:
    """Find the form that a statement has, and what computation says of it.

    Parameters
    ----------
    text : str
        One statement, without its full stop.
    forms : sequence of Form
        The first that fits and applies is taken.
    setting : Setting

    Returns
    -------
    Verdict
    """
    plain, denied = affirmed(normal(text))
    doubtful = NOT_UNDERSTOOD
    for form in forms:
        if denied and not form.turns:
            continue
        for found in filter(None, (e.fullmatch(plain) for e in form.expressions)):
            verdict = _weigh_one(form, found, setting, denied=denied)
            if verdict.standing != "not understood":
                return verdict
            doubtful = verdict if verdict.kind else doubtful
    return doubtful


def _weigh_one(form: Form, found: re.Match[str], setting: Setting, *, denied: bool) -> Verdict:
    words = {slot: value for slot, value in found.groupdict().items() if value is not None}
    if denied and words.get("times"):
        return NOT_UNDERSTOOD
    heads = {slot for slot in words if found.start(slot) == 0}
    slots = _read_slots(words, setting, heads)
    if slots is None or (denied and any(len(several) > 1 for several in slots.values())):
        return NOT_UNDERSTOOD
    outcomes = []
    for terms in _readings(slots):
        outcome = form.weigh(Asked(terms, words, setting))
        if outcome is None and _could_be_more(terms, slots):
            continue  # "A" was an article, or "C major" the chord, and the form asks for something else
        if outcome is None:
            return NOT_UNDERSTOOD
        outcomes.append(replace(outcome, true=outcome.true != denied))
    return judge(form.kind, _shown(found, slots, denied=denied), outcomes)


Slots = dict[str, list[tuple[Term, ...]]]


def _read_slots(words: Mapping[str, str], setting: Setting, heads: set[str]) -> Slots | None:
    """The meanings of every term of every slot; None where one cannot be read."""
    slots: Slots = {}
    for slot, text in words.items():
        if slot in ("as", "bs"):
            slots[slot] = read_list(text, setting, first=slot in heads)
        elif slot in ("a", "b", "c"):
            meanings = read_term(text, setting, first=slot in heads)
            slots[slot] = [meanings] if meanings else []
        elif slot == "family" and read_family_name(text) is None:
            return None
    if not all(slots.values()):
        return None
    many = 1
    for meanings in (m for several in slots.values() for m in several):
        many *= len(meanings)
    return slots if many <= MOST_READINGS else None


def _could_be_more(terms: Mapping[str, tuple[Term, ...]], slots: Slots) -> bool:
    """Whether a term without a place might as well have one, or a triad might as well be a scale."""
    return any(
        (term.sort == "shape" and any(other.sort == "place" for other in meanings))
        or (len(term.rising) == 3 and any(len(other.rising) == 7 for other in meanings))
        for slot, several in slots.items()
        for term, meanings in zip(terms[slot], several, strict=True)
    )


def _readings(slots: Slots) -> Iterator[dict[str, tuple[Term, ...]]]:
    names = list(slots)
    for chosen in product(*(product(*slots[name]) for name in names)):
        yield dict(zip(names, chosen, strict=True))


def _shown(found: re.Match[str], slots: Slots, *, denied: bool) -> str:
    """The statement with each term replaced by what it was taken for."""
    text, at, parts = found.string, 0, []
    for slot in sorted(slots, key=found.start):
        taken = ", ".join("|".join(dict.fromkeys(t.title for t in islice(m, 3))) for m in slots[slot])
        parts += [text[at : found.start(slot)], f"<{taken}>"]
        at = found.end(slot)
    shown = "".join([*parts, text[at:]])
    return f"not: {shown}" if denied else shown
