"""Sounds of a lesson: a set as a scale, a chord or an arpeggio, a line of chords, a piece by its bars."""

from __future__ import annotations

from sonorarium.errors import InputError
from sonorarium.lesson.cache import kept_clip
from sonorarium.lesson.illustrations.blocks import Figure, Made
from sonorarium.lesson.markdown import Directive
from sonorarium.pcs.subject import subject
from sonorarium.render.hearing import WAYS, hear_bars, hear_line, hear_set, is_line
from sonorarium.render.performance import TEMPO_QPM, Performance
from sonorarium.render.sound import Clip, source_state, to_audio
from sonorarium.score.barnames import bar_range, bars_in_words
from sonorarium.score.reading import read_score
from sonorarium.study.folder import SCORE_SUFFIXES, Study


def clip_of(performance: Performance) -> Clip:
    """The sound of a performance in the form that a page carries: Opus, small and played by every browser.

    It is taken from the cache where it was made before (`sonorarium.lesson.cache`).
    """
    recipe = f"opus {performance!r} {source_state()}"
    return kept_clip(recipe, lambda: to_audio(performance, format="opus"))


def make_sound(directive: Directive, study: Study) -> Made:
    """The sound directive: a set or a piece, heard."""
    tempo = float(directive.number("tempo", round(TEMPO_QPM), least=20, most=300))
    if directive.argument.lower().endswith(SCORE_SUFFIXES):
        return _of_piece(directive, study, tempo)
    if "bars" in directive.options:
        raise InputError("the option 'bars' is for pieces; a set has none.", value=directive.options["bars"])
    if is_line(directive.argument):
        return _of_line(directive, tempo)
    shown = subject(directive.argument)
    way = directive.choice("as", tuple(WAYS))
    heard = f"{shown.title}, {way}"
    return Made((Figure("", heard, directive.body or heard, clip=clip_of(hear_set(shown, way, tempo_qpm=tempo))),))


def _of_line(directive: Directive, tempo: float) -> Made:
    line = directive.argument
    if "as" in directive.options:
        raise InputError("the option 'as' is for sets; a line of chords sounds in order.", value=line)
    heard = f"{line}, in the smoothest voicings"
    clip = clip_of(hear_line(line, tempo_qpm=tempo))
    return Made((Figure("", heard, directive.body or heard, clip=clip),))


def _of_piece(directive: Directive, study: Study, tempo: float) -> Made:
    if "as" in directive.options:
        raise InputError("the option 'as' is for sets; a piece sounds as written.", value=directive.options["as"])
    score = read_score(study.inside(directive.argument))
    first, last = bar_range(score, directive.options.get("bars", ""))
    clip = clip_of(hear_bars(score, first, last, tempo_qpm=tempo))
    heard = f"{score.title}, {bars_in_words(score, first, last)}"
    return Made((Figure("", heard, directive.body or heard, clip=clip),))
