"""Micro-benchmarks of what is asked most: ``make bench``."""

from __future__ import annotations

from pathlib import Path

import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from sonorarium.lesson.illustrations.sheets import engrave_scale
from sonorarium.pcs.naming import name_set
from sonorarium.pcs.pcset import PcSet
from sonorarium.pcs.reading import read_set
from sonorarium.pcs.subject import subject
from sonorarium.pcs.survey import survey
from sonorarium.score.reading import read_score
from sonorarium.score.search.finding import find

SONG = Path(__file__).resolve().parents[1] / "demo" / "pieces" / "1-saffron-evening.musicxml"


@pytest.mark.parametrize("text", ["D double harmonic", "Ebmaj7#5", "C E Ab B", "6-Z10B on G"])
def test_reading_a_set(benchmark: BenchmarkFixture, text: str) -> None:
    benchmark(read_set, text)


def test_surveying_a_scale(benchmark: BenchmarkFixture) -> None:
    benchmark(survey, "D double harmonic")


def test_naming_a_chord(benchmark: BenchmarkFixture) -> None:
    benchmark(name_set, PcSet((0, 4, 8, 11)))


def test_reading_a_score(benchmark: BenchmarkFixture) -> None:
    benchmark(read_score, SONG)


def test_finding_a_class(benchmark: BenchmarkFixture) -> None:
    score = read_score(SONG)
    benchmark(find, score, "5-15")


def test_engraving_a_scale(benchmark: BenchmarkFixture) -> None:
    shown = subject("D double harmonic")
    benchmark(engrave_scale, shown)
