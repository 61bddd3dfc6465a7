"""The importing process: it may refuse, die or hang, and the reading program lives on."""

from __future__ import annotations

import os
import signal
from collections.abc import Iterator

import pytest

from sonorarium.errors import DamagedError
from sonorarium.score.formats.importing import Importer, shared_importer

KERN = "**kern\n*M2/4\n=1\n4c\n4d#\n==\n*-\n"
SPLIT_WITHOUT_A_SPINE = "**kern\n1c\t1d\n*-\n"
"""Makes verovio 6.4.1 abort: std::length_error."""


@pytest.fixture
def importer() -> Iterator[Importer]:
    importer = Importer()
    yield importer
    importer.close()


def test_humdrum_becomes_mei(importer: Importer) -> None:
    mei, _ = importer.mei(KERN, "humdrum")
    assert '<note xml:id="note-L5F1"' in mei
    assert 'accid="s"' in mei


def test_native_code_that_aborts_takes_nobody_along(importer: Importer) -> None:
    importer.mei(KERN, "humdrum")
    before = importer.process_id
    with pytest.raises(DamagedError, match=r"cannot be understood: Error on line 2; Expected 1 fields"):
        importer.mei(SPLIT_WITHOUT_A_SPINE, "humdrum")
    assert importer.process_id is None
    mei, _ = importer.mei(KERN, "humdrum")
    assert "<note" in mei
    assert importer.process_id not in (None, before)


def test_a_process_that_was_killed_is_replaced(importer: Importer) -> None:
    importer.mei(KERN, "humdrum")
    assert importer.process_id is not None
    os.kill(importer.process_id, signal.SIGKILL)
    mei, _ = importer.mei(KERN, "humdrum")
    assert "<note" in mei


def test_a_file_that_takes_too_long_is_given_up(importer: Importer) -> None:
    importer.mei(KERN, "humdrum")
    importer.time_limit_s = 0.05
    long = "**kern\n*M4/4\n" + "".join(f"={bar}\n" + "16c\n" * 16 for bar in range(1, 3_000)) + "*-\n"
    with pytest.raises(DamagedError, match=r"it took longer than 0\.05 seconds"):
        importer.mei(long, "humdrum")
    importer.time_limit_s = 30
    assert "<note" in importer.mei(KERN, "humdrum")[0]


def test_what_is_no_mei_is_refused(importer: Importer) -> None:
    with pytest.raises(DamagedError, match="cannot be understood"):
        importer.mei("<mei><music>", "mei")
    assert "<note" in importer.mei(KERN, "humdrum")[0]


def test_one_importer_for_a_process() -> None:
    assert shared_importer() is shared_importer()
