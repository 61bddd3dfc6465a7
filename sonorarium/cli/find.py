"""``sonorarium find``: passages of a set in files and folders."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from sonorarium.cli.output import Json, console, print_json, remarks
from sonorarium.errors import DamagedError, NothingFoundError

if TYPE_CHECKING:
    from sonorarium.score.passage import Passage
    from sonorarium.shelf.folder import FolderResult, Progress


def find_command(
    what: Annotated[str, typer.Argument(metavar="SET", help="A set or a class: 5-26, D double harmonic, C E Ab B.")],
    paths: Annotated[list[Path], typer.Argument(help="Scores and folders of scores.")],
    kind: Annotated[list[str] | None, typer.Option(help="chord, line or texture; all by default.")] = None,
    part: Annotated[list[str] | None, typer.Option(help="Only this part, by its printed name.")] = None,
    tolerance: Annotated[float, typer.Option(help="Share of the time that may be foreign, 0 to below 1.")] = 0.0,
    limit: Annotated[int, typer.Option(help="Show at most so many, best first.")] = 20,
    jobs: Annotated[int | None, typer.Option(help="Processes; one for each processor by default.")] = None,
    as_json: Json = False,
) -> None:
    """Find a set as chord, line or texture, best witnesses first, with printed bar numbers."""
    from sonorarium.score.query import Query
    from sonorarium.shelf.folder import search_folder

    query = Query.of(what, kind=kind, parts=part or (), tolerance=tolerance)
    with _progress() as progress:
        result = search_folder(paths, query, limit=limit, jobs=jobs, progress=progress)
    if as_json:
        options = {"kinds": query.kinds, "parts": query.parts, "tolerance": float(query.tolerance)}
        print_json("find", {"set": what, "options": options, **result.as_dict()})
    else:
        _print(result)
    _say_what_was_searched(result)
    if not result.files:
        raise DamagedError("None of the files could be read.", suggestion="The reasons stand above.")
    if not result.count:
        raise NothingFoundError(f"{what} was not found in {_count(result.files, 'file')}.")


@contextmanager
def _progress() -> Iterator[Progress | None]:
    """A progress bar on standard error, where that is a terminal."""
    if not sys.stderr.isatty():
        yield None
        return
    from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn

    columns = (
        TextColumn("Searching"),
        BarColumn(),
        MofNCompleteColumn(),
        TextColumn("files,"),
        TimeRemainingColumn(),
    )
    with Progress(*columns, console=remarks(), transient=True) as bar:
        task = bar.add_task("", total=None)
        yield lambda done, total: bar.update(task, completed=done, total=total)


def _print(result: FolderResult) -> None:
    out = console()
    for number, passage in enumerate(result.passages, start=1):
        out.print(f"{number:>3}  {_where(passage)}", soft_wrap=True)
        out.print(f"     {_what(passage)}", soft_wrap=True)
        out.print(f"     {_notes(passage)}", soft_wrap=True)


def _where(passage: Passage) -> str:
    title = passage.source.title or Path(passage.source.path).name
    composer = f"{passage.source.composer}, " if passage.source.composer else ""
    return f"{composer}{title}, {_bars(passage.bars)}   [{Path(passage.source.path).name}]"


def _what(passage: Passage) -> str:
    tight = f"tightest in {_bars(passage.tightest.bars)}"
    beats = f"beat {_beat(passage.first.beat)} to beat {_beat(passage.last.beat)}"
    return (
        f"{passage.kind} of {passage.label} at {passage.transposition}, {beats}; {tight}; "
        f"salience {passage.salience.total:.2f}; {', '.join(p for p in passage.parts if p) or 'unnamed part'}"
    )


def _notes(passage: Passage, most: int = 14) -> str:
    shown = " ".join(passage.notes[:most])
    left = len(passage.notes) - most
    return f"{shown} … and {left} more" if left > 0 else shown


def _count(number: int, thing: str) -> str:
    return f"{number} {thing}" if number == 1 else f"{number} {thing}s"


def _beat(beat: Fraction) -> str:
    """A beat as a mixed number: ``2 2/3``."""
    whole, part = divmod(beat, 1)
    return f"{whole} {part}" if part else str(whole)


def _bars(bars: tuple[str, str]) -> str:
    return f"bar {bars[0]}" if bars[0] == bars[1] else f"bars {bars[0]}–{bars[1]}"


def _say_what_was_searched(result: FolderResult) -> None:
    say = remarks()
    shown = f"the best {len(result.passages)} shown" if result.is_cut else "all shown"
    say.print(
        f"{_count(result.files, 'file')} searched; {_count(result.count, 'passage')} in {result.files_with} of them"
        + (f", {shown}." if result.count else "."),
        soft_wrap=True,
    )
    for one in result.unsearched:
        say.print(f"Not searched: {one.path}: {one.reason}", soft_wrap=True)
