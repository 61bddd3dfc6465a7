"""Drawings as a whole: the right bars and notes, marks, names, the same bytes each time.

Pictures of every kind drawn here were looked at when the module was written.
"""

from __future__ import annotations

import re
from itertools import pairwise
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from lxml import etree

from sonorarium.errors import InputError, ToolError
from sonorarium.render.engraving import (
    Column,
    Engraving,
    PassageLook,
    describe,
    engrave_notes,
    engrave_passage,
    scale,
    sounding_parts,
)
from sonorarium.render.excerpt import cut
from sonorarium.render.glyphs import SVG
from sonorarium.render.plate import ACCENT
from sonorarium.score.reading import read_score
from sonorarium.score.score import Score
from tests.render.scores import CORPUS, attributes, direction, document, note, part

DOUBLE_HARMONIC = [(1, 0, 4), (2, -1, 4), (3, 1, 4), (4, 0, 4), (5, 0, 4), (6, -1, 4), (0, 1, 5), (1, 0, 5)]


def tree(drawing: Engraving) -> Any:
    """The drawing, parsed."""
    return etree.fromstring(drawing.svg.encode())


def of_class(drawing: Engraving, name: str) -> list[Any]:
    """Groups of one class."""
    return [group for group in tree(drawing).iter(f"{{{SVG}}}g") if name in group.get("class", "").split()]


def texts(drawing: Engraving) -> list[str]:
    """Words of a drawing, in order."""
    return [text.text or "" for text in tree(drawing).iter(f"{{{SVG}}}text")]


def saved(folder: Path, content: bytes) -> Score:
    """A score read from a file with this content."""
    path = folder / "piece.musicxml"
    path.write_bytes(content)
    return read_score(path)


def test_a_scale_in_a_row() -> None:
    drawing = engrave_notes(scale(DOUBLE_HARMONIC, ["1", "♭2", "3", "4", "5", "♭6", "7", "1"]))
    assert drawing.notes == tuple(range(8))
    assert drawing.description == "D4, E♭4, F♯4, G4, A4, B♭4, C♯5, D5"
    assert texts(drawing) == ["1", "♭2", "3", "4", "5", "♭6", "7", "1"]
    assert not of_class(drawing, "stem")
    assert not of_class(drawing, "meterSig")
    assert len(of_class(drawing, "accid")) == 4


def test_notes_of_a_scale_are_evenly_spaced() -> None:
    heads = [
        float(head[0].get("transform").split("(")[1].split(",")[0])
        for head in of_class(engrave_notes(scale(DOUBLE_HARMONIC)), "notehead")
    ]
    steps = np.diff(heads)
    assert steps.max() - steps.min() < 20


def test_wide_words_get_room() -> None:
    """No two words at neighbouring columns overlap."""
    from sonorarium.render.extent import text_box

    columns = [Column(((0, 0, 4),), below=word) for word in ("i", "6-Z10B on B♭", "x", "Dominant seventh", "4-27B")]
    boxes = [text_box(text) for text in tree(engrave_notes(columns)).iter(f"{{{SVG}}}text")]
    assert len(boxes) == 5
    assert all(left.right < right.left for left, right in pairwise(boxes))


def test_chords_on_two_staves() -> None:
    drawing = engrave_notes([Column(((0, 0, 3), (4, 0, 3), (2, 0, 4), (6, -1, 4)), below="4-27B", above="C7")])
    assert len(of_class(drawing, "staff")) == 2
    assert drawing.notes == (0, 1, 2, 3)
    assert sorted(texts(drawing)) == ["4-27B", "C7"]


def test_pitches_are_sorted_and_marks_go_along() -> None:
    drawing = engrave_notes([Column(((4, 0, 4), (0, 0, 4)), marked=(0,))])
    assert drawing.description == "C4-G4"
    assert [group.get("data-note") for group in of_class(drawing, "marked")] == ["1"]


def test_a_chromatic_cluster_can_be_drawn() -> None:
    cluster = tuple(
        (step, alter, 4) for step in range(7) for alter in (0, 1) if (step, alter) not in {(2, 1), (6, 1)}
    )
    assert len(engrave_notes([Column(cluster)]).notes) == 12


def test_three_staves_are_refused() -> None:
    with pytest.raises(InputError, match="one staff or two"):
        engrave_notes([Column(((0, 0, 4),))], clefs=("treble", "alto", "bass"))


def test_nothing_to_draw_is_refused() -> None:
    with pytest.raises(InputError, match="no notes to draw"):
        engrave_notes([Column(())])


