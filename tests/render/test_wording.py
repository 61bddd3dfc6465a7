"""Text in drawings: no music font, right places, accidentals as letters."""

from __future__ import annotations

import pytest
from lxml import etree

from sonorarium.render.glyphs import SVG, glyph
from sonorarium.render.typeface import Face, text_width
from sonorarium.render.wording import TextStyle, redraw_text

PLAIN = TextStyle(kind="harm")


def drawn(
    inner: str, style: TextStyle = PLAIN, *, outlined: bool = False, centred: bool = False
) -> list[etree._Element]:
    """What replaces a text with these spans, set at (1000, 500)."""
    text = etree.fromstring(f'<text xmlns="{SVG}" x="1000" y="500" font-size="0px">{inner}</text>')
    return list(redraw_text(text, style, outlined=outlined, centred=centred))


def span(text: str, *, music: bool = False) -> str:
    """A span as the engraver writes it."""
    family = ' font-family="Bravura" font-size="720px"' if music else ' font-size="405px"'
    return f"<tspan{family}>{text}</tspan>"


def test_a_chord_symbol_becomes_one_text_in_our_font() -> None:
    (text,) = drawn(span("B") + span("\ued60", music=True) + span("7"))
    assert text.text == "B♭7"
    assert text.get("font-size") == "405"
    assert text.get("x") == "1000"


@pytest.mark.parametrize(("sign", "letter"), [("\ue260", "♭"), ("\ue262", "♯"), ("\ue871", "ø"), ("\uea65", "♮")])
def test_signs_that_are_letters(sign: str, letter: str) -> None:
    (text,) = drawn(span("C") + span(sign, music=True))
    assert text.text == "C" + letter


@pytest.mark.parametrize(("written", "shown"), [("m7b5", "m7♭5"), ("7#9", "7♯9"), ("sub", "sub")])
def test_typed_accidentals_of_chord_symbols(written: str, shown: str) -> None:
    (text,) = drawn(span(written))
    assert text.text == shown


@pytest.mark.parametrize(
    ("written", "shown"), [("Bb Clarinet", "B♭ Clarinet"), ("Horn in Eb", "Horn in E♭"), ("Abbot", "Abbot")]
)
def test_typed_accidentals_of_instrument_names(written: str, shown: str) -> None:
    (text,) = drawn(span(written), TextStyle(kind="label"))
    assert text.text == shown


def test_words_elsewhere_are_left_alone() -> None:
    (text,) = drawn(span("op. 3 b5"), TextStyle(kind="dir"))
    assert text.text == "op. 3 b5"


def test_a_metronome_mark_is_an_outline_and_words_after_it() -> None:
    """The beat note is a path; the equals sign begins where note and blank end."""
    note, words = drawn(span("\ueca5", music=True) + span(" = 72"), TextStyle(bold=True, kind="tempo"))
    assert note.tag == f"{{{SVG}}}path"
    assert words.text == "= 72"
    sign = glyph(0xECA5)
    assert sign is not None
    expected = 1000 + sign.advance * 0.72 + text_width(" ", Face(bold=True)) * 0.405
    assert float(words.get("x", "")) == pytest.approx(expected, abs=1)


def test_music_signs_among_the_words_of_a_file() -> None:
    """Some files write SMuFL code points into words, with no font named."""
    parts = drawn(span("with \ue4c0 here"), TextStyle(kind="dir"))
    assert [part.tag.split("}")[1] for part in parts] == ["text", "path", "text"]


def test_anchors() -> None:
    mixed = span("=") + span("\ueca5", music=True)
    sign = glyph(0xECA5)
    assert sign is not None
    width = text_width("=") * 0.405 + sign.advance * 0.72
    start = float(drawn(mixed)[0].get("x", ""))
    middle = float(drawn(mixed, centred=True)[0].get("x", ""))
    assert start - middle == pytest.approx(width / 2, abs=1)
    assert drawn(span("A"), centred=True)[0].get("text-anchor") == "middle"


def test_lines_begin_anew() -> None:
    second = '<tspan x="1000" y="900"><tspan font-size="405px">two</tspan></tspan>'
    assert [(t.text, t.get("y")) for t in drawn(span("one") + second)] == [("one", "500"), ("two", "900")]


def test_outlined_words_are_paths() -> None:
    parts = drawn(span("B") + span("\ued60", music=True) + span("m"), outlined=True)
    assert {part.tag for part in parts} == {f"{{{SVG}}}path"}


def test_words_that_the_font_lacks_stay_text() -> None:
    (part,) = drawn(span("語"), outlined=True)
    assert part.tag == f"{{{SVG}}}text"
