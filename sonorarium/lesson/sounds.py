"""Sounds of a lesson: of a set as a scale, a chord or an arpeggio, and of a piece by its bars."""

from __future__ import annotations

from sonorarium.errors import InputError
from sonorarium.lesson.blocks import Figure, Made
from sonorarium.lesson.markdown import Directive
from sonorarium.pcs.subject import Subject, subject
from sonorarium.pitch.voicing import close_position
from sonorarium.render.performance import TEMPO_QPM, Performance, arpeggiated, as_scale, from_score, struck
from sonorarium.render.sound import Clip, to_audio
from sonorarium.score.barnames import bar_range
from sonorarium.score.reading import read_score
from sonorarium.score.score import Score
from sonorarium.study.folder import SCORE_SUFFIXES, Study

FORMAT = "opus"
WAYS = ("scale", "chord", "arpeggio")
"""How a set may be heard."""


def make_sound(directive: Directive, study: Study) -> Made:
    """The sound directive: a set or a piece, heard."""
    tempo = float(directive.number("tempo", round(TEMPO_QPM), least=20, most=300))
    if directive.argument.lower().endswith(SCORE_SUFFIXES):
        return _of_piece(directive, study, tempo)
    if "bars" in directive.options:
        raise InputError("the option 'bars' is for pieces; a set has none.", value=directive.options["bars"])
    shown = subject(directive.argument)
    way = directive.choice("as", WAYS)
    clip = to_audio(performance_of(shown, way, tempo_qpm=tempo), format=FORMAT)
    return Made((Figure("", f"{shown.title} as {way}", directive.body or f"{shown.title}, {way}", clip=clip),))


def performance_of(shown: Subject, way: str, *, tempo_qpm: float = TEMPO_QPM) -> Performance:
    """Play a set as a scale up to the octave, as a chord in close position, or as an arpeggio."""
    pitches = close_position(shown.rising).pitches
    play = {"scale": as_scale, "chord": struck, "arpeggio": arpeggiated}[way]
    return play(pitches, tempo_qpm=tempo_qpm)


def clip_of_bars(score: Score, first_bar: int, last_bar: int, *, tempo_qpm: float = TEMPO_QPM) -> Clip:
    """The sound of some bars of a score, as written."""
    first, last = score.bars[first_bar], score.bars[last_bar]
    end = int(last["onset"] + last["duration"])
    return to_audio(from_score(score, int(first["onset"]), end, tempo_qpm=tempo_qpm), format=FORMAT)


def _of_piece(directive: Directive, study: Study, tempo: float) -> Made:
    if "as" in directive.options:
        raise InputError("the option 'as' is for sets; a piece sounds as written.", value=directive.options["as"])
    score = read_score(study.inside(directive.argument))
    first, last = bar_range(score, directive.options.get("bars", ""))
    clip = clip_of_bars(score, first, last, tempo_qpm=tempo)
    heard = f"{score.title}, bars {score.bars['label'][first]} to {score.bars['label'][last]}"
    return Made((Figure("", heard, directive.body or heard, clip=clip),))
