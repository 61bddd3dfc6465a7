"""Questions on chords: which one was heard, write the voicing, lead the voices.

What counts as work:

* **chord**: the notes; one more where another note is in the bass than in the written chord, two more where it is in
  open position besides; two more where the notes are struck together without being played one by one first. So one
  variable is added at a time, as aural teaching has it: root position before inversions, close before open.
* **voicing**: the notes, and how many voices have to be dropped and how far: none in close position, 2 for drop 2, 3
  for drop 3, 4 for drop 2+4 (`sonorarium.pitch.spacing`).
* **leading**: the voices, and the semitones that they move in all.

The difference of a wrong chord is its least voice leading from the right one in semitones, six or more counting as 1.

No claim is made that a difference can be heard: that two chords with the same intervals, a Z pair, sound alike is
itself in dispute. A wrong chord is never a transposition of the right one, which nobody could tell from it without a
reference.

Exactly one answer is right. A voicing is settled by its kind, its notes and its top. Voices are only asked to be led
where one way is shorter than every other.
"""

from __future__ import annotations

from collections.abc import Iterator
from random import Random

from sonorarium.lesson.exercises.distractors import FARTHEST_SEMITONES, NEARNESSES, OtherChord, other_chords
from sonorarium.lesson.exercises.exercise import Choice, Exercise, Written, closeness_of, drawn
from sonorarium.lesson.exercises.setquestions import words
from sonorarium.pcs.insides import Place, insides
from sonorarium.pcs.pcset import PcSet
from sonorarium.pcs.spelling import Spelled
from sonorarium.pcs.subject import Subject
from sonorarium.pitch.leading import lead
from sonorarium.pitch.voicing import Voicing, close_position, written
from sonorarium.render.engraving import describe
from sonorarium.render.notation import Column
from sonorarium.render.performance import Performance, arpeggiated, struck

DROPS = {"close": (), "drop 2": (2,), "drop 3": (3,), "drop 2+4": (2, 4)}
"""Which voices, counted from the top, a kind of voicing puts an octave lower."""

DROP_WORK = {"close": 0, "drop 2": 2, "drop 3": 3, "drop 2+4": 4}
"""What each kind adds to the work."""

LOWEST = 43
"""No voicing that is asked for goes below G2."""

LEADINGS = 60
"""So many pairs of chords of each size are drawn for voice leading, at most."""

_HEARD_FROM = 55
_SLOW_QPM = 72.0


def _column(pitches: tuple[int, ...], notes: tuple[Spelled, ...]) -> Column:
    return Column(written(pitches, notes))


def note_texts(pitches: tuple[int, ...], notes: tuple[Spelled, ...]) -> tuple[str, ...]:
    """Pitches by name and octave, from the lowest: ``E♭4``."""
    return tuple(describe([Column((pitch,))]) for pitch in written(pitches, notes))


# --- which chord did you hear -------------------------------------------------------------------------------------


def chord_questions(shown: Subject) -> Iterator[Exercise]:
    """Chords of three to five notes inside the set, heard in several ways."""
    for row in insides(shown, sizes=range(3, min(len(shown.notes), 5) + 1)):
        for number, place in enumerate(row.places):
            turn = 1 + number % (len(place.notes) - 1)
            for added in (0, 1, 2):
                for nearness in NEARNESSES:
                    for one_by_one in (True, False):
                        yield _chord_question(place, (added, turn), nearness, one_by_one=one_by_one)


def heard_pitches(rising: tuple[int, ...], added: int, turn: int) -> tuple[int, ...]:
    """Pitches of a chord as it is heard: as written, with another bass, or open with another bass.

    >>> [heard_pitches((0, 4, 7), added, 1) for added in (0, 1, 2)]
    [(60, 64, 67), (64, 67, 72), (55, 64, 72)]
    """
    if not added:
        return close_position(rising, lowest=_HEARD_FROM).pitches
    turned = close_position(rising[turn:] + rising[:turn], lowest=_HEARD_FROM).pitches
    return dropped(turned, (2,)) if added == 2 else turned


def dropped(close: tuple[int, ...], voices: tuple[int, ...]) -> tuple[int, ...]:
    """Put voices, counted from the top, an octave lower.

    >>> dropped((60, 64, 67, 71), (2, 4))
    (48, 55, 64, 71)
    """
    lower = {len(close) - voice for voice in voices}
    return tuple(sorted(pitch - 12 if at in lower else pitch for at, pitch in enumerate(close)))


