"""Sound, measured: the right pitches, level, length and silence, and the same bytes every time."""

from __future__ import annotations

import io
import itertools
import struct as binary
import subprocess
import sys
from collections.abc import Sequence
from dataclasses import replace
from functools import lru_cache
from pathlib import Path

import numpy as np
import pytest
import soundfile
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from sonorarium.errors import DamagedError, InputError, ToolError
from sonorarium.render import sound
from sonorarium.render.loudness import loudness_lufs, peak_dbtp
from sonorarium.render.midi import Performance, Player, Tone, arpeggiated, as_scale, in_order, struck, to_midi
from sonorarium.render.sound import CAUTION, Clip, save, to_audio

RATE = 48_000
TEN_NOTES = (36, 43, 48, 52, 55, 59, 64, 67, 71, 74)
ORGAN, FLUTE, OBOE, STRINGS = 19, 73, 68, 48


@pytest.fixture(autouse=True)
def _own_soundfont(monkeypatch: pytest.MonkeyPatch) -> None:
    """Whoever runs the tests may have chosen another."""
    monkeypatch.delenv(sound.SOUNDFONT_VARIABLE, raising=False)


@lru_cache
def clip_of(performance: Performance, format: str = "wav") -> Clip:
    return to_audio(performance, format=format)


def decoded(clip: Clip) -> NDArray[np.float32]:
    audio, rate = soundfile.read(io.BytesIO(clip.data), dtype="float32", always_2d=True)
    assert rate == RATE
    assert audio.shape[1] == 2
    return np.asarray(audio, np.float32)


def decibels(ratio: float) -> float:
    return float(20 * np.log10(ratio))


def peak(audio: NDArray[np.float32]) -> float:
    return float(np.abs(audio).max())


class Spectrum:
    """Magnitudes of a stretch of sound, its two channels added."""

    def __init__(self, audio: NDArray[np.float32]) -> None:
        wave = audio.mean(axis=1)
        size = 1 << 19  # bins of 0.09 Hz
        self.magnitude = np.abs(np.fft.rfft(wave * np.hanning(len(wave)), size))
        self.hz = np.fft.rfftfreq(size, 1 / RATE)

    def near(self, hz: float, cents: float = 50) -> tuple[float, float]:
        """Frequency and level (dB under the strongest of all) of the strongest partial around a frequency."""
        low, high = np.searchsorted(self.hz, [hz * 2 ** (-cents / 1200), hz * 2 ** (cents / 1200)])
        at = low + int(self.magnitude[low:high].argmax())
        return float(self.hz[at]), decibels(self.magnitude[at] / self.magnitude.max())

    def is_peak(self, hz: float) -> bool:
        """Whether there is a crest within a quarter-tone, and not merely the slope of a neighbour."""
        return bool(abs(1200 * np.log2(self.near(hz)[0] / hz)) < 40)


def equal_tempered_hz(pitch: int) -> float:
    return float(440 * 2 ** ((pitch - 69) / 12))


def held(audio: NDArray[np.float32], start_s: float, end_s: float) -> NDArray[np.float32]:
    return audio[round(start_s * RATE) : round(end_s * RATE)]


@pytest.mark.parametrize(
    ("pitch", "hz"),
    [(33, 55.00), (45, 110.00), (48, 130.81), (60, 261.63), (69, 440.00), (76, 659.26), (88, 1318.51), (96, 2093.00)],
)
def test_fundamental_of_single_tones(pitch: int, hz: float) -> None:
    """Frequencies of equal temperament at A4 = 440 Hz (ISO 16:1975); the figures are common textbook values."""
    found, level = Spectrum(held(decoded(clip_of(struck((pitch,)))), 0.1, 2.5)).near(hz)
    assert abs(1200 * np.log2(found / hz)) < 8
    assert level > -3


