"""Every class stands in one list of the atlas, and what blends best comes first where it is not yet used."""

from __future__ import annotations

from pathlib import Path

import pytest

from sonorarium.errors import InputError
from sonorarium.shelf.atlas import draw_atlas
from sonorarium.shelf.indexing import add_folders
from sonorarium.shelf.shelf import Shelf
from sonorarium.shelf.statistics import class_use
from tests.shelf.library import fill


@pytest.fixture(scope="module")
def shelf(tmp_path_factory: pytest.TempPathFactory) -> Shelf:
    folder: Path = tmp_path_factory.mktemp("atlas")
    made = Shelf(folder / "shelf")
    add_folders(made, [fill(folder / "music")], jobs=1)
    return made


def test_each_class_stands_in_one_list(shelf: Shelf) -> None:
    atlas = draw_atlas(shelf)
    labels = [one.label for one in (*atlas.used, *atlas.hardly, *atlas.unused)]
    assert len(labels) == len(set(labels)) == 223
    uses = {use.label: use for use in class_use(shelf)}
    assert all(uses[one.label].scores > 1 for one in atlas.used)
    assert all(uses[one.label].scores == 1 for one in atlas.hardly)
    assert all(uses[one.label].count == 0 for one in atlas.unused)


def test_what_sounds_well_comes_first(shelf: Shelf) -> None:
    unused = draw_atlas(shelf, sizes=[5]).unused
    assert {one.size for one in unused} == {5}
    assert [one.consonance for one in unused] == sorted((one.consonance for one in unused), reverse=True)


def test_no_such_size(shelf: Shelf) -> None:
    with pytest.raises(InputError, match="no classes of 13"):
        draw_atlas(shelf, sizes=[13])
