"""ABC files: tunes, books and voices."""

from __future__ import annotations

import pytest

from sonorarium.errors import DamagedError
from sonorarium.score.formats.abcnotation import read_abc
from sonorarium.score.remarks import Findings
from sonorarium.score.score import Score

TUNE = "X:1\nT:The Lark\nC:Trad.\nZ:A clerk\n%%abc-copyright Free\nM:3/4\nL:1/4\nK:G\nD|GFD|F3-|F2D|G2|]\n"


def read(text: str) -> Score:
    return read_abc(text, Findings())


def whats(score: Score) -> list[str]:
    return [remark.what for remark in score.remarks]


def test_a_tune() -> None:
    score = read(TUNE)
    assert score.notes[["onset", "pitch", "duration"]].tolist() == [
        (0, 62, 1),
        (1, 67, 1),
        (2, 66, 1),
        (3, 62, 1),
        (4, 66, 5),
        (9, 62, 1),
        (10, 67, 2),
    ]
    assert score.bars[["label", "lead", "duration"]].tolist() == [
        ("0", 2, 1),
        ("1", 0, 3),
        ("2", 0, 3),
        ("3", 0, 3),
        ("4", 0, 2),
    ]
    assert (score.title, score.composer, score.rights, score.encoder) == (
        "The Lark",
        "Trad.",
        "Free",
        "A clerk",
    )
    assert score.element_note.tolist() == [0, 1, 2, 3, 4, 4, 5, 6]
    assert whats(score) == ["The file does not number its bars: they were counted."]


def test_a_book_of_tunes_labels_its_bars_by_tune() -> None:
    score = read(
        "L:1/4\n\nX:7\nT:One\nM:2/4\nK:C\nCD|\n\nwords A B C\n\nX:9\nT:Two\nM:3/4\nK:A\nCDE|\n\nX:10\nK:C\n\n"
    )
    assert score.bars[["label", "onset", "beats"]].tolist() == [("7:1", 0, 2), ("9:1", 2, 3)]
    assert score.notes["pitch"].tolist() == [60, 62, 61, 62, 64]
    assert score.title == "One, and 2 more tunes"
    assert "Tune 10 holds no music." in whats(score)
    assert "The file holds 2 tunes: they stand one after another, bar 1 of the first being labelled 7:1." in whats(
        score
    )


def test_voices_are_parts_on_one_time_line() -> None:
    score = read(
        'X:1\nM:2/4\nL:1/4\nV:S name="Soprano"\nV:B nm="Bass" octave=-1\nK:F\n'
        "[V:S]BA|G2|\n[V:B]DC|B,2|\n[V:S]F2|\nV:B\nK:C\nB,2|\n"
    )
    assert [part.name for part in score.parts] == ["Soprano", "Bass"]
    upper, lower = (score.notes[score.notes["part"] == part]["pitch"].tolist() for part in (0, 1))
    assert upper == [70, 69, 67, 65]
    assert lower == [50, 48, 46, 47]
    assert len(score.bars) == 3


def test_voices_of_different_length_are_said() -> None:
    score = read("X:1\nM:1/4\nL:1/4\nK:C\nV:1\nC|D|\nV:2\nE|\n")
    assert "The voices have 1 to 2 bars: the shorter ones end in silence." in whats(score)


def test_the_directive_on_accidentals_is_heard() -> None:
    text = "X:1\nM:2/4\nL:1/4\n%%propagate-accidentals not\nK:C\n^F F|\n"
    assert read(text).notes["pitch"].tolist() == [66, 65]


def test_no_music_is_damage() -> None:
    with pytest.raises(DamagedError, match="holds no music"):
        read("X:1\nT:Silence\nK:C\n")
