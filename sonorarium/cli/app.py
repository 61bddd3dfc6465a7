"""The program ``sonorarium``: its commands, and how errors become sentences and exit statuses.

Exit statuses: 0 done; 1 nothing found; 2 input not understood; 3 input damaged; 4 a renderer failed.
Results go to standard output, progress and remarks to standard error.
"""

from __future__ import annotations

import sys
from typing import Annotated

import typer

from sonorarium.cli import (
    atlas,
    course,
    drill,
    family,
    find,
    harmonise,
    hear,
    lead,
    lesson,
    name,
    near,
    open,
    read,
    settings,
    shelf,
    study,
    survey,
    trace,
    voice,
)
from sonorarium.errors import SonorariumError

app = typer.Typer(
    name="sonorarium",
    help="Describe a scale, hear it, find it in scores, and teach it.",
    no_args_is_help=True,
    add_completion=True,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["-h", "--help"]},
)
app.command("survey")(survey.survey_command)
app.command("name")(name.name_command)
app.command("near")(near.near_command)
app.command("family")(family.family_command)
app.command("voice")(voice.voice_command)
app.command("lead")(lead.lead_command)
app.command("harmonise")(harmonise.harmonise_command)
app.command("find")(find.find_command)
app.command("trace")(trace.trace_command)
app.command("scape")(trace.scape_command)
app.command("here")(trace.here_command)
app.command("atlas")(atlas.atlas_command)
app.command("read")(read.read_command)
app.command("drill")(drill.drill_command)
app.command("hear")(hear.hear_command)
app.command("open")(open.open_command)
app.command("settings")(settings.settings_command)
app.add_typer(shelf.app, name="shelf")
app.add_typer(study.app, name="study")
lesson.app.command("ledger")(course.ledger_command)
lesson.app.command("syllabus")(course.syllabus_command)
lesson.app.command("course")(course.course_command)
app.add_typer(lesson.app, name="lesson")


def _print_version(wanted: bool) -> None:
    if wanted:
        from importlib.metadata import version

        print(version("sonorarium"))
        raise typer.Exit


@app.callback()
def _options(
    version: Annotated[
        bool, typer.Option("--version", help="Print the version.", callback=_print_version, is_eager=True)
    ] = False,
) -> None:
    """Describe a scale, hear it, find it in scores, and teach it."""


def main() -> None:
    """Run one command and end with its exit status."""
    try:
        app()
    except SonorariumError as error:
        print(error, file=sys.stderr)
        sys.exit(error.exit_status)
