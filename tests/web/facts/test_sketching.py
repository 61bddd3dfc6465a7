"""Rows of chords: realised together or in stretches, changed, written down in any length."""

from __future__ import annotations

from pathlib import Path

import pytest
from lxml import etree

from sonorarium.errors import InputError
from sonorarium.pcs.subject import subject
from sonorarium.pitch.progression import realise
from sonorarium.web.facts.sketching import (
    Manner,
    file_of,
    labels_of,
    moved,
    performance_of,
    put,
    row_of,
    sheet_of,
    steps_of,
    symbols_of,
    texts_of,
)


def test_named_chords_are_realised_as_one_line() -> None:
    best = realise("Dm7; G7; C", limit=1)[0]
    assert [chord.voicing for chord in row_of("Dm7; G7; C")] == list(best.voicings)


def test_voicings_stay_whatever_stands_beside_them() -> None:
    row = row_of("Dm7; C3 G3 E4; G7; C2 G2")
    assert [len(chord.voicing.pitches) for chord in row] == [4, 3, 4, 2]
    assert row[1].voicing.pitches == (48, 55, 64)
    assert labels_of(row) == ("Dm7", "3-11B", "G7", row[3].voicing.pcset.label)


def test_chords_of_very_different_sizes_stand_in_one_row() -> None:
    assert [len(chord.voicing.pitches) for chord in row_of("0123456789AB; C")] == [12, 3]


def test_the_text_of_a_voicing_is_that_voicing() -> None:
    for chord in row_of("Dm7; Ab7; 4-19; D Eb F#"):
        assert row_of(chord.fixed_text)[0].voicing == chord.voicing


def test_a_row_is_changed_chord_by_chord() -> None:
    line = "Dm7; G7; C"
    assert texts_of(put(line, 3, ["Am"])) == ("Dm7", "G7", "C", "Am")
    assert moved(moved(line, 0, 1), 1, -1) == line
    with pytest.raises(InputError):
        put(line, 5, ["Am"])


def test_parallels_are_counted_between_neighbours() -> None:
    assert [step.parallels for step in steps_of(row_of("C3 G3 E4; D3 A3 F4; C3 A3 F4"))] == [1, 0]


def test_lengths_and_melody_are_written() -> None:
    row = row_of("C3 G3 E4 C5; F3 A3 F4 C5")
    assert sheet_of(row, Manner(lengths="3 1")).end == 4
    sheet = sheet_of(row, Manner(lengths="3 1", melody="C5:4"))
    assert [len(voice) for voice in sheet.parts[0].staves[0].voices] == [1, 2]
    for wrong in (Manner(lengths="3"), Manner(lengths="x 1"), Manner(melody="C5")):
        with pytest.raises(InputError):
            sheet_of(row, wrong)


def test_an_ensemble_sounds_on_its_own_instruments() -> None:
    row = row_of("C3 G3 E4 C5; F3 A3 F4 C5")
    assert {player.program for player in performance_of(row, Manner(ensemble="string quartet")).players} == {
        40,
        41,
        42,
    }
    assert {player.program for player in performance_of(row, Manner(instrument="flute")).players} == {73}


def test_a_row_without_end_is_refused() -> None:
    with pytest.raises(InputError):
        row_of("; ".join(["C"] * 49))


def test_text_staff_and_file_spell_a_chord_alike(tmp_path: Path) -> None:
    row = row_of("C7#9; F#13b5b9; Em; 6-Z10 on C")
    (tmp_path / "x.musicxml").write_bytes(file_of(row, Manner(), ".musicxml"))
    root = etree.parse(str(tmp_path / "x.musicxml"))
    steps = {1: "#", -1: "b", 0: "", 2: "##", -2: "bb"}
    written = sorted(
        f"{p.findtext('step')}{steps[int(float(p.findtext('alter') or 0))]}{p.findtext('octave')}"
        for p in root.iter("pitch")
    )
    assert written == sorted(note for chord in row for note in chord.notes)


def test_a_symbol_names_the_bass_that_is_played() -> None:
    row = row_of("Em; Cmaj7; F#m7b5; B7")
    for chord, label in zip(row, symbols_of(row), strict=True):
        lowest = chord.voicing.pitches[0] % 12
        root = subject(chord.text).root
        assert root is not None
        assert ("/" in label) == (lowest != root.pc), label
        meant = subject(label)
        assert meant.pcset == chord.voicing.pcset and (meant.bass or root).pc == lowest