@pytest.mark.parametrize("pitch", range(24, 109, 7))
def test_whole_keyboard_is_in_tune(pitch: int) -> None:
    found, level = Spectrum(held(decoded(clip_of(struck((pitch,)))), 0.1, 2.5)).near(equal_tempered_hz(pitch))
    assert abs(1200 * np.log2(found / equal_tempered_hz(pitch))) < 8
    assert level > -6


@pytest.mark.parametrize(
    "pitches",
    [(60, 64, 67), (48, 55, 64, 71), (60, 61, 64, 65, 67, 68, 71), (50, 57, 66, 69, 73, 76), TEN_NOTES],
    ids=str,
)
def test_every_note_of_a_chord_is_heard(pitches: Sequence[int]) -> None:
    spectrum = Spectrum(held(decoded(clip_of(struck(pitches))), 0.1, 2.8))
    for pitch in pitches:
        hz = equal_tempered_hz(pitch)
        assert spectrum.is_peak(hz), pitch
        assert spectrum.near(hz)[1] > -30, pitch


def test_notes_that_were_not_asked_for_are_not_heard() -> None:
    """Between the lowest partials of C, E and G there is nothing."""
    spectrum = Spectrum(held(decoded(clip_of(struck((60, 64, 67)))), 0.1, 2.8))
    for pitch in (58, 61, 62, 65, 66, 69, 70):
        assert spectrum.near(equal_tempered_hz(pitch), cents=30)[1] < -30, pitch


def test_scale_sounds_its_notes_one_after_the_other() -> None:
    pitches = (60, 61, 64, 65, 67, 68, 71)
    audio = decoded(clip_of(as_scale(pitches, each_quarters=1, tempo_qpm=60)))
    for step, pitch in enumerate([*pitches, 72]):
        spectrum = Spectrum(held(audio, 0.05 + step + 0.2, 0.05 + step + 0.95))
        strongest = float(spectrum.hz[spectrum.magnitude.argmax()])
        assert round(69 + 12 * np.log2(strongest / 440)) % 12 == pitch % 12


@pytest.mark.parametrize("format", ["wav", "flac", "opus"])
@pytest.mark.parametrize("tempo_qpm", [84.0, 61.7])
def test_length(format: str, tempo_qpm: float) -> None:
    played = struck((60, 64), quarters=2, tempo_qpm=tempo_qpm)
    clip = clip_of(played, format)
    expected = 0.05 + 120 / tempo_qpm + 1.0 + 0.05
    assert clip.duration_s == pytest.approx(expected, abs=0.001)
    assert len(decoded(clip)) / RATE == pytest.approx(expected, abs=0.003)


@pytest.mark.parametrize("format", ["wav", "flac", "opus"])
def test_silence_at_both_ends_and_sound_between(format: str) -> None:
    audio = decoded(clip_of(struck((60, 64, 67), quarters=1), format))
    faint = 0.0 if format != "opus" else 10 ** (-50 / 20)  # lossy coding smears the first milliseconds
    assert peak(held(audio, 0, 0.045)) <= faint
    assert peak(audio[-round(0.045 * RATE) :]) <= faint
    assert peak(held(audio, 0.05, 0.15)) > 0.05


def test_onsets_come_when_they_should() -> None:
    audio = decoded(clip_of(in_order([(72,), (79,)], quarters=1, tempo_qpm=60)))
    first = int(np.argmax(np.abs(audio).max(1) > 0.01)) / RATE
    assert first == pytest.approx(0.05, abs=0.006)
    fine = Spectrum(held(audio, 0.85, 1.03)).near(equal_tempered_hz(79))[1]
    assert fine < -25
    assert Spectrum(held(audio, 1.07, 1.25)).near(equal_tempered_hz(79))[1] > -6


