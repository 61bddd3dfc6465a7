from pathlib import Path

import pytest

from sonorarium.shelf.indexing import add_folders
from sonorarium.shelf.shelf import Shelf
from tests.shelf.library import fill


@pytest.fixture(scope="session")
def library(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Four open scores in a folder; nobody changes it."""
    return fill(tmp_path_factory.mktemp("library"))


@pytest.fixture(scope="session")
def indexed(library: Path, tmp_path_factory: pytest.TempPathFactory) -> Shelf:
    """The library on a shelf; nobody changes it."""
    shelf = Shelf(tmp_path_factory.mktemp("shelf"))
    add_folders(shelf, [library], jobs=1)
    return shelf


@pytest.fixture
def shelf(tmp_path: Path) -> Shelf:
    """An empty shelf."""
    return Shelf(tmp_path / "shelf")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Four scores in a folder that may be changed."""
    return fill(tmp_path / "folder")
