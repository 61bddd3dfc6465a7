"""A sketch: a row of chords as text, realised, written down, and changed one chord at a time.

A row is the text in which progressions are typed (`sonorarium.pitch.progression`), so that a sketch is its own
address and can be written into a card. Chords that are named are realised together, in the smoothest voicings;
notes with octaves stay as they are. Where the two do not have the same number of voices, each stretch of named chords
is realised by itself.
"""

from __future__ import annotations

import re
import tempfile
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from itertools import groupby, pairwise
from pathlib import Path

import numpy as np

from sonorarium.errors import InputError, SonorariumError
from sonorarium.pcs.pcset import PcSet
from sonorarium.pcs.spelling import Spelled, spell_freely
from sonorarium.pcs.subject import Subject, subject
from sonorarium.pitch.leading import VoiceLeading, lead, straight
from sonorarium.pitch.melody import length_of, melody_names, read_melody
from sonorarium.pitch.motion import parallels
from sonorarium.pitch.progression import read_progression, realise
from sonorarium.pitch.scoring import Scoring, score_out
from sonorarium.pitch.voicing import Voicing, written
from sonorarium.render.hearing import played_by
from sonorarium.render.performance import Performance
from sonorarium.render.saving import play_sheet, save_sheet
from sonorarium.render.sheet import Heading, Sheet, all_names, sheet_of_scoring, sheet_of_voicings, with_melody

MOST_CHORDS = 48
USUAL_QUARTERS = Fraction(2)
MOST_QUARTERS = 64
ROWS_KEPT = 256
_CHORD = re.compile(r"[^\s/|]+")
"""A symbol of one word that names no bass."""


@dataclass(frozen=True)
class RowChord:
    """A chord of the row.

    Parameters
    ----------
    text : str
        As typed.
    voicing : Voicing
    names : tuple of Spelled
        A name for each of its pitch classes.
    """

    text: str
    voicing: Voicing
    names: tuple[Spelled, ...]

    @property
    def notes(self) -> tuple[str, ...]:
        """Its notes with octaves, as they can be typed."""
        return note_texts(self.voicing.pitches, self.names)

    @property
    def fixed_text(self) -> str:
        """The very voicing, as it can be typed."""
        return " ".join(self.notes)

    @property
    def set_class(self) -> str:
        """Its class."""
        return self.voicing.pcset.set_class.label


def note_texts(pitches: Sequence[int], names: Sequence[Spelled]) -> tuple[str, ...]:
    """Pitches as they can be typed.

    >>> note_texts((59, 60), (Spelled(0, -1), Spelled(6, 1)))
    ('Cb4', 'B#3')
    """
    spelled = written(tuple(pitches), names)
    return tuple(f"{Spelled(step, alter).text}{octave}" for step, alter, octave in spelled)


@lru_cache(ROWS_KEPT)
def row_of(line: str) -> tuple[RowChord, ...]:
    """Realise a row of chords; an empty text is an empty row.

    Raises
    ------
    InputError
        Where a chord is not understood, or there are too many.
    NothingFoundError
        Where a chord finds no place.

    Examples
    --------
    >>> [chord.fixed_text for chord in row_of("Dm7; C3 G3 E4")]
    ['C3 D3 F3 A3', 'C3 G3 E4']
    """
    if not line.strip():
        return ()
    texts = read_progression(line)
    if len(texts) > MOST_CHORDS:
        raise InputError(
            f"The row has {len(texts)} chords.", value=line[:80], suggestion=f"A sketch holds up to {MOST_CHORDS}."
        )
    return _stretched(texts)


def _stretched(texts: tuple[str, ...]) -> tuple[RowChord, ...]:
    """Realise chords together; where that cannot be, by stretches of named chords, at last each by itself."""
    try:
        return _realised(texts)
    except SonorariumError:
        parts = [part for is_one, some in groupby(texts, is_voicing) for part in _parts(tuple(some), alone=is_one)]
        if len(parts) == 1:
            parts = [(text,) for text in texts]
        if len(parts) == 1:
            raise
        return tuple(chord for part in parts for chord in _stretched(part))


