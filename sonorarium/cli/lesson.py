"""``sonorarium lesson``: build a lesson into a page and a PDF."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from sonorarium.cli.output import Json, print_json, remarks

app = typer.Typer(help="Handouts and pages from a lesson's Markdown file.", no_args_is_help=True)


@app.callback()
def _group() -> None:
    """Handouts and pages from a lesson's Markdown file."""


@app.command("build")
def build_command(
    lesson: Annotated[Path, typer.Argument(help="The lesson, a Markdown file.")],
    out: Annotated[Path | None, typer.Option("--out", "-o", help="Folder; beside the lesson by default.")] = None,
    form: Annotated[list[str] | None, typer.Option(help="html or pdf; both by default.")] = None,
    paper: Annotated[str, typer.Option(help="a4 or us-letter.")] = "a4",
    as_json: Json = False,
) -> None:
    """Build a lesson: one HTML file that opens from disk with its sounds inside, and a PDF."""
    from sonorarium.errors import InputError
    from sonorarium.lesson.building import FORMS, build_lesson, read_lesson
    from sonorarium.lesson.printed import PAPERS

    forms = tuple(form or FORMS)
    for given, known, name in ((forms, FORMS, "form"), ((paper,), PAPERS, "paper")):
        if unknown := set(given) - set(known):
            raise InputError(
                f"--{name} {unknown.pop()} is not understood.", suggestion=f"It takes {', '.join(known)}."
            )
    read = read_lesson(lesson)
    files = build_lesson(read, out or lesson.parent, forms=forms, paper=paper)
    for remark in read.remarks:
        remarks().print(f"{lesson}, {remark}")
    if as_json:
        print_json("lesson", {"files": [str(f) for f in files], "remarks": list(read.remarks), **read.count()})
        return
    for file in files:
        print(file)
