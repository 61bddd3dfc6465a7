"""Standard MIDI Files as scores.

A MIDI file tells which key goes down when. It knows no names of notes, no voices, no grace notes and no ties, often
no metre, and its times may be those of a performance. What a score needs beyond that is guessed, and said.

Conventions
-----------
* **Parts.** Each channel of each track that has notes is a part with one voice. Channel 10 is drums (General MIDI):
  unpitched.
* **Notes.** A key that goes down twice before it comes up sounds twice; the first release ends the first. A key that
  never comes up sounds to the end of its track. Times are kept exactly: nothing is moved to a grid.
* **Bars** follow the metres that the file states, 4/4 where it states none, and are counted from 1. A metre begins a
  new bar wherever it stands.
* **Spelling** is guessed bar by bar. Of all major and harmonic minor scales, that which holds most of what sounds in
  the bar and its two neighbours names the notes (`sonorarium.pcs.spelling.spell_in`); where several hold the same, a
  major scale comes first, then that nearest to the key signature in force (C where there is none) on the line of
  fifths.
* **Title** is the name of the first track where that has no notes; rights the copyright event.

Sources: MIDI Manufacturers Association, *Standard MIDI Files 1.0* (1996), *General MIDI System Level 1* (1991). The
rule for the spelling is our own.
"""

from __future__ import annotations

import io
import math
import re
from collections import defaultdict, deque
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass, field
from functools import cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from sonorarium.errors import DamagedError, InputError
from sonorarium.pcs.spelling import NATURAL_PC, Spelled, above, spell_in
from sonorarium.score.remarks import Findings
from sonorarium.score.score import BAR, NOTE, Part, Score

DRUMS = 9  # channel 10, counted from 0
MOST_BARS = 100_000
GRIDS = (96, 40, 56)
"""Parts of a quarter at which written notes begin: hundred-and-twenty-eighths and their triplets; groups of five and
of seven."""

SPELLING = "MIDI names no notes: their spelling was guessed."
NO_METRE = "The file states no metre: bars of 4/4 were counted."
NO_END = "A key never comes up: the note ends with its track."
NO_LENGTH = "A note has no duration: it takes no time."
BAD_KEY = "A key signature that does not exist was left out."
NO_VOICES = "MIDI knows no voices: each channel of a track is a part with one voice."

_KEY_EVENT = re.compile(rb"\xff\x59\x02(..)", re.S)
_LINE = ["F", "C", "G", "D", "A", "E", "B"]


@dataclass(eq=False)
class _Track:
    """The notes of one channel of one track: rows of (onset, duration, pitch)."""

    name: str
    channel: int
    notes: list[tuple[int, int, int]] = field(default_factory=list)