def _parts(texts: tuple[str, ...], *, alone: bool) -> list[tuple[str, ...]]:
    return [(text,) for text in texts] if alone else [texts]


def _realised(texts: tuple[str, ...]) -> tuple[RowChord, ...]:
    best = realise(texts, limit=1)[0]
    return tuple(
        RowChord(text, voicing, named(voicing.pcset, names))
        for text, voicing, names in zip(texts, best.voicings, best.names, strict=True)
    )


def named(notes: PcSet, given: Sequence[Spelled]) -> tuple[Spelled, ...]:
    """Names for notes: those that are given, and for what they do not name, plain ones."""
    known = {name.pc: name for name in given}
    free = {name.pc: name for name in spell_freely(notes.normal_order)}
    return tuple(known.get(pc, free[pc]) for pc in notes.pcs)


# --- changes ------------------------------------------------------------------------------------------------------


def line_of(texts: Sequence[str]) -> str:
    """A row as text.

    >>> line_of(["Dm7", "G7"])
    'Dm7; G7'
    """
    return "; ".join(texts)


def texts_of(line: str) -> tuple[str, ...]:
    """The chords of a row, as typed."""
    return read_progression(line) if line.strip() else ()


def put(line: str, place: int, chords: Sequence[str], *, instead: int = 0) -> str:
    """Put chords into a row, before the one at a place and instead of so many; places are counted from 0.

    >>> put("Dm7; G7; C", 1, ["Db7"], instead=1), put("Dm7; C", 1, ["G7"]), put("Dm7; G7", 0, [], instead=1)
    ('Dm7; Db7; C', 'Dm7; G7; C', 'G7')
    """
    texts = list(texts_of(line))
    _check_place(texts, place, len(texts) + 1)
    texts[place : place + instead] = chords
    return line_of(texts)


def moved(line: str, place: int, by: int) -> str:
    """Move a chord along the row.

    >>> moved("Dm7; G7; C", 2, -1)
    'Dm7; C; G7'
    """
    texts = list(texts_of(line))
    _check_place(texts, place, len(texts))
    texts.insert(min(max(place + by, 0), len(texts)), texts.pop(place))
    return line_of(texts)


def _check_place(texts: Sequence[str], place: int, end: int) -> None:
    if not 0 <= place < end:
        raise InputError(f"The row has {len(texts)} chords, and there is no place {place + 1}.", value=place + 1)


# --- between neighbours -------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Step:
    """How the voices go from one chord of the row to the next."""

    leading: VoiceLeading
    parallels: int
    voice_for_voice: bool


def steps_of(row: Sequence[RowChord]) -> tuple[Step, ...]:
    """The voices' way through a row: each to the voice at its place, or the least leading where sizes differ."""
    return tuple(_step(one, other) for one, other in pairwise(row))


def _step(one: RowChord, other: RowChord) -> Step:
    a, b = one.voicing, other.voicing
    if len(a.pitches) != len(b.pitches):
        return Step(lead(a, b, limit=1)[0], 0, False)
    count = parallels(np.array([a.pitches], np.int16), np.array([b.pitches], np.int16))
    return Step(straight(a, b, names=(one.names, other.names)), int(count[0, 0]), True)


# --- the sheet ----------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Manner:
    """How a row is written and played.

    Parameters
    ----------
    title : str
    lengths : str
        How many quarters each chord lasts: ``2 1 1/2``; two each where empty.
    melody : str
        A melody, whose notes stand in the place of the top voice.
    ensemble : str
        Who plays; a piano where empty.
    instrument : str
        An instrument of General MIDI on which all is heard instead.
    tempo_qpm : float
    """

    title: str = ""
    lengths: str = ""
    melody: str = ""
    ensemble: str = ""
    instrument: str = ""
    tempo_qpm: float = 72.0


