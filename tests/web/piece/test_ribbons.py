"""The ribbon under a line of music."""

from __future__ import annotations

import pytest
from lxml import etree

from sonorarium.pcs.families import default_family
from sonorarium.score.reading import read_score
from sonorarium.score.score import Score
from sonorarium.web.facts.drawings import passage
from sonorarium.web.piece.ribbons import draw_ribbon_of
from sonorarium.web.piece.scoring import span_facts, spans_of
from sonorarium.web.piece.systems import systems_of
from tests.web.conftest import DEMO


def ribbons(name: str, bars: tuple[int, int]) -> list[str]:
    score = read_score(DEMO / "pieces" / name)
    spans = spans_of(score, default_family())
    _, systems = systems_of(passage(score, bars))
    return [draw_ribbon_of(score, system, spans, span_facts(spans)) for system in systems]


def test_each_band_names_its_collection_and_links_to_its_sheet() -> None:
    drawn = "".join(ribbons("5-clockwork-moth.musicxml", (8, 15)))
    assert "2 B♭ acoustic</text>" in drawn
    assert 'href="/sheet?set=Bb%20acoustic"' in drawn
    assert 'class="band decided"' in drawn
    for text in ribbons("5-clockwork-moth.musicxml", (8, 15)):
        etree.fromstring(text)


def test_a_band_begins_where_its_span_begins() -> None:
    score: Score = read_score(DEMO / "pieces" / "5-clockwork-moth.musicxml")
    spans = spans_of(score, default_family())
    _, systems = systems_of(passage(score, (8, 15)))
    bar = spans[1].bar_indices[0]
    system = next(one for one in systems if bar in one.bars)
    drawn = etree.fromstring(draw_ribbon_of(score, system, spans, span_facts(spans)))
    grounds = [float(rect.get("x", "")) for rect in drawn.iter("rect") if rect.get("class") == "ground"]
    assert min(abs(x - system.bars[bar].left) for x in grounds) == pytest.approx(20, abs=1)


def test_what_goes_on_from_the_line_before_says_so() -> None:
    before, after = ribbons("4-boat-without-oars.musicxml", (0, 7))[:2]
    assert ">1 F harmonic major<" in before
    assert ">… 1 F harmonic major<" in after


def test_an_undecided_band_is_told_without_colour() -> None:
    (drawn, *_) = ribbons("1-saffron-evening.musicxml", (0, 3))
    assert 'class="band none-of-these"' in drawn
    assert "7-22, none of these" in drawn