def _chord_question(place: Place, voicing: tuple[int, int], nearness: str, *, one_by_one: bool) -> Exercise:
    rising = tuple(note.pc for note in place.notes)
    pitches = heard_pitches(rising, *voicing)
    others = other_chords(place.notes, nearness)
    how = ("in close position, as written", "with another note in the bass", "in open position")[voicing[0]]
    bass = next(note for note in place.notes if note.pc == pitches[0] % 12)
    return Exercise(
        "chord",
        "Which of these chords do you hear?" + ("" if not voicing[0] else " Its notes may stand in another order."),
        len(rising) + voicing[0] + (0 if one_by_one else 2),
        closeness_of([min(1.0, other.semitones / FARTHEST_SEMITONES) for other in others]),
        f"{words(place.notes)} ({place.pcset.label}), heard {how}, {bass.sign} in the bass.",
        (_heard_choice(place.notes, place.pcset.label, is_right=True), *(_other_choice(other) for other in others)),
        heard=arpeggiated(pitches, tempo_qpm=_SLOW_QPM) if one_by_one else struck(pitches, tempo_qpm=_SLOW_QPM),
        key_shown=(_column(pitches, place.notes),),
    )


def _heard_choice(notes: tuple[Spelled, ...], why: str, *, is_right: bool) -> Choice:
    pitches = close_position(tuple(note.pc for note in notes), lowest=_HEARD_FROM).pitches
    return Choice(words(notes), is_right, why, (_column(pitches, notes),), _together(pitches))


def _together(pitches: tuple[int, ...]) -> Performance:
    return struck(pitches, quarters=3, tempo_qpm=_SLOW_QPM)


def _other_choice(other: OtherChord) -> Choice:
    return _heard_choice(other.notes, f"{other.pcset.label}: {other.relation}", is_right=False)


# --- write the voicing --------------------------------------------------------------------------------------------


def voicing_questions(shown: Subject) -> Iterator[Exercise]:
    """Chords of three to six notes, each kind of spacing, each note on top."""
    for row in insides(shown, sizes=range(3, min(len(shown.notes), 6) + 1)):
        for place in row.places:
            for kind, voices in DROPS.items():
                if len(place.notes) >= {"close": 3, "drop 2": 3}.get(kind, 4):
                    yield from _voicing_questions(place, kind, voices)


def _voicing_questions(place: Place, kind: str, voices: tuple[int, ...]) -> Iterator[Exercise]:
    rising = tuple(note.pc for note in place.notes)
    for turn in range(1, len(rising) + 1):
        close = _close_under(rising[turn:] + rising[:turn])
        pitches = dropped(close, voices)
        texts = note_texts(pitches, place.notes)
        if pitches[0] < LOWEST:
            continue
        yield Exercise(
            "voicing",
            f"Write {words(place.notes)} {'in close position' if not voices else f'as {kind}'}, "
            f"with {texts[-1]} on top.",
            len(pitches) + DROP_WORK[kind],
            0.0,
            f"{' '.join(texts)}.",
            written=Written(texts, "pitch"),
            key_shown=(_column(pitches, place.notes),),
        )


def _close_under(rising: tuple[int, ...]) -> tuple[int, ...]:
    """Close position with the last note on top, between F♯4 and F5."""
    close = close_position(rising, lowest=48).pitches
    up = 12 * -((close[-1] - 66) // 12)
    return tuple(pitch + up for pitch in close)


# --- lead the voices ----------------------------------------------------------------------------------------------


def leading_questions(shown: Subject, chance: Random) -> Iterator[Exercise]:
    """Pairs of chords inside the set, of three to five notes; the start in close position or open."""
    for size in range(3, min(len(shown.notes), 5) + 1):
        places = [place for row in insides(shown, sizes=[size]) for place in row.places]
        if len(places) < 2:
            continue
        tried: dict[tuple[Place, Place, tuple[int, ...]], None] = {}
        for _ in range(LEADINGS):
            start, goal = drawn(places, 2, chance)
            turn, is_open = int(chance.random() * size), chance.random() < 0.5
            tried[start, goal, heard_pitches(_turned(start, turn), 2 * is_open, 1)] = None
        for start, goal, pitches in tried:
            yield from _leading_question(start, goal, pitches)


def _turned(place: Place, turn: int) -> tuple[int, ...]:
    rising = tuple(note.pc for note in place.notes)
    return rising[turn:] + rising[:turn]


def _leading_question(start: Place, goal: Place, pitches: tuple[int, ...]) -> Iterator[Exercise]:
    best, *second = lead(Voicing(pitches), PcSet(note.pc for note in goal.notes), limit=2)
    if (second and second[0].size == best.size) or len(best.end) < len(pitches):
        return
    texts, first = note_texts(best.end, goal.notes), _column(pitches, start.notes)
    yield Exercise(
        "leading",
        f"Lead {' '.join(note_texts(pitches, start.notes))} to the notes {words(goal.notes)}.",
        len(pitches) + int(best.size),
        0.0,
        f"{' '.join(texts)}: {_semitones(int(best.size))} in all.",
        written=Written(texts, "pitch"),
        shown=(first,),
        key_shown=(first, _column(best.end, goal.notes)),
    )


def _semitones(count: int) -> str:
    return "1 semitone" if count == 1 else f"{count} semitones"
