"""All figures against the budgets of the design: ``python -m bench.ratios``.

Every module here that has a ``table()`` is asked for it. Times on a shared machine are noisy: trust the ratios.
"""

from __future__ import annotations

from importlib import import_module
from pathlib import Path


def main() -> None:
    """Print every table."""
    for path in sorted(Path(__file__).parent.glob("*.py")):
        if path.stem in ("__init__", "ratios") or path.stem.startswith("test_"):
            continue
        print(import_module(f"bench.{path.stem}").table(), end="\n\n")


if __name__ == "__main__":
    main()
