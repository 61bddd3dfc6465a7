"""Folded searches of a shelf give what a search through the files gives."""

from dataclasses import replace
from pathlib import Path

import music21
import pytest

from sonorarium.errors import InputError
from sonorarium.score.search.listing import Listing
from sonorarium.score.search.query import Query
from sonorarium.shelf.folder import search_folder
from sonorarium.shelf.folding import search_folded
from sonorarium.shelf.indexing import add_folders
from sonorarium.shelf.searching import search_shelf
from sonorarium.shelf.shelf import Shelf

CORPUS = Path(music21.__file__).parent / "corpus"
FILES = [CORPUS / "joplin/maple_leaf_rag.mxl", CORPUS / "schoenberg/opus19", CORPUS / "bach/bwv66.6.mxl"]


@pytest.fixture(scope="module")
def shelf(tmp_path_factory: pytest.TempPathFactory) -> Shelf:
    made = Shelf(tmp_path_factory.mktemp("folding") / "shelf")
    add_folders(made, FILES, jobs=1)
    return made


@pytest.mark.parametrize("limit", [1, 7, 60, 5000])
@pytest.mark.parametrize("what", ["4-27", "3-11B", "6-Z12"])
def test_the_same_passages_come_first(shelf: Shelf, what: str, limit: int) -> None:
    query = replace(Query.of(what), listing=Listing(fold=True))
    on_shelf = search_folded(shelf, query, limit=limit)
    in_files = search_folder(FILES, query, limit=limit, jobs=1)
    assert on_shelf.passages == in_files.passages
    assert (on_shelf.count, on_shelf.files_with) == (in_files.count, in_files.files_with)
    assert on_shelf.folded <= in_files.folded
    if not in_files.is_cut:
        assert on_shelf.folded == in_files.folded


def test_what_the_tables_do_not_tell_is_searched_all_the_same(shelf: Shelf) -> None:
    for query in (
        replace(Query.of("4-27"), listing=Listing("place", True)),
        replace(Query.of("4-27"), listing=Listing(fold=True), struck=True),
    ):
        assert search_folded(shelf, query, limit=9) == search_folder(FILES, query, limit=9, jobs=1)
    plain = Query.of("4-27")
    assert search_folded(shelf, plain, limit=9) == search_shelf(shelf, plain, limit=9)
    with pytest.raises(InputError, match="1 or more"):
        search_folded(shelf, replace(plain, listing=Listing(fold=True)), limit=0)
