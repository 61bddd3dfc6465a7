"""``sonorarium shelf``: the library of scores."""

from __future__ import annotations

import sys
import time
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from sonorarium.cli.output import Json, console, print_json, remarks
from sonorarium.errors import DamagedError

if TYPE_CHECKING:
    from sonorarium.shelf.checking import Check
    from sonorarium.shelf.indexing import Added, Progress
    from sonorarium.shelf.shelf import Shelf
    from sonorarium.shelf.snapshot import Snapshot

app = typer.Typer(help="Your library of scores, indexed for searching.", no_args_is_help=True)

Place = Annotated[
    Path | None,
    typer.Option("--shelf", help="Folder of the shelf; SONORARIUM_SHELF, or your data folder, by default."),
]
Jobs = Annotated[int | None, typer.Option(help="Processes; one for each processor by default.")]


@app.callback()
def _group() -> None:
    """Your library of scores, indexed for searching."""


@app.command("add")
def add_command(
    folders: Annotated[
        list[Path] | None,
        typer.Argument(metavar="[FOLDER]...", help="Folders of scores; by default all added before."),
    ] = None,
    place: Place = None,
    jobs: Jobs = None,
    afresh: Annotated[bool, typer.Option("--afresh", help="Forget all that is on the shelf first.")] = False,
    as_json: Json = False,
) -> None:
    """Index folders of scores; on later runs, only what is new or changed. Stop it when you like: it resumes."""
    from sonorarium.shelf.indexing import add_folders
    from sonorarium.shelf.shelf import Shelf, open_shelf, shelf_folder

    shelf = Shelf(shelf_folder(place)) if folders else open_shelf(place)
    began = time.monotonic()
    with _progress("Indexing") as progress:
        added = add_folders(shelf, folders or (), jobs=jobs, afresh=afresh, progress=progress)
    _tell(added, shelf, time.monotonic() - began, as_json=as_json)


@app.command("list")
def list_command(
    place: Place = None,
    files: Annotated[bool, typer.Option("--files", help="Every file, with composer and title.")] = False,
    as_json: Json = False,
) -> None:
    """Say what is on the shelf."""
    from sonorarium.shelf.shelf import open_shelf

    shelf = open_shelf(place)
    summary = shelf.ask(_summary)
    scores = shelf.ask(_scores) if files else []
    damaged = shelf.ask(_damaged)
    if as_json:
        document = {"shelf": str(shelf.folder), **summary, "damaged": damaged}
        print_json("shelf list", document | ({"scores": scores} if files else {}))
        return
    out = console()
    for score in scores:
        out.print("  ".join(filter(None, (score["composer"], score["title"], f"[{score['path']}]"))), soft_wrap=True)
    for folder, (read, not_read) in summary["folders"].items():
        out.print(f"{folder}: {_count(read, 'score')}" + (f", {not_read} not read" * bool(not_read)), soft_wrap=True)
    out.print(
        f"{_count(summary['notes'], 'note')}, {_count(summary['slices'], 'slice')} in {shelf.folder}", soft_wrap=True
    )
    if summary["outdated"]:
        remarks().print(
            f"Indexed by another version: {_count(len(summary['outdated']), 'file')}. "
            "`sonorarium shelf add` reads them again.",
            soft_wrap=True,
        )
    _say_damaged(damaged)


@app.command("check")
def check_command(
    place: Place = None,
    mend: Annotated[
        bool, typer.Option("--mend", help="Read again what damaged tables held, and what changed.")
    ] = False,
    jobs: Jobs = None,
    as_json: Json = False,
) -> None:
    """See whether the shelf is whole and agrees with the files. Exit status 3 where its tables are damaged."""
    from sonorarium.shelf.checking import check_shelf, mend_shelf
    from sonorarium.shelf.shelf import open_shelf

    shelf = open_shelf(place)
    if mend:
        began = time.monotonic()
        with _progress("Indexing") as progress:
            added = mend_shelf(shelf, jobs=jobs, progress=progress)
        _tell(added, shelf, time.monotonic() - began, as_json=as_json)
        return
    check = check_shelf(shelf)
    if as_json:
        print_json("shelf check", {"shelf": str(shelf.folder), **check.as_dict()})
    else:
        _print_check(check)
    if check.damaged_tables:
        raise DamagedError(
            "Tables of the shelf are damaged.", suggestion="`sonorarium shelf check --mend` reads their scores again."
        )


@app.command("drop")
def drop_command(
    folder: Annotated[Path, typer.Argument(help="A folder, or a file, that is on the shelf.")],
    place: Place = None,
    as_json: Json = False,
) -> None:
    """Take a folder off the shelf; its files are not touched."""
    from sonorarium.shelf.indexing import drop_folder
    from sonorarium.shelf.shelf import open_shelf

    dropped = drop_folder(open_shelf(place), folder)
    if as_json:
        print_json("shelf drop", {"folder": str(folder), "dropped": dropped})
    else:
        console().print(f"{_count(dropped, 'file')} taken off the shelf.")


