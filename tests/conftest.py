"""What holds for all tests: no example is timed; where CI runs, generated examples are the same each time.

Nothing is kept in the user's own cache: every run has a folder of its own for it.
"""

from __future__ import annotations

import os
from collections.abc import Iterator

import pytest
from hypothesis import settings

settings.register_profile("house", deadline=None)
settings.register_profile("ci", deadline=None, derandomize=True)
settings.load_profile("ci" if os.environ.get("CI") else "house")


@pytest.fixture(scope="session", autouse=True)
def cache_folder(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    with pytest.MonkeyPatch.context() as changed:
        changed.setenv("SONORARIUM_CACHE", str(tmp_path_factory.mktemp("cache")))
        yield
