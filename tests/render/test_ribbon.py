"""The ribbon: what stands in its rows, and that all of it is said in words."""

from __future__ import annotations

from pathlib import Path

import pytest
from lxml import etree

from sonorarium.pcs.families import read_family
from sonorarium.render.ribbon import ROW, draw_ribbon
from sonorarium.score.analysis.span import Span
from sonorarium.score.analysis.tracing import trace
from sonorarium.score.reading import read_score

DEMO = Path(__file__).parents[2] / "demo" / "pieces"
SVG = "{http://www.w3.org/2000/svg}"
FAMILY = read_family(
    'name = "kin"\nscales = ["major", "acoustic", "harmonic minor", "harmonic major", "double harmonic"]'
)


@pytest.fixture(scope="module")
def lamps() -> list[Span]:
    """C acoustic, D harmonic major, D double harmonic, with chromatic passing notes."""
    return trace(read_score(DEMO / "6-after-the-lamps.musicxml"), FAMILY)


def bands(drawing: str) -> list[etree._Element]:
    return etree.fromstring(drawing.encode()).findall(f"{SVG}g")


def test_each_span_is_a_band_as_wide_as_it_is_long(lamps: list[Span]) -> None:
    drawn = bands(draw_ribbon(lamps, width=900))
    assert len(drawn) == len(lamps) == 3
    wide = [float(band.findall(f"{SVG}rect")[0].get("width", "0")) for band in drawn]
    long = [span.end - span.onset for span in lamps]
    assert wide[1] / wide[0] == pytest.approx(long[1] / long[0], rel=0.02)


def test_a_cell_stands_for_each_note_and_a_ring_for_each_foreign_one(lamps: list[Span]) -> None:
    for band, span in zip(bands(draw_ribbon(lamps)), lamps, strict=True):
        assert len(band.findall(f"{SVG}rect")) == span.heard.cardinality == 7
        assert len(band.findall(f"{SVG}circle")) == span.foreign.cardinality > 0


def test_common_notes_stay_in_their_row(lamps: list[Span]) -> None:
    """D is in all three collections: its cells are at one height, and with D lowest, in the lowest row."""
    drawn = bands(draw_ribbon(lamps, lowest=2))
    lowest = [max(int(cell.get("y", "0")) for cell in band.findall(f"{SVG}rect")) for band in drawn]
    assert len(set(lowest)) == 1
    assert lowest[0] - min(int(cell.get("y", "0")) for cell in drawn[0].findall(f"{SVG}rect")) < 12 * ROW


def test_everything_is_said_in_words(lamps: list[Span]) -> None:
    root = etree.fromstring(draw_ribbon(lamps).encode())
    assert root.get("role") == "img"
    label = root.get("aria-label") or ""
    texts = [text.text or "" for text in root.findall(f"{SVG}text")]
    for i, span in enumerate(lamps, 1):
        assert span.sentence in label
        assert any(line.startswith(f"{i}. {span.sentence}") for line in texts)
    assert [text.text for band in bands(draw_ribbon(lamps)) for text in band.findall(f"{SVG}text")][:2] == ["1", "0"]


def test_what_is_not_decided_is_stroked_and_what_is_not_heard_is_empty() -> None:
    spans = trace(read_score(DEMO / "1-saffron-evening.musicxml"))
    (band,) = bands(draw_ribbon(spans))
    assert all("url(#" in (cell.get("fill") or "") for cell in band.findall(f"{SVG}rect"))
    root = etree.fromstring(draw_ribbon(spans).encode())
    assert "none of these" in (root.get("aria-label") or "")


def test_no_spans_make_an_empty_ribbon() -> None:
    assert bands(draw_ribbon([])) == []
