"""Statements on the notes of a set: which they are, what they are called together, degrees, steps, how many.

Conventions
-----------
* Notes are compared as pitch classes; "is spelled" compares their names too.
* Degrees count the notes of a scale from its root; of scales that have not seven notes only "the third note" is
  understood, for some books count their degrees by the seven letters.
* Only notes typed by name are "called" something: a chord or scale is never said to be another.
"""

from __future__ import annotations

import re

from sonorarium.lesson.checks.statements import Asked, Form
from sonorarium.lesson.checks.terms import Term, number
from sonorarium.lesson.checks.verdicts import Outcome
from sonorarium.pcs.pcset import PcSet, step_pattern
from sonorarium.pcs.spelling import Spelled, read_note


def _size(asked: Asked) -> Outcome | None:
    outcomes = [(t.title, t.pcset.cardinality) for t in asked.terms["as"]]
    wanted = number(asked.said("n"))
    return Outcome(all(n == wanted for _, n in outcomes), "; ".join(f"{t} has {n} notes" for t, n in outcomes))


def _notes(asked: Asked) -> Outcome | None:
    term = asked.one("a")
    if term.sort != "place":
        return None
    given = [read_note(word) for word in re.findall(r"[A-G][b#♭♯x𝄪𝄫]*", asked.said("notes"))]
    spelled = bool(asked.said("spelled"))
    right = set(given) == set(term.names) if spelled else PcSet(note.pc for note in given) == term.pcset
    return Outcome(right, f"the notes of {term.title} are {' '.join(note.sign for note in term.names)}")


def _same_notes(asked: Asked) -> Outcome | None:
    one, other = asked.one("a"), asked.one("b")
    if one.sort != "place" or other.sort != "place":
        return None
    alike = one.pcset.cardinality == other.pcset.cardinality
    return Outcome(one.pcset == other.pcset, f"{other.title} has the notes {_signs(other)}", sense=alike)


def _signs(term: Term) -> str:
    return " ".join(note.sign for note in term.names)


def _called(asked: Asked) -> Outcome | None:
    """Notes that are called by a chord symbol or the name of a scale."""
    one, other = asked.one("a"), asked.one("b")
    bare = one.sort == "place" and not one.rooted and len(one.names) >= 3
    if not bare or other.sort != "place" or not (other.rooted or asked.said("called")):
        return None
    alike = one.pcset.cardinality == other.pcset.cardinality
    return Outcome(one.pcset == other.pcset, f"{other.title} has the notes {_signs(other)}", sense=alike)


def _degree(asked: Asked) -> Outcome | None:
    term = asked.one("a")
    at = number(asked.said("nth"))
    if term.sort != "place" or not term.rooted or not 1 <= at <= len(term.names):
        return None
    if asked.said("degree") and len(term.names) != 7:
        return None  # degrees of other scales go by the seven letters in some books, by their order in others
    right: Spelled = term.names[at - 1]
    given = read_note(asked.said("note"))
    number_of = {note.pc: n for n, note in enumerate(term.names, start=1)}.get(given.pc)
    if number_of is not None and at not in (number_of, 1) and given.pc == right.pc:
        return None
    return Outcome(given.pc == right.pc, f"degree {at} of {term.title} is {right.sign}")


def _has_note(asked: Asked) -> Outcome | None:
    term = asked.one("a")
    if term.sort != "place":
        return None
    given = [read_note(word).pc for word in re.findall(r"[A-G][b#♭♯x]*", asked.said("notes"))]
    fits = [pc in term.pcset for pc in given]
    if asked.said("no"):
        return Outcome(not any(fits), f"the notes of {term.title} are {_signs(term)}")
    return Outcome(all(fits), f"the notes of {term.title} are {_signs(term)}")


def _steps(asked: Asked) -> Outcome | None:
    term = asked.one("a")
    if term.sort == "class" or not term.rooted:
        return None
    given = tuple(map(int, asked.said("steps").split("-")))
    right = step_pattern(term.rising)
    whole = given if len(given) == len(right) else (*given, 12 - sum(given))
    truth = f"the steps of {term.title} are {'-'.join(map(str, right))}"
    return Outcome(whole == right, truth, sense=len(whole) == len(right))


FORMS = (
    Form(
        "size",
        (r"<as> (?:has|have|is of|are of) <n> notes", r"there are <n> notes in <as>"),
        _size,
        ("7-22 has seven notes",),
        turns=False,
    ),
    Form(
        "notes",
        (
            r"the notes of <a> are <notes>",
            r"<a> (?:consists of|is made of) (?:the notes )?<notes>",
            r"<a> is (?P<spelled>spelled|spelt|written) <notes>",
        ),
        _notes,
        ("the notes of D double harmonic are D Eb F# G A Bb C#", "F# mixolydian b6 is spelled F# G# A# B C# D E"),
        turns=True,
    ),
    Form(
        "has a note",
        (
            r"<notes> (?:is a note|are notes) of <a>",
            r"<a> (?:has|holds|contains) (?P<no>no )<notes>",
            r"<a> (?:has|holds|contains) (?:the notes? |an? )?<notes>",
            r"<notes> (?:is|are) (?P<no>no notes?) of <a>",
        ),
        _has_note,
        ("D double harmonic has the note C#", "C lydian has no Bb"),
    ),
    Form(
        "same notes",
        (r"<a> and <b> (?:have|share) the same notes", r"<a> has the same notes as <b>", r"<a> equals <b>"),
        _same_notes,
        ("D dorian and C major have the same notes", "Am7 has the same notes as C6"),
        turns=True,
    ),
    Form(
        "name",
        (
            r"<a> (?:is|are) (?P<called>called|named) <b>",
            r"<a> (?:is|are|make|makes|form|forms|spells?) (?:the (?:chord|scale) )?<b>",
        ),
        _called,
        ("C E G# B is called Cmaj7#5", "D Eb F# G A Bb C# is D double harmonic"),
        turns=True,
    ),
    Form(
        "degree",
        (
            r"the <nth> (?:(?P<degree>degree)|note) of <a> is <note>",
            r"<note> is the <nth> (?:(?P<degree>degree)|note) of <a>",
        ),
        _degree,
        ("the third degree of D double harmonic is F#",),
        turns=True,
    ),
    Form(
        "steps",
        (
            r"the steps of <a> are <steps>",
            r"the step pattern of <a> is <steps>",
            r"<a> has the (?:steps|step pattern) <steps>",
            r"<a> (?:goes|rises|runs) <steps>",
        ),
        _steps,
        ("the steps of D double harmonic are 1-3-1-2-1-3-1",),
        turns=True,
    ),
)
"""The forms of this module."""
