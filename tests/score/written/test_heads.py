"""Noteheads: sounding pitch, spelling, what is left out."""

from __future__ import annotations

import pytest

from sonorarium.errors import DamagedError
from sonorarium.score.written.heads import MOST_VOICES, rounded_alter
from tests.score.writing import FOUR_FOUR, attributes, backup, measure, note, quarters, read, said, voice


def transpose(chromatic: int, octaves: int | None = None, staff: int | None = None) -> str:
    number = f' number="{staff}"' if staff else ""
    change = f"<octave-change>{octaves}</octave-change>" if octaves is not None else ""
    return f"<transpose{number}><diatonic>0</diatonic><chromatic>{chromatic}</chromatic>{change}</transpose>"


@pytest.mark.parametrize(
    ("inside", "written", "sounding"),
    [
        (transpose(-2), "D4", 60),  # clarinet in B flat
        (transpose(-7), "G4", 60),  # horn in F
        (transpose(0, 1), "C5", 84),  # piccolo
        (transpose(0, -1), "C4", 48),  # double bass
        (transpose(-2, -1), "D4", 48),  # bass clarinet in B flat in treble clef
        (transpose(3), "A4", 72),  # clarinet in E flat
    ],
)
def test_transposing_instruments_sound_at_pitch(inside: str, written: str, sounding: int) -> None:
    """Transpositions as in Adler, *The Study of Orchestration* (from memory)."""
    score = read(measure(attributes(1, FOUR_FOUR + inside) + note(written, 4)))
    assert score.notes["pitch"].tolist() == [sounding]
    assert score.notes["octave"].tolist() == [int(written[-1])]
    assert score.notes["step"].tolist() == ["CDEFGAB".index(written[0])]
    assert score.parts[0].transposition == sounding - read(measure(attributes() + note(written, 4))).notes["pitch"][0]


def test_an_octave_clef_is_at_sounding_octave_already() -> None:
    clef = "<clef><sign>G</sign><line>2</line><clef-octave-change>-1</clef-octave-change></clef>"
    assert read(measure(attributes(1, FOUR_FOUR + clef) + note("C3", 4))).notes["pitch"].tolist() == [48]


def test_notes_under_an_ottava_are_at_sounding_octave_already() -> None:
    ottava = '<direction><direction-type><octave-shift type="down" size="8"/></direction-type></direction>'
    assert read(measure(attributes() + ottava + note("C6", 4))).notes["pitch"].tolist() == [84]


def test_a_change_of_instrument_in_the_middle_of_a_bar() -> None:
    """From clarinet in B flat to clarinet in A on the third quarter; the second voice is written after a backup."""
    change = f"<attributes>{transpose(-3)}</attributes>"
    first = "".join(note("D5", 1, after=voice("1")) for _ in range(2)) + change + note("D5", 2, after=voice("1"))
    second = backup(4) + note("D4", 1, after=voice("2")) + note("D4", 3, after=voice("2"))
    score = read(measure(attributes(1, FOUR_FOUR + transpose(-2)) + first + second) + measure(note("D4", 4), "2"))
    assert quarters(score) == [(0, 72, 1), (0, 60, 1), (1, 72, 1), (1, 60, 3), (2, 71, 2), (4, 59, 4)]
    assert score.parts[0].transposition == -2


def test_transposition_of_one_staff() -> None:
    inside = "<staves>2</staves>" + transpose(-12, None, 2)
    bar = note("C4", 4, after=voice("1", 1)) + backup(4) + note("C4", 4, after=voice("2", 2))
    score = read(measure(attributes(1, FOUR_FOUR + inside) + bar))
    assert sorted(score.notes["pitch"].tolist()) == [48, 60]
    assert score.parts[0].staves == 2


def test_a_doubled_part_is_remarked() -> None:
    inside = "<transpose><chromatic>0</chromatic><double/></transpose>"
    assert "doubled an octave" in said(read(measure(attributes(1, FOUR_FOUR + inside) + note("C4", 4))))


def test_microtones_are_rounded_and_remarked() -> None:
    quarter_sharp = note("C4", 4).replace("</step>", "</step><alter>0.5</alter>")
    score = read(measure(attributes() + quarter_sharp))
    assert score.notes["pitch"].tolist() == [60]
    assert score.notes["alter"].tolist() == [0]
    assert said(score) == "An alteration finer than a semitone was rounded."


@pytest.mark.parametrize("text", ["x", "13", "", "1e3"])
def test_alterations_that_are_none(text: str) -> None:
    score = read(measure(attributes() + note("C4", 4).replace("</step>", f"</step><alter>{text}</alter>")))
    assert score.notes["pitch"].tolist() == [60]
    assert "An alteration that is no number was left out." in said(score)
    with pytest.raises(ValueError, match=text or "^$"):
        rounded_alter(text)


@pytest.mark.parametrize(
    "broken",
    [
        "<note><duration>4</duration></note>",
        note("C4", 4).replace(">C<", ">H<"),
        note("C4", 4).replace("<octave>4</octave>", ""),
        note("C4", 4).replace("<octave>4", "<octave>400"),
    ],
)
def test_notes_without_a_readable_pitch_are_left_out_and_remarked(broken: str) -> None:
    score = read(measure(attributes() + broken) + measure(note("D4", 4), "2"))
    assert quarters(score) == [(4, 62, 4)]
    assert score.element_note.tolist() == [-1, 0]
    assert said(score) == "A note without a pitch that can be understood was left out."


def test_a_note_below_the_range_of_midi_is_marked_as_unpitched() -> None:
    score = read(measure(attributes(1, FOUR_FOUR + transpose(0, -5)) + note("B3", 4)))
    assert score.notes["pitch"].tolist() == [-1]
    assert "outside the range of MIDI" in said(score)
    assert score.sounding.tolist() == []


def test_a_staff_that_is_no_number() -> None:
    score = read(measure(attributes() + note("C4", 4, after="<voice>1</voice><staff>x</staff>")))
    assert score.notes["staff"].tolist() == [1]
    assert "staff number" in said(score)


def test_voice_labels_may_be_words_and_are_kept_per_part() -> None:
    one = note("C4", 2, after=voice("solo")) + note("C4", 2)
    two = note("C3", 4, after=voice("2"))
    score = read(measure(attributes() + one), measure(attributes() + two))
    assert [part.voices for part in score.parts] == [("solo", "1"), ("2",)]
    assert score.notes["voice"].tolist() == [0, 0, 1]


def test_doubly_altered_notes() -> None:
    score = read(measure(attributes() + note("F##4", 2) + note("Bbb4", 2)))
    assert score.notes["pitch"].tolist() == [67, 69]
    assert score.notes["alter"].tolist() == [2, -2]
    assert score.notes["step"].tolist() == [3, 6]


def test_a_note_without_duration_takes_no_time_and_is_remarked() -> None:
    bare = note("C4", 1).replace("<duration>1</duration>", "")
    score = read(measure(attributes() + bare + note("D4", 4)))
    assert quarters(score) == [(0, 60, 0), (0, 62, 4)]
    assert said(score) == "A note has no duration: it takes no time."
    assert score.sounding.tolist() == [1]


def test_more_voices_than_any_score_has() -> None:
    inside = "".join(note("C4", 1, after=voice(str(label))) for label in range(MOST_VOICES + 1))
    with pytest.raises(DamagedError, match="Part 1 has 10001 voices"):
        read(measure(attributes() + inside))
