"""``sonorarium drill``: exercises on a set with their keys, as sheets, a page and plain data."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from sonorarium.cli.output import Json, print_json, remarks


def drill_command(
    subject: Annotated[str, typer.Argument(help="A set of 3 to 9 notes, as it may be typed anywhere.")],
    kinds: Annotated[
        str,
        typer.Option(
            help="Kinds of exercise, separated by commas: mode, class, partner, complement, subset, excerpt, chord, "
            "voicing, leading; all by default."
        ),
    ] = "",
    count: Annotated[int, typer.Option(help="How many exercises in all, shared out evenly.")] = 18,
    level: Annotated[int, typer.Option(help="1, the easiest, to 5.")] = 2,
    seed: Annotated[int, typer.Option(help="Any whole number; the same seed gives the same drill.")] = 1,
    out: Annotated[Path, typer.Option("--out", "-o", help="Folder for the files.")] = Path("drill"),
    study: Annotated[Path | None, typer.Option(help="A study; excerpts come from its pieces too.")] = None,
    form: Annotated[list[str] | None, typer.Option(help="pdf, html or json; all by default.")] = None,
    paper: Annotated[str, typer.Option(help="a4 or us-letter.")] = "a4",
    as_json: Json = False,
) -> None:
    """Make a drill: sheets with and without key, a page that sounds and checks answers, and plain data."""
    from sonorarium.errors import InputError
    from sonorarium.lesson.exercises.drillblocks import pieces_of
    from sonorarium.lesson.exercises.drillfolder import FORMS, write_drill
    from sonorarium.lesson.exercises.drills import KINDS, Request, as_data, make_drill
    from sonorarium.lesson.forms.printed import PAPERS
    from sonorarium.study.folder import open_study

    if paper not in PAPERS:
        raise InputError(f"--paper {paper} is not understood.", suggestion=f"It takes {', '.join(PAPERS)}.")
    named = tuple(word.strip() for word in kinds.split(",") if word.strip()) if kinds else tuple(KINDS)
    request = Request(named, count=count, level=level, seed=seed)
    drill = make_drill(subject, request, pieces_of(open_study(study)) if study else ())
    files = write_drill(drill, out, forms=tuple(form or FORMS), paper=paper)
    for remark in drill.remarks:
        remarks().print(remark)
    if as_json:
        print_json("drill", {**as_data(drill), "files": [str(file) for file in files]})
        return
    for file in files:
        print(file)
