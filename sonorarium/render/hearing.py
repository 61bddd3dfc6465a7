"""What a set or some bars of a score sound like: from a subject, or a range of bars, to a performance."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from sonorarium.errors import InputError
from sonorarium.pcs.subject import Subject
from sonorarium.pitch.voicing import usual_voicing
from sonorarium.render.performance import TEMPO_QPM, Performance, arpeggiated, as_scale, from_score, struck
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
