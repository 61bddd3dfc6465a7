"""Statements on what lies inside what: subsets and how often, what only one scale has, how many classes there are.

How terms meet
--------------
* Two terms with a place meet note by note: E/C lies in D double harmonic only where its notes do.
* In all other cases the class counts: 5-22 in any scale, a chord without a place in a scale anywhere. A label without
  a letter counts under transposition and inversion; a chord or scale without a place under transposition alone.
* "Only", "no sister" and "none" speak of a family; where none is named, of the scales without consecutive semitones.
"""

from __future__ import annotations

import re
from math import comb

import numpy as np
from numpy.typing import NDArray

from sonorarium.lesson.checks.statements import Asked, Form
from sonorarium.lesson.checks.terms import Term, in_words, number, read_family_name
from sonorarium.lesson.checks.verdicts import Outcome
from sonorarium.pcs import catalogue, tables
from sonorarium.pcs.families import default_family
from sonorarium.pcs.family import Family, FamilyKind
from sonorarium.pcs.familyrule import times_held


def held(inner: Term, outer: Term) -> set[int]:
    """How often one term lies in another; several numbers where it depends on which half of a class is meant."""
    if inner.sort == "place" and outer.sort == "place":
        return {int(inner.pcset <= outer.pcset)}
    return {inner.set_class.count_in(option) for option in outer.options}


def _inside(asked: Asked) -> Outcome | None:
    inner, outer = asked.terms["as"], asked.terms["bs"]
    if re.fullmatch("[A-G][b♭#♯]?", asked.said("bs")):
        return None  # "in C" may mean the chord, the note, or the key
    fits, truths = [], []
    for one in inner:
        for other in outer:
            counts = held(one, other)
            placed = one.sort == "place"
            if asked.said("times") and placed and number(asked.said("times")) != 1:
                return None  # a set at its place is there once or not at all
            verdicts = {_as_often(count, asked) for count in counts}
            if len(verdicts) > 1:
                return None
            fits.append(verdicts.pop())
            truths.append(_where(one, other, max(counts)))
    return Outcome(all(fits), "; ".join(truths), sense=_sensible(asked))


def _sensible(asked: Asked) -> bool:
    """Whether what holds is larger than what is held: "C major" that holds a triad is the scale, not the chord."""
    inner = max(term.pcset.cardinality for term in asked.terms.get("as") or asked.terms["a"])
    return all(term.pcset.cardinality > inner for term in asked.terms.get("bs") or asked.terms["b"])


def _as_often(count: int, asked: Asked) -> bool:
    if not asked.said("times"):
        return count > 0
    wanted, how = number(asked.said("times")), asked.said("how").strip().lower()
    if how == "at least":
        return count >= wanted
    return count <= wanted if how == "at most" else count == wanted


def _where(inner: Term, outer: Term, count: int) -> str:
    if inner.sort == "place" and outer.sort == "place":
        names = {note.pc: note.sign for note in inner.names}
        missing = [names[pc] for pc in (inner.pcset - outer.pcset).pcs]
        if missing:
            return f"{outer.title} lacks {', '.join(missing)} of {inner.title}"
        return f"{outer.title} holds every note of {inner.title}"
    return f"{outer.title} holds {inner.title} {in_words(count)}"


def _absent(asked: Asked) -> Outcome | None:
    found = [held(one, other) for one in asked.terms["as"] for other in asked.terms["bs"]]
    if any(len({bool(n) for n in counts}) > 1 for counts in found):
        return None
    truths = [_where(a, b, max(held(a, b))) for a in asked.terms["as"] for b in asked.terms["bs"]]
    return Outcome(not any(max(counts) for counts in found), "; ".join(truths), sense=_sensible(asked))


def _how_many(asked: Asked) -> Outcome | None:
    """So many of one kind of chord in a scale."""
    inner, outer = asked.one("a"), asked.one("b")
    counts = held(inner, outer)
    if inner.sort == "place" or len(counts) > 1:
        return None
    count = counts.pop()
    truth = f"{outer.title} holds {inner.title} {in_words(count)}"
    return Outcome(count == number(asked.said("n")), truth, sense=_sensible(asked))


