"""Searching many files: the best passages over all of them, how many there were, and what could not be searched.

A set is searched for (`sonorarium.score.search.finding`), or several in a row (`sonorarium.score.search.chaining`).
Where nothing is found, `search_nearest` says what comes nearest.

Files are read and searched in worker processes; what comes back is plain passages, never scores, so memory stays
small however large the folder is. One bad file never stops the run:

* A file that cannot be read, or that lacks the parts asked for, is listed with the reason in one sentence.
* A file on which a worker process dies (out of memory, a fault in native code) is listed too. The files that were in
  the hands of the workers when one died are each tried again alone, so that only the culprit is lost.

Interrupting (Ctrl-C) drops what waits, lets the workers finish the few files in their hands, and passes the
interruption on.
"""

from __future__ import annotations

import heapq
import os
from collections.abc import Callable, Generator, Iterable
from contextlib import closing
from dataclasses import dataclass, field, replace
from functools import partial
from itertools import zip_longest
from pathlib import Path

from sonorarium.errors import InputError, SonorariumError
from sonorarium.score.formats.sniffing import SUFFIXES
from sonorarium.score.reading import read_score
from sonorarium.score.search.chain import Chain
from sonorarium.score.search.chaining import BestChains, ChainPassage, find_chains
from sonorarium.score.search.finding import NEAREST, Best, find_best
from sonorarium.score.search.listing import By
from sonorarium.score.search.nearness import Near
from sonorarium.score.search.passage import Passage
from sonorarium.score.search.query import Query
from sonorarium.shelf.workers import in_workers

CHUNK = 8
"""So many files are handed to a worker at a time."""

Progress = Callable[[int, int], None]
"""Called with the number of files done and the number of files in all."""


@dataclass(frozen=True, order=True)
class Unsearched:
    """A file that could not be searched.

    Parameters
    ----------
    path : str
    reason : str
        One sentence.
    """

    path: str
    reason: str


@dataclass(frozen=True)
class FolderResult:
    """What a search through many files found.

    Parameters
    ----------
    passages : tuple of Passage
        In the order of the listing, over all files; of equals, by path and place.
    count : int
        How many passages, or chains, there are in all, shown or not.
    files : int
        How many files were searched.
    files_with : int
        How many of them have at least one passage.
    unsearched : tuple of Unsearched
        Files that could not be searched, by path.
    folded : int
        How many of the passages are repeats that were folded into others.
    chains : tuple of ChainPassage
        Several sets in a row, where these were searched for; in the order of the listing.
    link_counts : tuple of int
        How many passages there are of each set of such a row by itself.
    bars, notes : int
        How many bars and notes were looked at, where that was counted; they do not make results differ.
    by : {"salience", "teachability", "place"} or None
        What decided the order; None for salience, or where nothing was listed.
    """

    passages: tuple[Passage, ...] = ()
    count: int = 0
    files: int = 0
    files_with: int = 0
    unsearched: tuple[Unsearched, ...] = ()
    folded: int = 0
    chains: tuple[ChainPassage, ...] = ()
    link_counts: tuple[int, ...] = ()
    bars: int = field(default=0, compare=False)
    notes: int = field(default=0, compare=False)
    by: By | None = field(default=None, compare=False)

    @classmethod
    def of(cls, best: Best | BestChains) -> FolderResult:
        """What was found in one file."""
        one = cls(
            count=best.count, files=1, files_with=int(best.count > 0), bars=best.bars, notes=best.notes, by=best.by
        )
        if isinstance(best, BestChains):
            return replace(one, chains=best.chains, link_counts=best.link_counts)
        return replace(one, passages=best.passages, folded=best.folded)

    @property
    def is_cut(self) -> bool:
        """Whether there are more passages, or chains, than are listed."""
        return self.count - self.folded > len(self.passages) + len(self.chains)

    def joined(self, other: FolderResult, limit: int | None) -> FolderResult:
        """Put two results together, with at most so many passages."""
        by = self.by or other.by
        passages = heapq.merge(self.passages, other.passages, key=lambda one: one.key(by or "salience"))
        chains = heapq.merge(self.chains, other.chains, key=lambda one: one.key(by or "salience"))
        links = zip_longest(self.link_counts, other.link_counts, fillvalue=0)
        return FolderResult(
            tuple(passages)[:limit],
            self.count + other.count,
            self.files + other.files,
            self.files_with + other.files_with,
            tuple(sorted((*self.unsearched, *other.unsearched))),
            self.folded + other.folded,
            tuple(chains)[:limit],
            tuple(one + another for one, another in links),
            self.bars + other.bars,
            self.notes + other.notes,
            by,
        )

    def as_dict(self) -> dict[str, object]:
        """Plain values for JSON, with keys that stay the same."""
        return {
            "passages": [passage.as_dict() for passage in self.passages],
            "count": self.count,
            "is_cut": self.is_cut,
            "folded": self.folded,
            "chains": [chain.as_dict() for chain in self.chains],
            "link_counts": list(self.link_counts),
            "files": self.files,
            "files_with": self.files_with,
            "bars": self.bars,
            "notes": self.notes,
            "unsearched": [{"path": one.path, "reason": one.reason} for one in self.unsearched],
        }


