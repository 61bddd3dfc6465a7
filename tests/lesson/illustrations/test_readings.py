"""Ribbon and landscape in a lesson: what stands there is what tracing and the landscape found, with its source."""

from __future__ import annotations

from pathlib import Path

import pytest

from sonorarium.errors import InputError, SonorariumError
from sonorarium.lesson.directives import make
from sonorarium.lesson.illustrations.blocks import Figure, Made, Table
from sonorarium.lesson.markdown import read_page
from sonorarium.score.analysis.tracing import trace
from sonorarium.score.reading import read_score
from sonorarium.study.folder import open_study

DEMO = Path(__file__).parents[3] / "demo"
SONG = "pieces/4-boat-without-oars.musicxml"


def made(text: str) -> Made:
    (directive,) = read_page(f"{text}\n").directives
    return make(directive, open_study(DEMO))


def figure_of(text: str) -> Figure:
    figure = made(text).blocks[0]
    assert isinstance(figure, Figure)
    return figure


def test_the_ribbon_says_every_span_and_its_source() -> None:
    spans = trace(read_score(DEMO / SONG))
    figure, table = made(f"```{{trace}} {SONG}\n:table: yes\n```").blocks
    assert isinstance(figure, Figure)
    assert isinstance(table, Table)
    assert all(span.sentence in figure.description for span in spans)
    assert len(table.rows) == len(spans)
    assert figure.source.startswith("Sonorarium demo, Boat without Oars")
    assert figure.clip is None


def test_a_ribbon_of_some_bars() -> None:
    figure = figure_of(f"```{{trace}} {SONG}\n:bars: 10-12\n:sound: yes\n```")
    assert "2. bars" not in figure.description
    assert "B♭ harmonic minor" in figure.description.replace("Bb", "B♭")
    assert figure.clip is not None
    assert figure.clip.duration_s < 20


def test_the_landscape_by_member_and_by_likeness() -> None:
    members = figure_of(f"```{{landscape}} {SONG}\n```")
    assert "harmonic major on" in members.svg
    likeness = figure_of(f"```{{landscape}} {SONG}\n:set: 7-22\n```")
    assert "Likeness to 7-22" in likeness.svg
    assert "how like each segment is to 7-22" in likeness.description
    assert likeness.source.startswith("Sonorarium demo, Boat without Oars")


def test_other_families() -> None:
    assert "harmonic" in figure_of(f"```{{trace}} {SONG}\n:family: heptatonic\n```").description
    assert figure_of(f"```{{landscape}} {SONG}\n:family: pentatonic\n```").svg.startswith("<svg")


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        (f"```{{trace}} {SONG}\n:family: none such\n```", "There is no family 'none such'"),
        (f"```{{trace}} {SONG}\n:bars: 99\n```", "has no bar 99"),
        (f"```{{trace}} {SONG}\n:lowest: H\n```", "H is not a note name"),
        (f"```{{landscape}} {SONG}\n:set: 7-22\n:family: spaced\n```", "not both"),
        (f"```{{landscape}} {SONG}\n:parts: tuba\n```", "tuba"),
        ("```{landscape} ../x.musicxml\n```", "lies outside the study"),
    ],
)
def test_refusals(text: str, sentence: str) -> None:
    with pytest.raises(SonorariumError) as caught:
        made(text)
    assert isinstance(caught.value, InputError)
    assert sentence in str(caught.value)
    assert str(caught.value).startswith("Line 1: ")
