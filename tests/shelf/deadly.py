"""A search that kills its process on certain files, as a fault in native code would."""

import os
import signal

from sonorarium.score.search.query import Query
from sonorarium.shelf.folder import FolderResult, _search


def search_or_die(files: list[str], query: Query, limit: int | None) -> FolderResult:
    if any("deadly" in file for file in files):
        os.kill(os.getpid(), signal.SIGKILL)
    return _search(files, query, limit)
