"""What is offered for a sketch: voicings of a chord, paths between chords, chords under a melody; each can be taken.

Searches are bounded, and what a bound leaves out is said: an offer that is silently not the best would mislead.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from sonorarium.errors import InputError
from sonorarium.pcs.naming import name_set
from sonorarium.pcs.pcset import PcSet
from sonorarium.pcs.pitches import read_pitches
from sonorarium.pcs.reading import read_set, set_of
from sonorarium.pcs.spelling import Spelled, spell_freely
from sonorarium.pcs.subject import subject
from sonorarium.pitch.harmonising import Setting, harmonise
from sonorarium.pitch.melody import length_of, melody_names, read_melody
from sonorarium.pitch.palette import palette
from sonorarium.pitch.paths import Walking, paths
from sonorarium.pitch.terms import Terms
from sonorarium.pitch.voicing import Voicing
from sonorarium.pitch.voicings import voicings
from sonorarium.web.facts.sketching import RowChord, named, note_texts, put, row_of, texts_of
from sonorarium.web.jobs import JobState
from sonorarium.web.room import Room
from sonorarium.web.soon import soon

MOST_WAYS = 100_000
"""So many voicings of one chord are gone through; a wider question is refused."""
MOST_NOTES = 48
MOST_QUARTERS = 192
SHOWN = 12
DEAREST = 4
"""A chord symbol that costs more is not told with an offer: it would be harder to read than the class."""


@dataclass(frozen=True)
class Offer:
    """Something that may be taken: words, the chords it consists of, their pitches, and the row with it in place."""

    words: str
    figures: str
    chords: list[str]
    pitch_line: str
    pitches: list[list[int]]
    line: str
    lengths: str = ""


@dataclass(frozen=True)
class Offers:
    """What was found for a row, the best first, and what was left out."""

    line: str
    summary: str
    offers: list[Offer]


def voicing_offers(line: str, place: int, low: int, high: int, terms: Terms) -> Offers:
    """Voicings for one chord of a row, each with the row in which it stands."""
    texts = texts_of(line)
    if place > len(texts):
        raise InputError(f"The row has {len(texts)} chords.", value=place)
    chord = row_of(line)[place - 1]
    meant = read_set(chord.text)
    what = set_of(meant) if chord.text == chord.fixed_text or not hasattr(meant, "bass") else meant
    found = voicings(what, low=low, high=high, limit=SHOWN, terms=terms)
    offers = []
    for one in found:
        text = " ".join(note_texts(one.pitches, one.names))
        f = one.figures
        figures = f"span {f.span}, roughness {f.roughness:.2f}, unevenness {f.unevenness:.1f}"
        moved_by = f", movement {f.movement}" if f.movement is not None else ""
        kinds = ", ".join(one.kinds) or "mixed"
        offers.append(
            Offer(
                kinds, figures + moved_by, [text], text, [list(one.pitches)], put(line, place - 1, [text], instead=1)
            )
        )
    return Offers(line, found.summary, offers)


def path_offers(line: str, place: int, steps: int, step: int, by: str, inside: str) -> Offers:
    """Ways from a chord of the row to the next one through others."""
    row = row_of(line)
    if place >= len(row):
        raise InputError(
            "A path goes from a chord to the next one.", value=place, suggestion="Choose an earlier one."
        )
    start, goal = (row[at].voicing.pcset for at in (place - 1, place))
    chosen, homes = listed(by), listed(inside)
    sizes = () if chosen else tuple(sorted({len(start), len(goal)}))
    found = paths(start, goal, steps, palette(*chosen, inside=homes, sizes=sizes), walking=Walking(step=step))
    offers = []
    for one in found.found:
        texts = [notes_text(chord) for chord in one.chords[1:-1]]
        whole = put(line, place, texts)
        between = row_of(whole)[place - 1 : place + steps]
        figures = f"{one.size} semitone{'' if one.size == 1 else 's'} in all: {' + '.join(map(str, one.sizes))}"
        words = " → ".join(chord.label for chord in one.chords)
        pitches = [list(chord.voicing.pitches) for chord in between]
        offers.append(
            Offer(words, figures, [c.text for c in between], "; ".join(c.fixed_text for c in between), pitches, whole)
        )
    more = "; there may be more, with greater movement" if found.cut else ""
    return Offers(line, f"The least {len(offers)} by movement are shown{more}.", offers)


def harmony_offers(melody: str, by: str, inside: str, voices: int, foreign: float, pace: float) -> Offers:
    """Ways to harmonise a melody that lies on top."""
    tune = read_melody(melody)
    if len(tune) > MOST_NOTES:
        raise InputError(
            f"The melody has {len(tune)} notes.", value=melody[:80], suggestion=f"Give up to {MOST_NOTES} at once."
        )
    if length_of(tune) > MOST_QUARTERS:
        raise InputError(
            "The melody is too long to be harmonised at once.",
            value=melody[:80],
            suggestion=f"Give up to {MOST_QUARTERS} quarters at once.",
        )
    setting = Setting(voices=voices, foreign=Fraction(round(foreign * 100), 100), pace=Fraction(pace))
    found = harmonise(tune, palette(*listed(by), inside=listed(inside)), setting=setting)
    lengths = " ".join(str(span.duration) for span in found.spans)
    known = (*(name for home in listed(inside) for name in subject(home).notes), *melody_names(melody))
    offers = []
    for one in found.realisations:
        row = [RowChord("", v, named(v.pcset, known)) for v in one.voicings]
        texts = [chord.fixed_text for chord in row]
        words = " → ".join(_called(v) for v in one.voicings)
        pitches = [list(v.pitches) for v in one.voicings]
        offers.append(
            Offer(words, f"price {one.price:g}", texts, "; ".join(texts), pitches, "; ".join(texts), lengths)
        )
    left_out = found.realisations.left_out
    capped = (
        f" {left_out} candidate voicings were too many to be weighed." if left_out else " Every voicing was weighed."
    )
    return Offers("", f"The cheapest {len(offers)} are shown.{capped}{_without_place(by, voices)}", offers)


def _without_place(by: str, voices: int) -> str:
    """Which of the sets cannot be sounded by so many voices, in a sentence."""
    large = [text for text in listed(by) if len(set_of(read_set(text)).pcs) > voices]
    if not large:
        return ""
    return f" More notes than there are voices, and so not among them: {', '.join(large)}."


@lru_cache(1024)
def _called(voicing: Voicing) -> str:
    """What a chord is called: its best symbol and its class, or its class alone.

    >>> _called(Voicing((48, 52, 55))), _called(Voicing((48, 49, 50, 51)))
    ('C (3-11B)', '4-1')
    """
    notes = voicing.pcset
    if not 3 <= notes.cardinality <= 6:
        return notes.label
    best = name_set(notes, bass=voicing.pitches[0] % 12).readings[:1]
    dear = not best or best[0].cost.total > DEAREST
    return notes.label if dear else f"{best[0].chord.sign()} ({notes.label})"


def free_names(notes: PcSet) -> tuple[Spelled, ...]:
    """Names for notes that nothing else names."""
    return tuple(spell_freely(notes.normal_order))


def listed(text: str) -> tuple[str, ...]:
    """Sets with semicolons between.

    >>> listed("3-11; C major")
    ('3-11', 'C major')
    """
    return tuple(part.strip() for part in text.split(";") if part.strip())


def notes_text(chord: PcSet) -> str:
    """A set as notes that can be typed."""
    return " ".join(name.text for name in free_names(chord))


def pitch_of(text: str) -> int:
    """One note with its octave, as a MIDI number; raises `InputError`."""
    found = read_pitches(text).midi
    if len(found) != 1:
        raise InputError(f"{text!r} is not one note.", value=text, suggestion="Say C3, say.")
    return found[0]


def offered_soon(room: Room, title: str, asked: str, work: Callable[[], Offers]) -> tuple[Offers, JobState | None]:
    """What a search gives; where it takes long, nothing yet, and the job that is at it."""
    found = soon(room, title, asked, asked, lambda _: work())
    return (Offers("", "The search is under way.", []), found) if isinstance(found, JobState) else (found, None)
