"""``sonorarium hear``: a set or a score as sound in a file."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from sonorarium.cli.output import Json, print_json, remarks
from sonorarium.errors import InputError
from sonorarium.score.formats.sniffing import SUFFIXES
from sonorarium.settings import read_settings

if TYPE_CHECKING:
    from sonorarium.render.performance import Performance
    from sonorarium.render.sound import Clip


def hear_command(
    what: Annotated[str, typer.Argument(help="A set, a line of chords 'Dm7; G7; C', or a score.")],
    out: Annotated[Path | None, typer.Option("--out", "-o", help="File: .wav .flac .opus .mid")] = None,
    way: Annotated[str, typer.Option("--as", help="For a set: scale, chord or arpeggio.")] = "scale",
    bars: Annotated[str, typer.Option(help="For a score: printed bars, for example 9-12.")] = "",
    tempo: Annotated[float, typer.Option(help="Quarters a minute.")] = 84.0,
    instrument: Annotated[str, typer.Option(help="General MIDI: a name, or a number from 1.")] = "",
    soundfont: Annotated[Path | None, typer.Option(help="Another SoundFont (.sf2).")] = None,
    as_json: Json = False,
) -> None:
    """Write a set, a line of chords or a score as sound: WAV, FLAC, Opus or MIDI, by the suffix of the file."""
    from sonorarium.render.hearing import played_by
    from sonorarium.render.sound import CAUTION, save

    heard, performance = _performance(what, way, bars, tempo)
    if instrument:
        performance = played_by(performance, instrument)
    place = out or Path(f"{heard.replace(' ', '-').replace('/', '-').lower()}.wav")
    clip = save(performance, place, soundfont=soundfont or read_settings().soundfont or None)
    if as_json:
        print_json("hear", {"file": str(place), "heard": heard, "sound": _facts(clip) if clip else None})
        return
    print(place)
    if clip:
        remarks().print(f"{heard}, {clip.duration_s:.1f} s, {clip.soundfont}. {CAUTION}")


def _performance(what: str, way: str, bars: str, tempo: float) -> tuple[str, Performance]:
    from sonorarium.pcs.subject import subject
    from sonorarium.render.hearing import hear_bars, hear_line, hear_set, is_line
    from sonorarium.score.barnames import bar_range, bars_in_words
    from sonorarium.score.reading import read_score

    if Path(what).is_file() or Path(what).suffix.lower() in SUFFIXES:
        score = read_score(what)
        first, last = bar_range(score, bars)
        heard = f"{score.title or Path(what).stem}, {bars_in_words(score, first, last)}"
        return heard, hear_bars(score, first, last, tempo_qpm=tempo)
    if bars:
        raise InputError("--bars is for scores; a set has none.", value=bars)
    if is_line(what):
        return what, hear_line(what, tempo_qpm=tempo)
    shown = subject(what)
    return f"{shown.title}, {way}", hear_set(shown, way, tempo_qpm=tempo)


def _facts(clip: Clip) -> dict[str, object]:
    return {
        "duration_s": round(clip.duration_s, 3),
        "format": clip.format,
        "loudness_lufs": round(clip.loudness_lufs, 1),
        "peak_dbtp": round(clip.peak_dbtp, 1),
        "soundfont": clip.soundfont,
    }
