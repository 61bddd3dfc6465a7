"""A sheet goes out to every kind of file, and what can be read back has the same notes."""

from __future__ import annotations

import io
from pathlib import Path

import mido
import pypdfium2
import pytest
import soundfile
from PIL import Image

from sonorarium.errors import InputError
from sonorarium.pcs.subject import subject
from sonorarium.pitch.melody import read_melody
from sonorarium.pitch.scoring import score_out
from sonorarium.pitch.voicing import Voicing
from sonorarium.render.saving import engrave_sheet, play_sheet, save_sheet
from sonorarium.render.sheet import Sheet, sheet_of_scoring, sheet_of_voicings, with_melody
from sonorarium.score.reading import read_score

CHORDS = (Voicing((50, 57, 66, 75)), Voicing((49, 57, 67, 74)), Voicing((50, 58, 66, 74)))
NAMES = subject("D double harmonic").notes


def sheet() -> Sheet:
    return sheet_of_voicings(CHORDS, NAMES, quarters=2)


def test_playing_keeps_every_note_in_time() -> None:
    played = play_sheet(sheet())
    quarter = played.ticks_per_quarter
    expected = [(2 * k * quarter, pitch) for k, chord in enumerate(CHORDS) for pitch in chord.pitches]
    assert sorted((tone.onset_ticks, tone.pitch) for tone in played.tones) == sorted(expected)


def test_each_part_is_played_on_its_own_instrument() -> None:
    scored = score_out(CHORDS, "clarinet in Bb, viola, horn in F, cello")
    played = play_sheet(sheet_of_scoring(scored, NAMES))
    programs = [player.program for player in played.players]
    assert programs == [71, 41, 60, 42]  # General MIDI 1, sound set: 72, 42, 61 and 43, counted from 1


def test_notation_reads_back_the_same_notes(tmp_path: Path) -> None:
    save_sheet(sheet(), tmp_path / "x.musicxml")
    score = read_score(tmp_path / "x.musicxml")
    found = [(int(n["onset"]) / score.ticks_per_quarter, int(n["pitch"])) for n in score.notes]
    expected = [(2.0 * k, pitch) for k, chord in enumerate(CHORDS) for pitch in chord.pitches]
    assert sorted(found) == sorted(expected)


def test_transposing_instruments_sound_where_they_should(tmp_path: Path) -> None:
    scored = score_out(CHORDS, "clarinet in Bb, viola, horn in F, cello")
    save_sheet(sheet_of_scoring(scored, NAMES), tmp_path / "x.musicxml")
    score = read_score(tmp_path / "x.musicxml")
    assert sorted(set(score.notes["pitch"].tolist())) == sorted({p for chord in CHORDS for p in chord.pitches})
    assert score.parts[0].transposition == -2


def test_midi_sound_pictures_and_print(tmp_path: Path) -> None:
    for suffix in (".mid", ".flac", ".svg", ".png", ".pdf"):
        save_sheet(sheet(), tmp_path / f"x{suffix}")
    notes = [m.note for m in mido.MidiFile(tmp_path / "x.mid") if m.type == "note_on" and m.velocity]
    assert sorted(notes) == sorted(pitch for chord in CHORDS for pitch in chord.pitches)
    assert soundfile.info(str(tmp_path / "x.flac")).duration > 6 * 60 / 84
    assert (tmp_path / "x.svg").read_text(encoding="utf-8").count('class="note"') == 12
    picture = Image.open(io.BytesIO((tmp_path / "x.png").read_bytes()))
    assert picture.width == 2400
    assert min(picture.convert("L").tobytes()) < 60
    assert len(pypdfium2.PdfDocument(tmp_path / "x.pdf")) == 1


def test_all_notes_are_engraved() -> None:
    assert len(engrave_sheet(sheet()).notes) == 12


def test_an_unknown_suffix_is_refused(tmp_path: Path) -> None:
    with pytest.raises(InputError, match=r"x\.doc has no known suffix\. Use one of: \.musicxml"):
        save_sheet(sheet(), tmp_path / "x.doc")
    assert list(tmp_path.iterdir()) == []


def test_a_melody_on_top_keeps_its_own_lengths(tmp_path: Path) -> None:
    tune = read_melody("Eb5:5/2 D5:7/2")
    for written in (sheet(), sheet_of_scoring(score_out(CHORDS, "string quartet"), NAMES, quarters=2)):
        save_sheet(with_melody(written, tune, NAMES), tmp_path / "x.musicxml")
        score = read_score(tmp_path / "x.musicxml")
        top = score.notes[score.notes["pitch"] > 70]
        lengths = [(int(n["pitch"]), int(n["duration"]) / score.ticks_per_quarter) for n in top]
        assert lengths == [(75, 2.5), (74, 3.5)]
