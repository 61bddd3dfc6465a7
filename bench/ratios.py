"""All figures against the budgets of the design: ``python -m bench.ratios``.

Each part runs as a process of its own. Times on a shared machine are noisy: trust the ratios.
"""

from __future__ import annotations

import subprocess
import sys

PARTS = (
    ("pcs",),
    ("reading",),
    ("shelf",),
    ("tracing", "--no-windows"),
    ("landscape",),
    ("rendering",),
    ("lessons",),
    ("web",),
)
"""Modules here that print figures, with what they are told; ``bench.tracing`` alone adds the slow comparison."""


def main() -> int:
    """Print every part, and return how many of them failed."""
    failed = 0
    for name, *words in PARTS:
        failed += subprocess.run([sys.executable, "-m", f"bench.{name}", *words], check=False).returncode != 0
        print(flush=True)
    return failed


if __name__ == "__main__":
    sys.exit(main())
