"""``sonorarium harmonise``: chords under a melody that was typed, or taken from a part of a score."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from sonorarium.cli import sheet
from sonorarium.cli.output import Json, console, print_json, remarks
from sonorarium.errors import InputError
from sonorarium.settings import read_settings

if TYPE_CHECKING:
    from sonorarium.pitch.harmonising import Harmonisations
    from sonorarium.pitch.melody import MelodyNote
    from sonorarium.pitch.realising import Realisation


def harmonise_command(
    melody: Annotated[str, typer.Argument(help="A melody, 'C5 D5:1/2 r F5:2' (lengths in quarters), or a score.")],
    chords: Annotated[list[str] | None, typer.Option("--with", help="A class or set to use; repeatable.")] = None,
    inside: Annotated[list[str] | None, typer.Option(help="Keep the chords inside these collections.")] = None,
    family: Annotated[str, typer.Option(help="Take chords from the members of this family.")] = "",
    rhythm: Annotated[str, typer.Option(help="How long each chord lasts, in quarters: '2 1 1'; proposed else.")] = "",
    bass: Annotated[str, typer.Option(help="A bass line that is kept, typed like the melody.")] = "",
    part: Annotated[str, typer.Option(help="Of a score: the part that has the melody.")] = "",
    keep_bass: Annotated[
        bool, typer.Option("--keep-bass", help="Of a score: keep the lowest notes as bass.")
    ] = False,
    bars: Annotated[str, typer.Option(help="Of a score: printed bars, for example 9-12.")] = "",
    voices: Annotated[int, typer.Option(help="How many voices, the melody included.")] = 4,
    place: Annotated[str, typer.Option(help="Where the melody lies: top, inner or any.")] = "top",
    foreign: Annotated[float, typer.Option(help="Share of a chord's time in which the melody may be foreign.")] = 0.0,
    rough: Annotated[float, typer.Option(help="Price of roughness.")] = 0.0,
    variety: Annotated[float, typer.Option(help="Price of the same class twice in a row.")] = 0.0,
    players: Annotated[str, typer.Option("--for", help="An ensemble, or a list of instruments.")] = "",
    limit: Annotated[int, typer.Option(help="Show at most so many answers.")] = 3,
    out: Annotated[
        Path | None, typer.Option("--out", "-o", help="Write the first: .musicxml .mid .wav .pdf …")
    ] = None,
    as_json: Json = False,
) -> None:
    """Chords under a melody, in several ways, the smoothest first."""
    from sonorarium.pitch.harmonising import Setting, harmonise
    from sonorarium.pitch.melody import read_melody
    from sonorarium.pitch.realising import Taste
    from sonorarium.pitch.scoring import ensemble

    if keep_bass and not _is_score(melody):
        raise InputError("--keep-bass takes the bass from a score.", value=melody, suggestion="Type it with --bass.")
    tune = _of_score(melody, part, bars) if _is_score(melody) else read_melody(melody)
    line = _of_score(melody, part, bars, lowest=True) if keep_bass else (bass or ())
    share = Fraction(round(foreign * 100), 100)
    setting = Setting(voices=voices, place=place, foreign=share, taste=Taste(rough=rough, variety=variety))  # type: ignore[arg-type]
    if players:
        ensemble(players)  # a misspelt instrument is said before the work
    source = _source(chords, inside, family)
    found = harmonise(tune, source, rhythm=_lengths(rhythm), bass=line, setting=setting, limit=limit)
    answers = found.realisations.found
    if as_json:
        print_json("harmonise", {"melody": melody, "answers": [_document(found, one) for one in answers]})
    else:
        for number, one in enumerate(answers, start=1):
            _print(number, found, one)
    if out:
        _save(found, tune if place == "top" else None, out, players)


def _is_score(text: str) -> bool:
    from sonorarium.score.formats.sniffing import SUFFIXES

    return Path(text).suffix.lower() in SUFFIXES


def _source(chords: list[str] | None, inside: list[str] | None, family: str):  # type: ignore[no-untyped-def]
    from sonorarium.pitch.palette import palette

    if family and not chords:
        return sheet.family_named(family)
    if not chords:
        hint = "Name classes or chords with --with: --with 3-11 --with 4-20; --inside only says where they must lie."
        raise InputError("There are no chords to choose from.", suggestion=hint)
    homes = sheet.family_named(family) if family else tuple(inside or ())
    return palette(*chords, inside=homes)


def _lengths(text: str) -> tuple[Fraction, ...] | None:
    try:
        return tuple(Fraction(word) for word in text.split()) or None
    except (ValueError, ZeroDivisionError) as error:
        raise InputError(
            f"--rhythm {text!r} is not understood.", value=text, suggestion="Write '2 1 1/2'."
        ) from error


def _of_score(path: str, part: str, bars: str, *, lowest: bool = False) -> tuple[MelodyNote, ...]:
    from sonorarium.score.barnames import bar_range
    from sonorarium.score.melodies import melody_of
    from sonorarium.score.reading import read_score

    score = read_score(path)
    return melody_of(score, part=part or 0, bars=bar_range(score, bars), lowest=lowest)


def _document(found: Harmonisations, one: Realisation) -> dict[str, object]:
    chords = [
        {
            "onset": str(span.onset),
            "end": str(span.end),
            "pcs": list(chord.pcs),
            "label": chord.label,
            "pitches": list(voicing.pitches),
        }
        for span, chord, voicing in zip(found.spans, one.chords, one.voicings, strict=True)
    ]
    return {"price": one.price, "chords": chords}


def _print(number: int, found: Harmonisations, one: Realisation) -> None:
    console().print(f"{number:>3}  price {one.price:g}")
    for place, (span, chord, voicing) in enumerate(zip(found.spans, one.chords, one.voicings, strict=True)):
        names = one.names[place] if one.names else ()
        length = span.end - span.onset
        console().print(f"       {length!s:>4}  {chord.label:<8} {sheet.pitch_text(voicing.pitches, names)}")


def _save(found: Harmonisations, tune: tuple[MelodyNote, ...] | None, out: Path, players: str) -> None:
    """Write the first answer; a melody that lies on top keeps its own lengths."""
    from sonorarium.pcs.pcset import PcSet
    from sonorarium.pcs.spelling import spell_freely
    from sonorarium.pitch.scoring import score_out
    from sonorarium.render.saving import save_sheet
    from sonorarium.render.sheet import Heading, all_names, sheet_of_scoring, sheet_of_voicings, with_melody

    one = found.realisations.found[0]
    whole = PcSet(pc for chord in one.chords for pc in chord)
    names = one.names or spell_freely(whole.normal_order)
    lengths = [span.end - span.onset for span in found.spans]
    heading = Heading(labels=tuple(chord.label for chord in one.chords))
    if players:
        scored = score_out(one.voicings, players)
        for said in (*scored.doublings, *scored.strains, *scored.rests):
            remarks().print(said, soft_wrap=True)
        written = sheet_of_scoring(scored, names, quarters=lengths, heading=heading)
    else:
        written = sheet_of_voicings(one.voicings, names, quarters=lengths, heading=heading)
    if tune:
        written = with_melody(written, tune, all_names(names))
    sheet.say_written(out, save_sheet(written, out, soundfont=read_settings().soundfont or None))
