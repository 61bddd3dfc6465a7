"""``sonorarium survey``: everything about a set."""

from __future__ import annotations

from typing import Annotated

import typer

from sonorarium.cli import sheet
from sonorarium.cli.output import Json, print_json
from sonorarium.settings import read_settings


def survey_command(
    what: sheet.What,
    family: Annotated[
        str, typer.Option("--family", "-f", help="The sister scales: a family by name, or a TOML file of one's own.")
    ] = "",
    size: Annotated[list[int] | None, typer.Option(help="Only insides of so many notes; may be repeated.")] = None,
    tn: Annotated[bool, typer.Option("--tn", help="Count a class and its mirror apart (A and B).")] = False,
    readable: Annotated[bool, typer.Option("--readable", help="Spell without double accidentals.")] = False,
    german: sheet.German = False,
    as_json: Json = False,
) -> None:
    """Everything about a set: what it is, its modes, its insides beside its sisters, its kin and its names."""
    from sonorarium.pcs.survey import survey

    chosen = read_settings()
    among = sheet.family_named(family or chosen.family)
    s = sheet.shown(what, german=german or chosen.german, readable=readable)
    if as_json:
        print_json("survey", survey(s, among, sizes=size, tn=tn))
        return
    sheet.print_title(s)
    sheet.print_identity(s)
    sheet.print_relatives(s)
    sheet.print_character(s)
    sheet.print_modes(s)
    sheet.print_insides(s, among, size, tn=tn)
    sheet.print_outsides(s, tn=tn)
    sheet.print_holders(s, among)
    sheet.print_neighbours(s, ("move",))
    sheet.print_names(s, None, chosen)
