"""Voicings and progressions in a lesson: what is engraved is what is said and heard."""

from __future__ import annotations

from pathlib import Path

import pytest

from sonorarium.errors import InputError, NothingFoundError, SonorariumError
from sonorarium.lesson.directives import make
from sonorarium.lesson.illustrations.blocks import Figure, Made, Table
from sonorarium.lesson.markdown import read_page
from sonorarium.pitch.voicings import voicings
from sonorarium.render.musicxml import to_musicxml
from sonorarium.render.sheet import Sheet
from sonorarium.study.folder import open_study

DEMO = Path(__file__).parents[3] / "demo"


def made(text: str) -> Made:
    (directive,) = read_page(f"{text}\n").directives
    return make(directive, open_study(DEMO))


def figures(text: str) -> list[Figure]:
    return [block for block in made(text).blocks if isinstance(block, Figure)]


def tables(text: str) -> list[Table]:
    return [block for block in made(text).blocks if isinstance(block, Table)]


def test_the_best_voicings_are_shown_in_order() -> None:
    text = "```{voicing} C E Ab B\n:count: 4\n:table: yes\n:sound: no\n```"
    found = voicings("C E Ab B", limit=4)
    (table,) = tables(text)
    assert [row[1].text for row in table.rows] == [one.text for one in found]
    (figure,) = figures(text)
    assert f"{found.total:,} ways to set it, {found.kept:,} within the limits; shown: 4" in figure.caption
    assert all("-".join(one.text.split()) in figure.description for one in found)
    assert figure.clip is None


def test_notes_with_octaves_stay() -> None:
    (figure,) = figures("```{voicing} C3 G3 E4 B4\n:below: class\n```")
    assert "C3-G3-E4-B4" in figure.description
    assert "4-20" in figure.svg
    assert figure.clip is not None
    assert isinstance(figure.example, Sheet)
    assert b"<octave>3</octave>" in to_musicxml(figure.example)


def test_limits_are_kept() -> None:
    (table,) = tables("```{voicing} C E Ab B\n:bass: E\n:top: B4\n:kinds: open\n:table: yes\n:sound: no\n```")
    assert table.rows
    for row in table.rows:
        notes = row[1].text.split()
        assert notes[0].startswith("E")
        assert notes[-1] == "B4"
        assert "open" in row[5].text


def test_a_cadence_moves_as_textbooks_lead_it() -> None:
    """Dm7 G7 Cmaj7 with sevenths falling by step and common tones kept (common practice): six semitones in all."""
    text = "```{progression} Dm7 | G7 | Cmaj7\n:moves: yes\n:sound: no\n```"
    (figure,), (table,) = figures(text), tables(text)
    assert "the voices move 6 semitones in all" in figure.caption
    assert [row[0].text for row in table.rows] == ["Dm7 → G7", "G7 → Cmaj7"]
    assert [row[2].text for row in table.rows] == ["2", "2"]
    assert "C4 down a semitone to B3" in table.rows[0][3].text
    assert "F3 down a semitone to E3" in table.rows[1][3].text


def test_labels_over_and_under() -> None:
    line = "```{progression} Ebmaj7#5; C E Ab B; 3-11B\n:labels: %s\n:sound: no\n```"
    (both,) = figures(line % "both")
    assert "4-19B" in both.svg
    (none,) = figures(line % "none")
    assert "4-19B" not in none.svg


def test_a_long_line_is_parted_and_keeps_its_staves() -> None:
    found = figures("```{progression} " + "Dm7 G7 Cmaj7 A7 " * 6 + "\n:sound: yes\n```")
    assert len(found) > 1
    assert [figure.clip is not None for figure in found] == [False] * (len(found) - 1) + [True]
    assert all(figure.width_mm <= 200 for figure in found)
    assert found[0].caption == f"Line 1 of {len(found)}."


@pytest.mark.parametrize(
    ("text", "kind", "sentence"),
    [
        ("```{voicing} C3 G3\n:count: 2\n```", InputError, "the option 'count' is for sets"),
        ("```{voicing} C E G\n:low: C\n```", InputError, "'low' needs a note with its octave"),
        ("```{voicing} C E G\n:kinds: purple\n```", InputError, "no kind of spacing 'purple'"),
        ("```{voicing} C E G\n:order: near\n```", InputError, "There is no model to be like"),
        ("```{voicing} C E G\n:bass: C2\n:low: C4\n```", NothingFoundError, "C E G"),
        ("```{progression} Dm7 | Xyz\n```", InputError, "Line 1: "),
        ("```{progression} Dm7 | G7\n:voices: 2\n```", InputError, "there are 2 voices"),
    ],
)
def test_refusals(text: str, kind: type[SonorariumError], sentence: str) -> None:
    with pytest.raises(kind) as caught:
        made(text)
    assert sentence in str(caught.value)
    assert str(caught.value).startswith("Line 1: ")