def read_midi(data: bytes, findings: Findings) -> Score:
    """Return the score in a Standard MIDI File.

    Parameters
    ----------
    data : bytes
        The whole file; a RIFF file (``RMID``) is unwrapped.
    findings : Findings
        Takes up what was guessed, repaired or left out.

    Returns
    -------
    Score
        Without path and digest.

    Raises
    ------
    DamagedError
        If it is cut short or cannot be parsed, holds no notes, or goes on for longer than any music.
    InputError
        If it counts time in film frames, which have no quarters.
    """
    file = _parsed(data, findings)
    tracks, metres, keys = [], [], []
    for track in file.tracks:
        tracks += _channels(track, findings)
        metres += [(tick, (event.numerator, event.denominator)) for tick, event in _meta(track, "time_signature")]
        keys += [(tick, _fifths(event.key)) for tick, event in _meta(track, "key_signature")]
    if not tracks:
        raise DamagedError("The MIDI file holds no notes.")
    if not metres:
        findings.add(NO_METRE)
    finer = math.lcm(*(unit // math.gcd(4 * file.ticks_per_beat, unit) for _, (_, unit) in metres)) if metres else 1
    ticks = file.ticks_per_beat * finer
    end = max(onset + duration for track in tracks for onset, duration, _ in track.notes) * finer
    bars = _bars([(tick * finer, metre) for tick, metre in sorted(metres)], ticks, end)
    notes = _notes(tracks, bars, finer, findings)
    _spell(notes, bars, [(tick * finer, fifths) for tick, fifths in sorted(keys)])
    _remark_grid(notes, ticks, findings)
    title, rights = _heading(file, tracks)
    order = np.lexsort([notes[name] for name in ("element", "pitch", "voice", "staff", "part", "onset")])
    rank = np.empty(len(order), np.int32)
    rank[order] = np.arange(len(order))
    parts = tuple(Part(str(number), track.name, 1, ("1",)) for number, track in enumerate(tracks, start=1))
    return Score(
        notes[order],
        bars,
        parts,
        ticks,
        title,
        rights=rights,
        element_note=rank,
        remarks=findings.remarks(bars["label"].tolist()),
    )


def _parsed(data: bytes, findings: Findings) -> Any:
    """Return the file as mido reads it."""
    import mido  # noqa: PLC0415
    from mido.midifiles.meta import KeySignatureError  # noqa: PLC0415

    start = data.find(b"MThd") if data.startswith(b"RIFF") else 0
    sound = _KEY_EVENT.sub(_sound_key, data[max(start, 0) :])
    if sound != data[max(start, 0) :]:
        findings.add(BAD_KEY)
    try:
        file = mido.MidiFile(file=io.BytesIO(sound), clip=True)
    except (EOFError, OSError, ValueError, IndexError, KeyError, TypeError, KeySignatureError) as error:
        reason = "it ends too early" if isinstance(error, EOFError) else str(error) or type(error).__name__
        raise DamagedError(f"The MIDI file is damaged: {reason}.") from error
    if not 0 < file.ticks_per_beat < 0x8000:
        raise InputError("The MIDI file counts time in film frames, not in quarters.", value=file.ticks_per_beat)
    if file.type == 2:
        findings.add("The tracks of the file are independent pieces: they were laid over one another.")
    return file


def _sound_key(event: re.Match[bytes]) -> bytes:
    """Return a key signature event, with C major for one that does not exist."""
    fifths, mode = int.from_bytes(event[1][:1], signed=True), event[1][1]
    return event[0] if abs(fifths) <= 7 and mode in (0, 1) else b"\xff\x59\x02\x00\x00"


def _timed(track: Any) -> Iterator[tuple[int, Any]]:
    tick = 0
    for event in track:
        tick += event.time
        yield tick, event


def _meta(track: Any, kind: str) -> list[tuple[int, Any]]:
    return [(tick, event) for tick, event in _timed(track) if event.type == kind]


def _fifths(key: str) -> int:
    """Return the place of a key's major scale on the line of fifths, C = 0."""
    letter, alter = key[0], key.count("#") - key.count("b")
    return _LINE.index(letter) - 1 + 7 * alter - (3 if key.endswith("m") else 0)


def _channels(track: Any, findings: Findings) -> list[_Track]:
    """Return the channels of a track that have notes, by number."""
    found: dict[int, _Track] = {}
    down: dict[tuple[int, int], deque[int]] = defaultdict(deque)
    end = 0
    for tick, event in _timed(track):
        end = tick
        if event.type not in ("note_on", "note_off"):
            continue
        channel = found.setdefault(event.channel, _Track(_text(track.name), event.channel))
        key = event.channel, event.note
        if event.type == "note_on" and event.velocity:
            down[key].append(len(channel.notes))
            channel.notes.append((tick, 0, event.note))
        elif down[key]:
            place = down[key].popleft()
            channel.notes[place] = channel.notes[place][0], tick - channel.notes[place][0], event.note
    held = [(channel, place) for (channel, _), places in down.items() for place in places]
    for number, place in held:
        onset, _, pitch = found[number].notes[place]
        found[number].notes[place] = onset, end - onset, pitch
        findings.add(NO_END)
    used = [found[number] for number in sorted(found) if found[number].notes]
    if len(used) > 1 or (used and not used[0].name):
        for one in used:
            one.name = f"{one.name} (channel {one.channel + 1})" if one.name else f"Channel {one.channel + 1}"
    return used


def _text(latin: str) -> str:
    """Return the text of an event: files of today write UTF-8 where the standard says nothing."""
    with suppress(UnicodeError):
        latin = latin.encode("latin-1").decode("utf-8")
    return " ".join("".join(sign if sign.isprintable() else " " for sign in latin).split())


def _bars(metres: list[tuple[int, tuple[int, int]]], ticks: int, end: int) -> NDArray[np.void]:
    """Return the bars from the start to a tick."""
    if not metres or metres[0][0] > 0:
        metres = [(0, (4, 4)), *metres]
    stops = [start for start, _ in metres[1:]] + [max(end, metres[-1][0] + 1)]
    rows: list[tuple[int, int, str, int, int, int]] = []
    for number, ((start, (beats, unit)), stop) in enumerate(zip(metres, stops, strict=True), start=1):
        length = beats * 4 * ticks // unit
        if not length or (stop - start) // length + len(rows) > MOST_BARS:
            raise DamagedError(f"The MIDI file has more than the {MOST_BARS} bars that are believed.")
        cut = stop if number < len(metres) else stop + length
        rows += [(onset, min(length, cut - onset), "", beats, unit, 0) for onset in range(start, stop, length)]
    bars = np.array(rows, BAR)
    bars["label"] = [str(number) for number in range(1, len(bars) + 1)]
    return bars


def _notes(tracks: list[_Track], bars: NDArray[np.void], finer: int, findings: Findings) -> NDArray[np.void]:
    """Return the note table, unsorted, without spelling."""
    notes = np.zeros(sum(len(track.notes) for track in tracks), NOTE)
    at = 0
    for part, track in enumerate(tracks):
        rows = notes[at : at + len(track.notes)]
        rows["onset"], rows["duration"], rows["pitch"] = np.array(track.notes, np.int64).T
        rows["part"] = part
        if track.channel == DRUMS:
            rows["pitch"] = -1
        at += len(track.notes)
    for name in ("onset", "duration"):
        notes[name] *= finer
    notes["staff"], notes["element"] = 1, np.arange(len(notes))
    notes["bar"] = np.searchsorted(bars["onset"], notes["onset"], side="right") - 1
    for part in np.unique(notes["part"][notes["duration"] == 0]).tolist():
        timeless = (notes["duration"] == 0) & (notes["part"] == part)
        findings.add(NO_LENGTH, part=part, bars=notes["bar"][timeless].tolist())
    findings.add(SPELLING)
    findings.add(NO_VOICES)
    return notes


@cache
def scales() -> tuple[tuple[tuple[Spelled, ...], int], ...]:
    """The scales by which notes are named, and the place of each one's key signature on the line of fifths.

    >>> " ".join(note.text for note in scales()[0][0]), scales()[0][1], len(scales())
    ('Gb Ab Bb Cb Db Eb F', -6, 26)
    """
    found = []
    for semitones, shift in ((NATURAL_PC, 0), ((0, 2, 3, 5, 7, 8, 11), 3)):
        for fifths in range(-6, 7):
            place = fifths + shift
            root = Spelled("CDEFGAB".index(_LINE[(place + 1) % 7]), (place + 1) // 7)
            found.append((tuple(above(root, letter, height) for letter, height in enumerate(semitones)), fifths))
    return tuple(found)


def _spell(notes: NDArray[np.void], bars: NDArray[np.void], keys: list[tuple[int, int]]) -> None:
    """Name the notes of each bar by the scale that holds most of the bar and its neighbours."""
    pitched = notes["pitch"] >= 0
    weight = np.zeros((len(bars) + 2, 12))
    np.add.at(weight, (notes["bar"][pitched] + 1, notes["pitch"][pitched] % 12), notes["duration"][pitched])
    around = weight[:-2] + weight[1:-1] + weight[2:]
    inside = np.array([[float(pc in {note.pc for note in scale}) for pc in range(12)] for scale, _ in scales()])
    held = np.rint(around @ inside.T)
    fifths = np.array([place for _, place in scales()])
    signature = np.zeros(len(bars), np.int64)
    for tick, place in keys:
        signature[bars["onset"] >= tick] = place
    far = np.abs(fifths[None, :] - signature[:, None])
    is_minor = np.arange(len(fifths)) >= len(fifths) // 2
    best = np.lexsort([np.broadcast_to(fifths, held.shape), far, np.broadcast_to(is_minor, held.shape), -held])[:, 0]
    names = np.array([[(one.step, one.alter) for one in spell_in(scale, range(12))] for scale, _ in scales()])
    chosen = names[best[notes["bar"]], notes["pitch"] % 12]
    notes["step"] = np.where(pitched, chosen[:, 0], -1)
    notes["alter"] = np.where(pitched, chosen[:, 1], 0)
    natural = notes["pitch"] - np.array(NATURAL_PC)[chosen[:, 0]] - chosen[:, 1]
    notes["octave"] = np.where(pitched, natural // 12 - 1, -1)


def _remark_grid(notes: NDArray[np.void], ticks: int, findings: Findings) -> None:
    """Remark notes that begin where no written note would."""
    off = int(np.count_nonzero(np.all([notes["onset"] * parts % ticks for parts in GRIDS], axis=0)))
    if off:
        findings.add(
            f"{off} of {len(notes)} notes begin off every written beat: they were played, not written, "
            "and what sounds together may lie a little apart."
        )


def _heading(file: Any, tracks: list[_Track]) -> tuple[str, str]:
    """Return title and rights."""
    rights = [_text(event.text) for track in file.tracks for _, event in _meta(track, "copyright")]
    first = file.tracks[0]
    has_notes = any(event.type == "note_on" for event in first)
    return _text(first.name) if not has_notes or len(file.tracks) == 1 else "", next(filter(None, rights), "")