@contextmanager
def _progress(what: str) -> Iterator[Callable[[Progress], None]]:
    """Files done, rate and time left on standard error: a bar on a terminal, elsewhere a line every ten seconds."""
    if not sys.stderr.isatty():
        yield _Lines(what)
        return
    from rich.progress import BarColumn, MofNCompleteColumn, TextColumn, TimeRemainingColumn
    from rich.progress import Progress as Bar

    columns = (
        TextColumn(what),
        BarColumn(),
        MofNCompleteColumn(),
        TextColumn("files, {task.fields[rate]},"),
        TimeRemainingColumn(),
        TextColumn("left"),
    )
    with Bar(*columns, console=remarks(), transient=True) as bar:
        task = bar.add_task("", total=None, rate="")
        began = time.monotonic()

        def show(at: Progress) -> None:
            bar.update(task, completed=at.done, total=at.total, rate=_rate(at.notes, time.monotonic() - began))

        yield show


class _Lines:
    """Progress as lines, for a log."""

    def __init__(self, what: str, every_s: float = 10.0) -> None:
        self._what, self._every_s = what, every_s
        self._began = self._said = time.monotonic()

    def __call__(self, at: Progress) -> None:
        now = time.monotonic()
        if now - self._said < self._every_s or at.done == at.total:
            return
        self._said = now
        left_s = (now - self._began) * (at.total - at.done) / at.done
        say = (
            f"{self._what}: {at.done} of {at.total} files, {_rate(at.notes, now - self._began)}, {left_s:.0f} s left"
        )
        remarks().print(say, soft_wrap=True)


def _rate(notes: int, seconds: float) -> str:
    return f"{notes / max(seconds, 1e-6):,.0f} notes a second"


def _tell(added: Added, shelf: Shelf, seconds: float, *, as_json: bool) -> None:
    if as_json:
        print_json("shelf add", {"shelf": str(shelf.folder), **added.as_dict()})
    else:
        read = f"{_count(added.indexed, 'file')} indexed"
        rate = f" in {seconds:.1f} s, {_rate(added.notes, seconds)}" if added.indexed else ""
        gone = f", {len(added.gone)} taken off" if added.gone else ""
        console().print(f"{read}{rate}; {added.unchanged} unchanged{gone}.", soft_wrap=True)
    for folder in added.missing:
        remarks().print(
            f"Not there: {folder}. It was left as it is; `sonorarium shelf drop` takes it off.", soft_wrap=True
        )
    _say_damaged([{"path": row.path, "reason": row.reason} for row in added.damaged])
    if added.files and len(added.damaged) == added.files:
        raise DamagedError("None of the files could be read.", suggestion="The reasons stand above.")


def _say_damaged(damaged: list[dict[str, str]]) -> None:
    for one in damaged:
        remarks().print(f"Not read: {one['path']}: {one['reason']}", soft_wrap=True)


def _print_check(check: Check) -> None:
    out = console()
    for fault in check.damaged_tables:
        out.print(f"Damaged: {fault}", soft_wrap=True)
    for name, paths in (("Changed", check.changed), ("Not there", check.missing), ("Outdated", check.outdated)):
        for path in paths:
            out.print(f"{name}: {path}", soft_wrap=True)
    _say_damaged([{"path": row.path, "reason": row.reason} for row in check.damaged])
    cure = "" if check.is_sound else " `sonorarium shelf add` brings it up to date."
    sound = "the shelf is whole and up to date." if check.is_sound else "the shelf is not up to date."
    out.print(f"{_count(check.files, 'file')}: {sound}{cure}", soft_wrap=True)


def _summary(snapshot: Snapshot) -> dict[str, Any]:
    from sonorarium.shelf.planning import is_in

    read = {
        folder: Counter(row.status for path, row in snapshot.files.items() if is_in(path, folder))
        for folder in snapshot.manifest.folders
    }
    return {
        "folders": {folder: (count["indexed"], count["damaged"]) for folder, count in read.items()},
        "files": len(snapshot.files),
        "scores": len(snapshot.scores),
        "notes": sum(row.notes for row in snapshot.scores.values()),
        "slices": sum(row.slices for row in snapshot.scores.values()),
        "outdated": list(snapshot.outdated),
    }


def _scores(snapshot: Snapshot) -> list[dict[str, Any]]:
    return [
        {"path": path, "composer": row.composer, "title": row.title, "date": row.date, "notes": row.notes}
        for row in snapshot.scores.values()
        for path in snapshot.paths[row.score]
    ]


def _damaged(snapshot: Snapshot) -> list[dict[str, str]]:
    return [{"path": r.path, "reason": r.reason} for r in snapshot.files.values() if r.status == "damaged"]


def _count(number: int, thing: str) -> str:
    return f"{number:,} {thing}" if number == 1 else f"{number:,} {thing}s"
