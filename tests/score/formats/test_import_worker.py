"""The importing program: what it answers to a job."""

from __future__ import annotations

from sonorarium.score.formats.import_worker import answer


class Importer:
    """Stands for the native importer: it takes what has notes, and nothing else."""

    def __init__(self) -> None:
        self.options: dict[str, object] = {}

    def resetOptions(self) -> None:  # noqa: N802
        self.options = {}

    def setOptions(self, options: dict[str, object]) -> None:  # noqa: N802
        self.options = options

    def resetXmlIdSeed(self, seed: int) -> None:  # noqa: N802
        self.options["seed"] = seed

    def loadData(self, data: str) -> bool:  # noqa: N802
        return "**kern" in data

    def getMEI(self) -> str:  # noqa: N802
        return f"<mei from={self.options['inputFrom']!r}/>"


def test_what_is_refused_gets_null() -> None:
    assert answer(Importer(), {"data": "**kern", "format": "humdrum"}) == {"mei": "<mei from='humdrum'/>"}
    assert answer(Importer(), {"data": "nothing", "format": "mei"}) == {"mei": None}
