"""From an ABC file to a `Score`: tunes and tune books.

verovio has an importer for ABC, but measured on the open tune books it is not exact: it keeps the key of an earlier
tune where the next has no accidentals in its signature, leaves out a last bar without bar line, forgets lengths after
chords, and ends the process over some tunes. So ABC is read here; verovio and another library serve as second readers
in the tests.

Conventions
-----------
* The text is cut into tunes and voices by `sonorarium.score.formats.abctext`, and each voice is read by
  `sonorarium.score.formats.abcmusic`, which state what they take for what.
* The tunes of a book stand one after another; the bars of tune ``X:12`` are labelled ``12:1``, ``12:2`` …
* ABC does not number bars: they are counted, a pick-up being 0. The n-th bar of every voice is the same bar.
* Every voice is a part; in a book, voices in the same place are one part.
* Title T, composer C, encoder Z, of the first tune; rights ``abc-copyright``.
* Elements are numbered in the order tune, voice, note.

Source: *The abc music standard 2.1* (December 2011).
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import zip_longest

import numpy as np

from sonorarium.errors import DamagedError
from sonorarium.pcs.spelling import NATURAL_PC
from sonorarium.score.formats.abcmusic import AbcBar, AbcNote, AbcVoice
from sonorarium.score.formats.abctext import (
    MAIL_ENCODING,
    Tune,
    VoiceText,
    abc_heading,
    file_header,
    tunes_of,
    without_mail_encoding,
)
from sonorarium.score.remarks import Findings
from sonorarium.score.score import Part, Score
from sonorarium.score.written.assembly import Head, note_table, ticks_per_quarter
from sonorarium.score.written.barlayout import Bar, bar_table

_PROPAGATE = re.compile(r"^(?:%%|I:)\s*propagate-accidentals\s+(pitch|octave|not)\b", re.M)

SEVERAL = "The file holds {} tunes: they stand one after another, bar 1 of the first being labelled {}:1."
EMPTY_TUNE = "Tune {} holds no music."
OUT_OF_RANGE = "A note sounds outside the range of MIDI: it was marked as unpitched."
NO_METRE_STATED = "No metre is stated at the beginning."
UNEQUAL = "The voices have {} to {} bars: the shorter ones end in silence."
UNDERFULL = "The part does not fill the bar: the rest of it is silence."


@dataclass(eq=False)
class _Reading:
    """What has been read so far."""

    findings: Findings
    heads: list[Head] = field(default_factory=list)
    pieces: list[tuple[str, list[Bar]]] = field(default_factory=list)
    names: list[str] = field(default_factory=list)
    voices: list[int] = field(default_factory=list)
    bar_count: int = 0
    time: Fraction = Fraction(0)


def read_abc(text: str, findings: Findings) -> Score:
    """Return the score in an ABC file.

    Parameters
    ----------
    text : str
        The whole file, with plain line ends.
    findings : Findings
        Takes up what was guessed, repaired or left out.

    Raises
    ------
    DamagedError
        If there is no music in it.
    """
    if without_mail_encoding(text) != text:
        findings.add(MAIL_ENCODING)
        text = without_mail_encoding(text)
    directive = _PROPAGATE.search(text)
    scope = directive[1] if directive else "pitch"
    header = tuple(line for line in file_header(text).split("\n") if line[:2] in ("M:", "L:"))
    reading = _Reading(findings)
    tunes = tunes_of(text)
    distinct = len({tune.number for tune in tunes}) == len(tunes)
    for place, tune in enumerate(tunes, start=1):
        label = tune.number if distinct and tune.number else str(place)
        if not _read_tune(tune, header, scope, label if len(tunes) > 1 else "", reading):
            findings.add(EMPTY_TUNE.format(tune.number))
    if not reading.heads:
        raise DamagedError("The ABC file holds no music.")
    if len(reading.pieces) > 1:
        findings.add(SEVERAL.format(len(reading.pieces), reading.pieces[0][0]))
    return _score(reading, text)


def _read_tune(tune: Tune, header: tuple[str, ...], scope: str, label: str, reading: _Reading) -> bool:
    """Read one tune; return whether there was music in it."""
    voices = tune.voices()
    read = [AbcVoice(scope).read((*header, *voice.lines)) for voice in voices]
    counts = {len(bars) for bars in read if bars}
    if not counts:
        return False
    if len(counts) > 1:
        reading.findings.add(UNEQUAL.format(min(counts), max(counts)))
    _take_names(voices, reading)
    bars = [_bar(together) for together in zip_longest(*read)]
    onsets = [reading.time]
    for bar in bars:
        onsets.append(onsets[-1] + bar.length)
    for part, own in enumerate(read):
        for place, bar_of_voice in enumerate(own):
            index = reading.bar_count + place
            for note in bar_of_voice.notes:
                _add_head(note, onsets[place], part, index, reading)
            for what in bar_of_voice.faults:
                reading.findings.add(what, part=part, bars=[index])
            if bar_of_voice.reach < bars[place].length:
                reading.findings.add(UNDERFULL, part=part, bars=[index])
    reading.pieces.append((label, bars))
    reading.time, reading.bar_count = onsets[-1], reading.bar_count + len(bars)
    return True


def _take_names(voices: list[VoiceText], reading: _Reading) -> None:
    """Take up the names of the voices; a part keeps the first that it was given."""
    for part, voice in enumerate(voices):
        if part == len(reading.names):
            reading.names.append(voice.name)
            reading.voices.append(1)
        reading.names[part] = reading.names[part] or voice.name


def _bar(together: tuple[AbcBar | None, ...]) -> Bar:
    """Lay one bar of all voices together."""
    present = [bar for bar in together if bar is not None]
    return Bar("", present[0].metre, max(bar.reach for bar in present))


def _add_head(note: AbcNote, bar_onset: Fraction, part: int, bar: int, reading: _Reading) -> None:
    pitch = 12 * (note.octave + 1) + NATURAL_PC[note.step] + note.alter + note.semitones
    is_pitched = 0 <= pitch <= 127
    if not is_pitched:
        reading.findings.add(OUT_OF_RANGE, part=part, bars=[bar])
    reading.voices[part] = max(reading.voices[part], note.layer + 1)
    reading.heads.append(
        Head(
            bar_onset + note.onset,
            note.length,
            pitch if is_pitched else -1,
            note.step if is_pitched else -1,
            note.alter if is_pitched else 0,
            note.octave if is_pitched else -1,
            part,
            1,
            note.layer,
            bar,
            len(reading.heads),
            note.grace,
            tie_starts=note.tie_starts,
            tie_stops=note.tie_stops,
        )
    )


def _score(reading: _Reading, text: str) -> Score:
    """Return the score of what was read."""
    findings, heads = reading.findings, reading.heads
    every_bar = [bar for _, bars in reading.pieces for bar in bars]
    times = [time for head in heads for time in (head.onset, head.duration)]
    ticks = ticks_per_quarter([*times, *(bar.length for bar in every_bar), *(bar.full for bar in every_bar)])
    tables = []
    first, onset = 0, 0
    for label, bars in reading.pieces:
        table = bar_table(bars, ticks, label, first, findings)
        table["onset"] += onset
        onset = int(table["onset"][-1] + table["duration"][-1])
        if not bars[0].metre[0]:
            findings.add(NO_METRE_STATED, bars=[first])
        tables.append(table)
        first += len(bars)
    notes, element_note = note_table(heads, ticks, len(heads), findings)
    bar_rows = np.concatenate(tables)
    parts = tuple(
        Part(str(index + 1), name, 1, tuple(str(voice + 1) for voice in range(reading.voices[index])))
        for index, name in enumerate(reading.names)
    )
    heading = abc_heading(text)
    return Score(
        notes,
        bar_rows,
        parts,
        ticks,
        heading.title,
        heading.composer,
        heading.rights,
        heading.encoder,
        element_note=element_note,
        remarks=findings.remarks(bar_rows["label"].tolist()),
    )
