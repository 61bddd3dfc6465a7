"""``sonorarium lead``: voice leading between two sets, paths with several steps, and whole progressions."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from sonorarium.cli import sheet
from sonorarium.cli.output import Json, console, print_json, remarks
from sonorarium.errors import InputError
from sonorarium.settings import read_settings

if TYPE_CHECKING:
    from sonorarium.pitch.leading import VoiceLeading
    from sonorarium.pitch.paths import Path as ChordPath
    from sonorarium.pitch.realising import Realisation

HandedOut = Annotated[Path | None, typer.Option("--out", "-o", help="Write it: .musicxml .mid .wav .svg .pdf …")]


def lead_command(
    from_: Annotated[str, typer.Argument(metavar="FROM", help="A set or voicing; or a whole line: 'Dm7; G7; C'.")],
    to: Annotated[str, typer.Argument(metavar="TO", help="A set or voicing; not needed for a line.")] = "",
    measure: Annotated[str, typer.Option(help="What is least: sum, largest or euclid.")] = "sum",
    crossings: Annotated[bool, typer.Option("--crossings", help="Voices may cross.")] = False,
    parallels: Annotated[bool, typer.Option(help="Parallel fifths and octaves are allowed.")] = True,
    leap: Annotated[int | None, typer.Option(help="The farthest that a voice may move.")] = None,
    within: Annotated[str, typer.Option(help="A scale: voices move by its steps.")] = "",
    steps: Annotated[int, typer.Option(help="Find a path of so many steps instead.")] = 0,
    by: Annotated[
        list[str] | None, typer.Option("--by", help="Path: classes or sets it may use; repeatable.")
    ] = None,
    inside: Annotated[list[str] | None, typer.Option(help="Path: keep inside these collections; repeatable.")] = None,
    family: Annotated[str, typer.Option(help="Path: cross collections of this family.")] = "",
    step: Annotated[int, typer.Option(help="Path: most semitones in one step.")] = 4,
    voices: Annotated[int | None, typer.Option(help="Line: how many voices sound.")] = None,
    carry_on: Annotated[int, typer.Option(help="Line: go on in its manner for so many chords, of --by.")] = 0,
    limit: Annotated[int, typer.Option(help="Show at most so many, the least movement first.")] = 5,
    out: HandedOut = None,
    as_json: Json = False,
) -> None:
    """Voice leadings between two chords, the least first; with --steps paths; with a line of chords its voicings."""
    if not to:
        _line(from_, (voices, limit, carry_on), (by, inside), out, as_json=as_json)
    elif steps:
        if out:
            raise InputError(
                "--out writes lines; a path is of sets.", value=out, suggestion="Type the path as a line."
            )
        _path(from_, to, (steps, step, limit), (by, inside, family), as_json=as_json)
    else:
        if out:
            raise InputError(
                "--out writes lines of chords.", value=out, suggestion=f"Type '{from_}; {to}' as one line."
            )
        _leading(from_, to, (measure, crossings, parallels, leap, within, limit), as_json=as_json)


def _leading(from_: str, to: str, asked: tuple[str, bool, bool, int | None, str, int], *, as_json: bool) -> None:
    from sonorarium.pcs.reading import read_set, set_of
    from sonorarium.pitch.leading import lead
    from sonorarium.pitch.movement import Rules

    measure, crossings, parallels, leap, within, limit = asked
    scale = set_of(read_set(within)) if within else None
    rules = Rules(crossings=crossings, parallels=parallels, leap=leap, within=scale)
    found = lead(from_, to, measure=measure, limit=limit, rules=rules)
    if as_json:
        leadings = [_leading_document(one) for one in found.found]
        print_json("lead", {"from": from_, "to": to, "measure": measure, "leadings": leadings, "is_cut": found.cut})
        return
    for number, one in enumerate(found.found, start=1):
        common = len(one.common_tones)
        console().print(f"{number:>3}  {one.size:g} by {measure}; {common} common tone{'' if common == 1 else 's'}")
        for move in one.moves:
            console().print(f"       {move.text}")
    if found.cut:
        remarks().print(f"The least {len(found.found)} are shown; there are more.")


def _leading_document(one: VoiceLeading) -> dict[str, object]:
    moves = [{"start": m.start, "end": m.end, "by": m.by, "text": m.text} for m in one.moves]
    return {"size": float(one.size), "moves": moves, "common_tones": [int(tone) for tone in one.common_tones]}


def _path(
    from_: str,
    to: str,
    walk: tuple[int, int, int],
    chosen: tuple[list[str] | None, list[str] | None, str],
    *,
    as_json: bool,
) -> None:
    from sonorarium.pitch.palette import palette
    from sonorarium.pitch.paths import Walking, paths

    steps, step, limit = walk
    by, inside, family = chosen
    homes = sheet.family_named(family) if family else tuple(inside or ())
    sizes = () if by else _sizes(from_, to)
    found = paths(
        from_, to, steps, palette(*(by or ()), inside=homes, sizes=sizes), limit=limit, walking=Walking(step=step)
    )
    if as_json:
        print_json(
            "path", {"from": from_, "to": to, "paths": [_path_document(p) for p in found.found], "is_cut": found.cut}
        )
        return
    for number, path in enumerate(found.found, start=1):
        names = " → ".join(sheet.shown_set(chord) for chord in path.chords)
        console().print(f"{number:>3}  {path.size} semitones: {names}", soft_wrap=True)
        for pivot in path.pivots:
            console().print(
                f"       pivot {sheet.shown_set(pivot.chord)}: {pivot.before} to {pivot.after}", soft_wrap=True
            )
    if found.cut:
        remarks().print(f"The least {len(found.found)} are shown; there may be more.")


def _sizes(*texts: str) -> tuple[int, ...]:
    from sonorarium.pcs.reading import read_set, set_of

    return tuple(sorted({len(set_of(read_set(text))) for text in texts}))


def _path_document(path: ChordPath) -> dict[str, object]:
    return {
        "size": int(path.size),
        "chords": [{"pcs": list(chord.pcs), "label": chord.label} for chord in path.chords],
        "homes": [str(home) for home in path.homes],
        "pivots": [{"place": p.place, "before": str(p.before), "after": str(p.after)} for p in path.pivots],
    }


def _line(
    text: str,
    asked: tuple[int | None, int, int],
    chosen: tuple[list[str] | None, list[str] | None],
    out: Path | None,
    *,
    as_json: bool,
) -> None:
    from sonorarium.pitch.progression import read_progression, realise

    voices, limit, more = asked
    typed = read_progression(text)
    if len(typed) < 2:
        raise InputError("There is one chord, and nowhere to lead it.", value=text, suggestion="Add where it goes.")
    found = realise(text, voices=voices, limit=limit)
    if more:
        found = replace(found, found=tuple(_carried_on(one, more, chosen) for one in found.found))
        typed = (*typed, *("" for _ in range(more)))
    if as_json:
        lines = [{"price": one.price, "voicings": [list(v.pitches) for v in one.voicings]} for one in found.found]
        print_json("line", {"chords": list(typed), "lines": lines, "is_cut": found.cut, "left_out": found.left_out})
    else:
        for number, one in enumerate(found.found, start=1):
            console().print(f"{number:>3}  price {one.price:g}")
            _print_realisation(one, typed)
        if found.left_out:
            remarks().print(f"{found.left_out} candidate voicings were too many to be weighed.")
    if out:
        save_realisation(found.found[0], typed, out)


def _carried_on(one: Realisation, more: int, chosen: tuple[list[str] | None, list[str] | None]) -> Realisation:
    """A line with what comes next in its manner, from chords of the classes asked for."""
    from sonorarium.pitch.palette import palette
    from sonorarium.pitch.texture import carry_on

    by, inside = chosen
    if not by:
        raise InputError("There are no chords to go on with.", suggestion="Name classes: --by 3-11 --by 4-19.")
    added = carry_on(one.voicings, palette(*by, inside=tuple(inside or ())), more, limit=1).found[0]
    names = (*one.names, *((),) * len(added.chords)) if one.names else ()
    return replace(one, chords=one.chords + added.chords, voicings=one.voicings + added.voicings, names=names)


def _print_realisation(one: Realisation, typed: tuple[str, ...]) -> None:
    for place, (name, voicing) in enumerate(zip(typed, one.voicings, strict=True)):
        names = one.names[place] if one.names else ()
        console().print(
            f"       {name or one.chords[place].label:<16} {sheet.pitch_text(voicing.pitches, names)}", soft_wrap=True
        )


def save_realisation(one: Realisation, labels: tuple[str, ...], out: Path, *, players: str = "") -> None:
    """Write a realisation for piano, or for an ensemble, to a file by its suffix."""
    from sonorarium.pitch.scoring import score_out
    from sonorarium.render.saving import save_sheet
    from sonorarium.render.sheet import Heading, sheet_of_scoring, sheet_of_voicings

    names = one.names
    heading = Heading(labels=labels)
    if players:
        scored = score_out(one.voicings, players)
        written = sheet_of_scoring(scored, names, heading=heading)
        for said in (*scored.doublings, *scored.strains, *scored.rests):
            remarks().print(said, soft_wrap=True)
    else:
        written = sheet_of_voicings(one.voicings, names, heading=heading)
    sheet.say_written(out, save_sheet(written, out, soundfont=read_settings().soundfont or None))
