"""Messages to and from the importing process: framed, whole, and null where they are cut short."""

from __future__ import annotations

import io

import pytest

from sonorarium.score.formats.import_worker import answer, read_message, write_message


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


@pytest.mark.parametrize("message", [{"data": "**kern\n4c♯\n", "format": "humdrum"}, {"mei": None}, []])
def test_a_message_arrives_as_it_was_sent(message: object) -> None:
    stream = io.BytesIO()
    write_message(stream, message)
    stream.seek(0)
    assert read_message(stream) == message
    assert read_message(stream) is None


def test_a_message_cut_short_is_none() -> None:
    stream = io.BytesIO()
    write_message(stream, {"data": "long enough"})
    for length in (2, 6):
        assert read_message(io.BytesIO(stream.getvalue()[:length])) is None


def test_what_is_refused_gets_null() -> None:
    assert answer(Importer(), {"data": "**kern", "format": "humdrum"}) == {"mei": "<mei from='humdrum'/>"}
    assert answer(Importer(), {"data": "nothing", "format": "mei"}) == {"mei": None}
