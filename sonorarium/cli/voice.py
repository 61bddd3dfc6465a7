"""``sonorarium voice``: voicings of a set, filtered and ranked."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from sonorarium.cli import sheet
from sonorarium.cli.output import Json, console, print_json, remarks
from sonorarium.settings import read_settings

if TYPE_CHECKING:
    from sonorarium.pitch.terms import Terms
    from sonorarium.pitch.voiced import Voiced, Voicings


def voice_command(
    what: sheet.What,
    notes: Annotated[str, typer.Option(help="Number of notes: 5, or 4-6; as many as the set has by default.")] = "",
    low: Annotated[int, typer.Option(help="Lowest pitch, MIDI; middle C is 60.")] = 36,
    high: Annotated[int, typer.Option(help="Highest pitch, MIDI.")] = 84,
    bass: Annotated[str | None, typer.Option(help="The lowest note: E for any octave, E3 for that one.")] = None,
    top: Annotated[str | None, typer.Option(help="The highest note, likewise.")] = None,
    span: Annotated[int | None, typer.Option(help="Most semitones from lowest to highest.")] = None,
    omit: Annotated[int, typer.Option(help="So many notes of the set may be left out.")] = 0,
    kind: Annotated[
        list[str] | None, typer.Option(help="Spacing: close, open, drop 2, fourths … repeatable.")
    ] = None,
    order: Annotated[list[str] | None, typer.Option(help="What ranks: smooth, even, harmonic, narrow …")] = None,
    like: Annotated[str, typer.Option(help="A model: notes with octaves. Ranks by nearness unless told.")] = "",
    reach: Annotated[int, typer.Option(help="Semitones that a hand reaches; 0 for no hands at all.")] = 14,
    low_intervals: Annotated[bool, typer.Option(help="Keep the low-interval limits.")] = True,
    modes: Annotated[bool, typer.Option("--modes", help="Voice a whole scale as one chord, mode by mode.")] = False,
    limit: Annotated[int, typer.Option(help="Show at most so many.")] = 12,
    out: Annotated[
        Path | None, typer.Option("--out", "-o", help="Write them: .musicxml .mid .wav .svg .pdf …")
    ] = None,
    as_json: Json = False,
) -> None:
    """Voicings of a set that two hands can play, best first; each with its figures."""
    from sonorarium.pitch.voicings import mode_voicings, voicings

    terms = _terms(notes, bass, top, span, omit, kind, order, like, reach, clear=low_intervals)
    if modes:
        found = [
            (one.mode.name, one.voicings) for one in mode_voicings(what, low=low, high=high, limit=1, terms=terms)
        ]
    else:
        found = [("", voicings(what, low=low, high=high, limit=limit, terms=terms))]
    voiced = [(name, one) for name, several in found for one in several]
    if as_json:
        print_json("voice", {"set": what, "results": [_document(name, several) for name, several in found]})
    else:
        for number, (name, one) in enumerate(voiced, start=1):
            console().print(f"{number:>3}  {_text(one)}{f'   {name}' if name else ''}", soft_wrap=True)
        for name, several in found:
            remarks().print(f"{f'{name}: ' if name else ''}{several.summary}", soft_wrap=True)
    if out:
        _save([one for _, one in voiced], [name for name, _ in voiced], what, out)


def _terms(
    notes: str,
    bass: str | None,
    top: str | None,
    span: int | None,
    omit: int,
    kind: list[str] | None,
    order: list[str] | None,
    like: str,
    reach: int,
    *,
    clear: bool,
) -> Terms:
    from sonorarium.errors import InputError
    from sonorarium.pcs.pitches import read_pitches
    from sonorarium.pitch.limits import Hands
    from sonorarium.pitch.terms import Terms
    from sonorarium.pitch.voicing import Voicing

    parts = [part for part in notes.split("-") if part]
    if not all(part.isdecimal() for part in parts) or len(parts) > 2:
        raise InputError(f"--notes {notes} is no number of notes.", value=notes, suggestion="Write 5, or 4-6.")
    sizes = tuple(map(int, parts))
    model = Voicing(read_pitches(like).midi) if like else None
    return Terms(
        notes=(sizes[0], sizes[-1]) if sizes else None,
        omit=omit,
        bass=bass,
        top=top,
        span=span,
        hands=Hands(reach=reach) if reach else None,
        kinds=tuple(kind or ()),
        clear=clear,
        like=model,
        order=tuple(order or (("near", "alike") if model else ("smooth", "even"))),
    )


def _text(one: Voiced) -> str:
    f = one.figures
    hands = one.hands
    shown = one.text
    if hands and hands[0] and hands[1]:
        words = shown.split(" ")
        shown = f"{' '.join(words[: len(hands[0])])} | {' '.join(words[len(hands[0]) :])}"
    figures = f"roughness {f.roughness:.2f}  unevenness {f.unevenness:.1f}  period {f.period:.1f}  span {f.span}"
    moved = f"  movement {f.movement}" if f.movement is not None else ""
    return f"{shown:<34} {figures}{moved}  {', '.join(one.kinds)}".rstrip()


def _document(name: str, several: Voicings) -> dict[str, object]:
    return {
        "mode": name or None,
        "total": several.total,
        "kept": several.kept,
        "is_cut": several.is_cut,
        "removed": [{"limit": one.limit, "count": one.count} for one in several.removed],
        "voicings": [
            {
                "pitches": list(one.pitches),
                "notes": one.text.split(" "),
                "kinds": list(one.kinds),
                "hands": [list(hand) for hand in one.hands] if one.hands else None,
                "omitted": [note.text for note in one.omitted],
                "roughness": one.figures.roughness,
                "unevenness": one.figures.unevenness,
                "period": one.figures.period,
                "span": one.figures.span,
                "movement": one.figures.movement,
                "profile": one.figures.profile,
            }
            for one in several
        ],
    }


def _save(found: list[Voiced], labels: list[str], what: str, out: Path) -> None:
    from sonorarium.pcs.subject import subject
    from sonorarium.render.saving import save_sheet
    from sonorarium.render.sheet import Heading, sheet_of_voicings

    shown = subject(what)
    heading = Heading(title=shown.title, labels=tuple(labels))
    written = sheet_of_voicings([one.voicing for one in found], shown.notes, heading=heading)
    clip = save_sheet(written, out, soundfont=read_settings().soundfont or None)
    sheet.say_written(out, clip)
