"""What a document says about itself."""

from __future__ import annotations

import pytest

from sonorarium.score.formats.musicxml import read_musicxml
from tests.score.writing import attributes, measure, note, page, read

BAR = measure(attributes() + note("C4", 4))


def credit(words: str, kind: str = "", size: str = "") -> str:
    typed = f"<credit-type>{kind}</credit-type>" if kind else ""
    sized = f' font-size="{size}"' if size else ""
    return f"<credit>{typed}<credit-words{sized}>{words}</credit-words></credit>"


@pytest.mark.parametrize(
    ("head", "title"),
    [
        ("<work><work-title>Two\n  Songs</work-title></work>", "Two Songs"),
        ("<movement-title>Evening</movement-title>", "Evening"),
        ("<work><work-title>Songs</work-title></work><movement-title>Evening</movement-title>", "Songs: Evening"),
        ("<work><work-title>Songs</work-title></work><movement-title>Songs</movement-title>", "Songs"),
        (credit("Op. 1", size="40") + credit("Evening", "title"), "Evening"),
        (credit("for harp", size="10") + credit("Evening", size="22.5") + credit("x", size="large"), "Evening"),
        ("", ""),
    ],
)
def test_title(head: str, title: str) -> None:
    assert read(BAR, head=head).title == title


@pytest.mark.parametrize(
    ("head", "composer"),
    [
        ('<creator type="lyricist">L</creator><creator type="composer">C</creator>', "C"),
        ('<creator type="Composer">C</creator><creator type="composer">D</creator>', "C, D"),
        ("<creator>C</creator>", "C"),
        ('<creator type="arranger">A</creator>', ""),
    ],
)
def test_composer(head: str, composer: str) -> None:
    assert read(BAR, head=f"<identification>{head}</identification>").composer == composer


def test_composer_from_a_credit() -> None:
    assert read(BAR, head=credit("C", "composer")).composer == "C"


def test_rights_and_encoder() -> None:
    head = (
        "<identification><rights>CC0</rights><encoding><software>S 1.0</software><encoder>E</encoder>"
        "<encoding-date>2020-01-01</encoding-date></encoding></identification>"
    )
    score = read(BAR, head=head)
    assert (score.rights, score.encoder) == ("CC0", "E, S 1.0")


def test_parts_have_the_names_of_the_part_list() -> None:
    score = read(BAR, BAR)
    assert [(part.id, part.name) for part in score.parts] == [("P1", "Part 1"), ("P2", "Part 2")]


def test_a_part_that_is_not_listed_has_no_name_and_is_remarked() -> None:
    score = read_musicxml(page(BAR).replace('<score-part id="P1">', '<score-part id="P9">').encode())
    assert score.parts[0].name == ""
    assert [remark.what for remark in score.remarks] == ["The part is not in the list of parts: it has no name."]
