"""``sonorarium lesson ledger``, ``syllabus`` and ``course``: what a course covers, what comes next, and its site."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from sonorarium.cli.output import Json, console, plain_table, print_json, remarks
from sonorarium.cli.sheet import family_named

if TYPE_CHECKING:
    from sonorarium.lesson.courses.gaps import Gaps
    from sonorarium.lesson.courses.ledger import Ledger, Newness
    from sonorarium.lesson.courses.syllabus import Syllabus

StudyArgument = Annotated[Path, typer.Argument(metavar="STUDY", help="The folder of the study.")]
FamilyOption = Annotated[str, typer.Option(help="Family of sister scales: a name, or a TOML file.")]


def ledger_command(
    study: StudyArgument = Path(),
    new: Annotated[str, typer.Option(metavar="SET", help="A new scale, held against the lessons.")] = "",
    before: Annotated[str, typer.Option(help="With --new: only the lessons before this one.")] = "",
    family: FamilyOption = "spaced",
    as_json: Json = False,
) -> None:
    """Which sets each lesson covers, what lessons have in common, and what the course leaves out.

    With --new: which subset classes of a scale are new after the course, which were met before, and where.
    """
    from sonorarium.errors import InputError
    from sonorarium.lesson.courses.gaps import gaps
    from sonorarium.lesson.courses.ledger import read_ledger
    from sonorarium.study.folder import open_study

    if before and not new:
        raise InputError("--before goes with --new.", value=before, suggestion="Name the new scale with --new.")
    home = open_study(study)
    ledger = read_ledger(home)
    if new:
        _new(new, ledger.before(before) if before else ledger, as_json)
        return
    left_out = gaps(ledger, home, family_named(family))
    if as_json:
        print_json("ledger", _ledger_document(ledger) | {"gaps": _gaps_document(left_out)})
        return
    _print_ledger(ledger)
    _print_gaps(left_out)


def _new(what: str, ledger: Ledger, as_json: bool) -> None:
    from sonorarium.lesson.courses.ledger import newness

    rows = newness(what, ledger)
    if as_json:
        found = [
            {"class": row.set_class.label, "times": row.times, "known": row.depth, "where": list(row.where)}
            for row in rows
        ]
        print_json("newness", {"set": what, "classes": found})
        return
    _print_newness(rows)


def _print_newness(rows: tuple[Newness, ...]) -> None:
    table = plain_table("class", "times", "known", "where")
    for row in rows:
        table.add_row(row.set_class.label, str(row.times), row.depth, "; ".join(row.where))
    console().print(table)
    count = Counter(row.depth for row in rows)
    console().print(f"{len(rows)} classes: {', '.join(f'{count[depth]} {depth}' for depth in count)}.")


def _ledger_document(ledger: Ledger) -> dict[str, Any]:
    lessons = [
        {
            "lesson": entry.lesson,
            "title": entry.title,
            "scales": [meeting.title for meeting in entry.collections],
            "shown": [one.label for one in entry.classes("shown")],
            "listed": [one.label for one in entry.classes("listed")],
            "pieces": [{"piece": piece, "line": line} for piece, line in entry.pieces],
            "meetings": [
                {"line": m.line, "set": m.title, "class": m.set_class.label, "by": m.way, "depth": m.depth}
                for m in entry.meetings
            ],
        }
        for entry in ledger.entries
    ]
    return {"lessons": lessons, "overlap": [list(row) for row in ledger.overlap()]}


def _gaps_document(found: Gaps) -> dict[str, Any]:
    return {
        "family": found.family,
        "scales": list(found.kinds),
        "only_here": {title: [one.label for one in classes] for title, classes in found.only_here},
        "pieces": list(found.pieces),
        "kept": list(found.kept),
    }


def _print_ledger(ledger: Ledger) -> None:
    out = console()
    met: set[object] = set()
    for number, entry in enumerate(ledger.entries, start=1):
        every, shown = entry.classes(), entry.classes("shown")
        out.print(f"{number}  {entry.title}   [{entry.lesson}]", soft_wrap=True)
        out.print(f"   scales: {', '.join(one.title for one in entry.collections) or 'none'}", soft_wrap=True)
        out.print(f"   shown:  {' '.join(one.label for one in shown) or 'nothing'}", soft_wrap=True)
        listed = [one.label for one in every if one not in shown]
        out.print(f"   listed: {' '.join(listed) or 'nothing'}", soft_wrap=True)
        out.print(f"   {len(set(every) - met)} of {len(every)} classes new")
        met |= set(every)
    if len(ledger.entries) > 1:
        table = plain_table("classes in both", *map(str, range(1, len(ledger.entries) + 1)))
        for number, row in enumerate(ledger.overlap(), start=1):
            table.add_row(str(number), *map(str, row))
        out.print(table)


def _print_gaps(found: Gaps) -> None:
    out = console()
    rows = {
        f"Of the {found.family}, no lesson shows": ", ".join(found.kinds),
        **{
            f"Only in {title} of them, and in no lesson": " ".join(one.label for one in classes)
            for title, classes in found.only_here
        },
        "In the study, but in no lesson": ", ".join(found.pieces),
        "Kept, but in no lesson": ", ".join(found.kept),
    }
    for words, what in rows.items():
        if what:
            out.print(f"{words}: {what}", soft_wrap=True)


def syllabus_command(
    family: Annotated[str, typer.Argument(metavar="FAMILY", help="A family by name, or a TOML file.")] = "spaced",
    first: Annotated[str, typer.Option(help="The scale to begin with; the rule chooses by default.")] = "",
    lean: Annotated[float, typer.Option(min=0, max=1, help="Share of classes that shall be known before.")] = 0.5,
    tn: Annotated[bool, typer.Option("--tn", help="Count a class and its mirror apart.")] = False,
    after: Annotated[Path | None, typer.Option(help="A study whose lessons come first.")] = None,
    as_json: Json = False,
) -> None:
    """Propose an order of lessons for a family: each scale adds much and leans on what is known."""
    from sonorarium.lesson.courses.ledger import read_ledger
    from sonorarium.lesson.courses.syllabus import syllabus
    from sonorarium.study.folder import open_study

    known = read_ledger(open_study(after)) if after else None
    share = Fraction(round(lean * 100), 100)
    found = syllabus(family_named(family), first=first or None, lean=share, tn=tn, after=known)
    if as_json:
        print_json("syllabus", _syllabus_document(found))
        return
    out = console()
    for number, step in enumerate(found.steps, start=1):
        out.print(f"{number}  {step.kind.name} ({step.kind.label}): {step.reason}", soft_wrap=True)
    out.print(f"\n{found.rule}", soft_wrap=True)


def _syllabus_document(found: Syllabus) -> dict[str, Any]:
    steps = [
        {
            "kind": step.kind.name,
            "label": step.kind.label,
            "adds": [one.label for one in step.adds],
            "leans": step.leans,
            "nearest": step.nearest,
            "shared": step.shared,
            "moves": list(step.moves),
        }
        for step in found.steps
    ]
    return {"family": found.family, "lean": str(found.lean), "rule": found.rule, "steps": steps}


def course_command(
    study: StudyArgument = Path(),
    out: Annotated[Path | None, typer.Option("--out", "-o", help="Folder; 'made' in the study by default.")] = None,
    paper: Annotated[str, typer.Option(help="a4 or us-letter.")] = "a4",
    allow_false: Annotated[bool, typer.Option("--allow-false", help="Build although a statement is false.")] = False,
    as_json: Json = False,
) -> None:
    """Build all lessons of a study into a small site that opens from disk, with indexes of sets, pieces and terms."""
    from sonorarium.errors import InputError
    from sonorarium.lesson.courses.course import build_course
    from sonorarium.lesson.forms.printed import PAPERS
    from sonorarium.study.folder import open_study

    if paper not in PAPERS:
        raise InputError(f"--paper {paper} is not understood.", suggestion=f"It takes {', '.join(PAPERS)}.")
    home = open_study(study)
    made = build_course(home, out or home.folder / "made", paper=paper, allow_false=allow_false)
    for remark in made.remarks:
        remarks().print(remark, soft_wrap=True)
    if as_json:
        print_json("course", {"files": [str(file) for file in made.files], "remarks": list(made.remarks)})
        return
    for file in made.files:
        print(file)