def test_describe_names_double_accidentals() -> None:
    assert describe(scale([(3, 2, 4), (6, -2, 3)])) == "F𝄪4, B𝄫3"


CASES = [
    ("bach/bwv66.6.mxl", 0, 3),
    ("beethoven/opus133.mxl", 30, 34),
    ("weber/concertino_clarinet.mxl", 38, 42),
    ("joplin/maple_leaf_rag.mxl", 14, 18),
    ("webern/webern_dormi_jesu_op_16_no_2.mxl", 3, 7),
    ("leadSheet/berlinAlexandersRagtime.mxl", 0, 6),
    ("leadSheet/fosterBrownHair.mxl", 5, 9),
]


@pytest.mark.parametrize(("name", "first", "last"), CASES, ids=[case[0] for case in CASES])
def test_exactly_the_notes_of_the_bars_are_drawn(name: str, first: int, last: int) -> None:
    """A second way to the same set: note elements whose row of the note table begins, or goes on, in these bars."""
    score = read_score(CORPUS / name)
    drawing = engrave_passage(score, first, last)
    assert drawing.bars == tuple(range(first, last + 1))
    assert len(set(drawing.notes)) == len(drawing.notes)
    rows = score.notes[np.unique(score.element_note[list(drawing.notes)])]
    bars = score.bars
    low, high = bars["onset"][first], bars["onset"][last] + bars["duration"][last]
    inside = (score.notes["onset"] < high) & (
        (score.notes["onset"] + score.notes["duration"] > low) | (score.notes["onset"] >= low)
    )
    expected = score.notes[inside & ~score.notes["hidden"]]
    assert np.array_equal(np.unique(rows["element"]), np.unique(expected["element"]))
    assert not [remark for remark in drawing.remarks if "left out" in remark and "notes" in remark]


@pytest.mark.parametrize(("name", "first", "last"), CASES, ids=[case[0] for case in CASES])
def test_no_drawing_needs_a_music_font(name: str, first: int, last: int) -> None:
    drawing = engrave_passage(read_score(CORPUS / name), first, last)
    assert not re.search("[\ue000-\uf8ff]", drawing.svg)
    families = {family for element in tree(drawing).iter() if (family := element.get("font-family"))}
    assert families == {"'Sonorarium Serif', 'Source Serif 4', Georgia, serif"}


def test_all_heads_of_a_tied_note_are_marked(tmp_path: Path) -> None:
    bars = (attributes() + note("C5", 4, tie="start"), note("C5", 4, tie="stop"), note("D5", 4))
    score = saved(tmp_path, document(part(*bars)))
    drawing = engrave_passage(score, 0, 2, marked_rows=[0])
    assert [group.get("data-note") for group in of_class(drawing, "marked")] == ["0", "1"]


def test_marks_are_told_without_colour(tmp_path: Path) -> None:
    """Each marked head lies in a frame with a line; words of a marked note stay black."""
    lyric = "<lyric><text>la</text></lyric>"
    bar = attributes() + note("C5", 2).replace("</note>", f"{lyric}</note>") + note("A4", 2)
    score = saved(tmp_path, document(part(bar)))
    drawing = engrave_passage(score, 0, 0, marked_rows=[0])
    frames = [rect for rect in tree(drawing).iter(f"{{{SVG}}}rect") if rect.get("class") == "mark"]
    assert [(frame.get("stroke"), float(frame.get("stroke-width")) > 0) for frame in frames] == [(ACCENT, True)]
    marked, plain = of_class(drawing, "note")
    assert {part.get("class") for part in marked if part.get("fill") == ACCENT} >= {"notehead", "stem"}
    assert not [verse for verse in marked.iter() if verse.get("class") == "verse" and verse.get("fill")]
    assert ACCENT not in etree.tostring(plain, encoding="unicode")


def test_unmarked_drawing_has_no_accent() -> None:
    assert ACCENT not in engrave_passage(read_score(CORPUS / "bach/bwv66.6.mxl"), 0, 1).svg


def test_a_piece_from_the_middle_shows_its_bar_number(tmp_path: Path) -> None:
    score = saved(tmp_path, document(part(attributes() + note("C5", 4), *[note("D5", 4)] * 20)))
    assert "15" in texts(engrave_passage(score, 14, 15, look=PassageLook(part_names=False)))


