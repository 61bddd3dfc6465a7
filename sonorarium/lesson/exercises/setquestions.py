"""Questions on sets and classes: name a class, find the partner, find the complement, pick the subset that belongs.

Each function makes every exercise of its kind that a set yields; `sonorarium.lesson.exercises.drills` draws from
them. Classes are counted under transposition and inversion. Prime forms are Rahn's (1980), as everywhere here.

What counts as work:

* **class**: the notes; one more where the notes as written do not begin like normal order, for they have to be
  turned; one more where the prime form is their mirror.
* **partner**: the notes of the class, for every vector has to be counted.
* **complement**: the notes that are missing, for these have to be found and packed.
* **subset**: the notes of a choice, where choices are notes; four more where they are classes, for then every place
  in the scale has to be tried.

The difference of a wrong choice is ASIM between classes; between notes it is the share that is foreign to the scale.
"""

from __future__ import annotations

from collections.abc import Iterator

from sonorarium.lesson.exercises.distractors import NEARNESSES, WRONG, difference, like_classes, outside_sets
from sonorarium.lesson.exercises.exercise import Choice, Exercise, closeness_of
from sonorarium.lesson.roles import signed
from sonorarium.pcs.insides import Inside, Place, insides
from sonorarium.pcs.pcset import PcSet
from sonorarium.pcs.setclass import SetClass
from sonorarium.pcs.spelling import Spelled, spell_in
from sonorarium.pcs.subject import Subject
from sonorarium.pitch.voicing import close_position, written
from sonorarium.render.notation import Column, scale

FEWEST_OF_OWN = 5
"""A set that holds fewer classes with a partner than this is asked about all such classes there are."""

SHORTEST_LIST = 6
"""Chords of so many notes are asked for by class only: their notes would be all but the scale itself."""

_DIGITS = "0123456789te"


def prime_text(named: SetClass | PcSet) -> str:
    """A prime form as it is written: ``(0148)``.

    >>> prime_text(SetClass("4-19B")), prime_text(SetClass("6-1"))
    ('(0148)', '(012345)')
    """
    return f"({''.join(_DIGITS[pc] for pc in named.prime_form)})"


def _in_full(named: SetClass) -> str:
    return f"{named.label} {prime_text(named)}"


def _vector(named: SetClass) -> str:
    return " ".join(map(str, named.interval_vector))


def _row(notes: tuple[Spelled, ...]) -> tuple[Column, ...]:
    """Notes rising in a row."""
    return scale(written(close_position(tuple(note.pc for note in notes)).pitches, notes))


def words(notes: tuple[Spelled, ...]) -> str:
    """Names of notes with the signs of notation."""
    return " ".join(note.sign for note in notes)


# --- name a class -------------------------------------------------------------------------------------------------


def class_questions(shown: Subject) -> Iterator[Exercise]:
    """Ask for the class of notes of the set, in a row."""
    for row in insides(shown, sizes=range(3, min(len(shown.notes), 9) + 1)):
        for number, place in enumerate(row.places):
            notes = _turned(place.notes, number)
            for nearness in NEARNESSES:
                yield _class_question(row.set_class, notes, nearness)


def _turned(notes: tuple[Spelled, ...], by: int) -> tuple[Spelled, ...]:
    """Rising from another note; every place of a class is turned differently."""
    by %= len(notes)
    return notes[by:] + notes[:by]


def turning_work(notes: tuple[int, ...]) -> int:
    """Count 1 where pitch classes do not begin like normal order, and 1 where the prime form mirrors them.

    >>> turning_work((0, 4, 7)), turning_work((0, 3, 7)), turning_work((7, 0, 3))
    (1, 0, 1)
    """
    meant = PcSet(notes)
    heights = PcSet((pc - notes[0]) % 12 for pc in notes)
    return int(heights != meant.tn_class.representative) + int(meant.label.endswith("B"))


def _class_question(named: SetClass, notes: tuple[Spelled, ...], nearness: str) -> Exercise:
    wrong = like_classes(named, named.cardinality, lambda other: other != named, nearness)
    own = PcSet(note.pc for note in notes)
    normal = spell_in(notes, own.normal_order)
    key = f"{_in_full(named)}: normal order {words(normal)}"
    return Exercise(
        "class",
        f"Which class is {words(notes)}?",
        len(notes) + turning_work(tuple(note.pc for note in notes)),
        closeness_of([difference(named, other) for other in wrong]),
        key + (", the mirror of the prime form." if own.label.endswith("B") else "."),
        (
            Choice(_in_full(named), True, f"interval classes {_vector(named)}"),
            *(Choice(_in_full(other), False, f"interval classes {_vector(other)}") for other in wrong),
        ),
        shown=_row(notes),
    )


# --- partner and complement ---------------------------------------------------------------------------------------