@pytest.mark.parametrize("program", [0, ORGAN, FLUTE, STRINGS])
def test_no_click_where_the_sound_is_cut(program: int) -> None:
    """The ringing is led to zero: the last steps between samples are no larger than those before."""
    audio = decoded(clip_of(struck((60, 67), program=program)))
    steps = np.abs(np.diff(audio, axis=0)).max(1)
    last = steps[-round(0.06 * RATE) : -round(0.04 * RATE)].max()
    assert last < 2 / 32768
    assert steps[: round(0.051 * RATE)].max() < 0.01


def test_frame_of_a_sound_that_begins_and_ends_at_full_scale() -> None:
    """A constant wave: 50 ms of silence, a rise of 1 ms, two seconds, a fall of half a second, silence."""
    framed = sound._framed(np.ones((3 * RATE, 2), np.float32), 2.0)
    steps = np.abs(np.diff(framed, axis=0))
    assert len(framed) == round(3.1 * RATE)
    assert not framed[: round(0.05 * RATE) + 1].any()
    assert not framed[-round(0.05 * RATE) :].any()
    assert steps.max() < 0.03
    assert (held(framed, 0.052, 2.549) == 1.0).all()
    assert framed[round(2.8 * RATE), 0] == pytest.approx(0.5, abs=0.01)


LOUD = {
    "single note": struck((60,)),
    "single soft note": struck((60,), velocity=20),
    "low note": struck((28,)),
    "high note": struck((84,)),
    "ten notes": struck(TEN_NOTES),
    "ten loud notes": struck(TEN_NOTES, velocity=127),
    "organ": struck(TEN_NOTES, program=ORGAN),
    "arpeggio": arpeggiated((48, 55, 64, 71)),
    "scale": as_scale((60, 61, 64, 65, 67, 68, 71), descend=True),
    "short": struck((60, 64, 67), quarters=0.1),
}


@pytest.mark.parametrize("what", LOUD)
def test_every_clip_is_equally_loud(what: str) -> None:
    """Within the 0.5 LU of EBU R 128 (from memory); a block at the very gate of the measure is worth 0.3."""
    clip = clip_of(LOUD[what])
    assert loudness_lufs(decoded(clip)) == pytest.approx(-23.0, abs=0.5)
    assert clip.loudness_lufs == loudness_lufs(decoded(clip))
    assert clip.peak_dbtp == peak_dbtp(decoded(clip))


def test_level_is_measured_where_it_ends_up() -> None:
    """At full scale more of this tone's ringing passes the gate at -70 LUFS than at -23 LUFS: 0.35 LU, were it not
    measured again.
    """
    assert clip_of(struck((60,), quarters=2)).loudness_lufs == pytest.approx(-23.0, abs=0.1)


CLUSTER = Performance(
    tuple(Tone(0, 960, pitch, 127, player) for player in range(6) for pitch in range(36, 97)),
    tuple(Player(program=ORGAN) for _ in range(6)),
)
"""366 tones at once at full strength; the synthesizer overloads at a handful."""


@pytest.mark.parametrize("format", ["wav", "opus"])
@pytest.mark.parametrize("what", [*LOUD, "highest note", "cluster"])
def test_never_near_full_scale(what: str, format: str) -> None:
    played = {**LOUD, "highest note": struck((108,)), "cluster": CLUSTER}[what]
    clip = clip_of(played, format)
    assert peak_dbtp(decoded(clip)) < -3.0
    assert clip.peak_dbtp <= sound.CEILING_DBTP + 0.01


def test_ceiling_goes_before_loudness() -> None:
    """A short stroke on the highest key is all attack: at -23 LUFS it would peak too high, so it stays softer."""
    clip = clip_of(struck((108,)))
    assert clip.peak_dbtp == pytest.approx(-4.0, abs=0.01)
    assert clip.loudness_lufs < -23.5


def test_overload_inside_is_avoided() -> None:
    """No flat tops: a clipped render has many samples at its very peak."""
    audio = decoded(clip_of(CLUSTER))
    assert np.count_nonzero(np.abs(audio) >= 0.999 * peak(audio)) < 20


