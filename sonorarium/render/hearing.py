"""What a set, a line of chords or some bars of a score sound like, and on which instrument."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from difflib import get_close_matches
from importlib import import_module

from sonorarium.errors import InputError
from sonorarium.pcs.subject import Subject
from sonorarium.pitch.progression import realise
from sonorarium.pitch.voicing import usual_voicing
from sonorarium.render.performance import TEMPO_QPM, Performance, arpeggiated, as_scale, from_score, in_order, struck
from sonorarium.score.score import Score

WAYS: Mapping[str, Callable[..., Performance]] = {"scale": as_scale, "chord": struck, "arpeggio": arpeggiated}
"""How a set may be heard, by name."""


def hear_set(shown: Subject, way: str = "scale", *, tempo_qpm: float = TEMPO_QPM) -> Performance:
    """Play a set as its notes were typed with octaves, else in close position from middle C or the next note above.

    Parameters
    ----------
    shown : Subject
    way : str
        ``scale`` (rising to the octave), ``chord`` (struck together) or ``arpeggio`` (one by one, then together).
    tempo_qpm : float
        Quarters a minute.

    Raises
    ------
    InputError
        Where there is no such way, or the set is empty.

    Examples
    --------
    >>> from sonorarium.pcs.subject import subject
    >>> [tone.pitch for tone in hear_set(subject("D whole tone")).tones]
    [62, 64, 66, 68, 70, 72, 74]
    """
    if way not in WAYS:
        raise InputError(f"A set cannot be heard as {way!r}.", value=way, suggestion=f"Choose {', '.join(WAYS)}.")
    return WAYS[way](usual_voicing(shown).pitches, tempo_qpm=tempo_qpm)


def hear_bars(score: Score, first_bar: int, last_bar: int, *, tempo_qpm: float = TEMPO_QPM) -> Performance:
    """Play some bars of a score as written, both bars included (indices into ``score.bars``)."""
    first, last = score.bars[first_bar], score.bars[last_bar]
    return from_score(score, int(first["onset"]), int(last["onset"] + last["duration"]), tempo_qpm=tempo_qpm)


def hear_line(text: str, *, quarters: int = 2, tempo_qpm: float = TEMPO_QPM) -> Performance:
    """Play a line of chords, ``Dm7; G7; C``, in its smoothest voicings.

    Raises `InputError` where a chord is not understood.

    >>> [len(chord) for chord in (hear_line("C; F; C").tones,)]
    [9]
    """
    best = realise(text, limit=1).found[0]
    return in_order([voicing.pitches for voicing in best.voicings], quarters=quarters, tempo_qpm=tempo_qpm)


def is_line(text: str) -> bool:
    """Whether a text is a line of chords: whether it has one of the signs that part chords.

    >>> is_line("Dm7; G7; C"), is_line("C E G")
    (True, False)
    """
    return any(sign in text for sign in (";", "->", "→", " | ", "\n"))


def played_by(performance: Performance, instrument: str) -> Performance:
    """The same on another instrument of General MIDI, by its name or by its number from 1.

    Raises `InputError`, with the nearest names, where there is no such instrument.

    >>> [player.program for player in played_by(hear_line("C; F"), "string ensemble 1").players]
    [48]
    """
    program = _program(instrument)
    players = tuple(replace(player, program=program) for player in performance.players)
    return replace(performance, players=players)


def _program(instrument: str) -> int:
    names = [name.lower() for name in import_module("pretty_midi.constants").INSTRUMENT_MAP]
    wanted = " ".join(instrument.lower().split())
    if wanted.isdecimal() and 1 <= int(wanted) <= len(names):
        return int(wanted) - 1
    if wanted in names:
        return names.index(wanted)
    near = [name for name in names if wanted in name] or get_close_matches(wanted, names, n=3, cutoff=0.4)
    hint = f"The nearest are: {'; '.join(near[:5])}." if near else "General MIDI has 128 instruments, from 1."
    raise InputError(f"There is no instrument {instrument!r}.", value=instrument, suggestion=hint)
