"""Published values: the rows of the CSV files of this folder, and the checks that compute each of them.

A file ``<area>.csv`` holds one value a row: ``input`` and ``expected`` are JSON; ``how_known`` says whether the
source was read, recalled, or is common practice. Where ``recomputed`` says ``disagrees``, the source's claim is
wrong and the note gives the value to test against.
"""

from __future__ import annotations

import csv
import json
import re
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any


@dataclass(frozen=True)
class Row:
    id: str
    input: Any
    expected: Any
    recomputed: str
    note: str

    @property
    def value(self) -> Any:
        """What a computation has to give."""
        if self.recomputed != "disagrees":
            return self.expected
        _, _, after = self.note.partition("TEST VALUE: ")
        return json.JSONDecoder().raw_decode(after)[0]

    @property
    def tolerance(self) -> float:
        found = re.search(r"tolerance ([\d.e-]+\d)", self.note)
        return float(found[1]) if found else 0.0


def rows(area: str) -> list[Row]:
    with (Path(__file__).parent / f"{area}.csv").open(encoding="utf-8", newline="") as file:
        return [
            Row(r["id"], json.loads(r["input"]), json.loads(r["expected"]), r["recomputed"], r["note"])
            for r in csv.DictReader(file)
        ]


Check = Callable[[Row], None]


@dataclass
class Checks:
    """The checks of one area, by the id of their row."""

    area: str
    by_id: dict[str, Check] = field(default_factory=dict)

    def of(self, *ids: str) -> Callable[[Check], Check]:
        def note(check: Check) -> Check:
            for row_id in ids:
                assert row_id not in self.by_id, f"{row_id} has two checks"
                self.by_id[row_id] = check
            return check

        return note

    @property
    def rows(self) -> list[Row]:
        return rows(self.area)

    def run(self, row: Row) -> None:
        self.by_id[row.id](row)

    def assert_complete(self) -> None:
        """Every row has a check, and every check a row."""
        assert self.by_id.keys() == {row.id for row in self.rows}