def test_dynamics_inside_a_clip_are_kept() -> None:
    tones = (Tone(0, 480, 60, 30), Tone(960, 480, 60, 60))
    audio = decoded(clip_of(Performance(tones, tempo_qpm=60)))
    soft, strong = held(audio, 0.05, 0.95), held(audio, 2.05, 2.95)
    # Velocity acts by its square: twice the velocity, 12 dB.
    assert decibels(peak(strong) / peak(soft)) == pytest.approx(12.0, abs=0.5)


def test_clip_of_soft_tones_is_as_clean_as_one_of_strong_tones() -> None:
    """The strength is put aside before the 16-bit synthesizer and does not cost resolution."""
    assert clip_of(struck((60, 64), velocity=1)).data == clip_of(struck((60, 64), velocity=127)).data


@pytest.mark.parametrize("format", ["wav", "flac", "opus"])
def test_identical_bytes_twice(format: str) -> None:
    played = arpeggiated((60, 64, 68), held_quarters=1)
    assert to_audio(played, format=format) == to_audio(played, format=format)


def test_identical_bytes_in_another_process() -> None:
    program = (
        "import hashlib\n"
        "from sonorarium.render.midi import struck\n"
        "from sonorarium.render.sound import to_audio\n"
        "print(hashlib.sha256(to_audio(struck((60, 64, 68)), format='opus').data).hexdigest())\n"
    )
    runs = [subprocess.run([sys.executable, "-c", program], capture_output=True, check=True).stdout for _ in "ab"]
    assert runs[0] == runs[1]
    assert len(runs[0].strip()) == 64


@pytest.mark.parametrize(
    ("format", "container", "coding", "media_type"),
    [
        ("wav", "WAV", "PCM_16", "audio/wav"),
        ("flac", "FLAC", "PCM_16", "audio/flac"),
        ("opus", "OGG", "OPUS", "audio/ogg"),
    ],
)
def test_formats(format: str, container: str, coding: str, media_type: str) -> None:
    clip = clip_of(struck((60, 64, 67)), format)
    with soundfile.SoundFile(io.BytesIO(clip.data)) as file:
        assert (file.format, file.subtype, file.samplerate, file.channels) == (container, coding, RATE, 2)
        assert file.comment == "Sound source: TimGM6mb"
    assert (clip.format, clip.media_type, clip.soundfont) == (format, media_type, "TimGM6mb")


def test_flac_holds_the_same_samples_as_wav_and_opus_nearly() -> None:
    wav, flac, opus = (decoded(clip_of(struck((60, 64, 67)), format)) for format in ("wav", "flac", "opus"))
    assert np.array_equal(wav, flac)
    size = min(len(wav), len(opus))
    error = np.square(wav[:size] - opus[:size]).sum() / np.square(wav).sum()
    assert decibels(np.sqrt(error)) < -20


@settings(max_examples=12, deadline=None)
@given(st.lists(st.sets(st.integers(24, 96), min_size=1, max_size=5).map(sorted), min_size=1, max_size=3))
def test_any_chords_come_out_sound(chords: list[list[int]]) -> None:
    played = in_order(chords, quarters=1, tempo_qpm=120)
    clip = to_audio(played)
    audio = decoded(clip)
    assert len(audio) / RATE == pytest.approx(played.duration_s + 1.1, abs=0.001)
    assert peak_dbtp(audio) < -3
    assert loudness_lufs(audio) > -40


def test_caution_speaks_of_volume_and_hearing() -> None:
    assert "volume" in CAUTION
    assert "hearing" in CAUTION
    assert CAUTION.endswith(".")


def test_unknown_format() -> None:
    with pytest.raises(InputError, match=r"Unknown sound format 'mp3'. Use wav, flac or opus"):
        to_audio(struck((60,)), format="mp3")


