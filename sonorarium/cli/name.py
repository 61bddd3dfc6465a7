"""``sonorarium name``: what a set may be called, and why."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Annotated, get_args

import typer

from sonorarium.cli import sheet
from sonorarium.cli.output import Json, print_json
from sonorarium.errors import InputError, NothingFoundError
from sonorarium.pcs.chordquality import Style
from sonorarium.settings import read_settings

if TYPE_CHECKING:
    from sonorarium.pcs.subject import Subject


def name_command(
    what: sheet.What,
    bass: Annotated[str, typer.Option(help="The lowest note.")] = "",
    style: Annotated[str, typer.Option(help="House style of the major seventh: maj7, M7 or Δ.")] = "",
    pin: Annotated[
        list[str] | None, typer.Option(help="A symbol that comes first where it fits; repeatable.")
    ] = None,
    german: sheet.German = False,
    as_json: Json = False,
) -> None:
    """What a set may be called: chord symbols with reasons, two chords, interval stacks, scales that hold it."""
    from sonorarium.pcs.spelling import read_note
    from sonorarium.pcs.survey import names, typed_names

    chosen = read_settings()
    chosen = replace(chosen, chord_style=_style(style or chosen.chord_style), pinned=(*(pin or ()), *chosen.pinned))
    s = sheet.shown(what, german=german or chosen.german)
    lowest = read_note(bass).pc if bass else typed_bass(s)
    if not 3 <= len(s.notes) <= 8:
        raise NothingFoundError(
            f"{s.title} has {len(s.notes)} notes; chords are named for 3 to 8.",
            value=what,
            suggestion=f"Its label is {s.pcset.label}.",
        )
    if as_json:
        found = names(s.pcset, bass=lowest, style=chosen.chord_style, pinned=chosen.pinned, called=typed_names(s))
        print_json("name", {"title": s.title, "label": s.pcset.label, **found})
        return
    sheet.print_title(s)
    sheet.print_names(s, lowest, chosen)


def typed_bass(s: Subject) -> int | None:
    """The lowest note that was typed: after a slash, or lowest of notes with octaves."""
    if s.pitches:
        return s.pitches[0] % 12
    return s.bass.pc if s.bass else None


def _style(name: str) -> Style:
    styles: tuple[Style, ...] = get_args(Style)
    for style in styles:
        if name == style:
            return style
    raise InputError(f"There is no house style {name!r}.", value=name, suggestion=f"Choose {', '.join(styles)}.")
