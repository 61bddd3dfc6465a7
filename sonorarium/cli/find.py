"""``sonorarium find``: passages of a set, or of several in a row, in files, in folders or on the shelf."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from sonorarium.cli.output import Json, console, print_json, remarks
from sonorarium.cli.passages import count, near_line, print_chains, print_passages
from sonorarium.errors import DamagedError, InputError, NothingFoundError

if TYPE_CHECKING:
    from sonorarium.score.search.chain import Chain
    from sonorarium.score.search.passage import Passage
    from sonorarium.score.search.query import Query
    from sonorarium.shelf.folder import FolderResult, Progress
    from sonorarium.shelf.sifting import Sift

MOST_NEAREST = 5
"""So many of the nearest finds are told where there are none."""


def find_command(
    what: Annotated[
        str,
        typer.Argument(
            metavar="SET",
            help="A set or a class: 5-26, D double harmonic, C E Ab B. Or several: 5-26 then 4-19 within two bars.",
        ),
    ],
    paths: Annotated[
        list[Path] | None, typer.Argument(help="Scores and folders of scores; by default the whole shelf.")
    ] = None,
    kind: Annotated[list[str] | None, typer.Option(help="chord, line or texture; all by default.")] = None,
    part: Annotated[list[str] | None, typer.Option(help="Only this part, by its printed name; repeatable.")] = None,
    under: Annotated[
        str, typer.Option(help="literal, Tn or TnI: what counts as the same set; as typed by default.")
    ] = "",
    struck: Annotated[
        bool, typer.Option("--struck", help="In chords and textures only notes struck together, none held.")
    ] = False,
    at_least: Annotated[
        bool, typer.Option("--at-least", help="A chord may hold any other pitch classes besides.")
    ] = False,
    extra: Annotated[int | None, typer.Option(help="A chord may hold so many other pitch classes besides.")] = None,
    tolerance: Annotated[
        float, typer.Option(help="Share of the time of a line or texture that may be foreign, 0 to below 1.")
    ] = 0.0,
    near: Annotated[int, typer.Option(help="Also sets up to so many semitones away, 0 to 4.")] = 0,
    alike: Annotated[
        float | None, typer.Option(help="Also classes with at least this likeness, 1 − ASIM: 0.9.")
    ] = None,
    shortest: Annotated[str, typer.Option(help="Shortest length: 2 bars, 3 quarters.")] = "",
    longest: Annotated[str, typer.Option(help="Longest length: 2 bars, 3 quarters.")] = "",
    least_notes: Annotated[int, typer.Option(help="At least so many notes.")] = 1,
    bars: Annotated[str, typer.Option(help="Only these bars, as printed: 9 or 9-12.")] = "",
    bass: Annotated[str, typer.Option(help="This note is lowest, in any octave.")] = "",
    top: Annotated[str, typer.Option(help="This note is highest, in any octave.")] = "",
    by: Annotated[str, typer.Option(help="Order: salience, teachability or place.")] = "salience",
    composer: Annotated[str, typer.Option(help="On the shelf: only by this composer, or part of the name.")] = "",
    since: Annotated[int, typer.Option(help="On the shelf: only of this year or later.")] = 0,
    until: Annotated[int, typer.Option(help="On the shelf: only of this year or earlier.")] = 0,
    every: Annotated[
        bool, typer.Option("--every", help="List every repeat of a passage by itself, not folded into the first.")
    ] = False,
    limit: Annotated[int, typer.Option(help="Show at most so many.")] = 20,
    jobs: Annotated[int | None, typer.Option(help="Processes; one for each processor by default.")] = None,
    shelf: Annotated[
        Path | None, typer.Option(help="Folder of the shelf; SONORARIUM_SHELF, or your data folder, by default.")
    ] = None,
    as_json: Json = False,
) -> None:
    """Find a set, or several in a row, as chord, line or texture, best witnesses first, with printed bar numbers.

    Nothing found is an answer, with how much was searched and what comes nearest. docs/finding.md explains every
    option and how passages are ranked.
    """
    from sonorarium.score.search.asked import in_words, options
    from sonorarium.score.search.nearest import nearest
    from sonorarium.score.search.question import Typed, question
    from sonorarium.shelf.sifting import Sift

    typed = Typed(
        *(tuple(kind or ()), tuple(part or ()), under, struck, at_least, extra, tolerance, near, alike),
        *(shortest, longest, least_notes, bars, bass, top, by, every),
    )
    asked = question(what, typed)
    place = _Place(tuple(paths or ()), shelf, jobs, Sift(composer, since, until))
    result = place.search(asked, limit)
    near_by: tuple[Passage, ...] = ()
    if result.files and not result.count:
        near_by = nearest(asked, result.link_counts, lambda query: place.search(query, MOST_NEAREST).passages)
    if as_json:
        found = {"set": what, "options": options(asked), "nearest": [one.as_dict() for one in near_by]}
        print_json("find", {**found, **result.as_dict()})
    elif result.count:
        print_passages(result.passages)
        print_chains(result.chains)
        console().print(f"Read as: {in_words(asked)}.", soft_wrap=True)
    _say_what_was_searched(result)
    if not result.files and place.sift and not result.unsearched:
        raise NothingFoundError(f"No score on the shelf is {place.sift.in_words}.")
    if not result.files:
        raise DamagedError("None of the files could be searched.", suggestion="The reasons stand above.")
    if not result.count:
        _say_nothing_found(what, asked, result, near_by)


@dataclass(frozen=True)
class _Place:
    """Where to search: in files and folders, or on a shelf."""

    paths: tuple[Path, ...]
    shelf: Path | None
    jobs: int | None
    sift: Sift

    def __post_init__(self) -> None:
        if self.paths and self.sift:
            raise InputError(
                "Composer and date are known of the shelf's scores.",
                suggestion="Put the folder on the shelf, or leave --composer, --since and --until out.",
            )
        if self.paths and self.shelf:
            raise InputError(
                "Files are searched, or a shelf, not both.", suggestion="Leave the files or --shelf out."
            )

    def search(self, asked: Query | Chain, limit: int) -> FolderResult:
        from sonorarium.score.search.query import Query
        from sonorarium.shelf.folder import search_folder

        with _progress() as progress:
            if self.paths:
                return search_folder(self.paths, asked, limit=limit, jobs=self.jobs, progress=progress)
            from sonorarium.shelf.folding import search_folded
            from sonorarium.shelf.searching import search_shelf
            from sonorarium.shelf.shelf import open_shelf

            shelf = open_shelf(self.shelf)
            if isinstance(asked, Query):
                return search_folded(shelf, asked, limit=limit, progress=progress, sift=self.sift)
            return search_shelf(shelf, asked, limit=limit, progress=progress, sift=self.sift)


def _say_nothing_found(what: str, asked: Query | Chain, result: FolderResult, nearest: tuple[Passage, ...]) -> None:
    """Say what was asked and what comes nearest, and end as an answer that is empty."""
    from sonorarium.score.search.asked import in_words
    from sonorarium.score.search.query import Query

    say = remarks()
    say.print(f"Read as: {in_words(asked)}.", soft_wrap=True)
    if not isinstance(asked, Query):
        counts = zip(asked.links, result.link_counts, strict=True)
        found = "; ".join(f"{link.name} {number or 'not at all'}" for link, number in counts)
        say.print(f"By themselves: {found}.", soft_wrap=True)
    for one in nearest:
        say.print(f"Nearest: {near_line(one)}", soft_wrap=True)
    links = (asked,) if isinstance(asked, Query) else asked.links
    if not nearest and all(link.near.is_exact for link in links) and not all(result.link_counts or (0,)):
        say.print("No set within two semitones was found either.", soft_wrap=True)
    raise NothingFoundError(f"{what} was not found in {count(result.files, 'file')}.")


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


def _say_what_was_searched(result: FolderResult) -> None:
    say = remarks()
    thing = "chain" if result.link_counts else "passage"
    shown = "all shown"
    if result.is_cut:
        shown = f"the best {len(result.passages) + len(result.chains)} shown"
        shown = shown if result.by in (None, "salience") else shown.replace("best", "first")
    found = f"{count(result.count, thing)} in {result.files_with} of them" + (f", {shown}." if result.count else ".")
    say.print(f"{count(result.files, 'file')} searched; {found}", soft_wrap=True)
    if result.bars:
        have = "It has" if result.files == 1 else "They have"
        say.print(f"{have} {count(result.bars, 'bar')} and {count(result.notes, 'note')}.", soft_wrap=True)
    if result.folded:
        say.print(f"{count(result.folded, thing)} folded into others, as repeats of the same notes.", soft_wrap=True)
    for one in result.unsearched:
        say.print(f"Not searched: {one.path}: {one.reason}", soft_wrap=True)