def test_too_long() -> None:
    with pytest.raises(InputError, match=r"lasts 1200 s; a sound clip holds 600 s at most. Choose fewer bars"):
        to_audio(struck((60,), quarters=1200, tempo_qpm=60))


def test_pitch_that_the_soundfont_lacks_is_refused() -> None:
    with pytest.raises(InputError, match=r"TimGM6mb has no sound for MIDI pitch 110 .*reaches from 0 to 108"):
        to_audio(struck((60, 110)))
    with pytest.raises(InputError, match=r"pitch 30 with program 68.*reaches from 36 to 108"):
        to_audio(struck((30, 60), program=OBOE))


@pytest.mark.parametrize("pitch", [36, 37, 60, 107, 108])
def test_pitches_that_it_has_do_sound(pitch: int) -> None:
    assert peak(decoded(clip_of(struck((pitch,), quarters=1, program=OBOE)))) > 0.01


def test_soundfont_that_is_not_there(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    gone = tmp_path / "gone.sf2"
    with pytest.raises(InputError, match=r"gone\.sf2 could not be read: No such file"):
        to_audio(struck((60,)), soundfont=gone)
    monkeypatch.setenv("SONORARIUM_SOUNDFONT", str(gone))
    with pytest.raises(InputError, match=r"gone\.sf2 could not be read.*unset SONORARIUM_SOUNDFONT"):
        to_audio(struck((60,)))
    with pytest.raises(InputError, match="could not be read: Is a directory"):
        to_audio(struck((60,)), soundfont=tmp_path)


def enclosed() -> bytes:
    return sound._enclosed_soundfont().read_bytes()


def test_file_that_is_no_soundfont(tmp_path: Path) -> None:
    path = tmp_path / "tune.sf2"
    path.write_bytes(to_midi(struck((60,))))
    with pytest.raises(DamagedError, match=r"tune\.sf2 is not a SoundFont. Name an \.sf2 file"):
        to_audio(struck((60,)), soundfont=path)


def test_soundfont_that_breaks_off(tmp_path: Path) -> None:
    path = tmp_path / "half.sf2"
    path.write_bytes(enclosed()[:3_000_000])
    with pytest.raises(DamagedError, match=r"half\.sf2 is broken: .*Name another one"):
        to_audio(struck((60,)), soundfont=path)


def test_soundfont_that_trips_the_synthesizer(tmp_path: Path) -> None:
    """The last instrument zone points beyond the table of generators."""
    data = bytearray(enclosed())
    chunk = data.rindex(b"ibag")
    size = binary.unpack_from("<I", data, chunk + 4)[0]
    binary.pack_into("<H", data, chunk + 8 + size - 8, 0xFFFF)
    path = tmp_path / "bent.sf2"
    path.write_bytes(data)
    with pytest.raises(DamagedError, match=r"bent\.sf2 is broken: "):
        to_audio(struck((60,)), soundfont=path)


def test_another_soundfont_by_argument_and_by_environment(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "My Piano.sf2"
    path.write_bytes(enclosed())
    by_argument = to_audio(struck((60,)), soundfont=str(path))
    assert by_argument.soundfont == "My Piano"
    monkeypatch.setenv("SONORARIUM_SOUNDFONT", str(path))
    assert to_audio(struck((60,))) == by_argument
    assert to_audio(struck((60,)), soundfont=sound._enclosed_soundfont()).soundfont == "TimGM6mb"


def test_soundfont_is_read_anew_when_it_changes(tmp_path: Path) -> None:
    path = tmp_path / "changing.sf2"
    path.write_bytes(enclosed())
    to_audio(struck((60,)), soundfont=path)
    path.write_bytes(b"RIFF    sfbk, but no more")
    with pytest.raises(DamagedError, match="is broken"):
        to_audio(struck((60,)), soundfont=path)


def test_no_soundfont_installed(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("importlib.metadata.files", lambda name: [])
    sound._enclosed_soundfont.cache_clear()
    try:
        with pytest.raises(ToolError, match=r"No SoundFont is installed. Install pretty_midi, or name a file"):
            to_audio(struck((60,)))
    finally:
        sound._enclosed_soundfont.cache_clear()


def test_soundfont_is_found_without_importing_its_package() -> None:
    program = (
        "import sys\n"
        "from sonorarium.render.midi import struck\n"
        "import sonorarium.render.sound as s\n"
        "early = {'midirenderer', 'soundfile', 'mido'} & set(sys.modules)\n"
        "s.to_audio(struck((60,)))\n"
        "assert not early, early\n"
        "assert 'pretty_midi' not in sys.modules\n"
    )
    subprocess.run([sys.executable, "-c", program], check=True)


def test_save_by_suffix(tmp_path: Path) -> None:
    played = struck((60, 64, 67), quarters=1)
    for suffix, format in {".wav": "wav", ".flac": "flac", ".opus": "opus", ".ogg": "opus", ".WAV": "wav"}.items():
        path = tmp_path / f"chord{suffix}"
        clip = save(played, path)
        assert clip == clip_of(played, format)
        assert clip is not None
        assert path.read_bytes() == clip.data
    assert save(played, tmp_path / "chord.mid") is None
    assert (tmp_path / "chord.mid").read_bytes() == to_midi(played)
    assert not [path for path in tmp_path.iterdir() if path.name.startswith(".")]


@pytest.mark.parametrize("name", ["chord.mp3", "chord"])
def test_save_with_another_suffix(name: str, tmp_path: Path) -> None:
    with pytest.raises(InputError, match=r"End it in one of \.mid \.wav \.flac \.opus \.ogg"):
        save(struck((60,)), tmp_path / name)
    assert not list(tmp_path.iterdir())


def test_failed_sound_leaves_the_old_file(tmp_path: Path) -> None:
    path = tmp_path / "chord.wav"
    path.write_bytes(b"old")
    with pytest.raises(InputError, match="no sound for MIDI pitch 127"):
        save(struck((127,)), path)
    assert path.read_bytes() == b"old"


def test_published_chorale_is_heard_in_parts(tmp_path: Path) -> None:
    """J. S. Bach, BWV 66.6, first bars: the bass part alone, on the organ, sounds the pitches of the page."""
    from music21 import corpus

    from sonorarium.render.performance import from_score
    from sonorarium.score.reading import read_score

    score = read_score(str(corpus.getWork("bach/bwv66.6")))
    bass = from_score(score, 0, 5 * score.ticks_per_quarter, parts=[3], programs={3: ORGAN}, tempo_qpm=60)
    audio = decoded(to_audio(bass, format="flac"))
    long_tones = [tone for tone in bass.tones if 2 * tone.duration_ticks >= bass.ticks_per_quarter]
    assert len(long_tones) >= 5
    for tone in long_tones:
        start = 0.05 + tone.onset_ticks / bass.ticks_per_quarter
        stretch = held(audio, start + 0.15, start + tone.duration_ticks / bass.ticks_per_quarter)
        levels = {
            p: Spectrum(stretch).near(equal_tempered_hz(p), cents=30)[1]
            for p in range(tone.pitch - 6, tone.pitch + 6)
        }
        assert max(levels, key=lambda p: levels[p]) == tone.pitch


def test_clip_shows_itself_without_its_bytes() -> None:
    shown = repr(clip_of(struck((60,))))
    assert "TimGM6mb" in shown
    assert len(shown) < 200


def test_clips_differ_where_performances_do() -> None:
    one = struck((60, 64), quarters=1)
    others = [struck((60, 65), quarters=1), replace(one, tempo_qpm=90), struck((60, 64), quarters=1, program=ORGAN)]
    for a, b in itertools.combinations([one, *others], 2):
        assert clip_of(a).data != clip_of(b).data
