"""What holds for all tests: no example is timed; where CI runs, generated examples are the same each time."""

from __future__ import annotations

import os

from hypothesis import settings

settings.register_profile("house", deadline=None)
settings.register_profile("ci", deadline=None, derandomize=True)
settings.load_profile("ci" if os.environ.get("CI") else "house")