# --- only, none, all ------------------------------------------------------------------------------------------------


def family_of(asked: Asked) -> Family:
    """The family that a statement names, or the default."""
    return (read_family_name(asked.said("family")) if asked.said("family") else None) or default_family()


def _holders(term: Term, family: Family) -> list[FamilyKind]:
    counts = times_held(term.set_class)
    return [kind for kind in family.kinds if counts[kind.pcset.mask]]


def _same(kind: FamilyKind, term: Term) -> bool:
    return kind.pcset.set_class == term.set_class if term.sort == "class" else kind.label == term.pcset.label


def _only(asked: Asked) -> Outcome | None:
    family, scales = family_of(asked), asked.terms["bs"]
    outcomes = []
    for term in asked.terms["as"]:
        holders = _holders(term, family)
        others = [kind.name for kind in holders if not any(_same(kind, scale) for scale in scales)]
        lacking = [s.title for s in scales if not max(held(_unplaced(term), _unplaced(s)))]
        outcomes.append((not others and not lacking, _said_of_holders(term, holders, lacking, family)))
    return Outcome(all(ok for ok, _ in outcomes), "; ".join(t for _, t in outcomes), f"among the {family.name}")


def _unplaced(term: Term) -> Term:
    """The same without its place: what a whole family is asked about is a kind."""
    return Term(term.title, "shape", term.pcset, term.rising) if term.sort == "place" else term


def _said_of_holders(term: Term, holders: list[FamilyKind], lacking: list[str], family: Family) -> str:
    names = ", ".join(kind.name for kind in holders) or f"none of the {family.name}"
    less = f", and {', '.join(lacking)} lacks it" if lacking else ""
    return f"{term.title} is found in {names}{less}"


def _in_none(asked: Asked) -> Outcome | None:
    family = family_of(asked)
    outcomes = []
    for term in asked.terms["as"]:
        holders = [k for k in _holders(term, family) if not ("b" in asked.terms and _same(k, asked.one("b")))]
        lacking = []
        if "b" in asked.terms and not max(held(_unplaced(term), _unplaced(asked.one("b")))):
            lacking = [asked.one("b").title]
        outcomes.append((not holders and not lacking, _said_of_holders(term, holders, lacking, family)))
    return Outcome(all(ok for ok, _ in outcomes), "; ".join(t for _, t in outcomes), f"among the {family.name}")


def _in_all(asked: Asked) -> Outcome | None:
    family = family_of(asked)
    lacks = {t.title: [k.name for k in family.kinds if k not in _holders(t, family)] for t in asked.terms["as"]}
    truth = "; ".join(f"{t} lies in all but {', '.join(n)}" if n else f"{t} lies in all" for t, n in lacks.items())
    return Outcome(not any(lacks.values()), truth, f"of the {family.name}")


def _in_so_many(asked: Asked) -> Outcome | None:
    family, term = family_of(asked), asked.terms["as"][0]
    holders = _holders(term, family)
    if len(asked.terms["as"]) > 1:
        return None
    said = _said_of_holders(term, holders, [], family)
    return Outcome(len(holders) == number(asked.said("n")), said, f"of the {family.name}")


# --- how many classes -----------------------------------------------------------------------------------------------


def _classes(asked: Asked) -> Outcome | None:
    size, scale = number(asked.said("m")), asked.one("b")
    alone = bool(asked.said("alone"))
    found = {np.count_nonzero(_inside_counts(option.mask, size, alone=alone)) for option in scale.options}
    truth = f"{scale.title} holds {min(found)} classes of {size} notes"
    return Outcome(found == {number(asked.said("n"))}, truth, _under(asked))


def _inside_counts(mask: int, size: int, *, alone: bool) -> NDArray[np.uint16]:
    """How often each class of a size lies in a set, under transposition alone or under inversion too."""
    masks = catalogue.tn_masks() if alone else catalogue.tni_masks()
    counts = catalogue.tn_counts() if alone else catalogue.tni_counts()
    found: NDArray[np.uint16] = counts[mask, tables.size()[masks] == size]
    return found