def test_lyrics_chord_symbols_and_tempo(tmp_path: Path) -> None:
    tempo = direction("<metronome><beat-unit>quarter</beat-unit><per-minute>72</per-minute></metronome>")
    chord = "<harmony><root><root-step>B</root-step><root-alter>-1</root-alter></root><kind>dominant</kind></harmony>"
    lyric = "<lyric><syllabic>single</syllabic><text>Né</text></lyric>"
    bar = attributes() + tempo + chord + note("D5", 4).replace("</note>", f"{lyric}</note>")
    drawing = engrave_passage(saved(tmp_path, document(part(bar))), 0, 0)
    assert {"B♭7", "Né", "= 72"} <= set(texts(drawing))
    (mark,) = of_class(drawing, "tempo")
    assert [child.tag.split("}")[1] for child in mark] == ["path", "text"]


def test_chosen_parts_only() -> None:
    score = read_score(CORPUS / "bach/bwv66.6.mxl")
    drawing = engrave_passage(score, 0, 1, parts=[0, 3])
    assert len(of_class(drawing, "staff")) == 4
    parts = set(score.notes["part"][score.element_note[list(drawing.notes)]].tolist())
    assert parts == {0, 3}
    assert "Soprano" in drawing.description
    assert "Alto" not in drawing.description


def test_sounding_parts_are_those_with_notes(tmp_path: Path) -> None:
    rest = '<note><rest measure="yes"/><duration>4</duration></note>'
    parts = (part(attributes() + note("C5", 4), rest), part(attributes() + rest, note("C5", 4), name="P2"))
    score = saved(tmp_path, document(*parts, names=("Flute", "Oboe")))
    assert [sounding_parts(score, bar, bar) for bar in (0, 1)] == [(0,), (1,)]
    assert sounding_parts(score, 0, 1) == (0, 1)


def test_narrow_lines_break_into_systems() -> None:
    score = read_score(CORPUS / "bach/bwv66.6.mxl")
    wide, narrow = (engrave_passage(score, 0, 8, look=PassageLook(width_mm=width)) for width in (None, 80.0))
    assert len(of_class(wide, "system")) == 1
    assert len(of_class(narrow, "system")) > 2
    assert narrow.width_mm < 90 < wide.width_mm


def test_the_same_request_gives_the_same_bytes() -> None:
    score = read_score(CORPUS / "bach/bwv66.6.mxl")
    first = engrave_passage(score, 2, 4, marked_rows=[10, 11])
    engrave_notes(scale(DOUBLE_HARMONIC))
    assert engrave_passage(score, 2, 4, marked_rows=[10, 11]) == first
    assert engrave_passage(score, 2, 4, marked_rows=[10]).svg != first.svg


def test_two_drawings_on_one_page_share_no_id() -> None:
    score = read_score(CORPUS / "bach/bwv66.6.mxl")
    drawings = [engrave_passage(score, bar, bar + 1) for bar in (0, 1)]
    first, second = ({e.get("id") for e in tree(drawing).iter() if e.get("id")} for drawing in drawings)
    assert first
    assert not first & second


def test_every_use_finds_its_glyph() -> None:
    drawing = engrave_passage(read_score(CORPUS / "joplin/maple_leaf_rag.mxl"), 3, 6)
    ids = {e.get("id") for e in tree(drawing).iter() if e.get("id")}
    uses = {use.get("href")[1:] for use in tree(drawing).iter(f"{{{SVG}}}use")}
    assert uses
    assert uses <= ids


def test_a_score_without_file_is_refused() -> None:
    score = read_score(CORPUS / "bach/bwv66.6.mxl")
    bare = Score(score.notes, score.bars, score.parts, score.ticks_per_quarter)
    with pytest.raises(InputError, match="not read from a file"):
        engrave_passage(bare, 0, 1)


def test_bars_that_are_not_there_are_refused() -> None:
    score = read_score(CORPUS / "bach/bwv66.6.mxl")
    with pytest.raises(InputError, match="indices 99 to 100"):
        engrave_passage(score, 99, 100)


def test_other_bars_than_asked_for_are_an_error(monkeypatch: pytest.MonkeyPatch) -> None:
    """Should the engraver ever draw something else, it is not passed off as the passage."""
    score = read_score(CORPUS / "bach/bwv66.6.mxl")

    def wrong(sheets: Any, bars: tuple[int, int], **options: Any) -> Any:
        return cut(sheets, (bars[0], bars[1] + 1), **options)

    monkeypatch.setattr("sonorarium.render.engraving.cut", wrong)
    with pytest.raises(ToolError, match="drew other bars than the 2 asked for"):
        engrave_passage(score, 0, 1)
