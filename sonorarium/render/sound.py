"""Sound: a performance as audio that is pleasant to the ear and the same on every run.

The performance becomes a MIDI file (`sonorarium.render.midi`), a SoundFont synthesizer plays it, and the result is
framed, levelled and encoded here.

Conventions
-----------
* **Sound source.** The General MIDI SoundFont that the distribution ``pretty_midi`` carries, unless another is named:
  by argument, or by the environment variable ``SONORARIUM_SOUNDFONT``. Every `Clip` says which one sounded.
* **Frame.** 50 ms of silence, the music, one second in which the last tones ring and fade out, 50 ms of silence.
* **Level.** Every clip has the same integrated loudness, -23 LUFS, the level of European broadcasting (EBU
  Recommendation R 128), so that a ten-note chord does not startle after a single note. A clip whose true peak would
  then exceed -4 dBTP is left softer. Dynamics inside a clip are kept.
* **Full strength inside.** The synthesizer answers in 16 bits, stops its reverberation early at low levels, and cuts
  off what is too high. So it plays at full velocity and volume, in the right proportions, and more softly only where
  that overloads; the level is set afterwards. Its response to velocity is a mere gain (measured: its square, one
  spectrum for all), so this does not change the colour of the sound.
* **Formats.** 48 kHz stereo; WAV and FLAC in 16 bits, Opus in an Ogg stream at about 90 kbit/s. The bytes are the
  same for the same performance, SoundFont and library versions.
"""

from __future__ import annotations

import importlib.metadata
import io
import math
import os
import wave
from dataclasses import dataclass, field, replace
from functools import lru_cache
from pathlib import Path

import numpy as np

from sonorarium.errors import DamagedError, InputError, ToolError
from sonorarium.files import write_whole
from sonorarium.render.loudness import RATE_HZ, Audio, loudness_lufs, peak_dbtp
from sonorarium.render.midi import Performance, to_midi
from sonorarium.render.ogg import with_serial

CAUTION = (
    "Set the volume low before you start, above all with headphones, and raise it slowly: "
    "loud or long listening can harm your hearing."
)
"""To be shown beside every player (the usual caution about listening level)."""

SOUNDFONT_VARIABLE = "SONORARIUM_SOUNDFONT"
"""Environment variable that names another SoundFont file."""

LOUDNESS_LUFS = -23.0
"""Integrated loudness of every clip."""

CEILING_DBTP = -4.0
"""No clip peaks higher; 1 dB is kept for the ripples of lossy coding, so that what is heard stays under -3 dBTP."""

MOST_GAIN_DB = 30.0
"""A sound fainter than this under the target stays soft, lest its noise be blown up."""

LONGEST_S = 600.0
"""Longest music that becomes audio, in seconds."""

SILENCE_S, RING_S, FADE_S, ATTACK_S = 0.05, 1.0, 0.5, 0.001
"""Silence at both ends; ringing after the last release; the fade-out in it; the fade-in at the first onset."""

_MEDIA_TYPES = {"wav": "audio/wav", "flac": "audio/flac", "opus": "audio/ogg"}
_ENCODERS = {"wav": ("WAV", "PCM_16"), "flac": ("FLAC", "PCM_16"), "opus": ("OGG", "OPUS")}
_SUFFIXES = {".mid": "", ".wav": "wav", ".flac": "flac", ".opus": "opus", ".ogg": "opus"}
_OPUS_COMPRESSION = 0.8  # libsndfile's 0 to 1, which is its way to say 90 kbit/s
_VOLUMES = (127, 64, 32, 16, 8)  # channel volumes 12 dB apart
_AUDIBLE = 1e-4  # a tone at full strength that stays under this (-80 dBFS) does not sound