def _under(asked: Asked) -> str:
    return "under transposition alone" if asked.said("alone") else "under transposition and inversion"


def _all_classes(asked: Asked) -> Outcome | None:
    masks = catalogue.tn_masks() if asked.said("alone") else catalogue.tni_masks()
    size = number(asked.said("m")) if asked.said("m") else None
    count = len(masks) if size is None else int((tables.size()[masks] == size).sum())
    notes = "" if size is None else f" of {size} notes"
    return Outcome(count == number(asked.said("n")), f"there are {count} classes{notes}", _under(asked))


def _own_classes(asked: Asked) -> Outcome | None:
    """Classes of a scale that no sister holds."""
    size, scale, family = number(asked.said("m")), asked.one("b"), family_of(asked)
    here = (catalogue.tni_counts()[scale.pcset.mask] > 0) & (tables.size()[catalogue.tni_masks()] == size)
    for kind in family.kinds:
        if not _same(kind, scale):
            here = here & (catalogue.tni_counts()[kind.pcset.mask] == 0)
    count = int(here.sum())
    truth = f"{count} classes of {size} notes lie in {scale.title} and in no sister"
    return Outcome(count == number(asked.said("n")), truth, f"among the {family.name}")


def _subsets(asked: Asked) -> Outcome | None:
    size, scale = number(asked.said("m")), asked.one("b")
    count = comb(scale.pcset.cardinality, size)
    return Outcome(count == number(asked.said("n")), f"{scale.title} has {count} subsets of {size} notes")


_IN = "(?:in|inside|within)"
_FOUND = "(?:found |contained |included |embedded |held )?"
_LIES = f"(?:(?:is|are|can be) {_FOUND}|(?:lie|sit|occur|appear)s? |fits? )(?:also )?"
_HOLDS = "(?:contain|hold|include|embed)s?"
_ALONE = "(?P<alone> under transposition(?: alone)?| counting mirrors apart)?"
_NO_SISTER = "(?:no sister(?: scale)?s?|none of (?:its|the) sisters)"
_TRIADS = r"(?P<a>(?:\S[\w\s-]*?)?(?:triad|chord|dominant seventh|half-diminished seventh))s?"

