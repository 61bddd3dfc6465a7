"""Searching a shelf with repeats folded: from the tables first, then only in the pieces that come first.

Whether a passage is a repeat of another is seen in the notes, and the tables know places alone. So the best passages
are looked up unfolded; the pieces that they are from are searched with repeats folded; and of the passages looked up,
those remain that are not repeats of one before them. Where too few remain, more are looked up, until there are enough
or no more. What needs no table, or cannot use one, is searched as `sonorarium.shelf.searching` does it.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import replace

from sonorarium.score.search.finding import find_best
from sonorarium.score.search.passage import Passage
from sonorarium.score.search.query import Query
from sonorarium.shelf.folder import FolderResult
from sonorarium.shelf.searching import EVERY, is_tabulated, search_shelf
from sonorarium.shelf.shelf import Shelf
from sonorarium.shelf.sifting import Sift

Kept = dict[tuple[object, ...], Passage]
"""Passages with their repeats, by what identifies them."""


def search_folded(
    shelf: Shelf,
    query: Query,
    *,
    limit: int | None = 100,
    progress: Callable[[int, int], None] | None = None,
    sift: Sift = EVERY,
) -> FolderResult:
    """Search all scores on a shelf, with repeats folded where the query's listing says so.

    Parameters
    ----------
    shelf, query, limit, progress, sift
        As for `sonorarium.shelf.searching.search_shelf`.

    Returns
    -------
    FolderResult
        Its count of folded passages is that of the pieces that were looked through for the list; of all pieces, where
        the list is not cut.

    Raises
    ------
    InputError
        Where the limit makes no sense.
    DamagedError
        Where a table of the shelf is damaged.
    """
    plain = replace(query, listing=replace(query.listing, fold=False))
    if not query.listing.fold or limit is None or not is_tabulated(plain):
        return search_shelf(shelf, query, limit=limit, progress=progress, sift=sift)
    folded: dict[str, tuple[Kept, int]] = {}
    wanted = 2 * limit
    while True:
        result = search_shelf(shelf, plain, limit=wanted, progress=progress, sift=sift)
        for path, most in Counter(passage.source.path for passage in result.passages).items():
            folded[path] = _folded(shelf, query, path, most)
        kept = [one for passage in result.passages if (one := folded[passage.source.path][0].get(passage.rank))]
        if len(kept) >= limit or len(result.passages) == result.count:
            gone = sum(count for _, count in folded.values())
            return replace(result, passages=tuple(kept[:limit]), folded=gone)
        wanted *= 4


def _folded(shelf: Shelf, query: Query, path: str, most: int) -> tuple[Kept, int]:
    """The first passages of one piece that are no repeats, and how many others there are in all."""
    best = find_best(shelf.score(path), query, most)
    return {passage.rank: passage for passage in best.passages}, best.folded