@dataclass(frozen=True)
class Clip:
    """A piece of audio.

    Parameters
    ----------
    data : bytes
        The file.
    duration_s : float
        Seconds, silence at both ends included.
    format : str
        "wav", "flac" or "opus".
    soundfont : str
        Name of the SoundFont that sounded.
    loudness_lufs : float
        Integrated loudness (ITU-R BS.1770).
    peak_dbtp : float
        True peak before encoding.
    """

    data: bytes = field(repr=False)
    duration_s: float
    format: str
    soundfont: str
    loudness_lufs: float
    peak_dbtp: float

    @property
    def media_type(self) -> str:
        """Media type for a web page."""
        return _MEDIA_TYPES[self.format]


def to_audio(performance: Performance, *, format: str = "wav", soundfont: str | Path | None = None) -> Clip:
    """Play a performance into an audio file in memory.

    Parameters
    ----------
    performance : Performance
        At most ten minutes.
    format : str
        "wav", "flac" or "opus".
    soundfont : str or Path, optional
        SoundFont file (.sf2); where left out, the one of the environment variable, or the one that comes along.

    Returns
    -------
    Clip

    Raises
    ------
    InputError
        Where the format is unknown, the performance is too long, the SoundFont is missing, or it has no sound for a
        pitch.
    DamagedError
        Where the file is not a SoundFont or is broken.
    ToolError
        Where the synthesizer is missing or failed.

    Examples
    --------
    >>> from sonorarium.render.midi import struck
    >>> clip = to_audio(struck((60, 64, 68, 71), quarters=2, tempo_qpm=120))
    >>> clip.duration_s, clip.media_type
    (2.1, 'audio/wav')
    """
    if format not in _ENCODERS:
        raise InputError(f"Unknown sound format {format!r}.", value=format, suggestion="Use wav, flac or opus.")
    if performance.duration_s > LONGEST_S:
        raise InputError(
            f"The music lasts {performance.duration_s:.0f} s; a sound clip holds {LONGEST_S:.0f} s at most.",
            value=performance.duration_s,
            suggestion="Choose fewer bars, or write a MIDI file.",
        )
    source = _source(soundfont)
    _check_pitches(performance, source)
    audio = _levelled(_framed(_played(performance, source), performance.duration_s))
    return Clip(
        data=_encoded(audio, format, source.name),
        duration_s=len(audio) / RATE_HZ,
        format=format,
        soundfont=source.name,
        loudness_lufs=loudness_lufs(audio),
        peak_dbtp=peak_dbtp(audio),
    )


def save(performance: Performance, path: Path, *, soundfont: str | Path | None = None) -> Clip | None:
    """Write a performance to a MIDI or audio file, by the suffix of its name.

    The file is written under a temporary name and moved into place.

    Parameters
    ----------
    performance : Performance
    path : Path
        Ends in .mid, .wav, .flac, .opus or .ogg (Opus too).
    soundfont : str or Path, optional
        As for `to_audio`.

    Returns
    -------
    Clip or None
        The sound that was written; None for a MIDI file.

    Raises
    ------
    InputError
        Where the suffix is another, or the place cannot be written to.
    DamagedError, ToolError
        As for `to_audio`.
    """
    suffix = path.suffix.lower()
    if suffix not in _SUFFIXES:
        raise InputError(
            f"{path.name} does not say which kind of file it is.",
            value=path,
            suggestion=f"End it in one of {' '.join(_SUFFIXES)}.",
        )
    clip = to_audio(performance, format=_SUFFIXES[suffix], soundfont=soundfont) if _SUFFIXES[suffix] else None
    write_whole(path, to_midi(performance) if clip is None else clip.data)
    return clip


def source_state(soundfont: str | Path | None = None) -> str:
    """What tells one state of a SoundFont from another: its name, size and time of change.

    Parameters
    ----------
    soundfont : str or Path, optional
        As for `to_audio`.

    Raises
    ------
    InputError, ToolError
        Where there is none.
    """
    source = _source(soundfont)
    return f"{source.name} {source.size} {source.modified_ns}"


@dataclass(frozen=True)
class _Source:
    """A SoundFont file in one state; hashable, so that what is known of it can be kept."""

    path: Path
    modified_ns: int
    size: int

    @property
    def name(self) -> str:
        return self.path.stem


