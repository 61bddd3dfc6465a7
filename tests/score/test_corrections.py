"""Corrections beside a score: made, said, and not made where they do not fit."""

from __future__ import annotations

from pathlib import Path

import pytest

from sonorarium.errors import InputError
from sonorarium.score.corrections import corrections_path, read_corrections
from sonorarium.score.reading import read_score
from sonorarium.score.score import Score

TUNE = "X:1\nT:Air\nM:2/4\nL:1/8\nK:C\nCDEF|G4-|G2A2|A2 A2|]\n"
NOTE = '[[note]]\nbar = "1"\npart = 1\nbeat = "2 1/2"\nwritten = "F4"\ncorrect = "F#4"\n'
CLARINET = (
    '<score-partwise><part-list><score-part id="P1"><part-name>Clarinet</part-name></score-part></part-list>'
    '<part id="P1"><measure number="1"><attributes><divisions>1</divisions>'
    "<time><beats>2</beats><beat-type>4</beat-type>"
    "</time><transpose><chromatic>-2</chromatic></transpose></attributes><note><pitch><step>D</step><octave>4</octave>"
    "</pitch><duration>2</duration></note></measure></part></score-partwise>"
)


def corrected(tmp_path: Path, corrections: str, score: str = TUNE) -> Score:
    path = tmp_path / "air.abc"
    path.write_text(score)
    corrections_path(path).write_text(corrections)
    return read_score(path)


def hand(score: Score) -> list[str]:
    return [remark.what for remark in score.remarks if "orrect" in remark.what]


def test_a_note_and_a_title(tmp_path: Path) -> None:
    score = corrected(tmp_path, f'title = "Air in D"\ncomposer = "Anon."\n{NOTE}reason = "autograph"\n')
    assert score.notes["pitch"].tolist()[:4] == [60, 62, 64, 66]
    assert score.notes[["step", "alter", "octave"]].tolist()[3] == (3, 1, 4)
    assert (score.title, score.composer) == ("Air in D", "Anon.")
    assert hand(score) == [
        "Corrected by hand: the title is Air in D; the file says Air.",
        "Corrected by hand: the composer is Anon.; the file says nothing.",
        "Corrected by hand: F4 in bar 1, beat 5/2, of part 1 is F#4 (autograph).",
    ]
    assert (score.remarks[-1].part, score.remarks[-1].bar) == (0, "1")
    assert (tmp_path / "air.abc").read_text() == TUNE


def test_a_tied_note_is_corrected_whole_and_the_table_stays_sorted(tmp_path: Path) -> None:
    music = TUNE.replace("CDEF", "[CE]2[CG]2")
    correction = '[[note]]\nbar = 2\npart = 1\nbeat = 1\nwritten = "G4"\ncorrect = "Bb4"\n'
    low = '[[note]]\nbar = 1\npart = 1\nbeat = 1\nwritten = "C4"\ncorrect = "F4"\n'
    score = corrected(tmp_path, correction + low, music)
    assert score.notes[["onset", "pitch", "duration"]].tolist()[:5] == [
        (0, 64, 1),
        (0, 65, 1),
        (1, 60, 1),
        (1, 67, 1),
        (2, 70, 3),
    ]
    assert score.notes["element"][score.element_note].tolist()[:6] == [0, 1, 2, 3, 4, 4]


def test_a_transposing_part_is_corrected_as_it_is_written(tmp_path: Path) -> None:
    correction = '[[note]]\nbar = "1"\npart = "Clarinet"\nbeat = 1\nwritten = "D4"\ncorrect = "E4"\n'
    score = corrected(tmp_path, correction, CLARINET)
    assert score.notes[["pitch", "step"]].tolist() == [(62, 2)]


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ('bar = "1"', 'bar = "9"'),
        ("part = 1", 'part = "Oboe"'),
        ("2 1/2", "2"),
        ('"F4"', '"F5"'),
        ("part = 1", "part = 7"),
    ],
)
def test_a_correction_that_does_not_fit_is_not_made_and_said(tmp_path: Path, old: str, new: str) -> None:
    score = corrected(tmp_path, NOTE.replace(old, new))
    assert score.notes["pitch"].tolist()[:4] == [60, 62, 64, 65]
    assert len(hand(score)) == 1
    assert hand(score)[0].startswith("A correction does not fit and was not made: there is no F")


def test_a_changed_score_is_not_corrected(tmp_path: Path) -> None:
    digest = corrected(tmp_path, NOTE).digest
    assert corrected(tmp_path, f'score = "{digest}"\n{NOTE}').notes["pitch"].tolist()[3] == 66
    changed = corrected(tmp_path, f'score = "{digest}"\n{NOTE}', TUNE.replace("A2", "B2"))
    assert changed.notes["pitch"].tolist()[3] == 65
    assert hand(changed) == [
        "The score has changed since its corrections were made: none of them was made. Look at them, and put "
        f'score = "{changed.digest}" into their file.'
    ]


@pytest.mark.parametrize(
    ("text", "what"),
    [
        ("title = ", r"^air\.abc\.corrections\.toml: The file is no TOML: "),
        ('titel = "Air"', r"The file has titel, which is not known\. Known: score, note, title"),
        ('score = "123"', r"score is no SHA-256"),
        ("title = 3", r"The file gives title, which must be a text in quotes\."),
        ('note = "x"', r"tables that begin with \[\[note\]\]"),
        ('[[note]]\nbar = "1"', r"\[\[note\]\] 1 lacks part, beat, written, correct\."),
        (NOTE + 'voice = "1"', r"\[\[note\]\] 1 has voice, which is not known"),
        (NOTE.replace("2 1/2", "two"), r"the beat two; beats look like 2, 2\.5 or 2 1/2"),
        (NOTE.replace("F#4", "F#"), r"the note F#; notes look like F4, C#5 or Bb3"),
    ],
)
def test_a_file_that_cannot_be_understood_is_an_error(tmp_path: Path, text: str, what: str) -> None:
    with pytest.raises(InputError, match=what):
        corrected(tmp_path, text)


def test_beats_may_be_numbers() -> None:
    for beat in ("2.5", '"5/2"', '"2 1/2"'):
        assert str(read_corrections(NOTE.replace('"2 1/2"', beat)).notes[0].beat) == "5/2"


def test_the_example_of_the_manual_is_read() -> None:
    manual = Path(__file__).parents[2] / "docs" / "corrections.md"
    example = manual.read_text(encoding="utf-8").partition("```toml\n")[2].partition("```")[0]
    read = read_corrections(example)
    assert read.headings and read.notes and read.digest
