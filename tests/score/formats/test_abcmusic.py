"""ABC note by note: lengths, accidentals, ties, and what is skipped, after The abc music standard 2.1."""

from __future__ import annotations

from fractions import Fraction

import pytest

from sonorarium.pcs.spelling import NATURAL_PC
from sonorarium.score.formats.abcmusic import OTHER_OCTAVE, AbcVoice


def sounding(music: str, *fields: str, scope: str = "pitch") -> list[list[tuple[int, str]]]:
    """Pitch and length of each note by bar; graces have length 0."""
    bars = AbcVoice(scope).read([*(fields or ("M:4/4", "L:1/4", "K:C")), *music.split("\n")])
    return [
        [
            (12 * (note.octave + 1) + NATURAL_PC[note.step] + note.alter + note.semitones, str(note.length))
            for note in bar.notes
        ]
        for bar in bars
    ]


def pitches(music: str, *fields: str, scope: str = "pitch") -> list[list[int]]:
    return [[pitch for pitch, _ in bar] for bar in sounding(music, *fields, scope=scope)]


def lengths(music: str, *fields: str) -> list[str]:
    return [length for bar in sounding(music, *fields) for _, length in bar]


def test_letters_and_octaves() -> None:
    assert pitches("C,, C, C c c' c''") == [[36, 48, 60, 72, 84, 96]]


@pytest.mark.parametrize(
    ("music", "expected"),
    [
        ("A A2 A/ A// A/4 A3/2 A3/", ["1", "2", "1/2", "1/4", "1/4", "3/2", "3/2"]),
        ("A>B A<B A>>B", ["3/2", "1/2", "1/2", "3/2", "7/4", "1/4"]),
        ("(A>.)B A>{c}B ~A > vB", ["3/2", "1/2", "3/2", "0", "1/2", "3/2", "1/2"]),
        ("(3ABc (2AB (5ABcde", ["2/3"] * 3 + ["3/2"] * 2 + ["2/5"] * 5),
        ("(3:2:2A2B c (3::4ABcdA", ["4/3", "2/3", "1", "2/3", "2/3", "2/3", "2/3", "1"]),
        ("(3A>BA", ["1", "1/3", "2/3"]),
        ("+C2E2+ A+CE+B", ["2", "2", "1", "1", "1", "1"]),
        ("[CE]2 [C2E2] [C2E]/ [CE]>[DF]", ["2", "2", "2", "2", "1", "1/2", "3/2", "3/2", "1/2", "1/2"]),
    ],
)
def test_lengths(music: str, expected: list[str]) -> None:
    assert lengths(music) == expected


def test_tuplets_in_compound_metre() -> None:
    assert lengths("(2AB (5ABcde", "M:6/8", "L:1/8", "K:C") == ["3/4"] * 2 + ["3/10"] * 5


@pytest.mark.parametrize(
    ("metre", "length"),
    [("M:4/4", "1/2"), ("M:3/4", "1/2"), ("M:2/4", "1/4"), ("M:none", "1/2"), ("M:6/8", "1/2")],
)
def test_the_unit_length_follows_from_the_metre(metre: str, length: str) -> None:
    assert lengths("A", metre, "K:C") == [length]


def test_accidentals_hold_to_the_bar_line_in_every_octave_by_default() -> None:
    assert pitches("^F F f|F", "L:1/4", "K:C") == [[66, 66, 78], [65]]
    assert pitches("^F F f|F", "L:1/4", "K:C", scope="octave") == [[66, 66, 77], [65]]
    assert pitches("^F F f|F", "L:1/4", "K:C", scope="not") == [[66, 65, 77], [65]]
    assert pitches("F =F F|\nF", "L:1/4", "K:G") == [[66, 65, 65], [66]]
    assert pitches("__B ^^C", "L:1/4", "K:C") == [[69, 62]]
    bars = AbcVoice().read(["L:1/4", "K:C", "^F f F|"])
    assert bars[0].faults == [OTHER_OCTAVE]


def test_a_line_end_is_no_bar_line() -> None:
    assert pitches("^F\nF|F") == [[66, 66], [65]]


def test_keys_change_in_the_line_and_between_lines() -> None:
    assert pitches("F[K:D]F C\nK:Bb\nB|", "L:1/4", "K:C") == [[65, 66, 61, 70]]
    assert pitches("C", "L:1/4", "K:C transpose=-2") == [[58]]
    assert pitches("C", "L:1/4", "K:C treble-8") == [[48]]


def test_a_tied_note_keeps_its_accidental_and_no_other_does() -> None:
    bars = AbcVoice().read(["L:1/4", "K:C", "^F2-|F F [CE]-[CE]|A -|A {c}-A|"])
    assert [[note.alter for note in bar.notes][:2] for bar in bars] == [[1], [1, 0], [0], [0, 0]]
    assert [[note.tie_starts for note in bar.notes] for bar in bars] == [
        [True],
        [False, False, True, True, False, False],
        [True],
        [False, False, False],
    ]
    assert [note.tie_stops for note in bars[1].notes] == [True, False, False, False, True, True]


def test_bars_rests_and_second_voices() -> None:
    bars = AbcVoice().read(["M:2/4", "L:1/4", "K:C", "|: z C :|1 D2 |[2 E2 :: Z2 | C2 & G, A, || x2 |]"])
    assert [str(bar.reach) for bar in bars] == ["2"] * 7
    assert [[(note.layer, str(note.onset)) for note in bar.notes] for bar in bars[5:6]] == [
        [(0, "0"), (1, "0"), (1, "1")]
    ]


def test_what_is_no_music_is_skipped() -> None:
    music = '"Am7"A "^above"!trill!B (c .d) ~e u{/f}g\\ % F G\nw: la la\n%%MIDI program 3\nN: a b c\n'
    music += "+fermata+A`B y2 |"
    assert pitches(music) == [[69, 71, 72, 74, 76, 77, 79, 69, 71]]


def test_old_line_breaks_and_unknown_signs_are_said() -> None:
    bars = AbcVoice().read(["L:1/4", "K:C", "AB!|A§|", "[Ac", "e]|"])
    assert [bar.faults for bar in bars] == [
        ["A single ! (a line break of old ABC) was skipped."],
        ["Signs that the ABC standard does not know were skipped."],
        ["A chord runs over the end of a line: the lines were joined."],
    ]
    assert [len(bar.notes) for bar in bars] == [2, 1, 3]


def test_quarter_tones_are_rounded() -> None:
    bars = AbcVoice().read(["L:1/4", "K:C", "^/2F ^3/2G"])
    assert [note.alter for note in bars[0].notes] == [0, 1]
    assert bars[0].notes[1].length == Fraction(1)
