"""``sonorarium lesson``: check what a lesson states, and build it into a page and a PDF."""

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
    form: Annotated[
        list[str] | None,
        typer.Option(help="html, pdf, slides, figures, clips, musicxml, captions or all; html and pdf by default."),
    ] = None,
    paper: Annotated[str, typer.Option(help="Of the handout: a4 or us-letter.")] = "a4",
    theme: Annotated[Path | None, typer.Option(help="A TOML file with colours, faces and sizes.")] = None,
    width: Annotated[int, typer.Option(help="Width of pictures in pixels, up to 3840.")] = 1920,
    ground: Annotated[str, typer.Option(help="Of pictures: transparent or paper.")] = "transparent",
    sound: Annotated[str, typer.Option(help="Of clips: opus or wav.")] = "opus",
    allow_false: Annotated[bool, typer.Option("--allow-false", help="Build although a statement is false.")] = False,
    as_json: Json = False,
) -> None:
    """Build a lesson: a page that opens from disk with its sounds inside, a handout, slides, figures, clips."""
    from sonorarium.errors import InputError
    from sonorarium.lesson.building import FORMS, USUAL_FORMS, Choices, build_lesson, read_lesson
    from sonorarium.lesson.forms.printed import PAPERS
    from sonorarium.lesson.forms.theme import USUAL, read_theme

    forms = FORMS if form and "all" in form else tuple(form or USUAL_FORMS)
    for given, known, name in ((forms, (*FORMS, "all"), "form"), ((paper,), PAPERS, "paper")):
        if unknown := set(given) - set(known):
            raise InputError(
                f"--{name} {unknown.pop()} is not understood.", suggestion=f"It takes {', '.join(known)}."
            )
    choices = Choices(paper, read_theme(theme) if theme else USUAL, width, ground, sound)
    read = read_lesson(lesson, allow_false=allow_false)
    files = build_lesson(read, out or lesson.parent, forms=forms, choices=choices)
    for remark in read.remarks:
        remarks().print(f"{lesson}, {remark}")
    if as_json:
        print_json("lesson", {"files": [str(f) for f in files], "remarks": list(read.remarks), **read.count()})
        return
    for file in files:
        print(file)


@app.command("check")
def check_command(
    files: Annotated[list[Path], typer.Argument(help="Lessons, or any Markdown files.")],
    every: Annotated[bool, typer.Option("--all", help="Also what is true, and what was not understood.")] = False,
    as_json: Json = False,
) -> None:
    """Check the statements about sets in a text; print each false one with its line. Exit status 1 if one is."""
    from sonorarium.lesson.checks.checking import check_file

    checked = [(file, one) for file in files for one in check_file(file)]
    count = {s: sum(one.standing == s for _, one in checked) for s in ("true", "false", "not understood")}
    if as_json:
        found = [{"file": str(file), **one.as_dict()} for file, one in checked]
        print_json("check", {"statements": found, **{s.replace(" ", "_"): n for s, n in count.items()}})
    else:
        for file, one in checked:
            if every or one.standing == "false":
                print(f"{file}:{one.line}: {one.sentence}")
            if every and one.verdict.understood:
                print(f"    understood as: {one.verdict.understood}")
        remarks().print(", ".join(f"{n} {standing}" for standing, n in count.items()))
    if count["false"]:
        raise typer.Exit(1)