def partner_questions(shown: Subject) -> Iterator[Exercise]:
    """Classes that have a partner in interval content: those the set holds, or all where it holds few."""
    own = [row.set_class for row in insides(shown) if row.set_class.partner]
    for named in own if len(own) >= FEWEST_OF_OWN else _all_with_partner():
        for nearness in NEARNESSES:
            yield _partner_question(named, nearness)


def _all_with_partner() -> list[SetClass]:
    every = insides(PcSet(range(12)), sizes=range(4, 9))
    return [row.set_class for row in every if row.set_class.partner]


def _partner_question(named: SetClass, nearness: str) -> Exercise:
    right = SetClass(str(named.partner))
    wrong = like_classes(named, named.cardinality, lambda other: other not in (named, right), nearness)
    return Exercise(
        "partner",
        f"Which class has the same intervals as {_in_full(named)}?",
        named.cardinality,
        closeness_of([difference(named, other) for other in wrong]),
        f"{_in_full(right)}: both have interval classes {_vector(right)}.",
        (
            Choice(prime_text(right), True, f"{right.label}, interval classes {_vector(right)}"),
            *(Choice(prime_text(o), False, f"{o.label}, interval classes {_vector(o)}") for o in wrong),
        ),
    )


def complement_questions(shown: Subject) -> Iterator[Exercise]:
    """Ask for the class of the notes that are missing beside notes of the set, or beside all of it."""
    for row in insides(shown, sizes=range(4, min(len(shown.notes), 9) + 1)):
        for place in row.places:
            for nearness in NEARNESSES:
                yield _complement_question(shown, place, nearness)


def _complement_question(shown: Subject, place: Place, nearness: str) -> Exercise:
    missing = ~place.pcset
    right = missing.set_class
    wrong = like_classes(right, len(missing), lambda other: other != right, nearness)
    names = spell_in(shown.notes, missing.normal_order)
    return Exercise(
        "complement",
        f"Which class do the notes make that are missing beside {words(place.notes)}?",
        len(missing),
        closeness_of([difference(right, other) for other in wrong]),
        f"{_in_full(right)}: {words(names)}.",
        (
            Choice(prime_text(right), True, right.label),
            *(Choice(prime_text(other), False, other.label) for other in wrong),
        ),
        shown=_row(place.notes),
    )


# --- subset -------------------------------------------------------------------------------------------------------


def subset_questions(shown: Subject) -> Iterator[Exercise]:
    """Ask which notes, or which class, lie inside the set."""
    most = min(len(shown.notes) - 1, 6)
    rows = insides(shown, sizes=range(3, most + 1)) if most >= 3 else ()
    for row in rows:
        for nearness in NEARNESSES:
            for place in row.places if row.set_class.cardinality < SHORTEST_LIST else ():
                yield from _notes_question(shown, place, nearness)
            yield from _inside_question(shown, row, nearness)


def _notes_question(shown: Subject, place: Place, nearness: str) -> Iterator[Exercise]:
    """The question on notes, where there are sets enough with so many foreign notes."""
    right = place.pcset
    wrong = outside_sets(right, shown.pcset, nearness)
    if len(wrong) < WRONG:
        return
    foreign = [other - shown.pcset for other in wrong]
    degrees = " ".join(str(degree) for degree in place.degrees)
    yield Exercise(
        "subset",
        f"Which of these chords lies inside {signed(shown.title)}?",
        len(right),
        closeness_of([len(strange) / len(right) for strange in foreign]),
        f"{words(place.notes)}: {right.label}, on the degrees {degrees}.",
        (
            Choice(words(place.notes), True, f"{right.label}, on the degrees {degrees}"),
            *(
                Choice(_spelled(shown, other), False, _foreign_words(shown, strange))
                for other, strange in zip(wrong, foreign, strict=True)
            ),
        ),
    )


def _spelled(shown: Subject, notes: PcSet) -> str:
    return words(spell_in(shown.notes, notes.normal_order))


def _foreign_words(shown: Subject, strange: PcSet) -> str:
    return f"{_spelled(shown, strange).replace(' ', ', ')} {'is' if len(strange) == 1 else 'are'} not in it"


def _inside_question(shown: Subject, row: Inside, nearness: str) -> Iterator[Exercise]:
    """The class question, where there are classes of this size that the set does not hold."""
    right = row.set_class
    wrong = like_classes(right, right.cardinality, lambda other: not other.count_in(shown.pcset), nearness)
    if len(wrong) < WRONG:
        return
    times = {1: "once", 2: "twice"}.get(row.times, f"{row.times} times")
    where = f"found {times}, first as {words(row.places[0].notes)}"
    yield Exercise(
        "subset",
        f"Which of these classes lies inside {signed(shown.title)}?",
        right.cardinality + 4,
        closeness_of([difference(right, other) for other in wrong]),
        f"{_in_full(right)}: {where}.",
        (
            Choice(_in_full(right), True, where),
            *(Choice(_in_full(other), False, "not found in it") for other in wrong),
        ),
    )