def _source(soundfont: str | Path | None) -> _Source:
    named = os.environ.get(SOUNDFONT_VARIABLE) if soundfont is None else soundfont
    path = _enclosed_soundfont() if named is None else Path(named).expanduser()
    try:
        state = path.stat()
    except OSError as error:
        raise InputError(
            f"The SoundFont {path} could not be read: {error.strerror or error}.",
            value=path,
            suggestion=f"Name another one, or unset {SOUNDFONT_VARIABLE}.",
        ) from error
    return _Source(path, state.st_mtime_ns, state.st_size)


@lru_cache(maxsize=1)
def _enclosed_soundfont() -> Path:
    """The SoundFont that comes with an installed distribution, found without importing that."""
    try:
        files = importlib.metadata.files("pretty_midi") or []
    except importlib.metadata.PackageNotFoundError:
        files = []
    for file in files:
        if file.suffix == ".sf2":
            return Path(str(file.locate()))
    raise ToolError(
        "No SoundFont is installed.", suggestion=f"Install pretty_midi, or name a file in {SOUNDFONT_VARIABLE}."
    )


@lru_cache(maxsize=2)
def _soundfont_bytes(source: _Source) -> bytes:
    try:
        data = source.path.read_bytes()
    except OSError as error:
        raise InputError(
            f"The SoundFont {source.path} could not be read: {error.strerror or error}.", value=source.path
        ) from error
    if data[:4] != b"RIFF" or data[8:12] != b"sfbk":
        raise DamagedError(f"{source.path} is not a SoundFont.", value=source.path, suggestion="Name an .sf2 file.")
    return data


def _synthesized(midi: bytes, source: _Source) -> Audio:
    """What the synthesizer makes of a MIDI file, exactly as long as the file."""
    try:
        import midirenderer
    except ImportError as error:
        raise ToolError("The synthesizer is not installed.", suggestion="Install midirenderer.") from error
    try:
        answer = midirenderer.render_wave_from(_soundfont_bytes(source), midi)
    except BaseException as error:
        # A broken SoundFont either is refused, or trips the synthesizer's own checks; that exception has no name
        # that could be imported, and is no `Exception`. Anything else, an interrupt say, goes on.
        if not isinstance(error, RuntimeError) and type(error).__name__ != "PanicException":
            raise
        raise DamagedError(
            f"The SoundFont {source.path} is broken: {error}.", value=source.path, suggestion="Name another one."
        ) from error
    with wave.open(io.BytesIO(answer)) as file:
        if (file.getframerate(), file.getnchannels(), file.getsampwidth()) != (RATE_HZ, 2, 2):
            raise ToolError("The synthesizer answered in another form than 48 kHz, stereo, 16 bits.")
        samples = np.frombuffer(file.readframes(file.getnframes()), "<i2")
    return samples.reshape(-1, 2).astype(np.float32) / np.float32(32768)


def _check_pitches(performance: Performance, source: _Source) -> None:
    """Refuse pitches for which the SoundFont is silent, rather than leave them out unsaid."""
    wanted = {(performance.players[tone.player].program, tone.pitch) for tone in performance.tones}
    for program, pitch in sorted(wanted):
        if pitch not in (keyboard := _keyboard(source, program)):
            reach = f"It reaches from {min(keyboard)} to {max(keyboard)}." if keyboard else "Choose another program."
            raise InputError(
                f"{source.name} has no sound for MIDI pitch {pitch} with program {program}.",
                value=pitch,
                suggestion=reach,
            )