def lengths_of(text: str, count: int) -> list[Fraction]:
    """How long each of so many chords lasts, in quarters; raises `InputError`.

    >>> [str(one) for one in lengths_of("2 1/2", 2)], [str(one) for one in lengths_of("", 1)]
    (['2', '1/2'], ['2'])
    """
    try:
        found = [Fraction(word) for word in text.split()] or [USUAL_QUARTERS] * count
    except (ValueError, ZeroDivisionError) as error:
        raise InputError(
            f"The lengths {text!r} are not understood.", value=text, suggestion="2 1 1/2, say."
        ) from error
    if len(found) != count or not all(0 < one <= MOST_QUARTERS and one.denominator <= 64 for one in found):
        raise InputError(
            f"{len(found)} lengths do not fit {count} chords.",
            value=text,
            suggestion=f"Give each chord one, in quarters, up to {MOST_QUARTERS}; or none at all.",
        )
    return found


def scoring_of(row: Sequence[RowChord], players: str) -> Scoring | None:
    """The row given to an ensemble, or None for a piano; errors as of `sonorarium.pitch.scoring.score_out`."""
    return score_out([chord.voicing for chord in row], players) if players and row else None


def sheet_of(row: Sequence[RowChord], manner: Manner) -> Sheet:
    """Write a row down; raises `InputError` where lengths or melody do not fit it."""
    if not row:
        raise InputError("The sketch is empty.", suggestion="Add a chord first.")
    lengths, names = lengths_of(manner.lengths, len(row)), [chord.names for chord in row]
    heading = Heading(manner.title, tempo_qpm=manner.tempo_qpm, labels=symbols_of(row))
    scored = scoring_of(row, manner.ensemble)
    if scored:
        sheet = sheet_of_scoring(scored, names, quarters=lengths, heading=heading)
    else:
        sheet = sheet_of_voicings([chord.voicing for chord in row], names, quarters=lengths, heading=heading)
    if not manner.melody:
        return sheet
    tune = read_melody(manner.melody)
    if length_of(tune) != sum(lengths):
        raise InputError(
            f"The melody lasts {length_of(tune)} quarters, the row {sum(lengths)}.",
            value=manner.melody[:80],
            suggestion="Leave the melody out, or give lengths that fit it.",
        )
    return with_melody(sheet, tune, (*all_names(names), *melody_names(manner.melody))[::-1])


def labels_of(row: Sequence[RowChord]) -> tuple[str, ...]:
    """What each chord is called: its name as typed, or its class and form where it is a voicing."""
    return tuple(chord.voicing.pcset.label if is_voicing(chord.text) else chord.text for chord in row)


def symbols_of(row: Sequence[RowChord]) -> tuple[str, ...]:
    """What stands over each chord: the same, with the bass behind a symbol whose root is not the lowest note."""
    return tuple(map(_with_bass, row, labels_of(row)))


def _with_bass(chord: RowChord, label: str) -> str:
    if label != chord.text:
        return label
    root = _subject(chord.text).root
    bass = next((name for name in chord.names if name.pc == chord.voicing.pitches[0] % 12), None)
    if root is None or bass is None or bass.pc == root.pc or not _CHORD.fullmatch(chord.text):
        return chord.text
    return f"{chord.text}/{bass.text}"


def is_voicing(text: str) -> bool:
    """Whether a chord is typed by its notes with octaves."""
    return bool(_subject(text).pitches)


@lru_cache(ROWS_KEPT)
def _subject(text: str) -> Subject:
    return subject(text)


def objection(row: Sequence[RowChord], manner: Manner) -> str:
    """Why a row cannot be written or played in this manner; empty where it can."""
    try:
        performance_of(row, manner)
    except SonorariumError as error:
        return str(error)
    return ""


def performance_of(row: Sequence[RowChord], manner: Manner) -> Performance:
    """What a row sounds like: each part on its own instrument, or all on the one that was chosen."""
    played = play_sheet(sheet_of(row, manner))
    return played_by(played, manner.instrument) if manner.instrument else played


def file_of(row: Sequence[RowChord], manner: Manner, suffix: str) -> bytes:
    """A row as a file of notation or a picture, whole, by suffix; errors as of `sonorarium.render.saving`."""
    with tempfile.TemporaryDirectory(prefix="sonorarium-sketch-") as folder:
        path = Path(folder) / f"sketch{suffix}"
        save_sheet(sheet_of(row, manner), path)
        return path.read_bytes()