FORMS = (
    Form(
        "only in",
        (
            rf"<as> {_LIES}only {_IN} <bs>(?: (?:of|among) (?:all )?the <family>)?",
            rf"(?:of|among) (?:all )?the <family>, <as> {_LIES}only {_IN} <bs>",
            rf"(?:(?:of|among) (?:all )?the <family>, )?only <bs> (?:{_HOLDS}|has|have) <as>",
            rf"<as> {_LIES}{_IN} <bs>(?:,)? (?:only|alone)",
            rf"<as> {_LIES}{_IN} <bs>,? and nowhere else among the <family>",
        ),
        _only,
        (
            "6-20 is found only in the hexatonic",
            "among the scales without consecutive semitones, 5-33 lies only in the acoustic and the whole tone",
        ),
    ),
    Form(
        "in no sister",
        (
            rf"<as> {_LIES}{_IN} {_NO_SISTER}(?: of <b>)?",
            rf"<as> {_LIES}{_IN} none of the <family>",
            rf"none of the <family> (?:{_HOLDS}|has|have) <as>",
            rf"{_NO_SISTER}(?: of <b>)? (?:{_HOLDS}|has|have) <as>",
        ),
        _in_none,
        (
            "5-15 is found in no sister of D double harmonic",
            "5-6 lies in none of the scales without consecutive semitones",
        ),
    ),
    Form(
        "in all",
        (
            rf"<as> {_LIES}{_IN} (?:all|every one)(?: of)?(?: the)? <family>",
            rf"(?:all|every one)(?: of)? the <family> (?:{_HOLDS}|has|have) <as>",
        ),
        _in_all,
        ("2-6 lies in all of the modes of limited transposition",),
    ),
    Form(
        "in so many",
        (rf"<as> {_LIES}{_IN} <n> of the <family>", rf"<n> of the <family> {_HOLDS} <as>"),
        _in_so_many,
        ("5-31 lies in three of the scales without consecutive semitones",),
    ),
    Form(
        "classes found nowhere else",
        (
            rf"<n> (?:different )?classes of <m> notes (?:of|in) <b> {_LIES}{_IN} {_NO_SISTER}",
            rf"<n> (?:different )?classes of <m> notes (?:of|in) <b> {_LIES}{_IN} none of the <family>",
            rf"<n> (?:different )?classes of <m> notes {_LIES}only {_IN} <b>(?: among the <family>)?",
            rf"<b> (?:{_HOLDS}|has) <n> classes of <m> notes that no sister (?:holds|has)",
            rf"<b> (?:{_HOLDS}|has) <n> classes of <m> notes that (?:lie|are found) {_IN} none of the <family>",
        ),
        _own_classes,
        ("D double harmonic holds four classes of five notes that no sister holds",),
    ),
    Form(
        "number of classes inside",
        (
            rf"<n> (?:different )?(?:set )?classes of <m> notes {_LIES}{_IN} <b>{_ALONE}",
            rf"there are <n> (?:different )?(?:set )?classes of <m> notes {_IN} <b>{_ALONE}",
            rf"<b> (?:{_HOLDS}|has|have) <n> (?:different )?(?:set )?classes of <m> notes{_ALONE}",
        ),
        _classes,
        ("twelve classes of five notes lie in D double harmonic", "7-35 holds 13 classes of four notes"),
    ),
    Form(
        "number of classes",
        (
            rf"there are <n> (?:different )?(?:set )?classes of <m> notes{_ALONE}",
            rf"there are <n> (?:different )?set classes(?: in all)?{_ALONE}",
        ),
        _all_classes,
        ("there are 38 set classes of five notes", "there are 66 classes of five notes under transposition alone"),
    ),
    Form(
        "number of subsets",
        (rf"<b> (?:{_HOLDS}|has) <n> (?:different )?subsets of <m> notes",),
        _subsets,
        ("the double harmonic has 21 subsets of five notes",),
    ),
    Form(
        "number of chords inside",
        (rf"<b> (?:{_HOLDS}|has) <n> {_TRIADS}", rf"there are <n> {_TRIADS} {_IN} <b>"),
        _how_many,
        ("C major holds three minor triads",),
    ),
    Form(
        "not inside",
        (
            rf"<bs> (?:{_HOLDS}|has|have) no <as>",
            rf"<as> {_LIES}{_IN} neither <bs>",
            r"<as> (?:is|are) (?:no subset|no subsets) of <bs>",
            r"no <as> (?:is|are|lies?) (?:found )?(?:in|inside|within) <bs>",
        ),
        _absent,
        ("7-22 holds no 4-28", "5-22 is found in neither the octatonic nor the whole-tone scale"),
    ),
    Form(
        "inside",
        (
            rf"<as> {_LIES}<often> {_IN} <bs>",
            rf"<as> {_LIES}{_IN} <bs><times>",
            r"<as> (?:is|are) (?:an? |proper |common )*subsets? of <bs><times>",
            r"<as> (?:is|are) part of <bs>",
            rf"<bs> (?:{_HOLDS}|has|have) <as><times>",
            r"<bs> (?:is|are) (?:an? )?supersets? of <as>",
            rf"(?:all|every one of) the notes of <as> (?:lie|are) {_IN} <bs>",
        ),
        _inside,
        (
            "5-22 is inside 7-22 twice",
            "7-35 holds 3-11 six times",
            "E/C is a subset of A harmonic minor",
            "5-16 and 5-21 lie in the harmonic minor and the harmonic major",
            "7-22 does not hold 5-35",
        ),
        turns=True,
    ),
)
"""The forms of this module, the more special first."""