@lru_cache(maxsize=256)
def _keyboard(source: _Source, program: int) -> frozenset[int]:
    """Pitches that sound: all are tried once, a tenth of a second each, dry and apart."""
    heard = np.abs(_synthesized(_trial(program), source)).max(1)
    slots = np.zeros((128, RATE_HZ // 10), np.float32)
    slots.reshape(-1)[: len(heard)] = heard[: slots.size]
    return frozenset(np.flatnonzero(slots.max(1) >= _AUDIBLE).tolist())


def _trial(program: int) -> bytes:
    """A MIDI file that tries each pitch for a tenth of a second: 100 ticks of a millisecond."""
    import mido

    def control(number: int, value: int, time: int = 0) -> mido.Message:
        return mido.Message("control_change", control=number, value=value, time=time)

    track = mido.MidiTrack([mido.MetaMessage("set_tempo", tempo=1_000_000)])
    # Volume and expression full, reverberation and chorus off.
    track += [control(7, 127), control(11, 127), control(91, 0), control(93, 0)]
    track.append(mido.Message("program_change", program=program))
    for pitch in range(128):
        track.append(mido.Message("note_on", note=pitch, velocity=127, time=10 if pitch else 0))
        track.append(control(120, 0, time=90))  # all sound off
    track.append(mido.MetaMessage("end_of_track", time=10))
    mido.MidiFile(ticks_per_beat=1000, tracks=[track]).save(file=(buffer := io.BytesIO()))
    return buffer.getvalue()


def _played(performance: Performance, source: _Source) -> Audio:
    """The performance at full strength, and more softly only if that overloads."""
    strongest = max(tone.velocity for tone in performance.tones)
    tones = tuple(replace(t, velocity=max(1, round(t.velocity * 127 / strongest))) for t in performance.tones)
    full = replace(performance, tones=tones)
    for volume in _VOLUMES:
        audio = _synthesized(to_midi(full, volume=volume, tail_s=RING_S), source)
        if np.abs(audio).max(initial=0.0) < 32767 / 32768:
            return audio
    raise ToolError("So many tones at a time overload the synthesizer.", suggestion="Choose fewer parts.")


def _framed(audio: Audio, music_s: float) -> Audio:
    """Silence, the music, its ringing with a fade-out, silence."""
    sounding = round((music_s + RING_S) * RATE_HZ)
    lead, fade, attack = (round(s * RATE_HZ) for s in (SILENCE_S, FADE_S, ATTACK_S))
    out = np.zeros((lead + sounding + lead, 2), np.float32)
    heard = out[lead : lead + sounding]
    heard[: len(audio)] = audio[:sounding]
    heard[-fade:] *= (np.cos(np.linspace(0, np.pi / 2, fade, dtype=np.float32)) ** 2)[:, None]
    heard[:attack] *= np.linspace(0, 1, attack, dtype=np.float32)[:, None]
    return out


def _levelled(audio: Audio) -> Audio:
    """Bring audio to the loudness of all clips, or as near as the ceiling allows."""
    highest = float(np.abs(audio).max(initial=0.0))
    if highest == 0.0:
        raise ToolError("The synthesizer gave silence.", suggestion="Try another program or another SoundFont.")
    # Measured at full scale first, for the measure takes anything under -70 LUFS for silence; and once more at the
    # level found, where other blocks may pass that gate.
    peak, headroom = peak_dbtp(audio), -20 * math.log10(highest)
    gain = min(LOUDNESS_LUFS - loudness_lufs(_amplified(audio, headroom)) + headroom, MOST_GAIN_DB)
    gain += LOUDNESS_LUFS - loudness_lufs(_amplified(audio, gain))
    levelled = _amplified(audio, min(gain, CEILING_DBTP - peak, MOST_GAIN_DB))
    # To the 16 bits of the files, so that what is measured is what is heard in every format.
    rounded: Audio = np.rint(levelled * np.float32(32768)) / np.float32(32768)
    return rounded


def _amplified(audio: Audio, gain_db: float) -> Audio:
    return audio * np.float32(10 ** (gain_db / 20))


def _encoded(audio: Audio, format: str, soundfont: str) -> bytes:
    import soundfile

    container, coding = _ENCODERS[format]
    buffer = io.BytesIO()
    options = {"compression_level": _OPUS_COMPRESSION} if format == "opus" else {}
    with soundfile.SoundFile(buffer, "w", RATE_HZ, 2, format=container, subtype=coding, **options) as file:
        file.comment = f"Sound source: {soundfont}"
        file.write((audio * np.float32(32768)).astype(np.int16))
    return with_serial(buffer.getvalue()) if format == "opus" else buffer.getvalue()