def score_files(paths: Iterable[str | Path]) -> tuple[Path, ...]:
    """List the files that paths stand for.

    Parameters
    ----------
    paths : iterable of str or Path
        Files, taken as they are, and folders, searched to any depth for files with a suffix of `SUFFIXES`. What lies
        in a hidden folder, or is hidden itself, is left out.

    Returns
    -------
    tuple of Path
        Each file once, in the order of the paths, those of a folder sorted.

    Raises
    ------
    InputError
        Where there is no such file or folder.
    """
    found: dict[Path, None] = {}
    for path in map(Path, paths):
        if not path.exists():
            raise InputError(f"There is no file or folder {path}.", value=str(path))
        found.update(dict.fromkeys(_inside(path) if path.is_dir() else [path]))
    return tuple(found)


def _inside(folder: Path) -> list[Path]:
    files = (path for path in folder.rglob("*") if path.suffix.lower() in SUFFIXES and path.is_file())
    return sorted(path for path in files if not any(name.startswith(".") for name in path.relative_to(folder).parts))


def search_folder(
    paths: Iterable[str | Path],
    query: Query | Chain,
    *,
    limit: int | None = 100,
    jobs: int | None = None,
    progress: Progress | None = None,
) -> FolderResult:
    """Search many files.

    Parameters
    ----------
    paths : iterable of str or Path
        Files and folders; see `score_files`.
    query : Query or Chain
        What is searched for.
    limit : int or None
        At most so many passages are handed back; None for all. The result says how many there were.
    jobs : int, optional
        Number of worker processes; by default one for each processor, but none for a handful of files. 1 works in
        this process, where a fault in native code would end it.
    progress : callable, optional
        Called with (files done, files in all) from time to time, in this process.

    Returns
    -------
    FolderResult

    Raises
    ------
    InputError
        Where there is no such file or folder, or a number makes no sense.
    """
    if (limit is not None and limit < 1) or (jobs is not None and jobs < 1):
        raise InputError("Limit and jobs must be 1 or more.", value=(limit, jobs))
    files = [str(path) for path in score_files(paths)]
    chunks = [files[at : at + CHUNK] for at in range(0, len(files), CHUNK)]
    jobs = min(jobs or os.cpu_count() or 1, len(chunks))
    total = FolderResult()
    with closing(_in_workers(chunks, query, limit, jobs) if jobs > 1 else _here(chunks, query, limit)) as results:
        for result in results:
            total = total.joined(result, limit)
            if progress:
                progress(total.files + len(total.unsearched), len(files))
    return total


def search_nearest(
    paths: Iterable[str | Path],
    query: Query,
    *,
    limit: int | None = 5,
    jobs: int | None = None,
    progress: Progress | None = None,
) -> FolderResult:
    """Search many files for what comes nearest to a query that finds nothing: sets one semitone away, or else two.

    Parameters
    ----------
    paths, query, limit, jobs, progress
        As for `search_folder`. All options of the query stay, but for how near a set must be.

    Returns
    -------
    FolderResult
        Its passages say what differs; none where nothing comes near.

    Raises
    ------
    InputError
        As `search_folder` does.
    """
    paths = list(paths)
    result = FolderResult()
    for semitones in NEAREST:
        result = search_folder(paths, replace(query, near=Near(semitones)), limit=limit, jobs=jobs, progress=progress)
        if result.count:
            break
    return result


def _here(chunks: list[list[str]], query: Query | Chain, limit: int | None) -> Generator[FolderResult, None, None]:
    for chunk in chunks:
        yield _search(chunk, query, limit)


def _search(files: list[str], query: Query | Chain, limit: int | None) -> FolderResult:
    """Search some files, one after the other; this is what a worker runs."""
    total = FolderResult()
    for file in files:
        total = total.joined(_search_one(file, query, limit), limit)
    return total


def _search_one(file: str, query: Query | Chain, limit: int | None) -> FolderResult:
    try:
        score = read_score(file)
        best = find_chains(score, query, limit) if isinstance(query, Chain) else find_best(score, query, limit)
    except SonorariumError as error:
        return FolderResult(unsearched=(Unsearched(file, str(error)),))
    except Exception as error:  # a fault of ours in one strange file must not lose the answers from all others
        reason = f"Searching it failed for a reason that was not foreseen ({type(error).__name__}: {error})."
        return FolderResult(unsearched=(Unsearched(file, reason),))
    return FolderResult.of(best)


def _in_workers(
    chunks: list[list[str]], query: Query | Chain, limit: int | None, jobs: int
) -> Generator[FolderResult, None, None]:
    """Search chunks in worker processes; yield results in no particular order."""
    work = partial(_search, query=query, limit=limit)
    with closing(in_workers(work, chunks, jobs, lambda files: [[file] for file in files])) as results:
        for files, result in results:
            died = FolderResult(
                unsearched=tuple(Unsearched(file, "The process that read it died.") for file in files)
            )
            yield died if result is None else result
