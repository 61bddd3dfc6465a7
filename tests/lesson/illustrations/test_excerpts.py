"""A passage in a lesson shows the right bars, marks the right notes, names its source and sounds."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from sonorarium.lesson.illustrations.blocks import Figure
from sonorarium.lesson.illustrations.excerpts import MOST_BARS, make_passage
from sonorarium.lesson.markdown import read_page
from sonorarium.score.reading import read_score
from sonorarium.score.search.finding import find
from sonorarium.study.folder import open_study

STUDY = open_study(Path(__file__).parents[3] / "demo")
SONG = "pieces/1-saffron-evening.musicxml"


def passage(options: str) -> tuple[Figure, tuple[str, ...]]:
    (directive,) = read_page(f"```{{passage}} {SONG}\n{options}\n```\n").directives
    made = make_passage(directive, STUDY)
    (figure,) = made.blocks
    assert isinstance(figure, Figure)
    return figure, made.remarks


def test_marked_notes_are_those_of_the_passage() -> None:
    figure, _ = passage(":set: 5-15\n:sound: no")
    score = read_score(STUDY.inside(SONG))
    best = find(score, "5-15", kind="texture")[0]
    marked = {int(n) for n in re.findall(r'class="note marked"[^>]*data-note="(\d+)"', figure.svg)}
    assert marked
    assert {int(score.element_note[n]) for n in marked} == set(best.rows)
    assert figure.svg.count('class="mark"') >= 1


def test_the_source_line_names_composer_title_bars_and_rights() -> None:
    figure, _ = passage(":bars: 3-6\n:sound: no")
    assert figure.source == "Sonorarium demo, Saffron Evening, bars 3–6. CC0 1.0."
    assert figure.clip is None


def test_the_sound_is_that_of_the_bars() -> None:
    figure, _ = passage(":bars: 3-4")
    assert figure.clip is not None
    assert figure.clip.duration_s == pytest.approx(6 * 60 / 84, abs=1.5)


def test_a_long_excerpt_is_cut_and_says_so() -> None:
    figure, remarks = passage(":sound: no")
    assert f"bars 1–{MOST_BARS}" in figure.source
    assert f"only the first {MOST_BARS} bars are shown" in remarks[0]
