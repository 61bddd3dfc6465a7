"""``sonorarium near``: what lies near a set."""

from __future__ import annotations

from typing import Annotated

import typer

from sonorarium.cli import sheet
from sonorarium.cli.output import Json, console, plain_table, print_json
from sonorarium.errors import NothingFoundError
from sonorarium.settings import read_settings


def near_command(
    what: sheet.What,
    alike: Annotated[int, typer.Option(min=0, help="So many classes that are most like it.")] = 8,
    german: sheet.German = False,
    as_json: Json = False,
) -> None:
    """What lies near a set: one small move away, its mirror, complement and partner, and the classes most like it."""
    from sonorarium.pcs import survey
    from sonorarium.pcs.complexes import k_complex, kh_complex
    from sonorarium.pcs.kin import KINDS
    from sonorarium.pcs.similarity import most_alike

    s = sheet.shown(what, german=german or read_settings().german)
    if not s.notes:
        raise NothingFoundError("Nothing is near the empty set.", value=what, suggestion="Give some notes.")
    if as_json:
        same = survey.identity(s)
        kept = {key: same[key] for key in ("title", "label", "complement", "partner", "mirror")}
        print_json("near", survey.relations(s, alike=alike) | kept)
        return
    sheet.print_title(s)
    sheet.print_relatives(s)
    sheet.print_neighbours(s, KINDS)
    table = plain_table("class", "semitones", "IcVSIM", "ASIM", "why", title="\nMost alike")
    for one in most_alike(s, limit=alike):
        numbers = f"{one.icvsim:.2f}", f"{one.asim:.2f}"
        table.add_row(one.set_class.label, str(one.semitones), *numbers, "; ".join(one.reasons))
    console().print(table)
    if 3 <= s.pcset.cardinality <= 9:
        whole = s.pcset.set_class
        console().print(f"\nK:  {' '.join(map(str, k_complex(whole)))}")
        console().print(f"Kh: {' '.join(map(str, kh_complex(whole)))}")
