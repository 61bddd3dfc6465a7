"""Class labels in running text: whether the class exists, and whether its Z and its A or B are right.

Two numbers with a dash are often something else: bars, pages, years, a count from three to five. So a bare pair is
taken for a label only where that is **sure**:

* it has a Z or a letter (``6-Z10``, ``4-19B``); or
* a word for a class stands right before it ("the class 5-15", "tetrachord 4-19"); or
* its sentence speaks of classes (a sure label, or a word such as prime form, vector, subset, partner), and no word
  for bars, pages or the like, and the pair does not stand before a thing that is counted ("3-5 notes") and begins
  with 3 to 9.

What is not sure is not judged. A class of one's own invention ("4-19C") and longer chains (``1-3-1-2``) are no
labels.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from sonorarium.errors import InputError
from sonorarium.pcs.setclass import SetClass, canonical_label

_PAIR = re.compile(r"(?<![\w.\-–−/:])(\d{1,2})-([Zz]?)(\d{1,2})([ABab]?)(?![\w\-–−/:%])(?!\.\d)")
_BEFORE = re.compile(
    r"\b(?:set[- ])?(?:class(?:es)?|label|Forte(?:'s)? (?:number|class)|"
    r"(?:tri|tetra|penta|hexa|hepta|octa|nona)chords?)\s+"
    r"(?:(?:of|is|are|called)\s+)?$",
    re.IGNORECASE,
)
_SPEAKS = re.compile(
    r"\b(class(?:es)?|prime forms?|vectors?|subsets?|supersets?|partners?|complements?|Z-related|inversions?|"
    r"inversional\w*|(?:tri|tetra|penta|hexa|hepta|octa|nona)chords?|Forte|Rahn|sisters?|its own mirror)\b",
    re.IGNORECASE,
)
_OTHERWISE = re.compile(
    r"\b(bars?|measures?|mm?|pp?|pages?|lines?|years?|centur\w+|sections?|chapters?|figures?|fig|ex|examples?|nos\.|No\.|"
    r"numbers? \d|rows?|verses?|systems?|minutes?|seconds|phrases?|stretch(?:es)?|from \d+|op|opus|vol|columns?|"
    r"sizes?|cardinalit\w+|numbered|range|lessons?|exercises?|steps?|items?|questions?|slides?|weeks?|degrees?)(?!\w)",
    re.IGNORECASE,
)
_COUNTED = re.compile(
    r"\s+(?:notes?|semitones?|bars?|voices?|times|players?|minutes?|seconds?|scales?|people|singers|hours?|modes?|chords?)"
)


@dataclass(frozen=True)
class Mention:
    """A class label in a text.

    Parameters
    ----------
    start, end : int
        Where it stands in the text.
    typed : str
    right : str
        As it should be written; empty where there is no such class.
    truth : str
        What is wrong with it; empty where nothing is.
    """

    start: int
    end: int
    typed: str
    right: str
    truth: str = ""


def mentions(sentence: str) -> tuple[Mention, ...]:
    """Every label of a sentence of which it is sure that it is one.

    Examples
    --------
    >>> [(m.typed, m.truth) for m in mentions("The partner of 6-10 is 6-Z39.")]
    [('6-10', 'the class is written 6-Z10'), ('6-Z39', '')]
    >>> [m.truth for m in mentions("5-22B is inside 7-22.")][0]
    'there is no class 5-22B: 5-22 is its own mirror and has no A and B'
    >>> mentions("See bars 5-12, and take 3-5 notes.")
    ()
    """
    pairs = list(_PAIR.finditer(sentence))
    if not pairs:
        return ()
    marked = any(pair[2] or pair[4] for pair in pairs)
    speaks = (marked or bool(_SPEAKS.search(sentence))) and not _OTHERWISE.search(sentence)
    return tuple(_mention(pair) for pair in pairs if _is_sure(pair, sentence, speaks=speaks))


def may_mention(sentence: str) -> bool:
    """Whether a sentence may speak of a class that exists; enough to tell the author that it was not understood.

    >>> may_mention("5-35 has no tritone."), may_mention("Bars 5-12 are loud."), may_mention("It takes 3-5 notes.")
    (True, False, False)
    """
    if mentions(sentence):
        return True
    pairs = () if _OTHERWISE.search(sentence) else _PAIR.finditer(sentence)
    return any(judged(pair[0])[0] and not _COUNTED.match(sentence, pair.end()) for pair in pairs)


def _is_sure(pair: re.Match[str], sentence: str, *, speaks: bool) -> bool:
    if pair[2] or (pair[4] and pair[4].isupper()) or _BEFORE.search(sentence[: pair.start()]):
        return True
    return speaks and 3 <= int(pair[1]) <= 9 and not pair[4] and not _COUNTED.match(sentence, pair.end())


def _mention(pair: re.Match[str]) -> Mention:
    right, truth = judged(pair[0])
    return Mention(pair.start(), pair.end(), pair[0], right, truth)


def judged(typed: str) -> tuple[str, str]:
    """The right writing of a label and what is wrong with it; the one empty without such a class, the other if right.

    >>> judged("6-Z10"), judged("6-10"), judged("4-Z19a")
    (('6-Z10', ''), ('6-Z10', 'the class is written 6-Z10'), ('4-19A', 'the class is written 4-19A'))
    """
    try:
        right = canonical_label(typed)
    except InputError as error:
        return "", _said(error)
    same = typed.upper() == right
    return right, "" if same else f"the class is written {right}"


def _said(error: InputError) -> str:
    sentence = error.sentence.rstrip(".")
    hint = error.suggestion.rstrip(".") if "numbered" in error.suggestion else ""
    words = f"{sentence[0].lower()}{sentence[1:]}"
    return f"{words}; {hint[0].lower()}{hint[1:]}" if hint else words


def stated_labels(text: str) -> Iterator[tuple[str, str]]:
    """Every label of a statement that is known to speak of classes, with what is wrong with it."""
    for pair in _PAIR.finditer(text):
        yield pair[0], judged(pair[0])[1]


def prime_form_mentions(sentence: str) -> Iterator[tuple[int, int, SetClass, str]]:
    """Prime forms that stand in brackets right behind a label: where they are, the class, and the numbers.

    >>> [(str(c), digits) for _, _, c, digits in prime_form_mentions("the class 5-22 (01478) is inside")]
    [('5-22', '(01478)')]
    """
    pattern = rf"{_PAIR.pattern.split('(?![')[0]},?\s*([\[(]0[\s,0-9te]{{2,}}[\])])"
    for found in re.finditer(pattern, sentence):
        right, _ = judged(f"{found[1]}-{found[2]}{found[3]}{found[4]}")
        if right:
            yield found.start(5), found.end(5), SetClass(right), found[5]
