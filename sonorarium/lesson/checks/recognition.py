"""Recognition: plain sentences that state something about sets, read with care.

A text is cut into sentences and these into clauses, and each clause is held against the grammar of statements
(`sonorarium.lesson.checks.statements`). The rules are strict, so that nothing true is ever called false:

* a clause has to fit whole; a few words before it ("So", "Here,", "Note that") and behind it ("too", "as well") may
  be left aside, and what stands in round brackets;
* a sentence that asks, supposes, doubts, or reports what somebody says is not read ("if", "would", "seems", a
  question mark), and neither is one with quotation marks;
* "the scale" points back only where the lesson is about one scale and the paragraph names no other; "of them" behind
  a number points to the classes counted in the clause before.

A sentence is **about sets** where it holds a label, a role, the name of a scale, or a word of the trade in a sense
that
could be checked, and a verb that states. If it is about sets and nothing in it was understood, it is given as not
understood, for the author.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import cache

from sonorarium.lesson.checks.labels import may_mention, mentions, prime_form_mentions
from sonorarium.lesson.checks.terms import Setting, balanced, prime_digits, read_term
from sonorarium.lesson.checks.verdicts import NOT_UNDERSTOOD, Standing, Verdict
from sonorarium.pcs.pcset import PcSet
from sonorarium.pcs.scales import scale_kinds

Check = Callable[[str, Setting], Verdict]
"""From a clause and its setting to the verdict on it."""


@dataclass(frozen=True)
class Found:
    """A statement in a text.

    Parameters
    ----------
    start : int
        Where it begins in the text.
    text : str
    verdict : Verdict
    """

    start: int
    text: str
    verdict: Verdict


_SENTENCE = re.compile(r"(?<=[.!?…])[\"”’)]*\s+(?=[\"“‘(]?(?:[A-Z0-9{\[]|$))|\n{2,}")
_GUARD = re.compile(
    r"\?|[\"“”]|\b(?:if|unless|whether|suppose|supposing|imagine|would|could|might|may|should|perhaps|maybe|probably|"
    r"almost|nearly|roughly|hardly|seems?|seem to|appears to|claims?|claimed|says?|said|false|wrong|untrue|mistake|"
    r"myth|never|until|except|apart from|instead of|rather than|as though|as if|likely|let|assume|try|guess|"
    r"true or)\b",
    re.IGNORECASE,
)
_LEAD = re.compile(
    r"^(?:(?:so|and|but|also|thus|hence|therefore|here|indeed|in fact|moreover|of course|now|again|for example|"
    r"for instance|as a set|note that|notice that|remember that|recall that|we see that|see that|observe that|"
    r"it follows that|for|then|as we saw|as we have seen|in other words|as a result|in particular|accordingly|"
    r"consequently|besides|likewise)\b,?\s*)+",
    re.IGNORECASE,
)
_TAIL = re.compile(r",?\s*(?:as well|too|also|indeed|of course|again|after all|by the way)$", re.IGNORECASE)
_JOINT = re.compile(
    r";\s+|:\s+|,\s+(?:and|but|while|whereas|so|for|yet)\s+|\s+[–—]\s+|\s+but\s+|\s+while\s+|\s+whereas\s+"
)
_ASIDE = re.compile(r"\s*\([^()]*\)")
_TRADE = re.compile(
    r"\b(prime form|interval[- ](?:class )?vector|subsets? of|supersets? of|its own mirror|Z-related|"
    r"most even|least even|(?:brightest|darkest) mode|classes of \w+ notes|no sister|none of its sisters|"
    r"limited transposition|semitones? (?:away )?from|complement of|partner of)\b",
    re.IGNORECASE,
)


_STATES = re.compile(
    r"\b(?:is|are|has|have|holds?|contains?|includes?|lies?|belongs?|occurs?|appears?|shares?|differs?|uses?|forms?|"
    r"makes?|consists?|fits?|becomes?)\b"
)


def recognise(text: str, setting: Setting, check: Check) -> Iterator[Found]:
    """Find and check what a paragraph states.

    Parameters
    ----------
    text : str
        A paragraph; line breaks count as spaces.
    setting : Setting
    check : callable
        Weighs one clause.

    Yields
    ------
    Found
        Each statement that was understood, each label that is wrong, and each sentence about sets that was not
        understood.
    """
    setting = _pointing(text, setting)
    for start, sentence in sentences(text):
        labels = list(_labels(start, sentence))
        stated = [] if _GUARD.search(sentence) else list(_stated(start, sentence, setting, check))
        understood = [found for found in stated if found.verdict.standing != "not understood"]
        yield from labels
        yield from understood
        if not understood and not labels and is_about_sets(sentence):
            doubt = next((found.verdict for found in stated if found.verdict.kind), NOT_UNDERSTOOD)
            yield Found(start, sentence, doubt)


def sentences(text: str) -> Iterator[tuple[int, str]]:
    """The sentences of a text, each with the place where it begins.

    >>> list(sentences("One is in two. Is it?  Yes"))
    [(0, 'One is in two.'), (15, 'Is it?'), (23, 'Yes')]
    """
    at = 0
    for cut in [*_SENTENCE.finditer(text), None]:
        end = cut.start() if cut else len(text)
        piece = text[at:end]
        if piece.strip():
            yield at + len(piece) - len(piece.lstrip()), piece.strip()
        at = cut.end() if cut else end


def _pointing(text: str, setting: Setting) -> Setting:
    """The setting of a paragraph: "the scale" points back only where no other scale is named beside it."""
    if setting.scale is None:
        return setting
    named = {found.lower() for found in _scale_names().findall(text)}
    own = setting.scale.title.lower()
    return setting if all(name in own for name in named) else replace(setting, scale=None)


@cache
def _scale_names() -> re.Pattern[str]:
    """Names of scales that cannot be other words."""
    names = {name for kind in scale_kinds() for name in kind.names if len(name) > 6}
    words = "|".join(re.escape(name) for name in sorted(names, key=len, reverse=True))
    return re.compile(rf"\b(?:{words})\b", re.IGNORECASE)


def is_about_sets(sentence: str) -> bool:
    """Whether a sentence could be checked, were it understood.

    >>> is_about_sets("5-22 has its place in the class 7-22."), is_about_sets("Sing it slowly.")
    (True, False)
    """
    if sentence.endswith("?") or not _STATES.search(sentence):
        return False
    return bool(may_mention(sentence) or _TRADE.search(sentence) or _scale_names().search(sentence))


def _labels(start: int, sentence: str) -> Iterator[Found]:
    for mention in mentions(sentence):
        if mention.truth:
            verdict = Verdict("false", "label", f"the class label <{mention.typed}>", mention.truth)
            yield Found(start + mention.start, mention.typed, verdict)
    for at, _, named, digits in prime_form_mentions(sentence):
        pcs = prime_digits(digits)
        alike = bool(pcs) and PcSet(pcs).set_class == named.tni
        if alike and pcs not in (named.prime_form, named.prime_form_forte):
            continue  # its notes at some place, not its prime form
        shown = "".join("0123456789te"[pc] for pc in named.prime_form)
        standing: Standing = "true" if alike else "false"
        understood = f"<{named}> has the prime form {digits}"
        yield Found(start + at, f"{named} {digits}", Verdict(standing, "prime form", understood, f"it is [{shown}]"))


def _stated(start: int, sentence: str, setting: Setting, check: Check) -> Iterator[Found]:
    bare = _blanked(sentence)
    whole = _clause(0, bare, setting, check)
    if whole and whole.verdict.standing != "not understood":
        yield replace(whole, start=start + whole.start)
        return
    clauses, at = [], 0
    for cut in [*_JOINT.finditer(bare), None]:
        end = cut.start() if cut else len(bare)
        clauses.append((at, bare[at:end]))
        at = cut.end() if cut else end
    counted = ""
    for place, clause in clauses if len(clauses) > 1 else ():
        found = _clause(place, _pronoun(clause, counted), setting, check)
        if found:
            yield replace(found, start=start + found.start)
            counted = _counted(found) or counted
    if whole and whole.verdict.kind:
        yield replace(whole, start=start)


def _blanked(sentence: str) -> str:
    """A sentence with its asides blanked out, so that places stay as they are."""
    without = re.sub(_ASIDE, lambda found: found[0] if _is_prime(found[0]) else " " * len(found[0]), sentence)
    for start, end, _, _ in prime_form_mentions(sentence):
        without = without[:start] + " " * (end - start) + without[end:]
    return without


def _is_prime(aside: str) -> bool:
    return bool(re.fullmatch(r"\s*\((?:0[\s,0-9te]+|[Ff]orte|[Rr]ahn)\)", aside))


def _clause(place: int, clause: str, setting: Setting, check: Check) -> Found | None:
    text = " ".join(clause.split()).rstrip(".!:;, ")
    lead = _LEAD.match(text)
    text = _TAIL.sub("", text[lead.end() :] if lead else text)
    if len(text) < 6 or not balanced(text):
        return None
    at = place + len(clause) - len(clause.lstrip())
    return Found(at, text, check(text, setting))


_CLASSES = re.compile(r"classes of \S+ notes")


def _counted(found: Found) -> str:
    """What "them" would point to behind this clause: the classes that it counts, of their scale."""
    classes = _CLASSES.search(found.verdict.understood)
    scale = re.findall(r"<([^<>]+)>", found.verdict.understood)
    if found.verdict.kind == "number of classes inside" and classes and len(scale) == 1 and read_term(scale[0]):
        return f"{classes[0]} of {scale[0]}"
    return ""


def _pronoun(clause: str, counted: str) -> str:
    return re.sub(r"\bof them\b", counted, clause, count=1) if counted else clause
