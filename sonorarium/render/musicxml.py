"""Music out to notation software: a `Sheet` as MusicXML 4.0.

What is written
---------------
* **Time**: the fewest divisions of a quarter that the lengths need; an event that crosses a bar line, or that no
  single note value holds, is written as tied notes (`sonorarium.render.notevalues`). Voices that end early are filled
  with rests, the last bar is always whole.
* **Pitch**: parts of transposing instruments in written pitch, with ``transpose``; their key signature moves along,
  and there is none where the sheet has none. Clefs an octave lower keep sounding pitch, as the format wants.
* **Accidentals** are written out: by the signature, by what came before in the bar on the same line, and not on a
  note that is tied over.
* **Two staves** for a keyboard, one voice each; beams inside the beat; chord symbols as ``harmony``, labels as words
  over the first staff of the part that has them.
* **Ids**: every note has an id, ``n0``, ``n1`` …, in order of the file.

The same sheet gives the same bytes: no date, no machine. Nothing newer than MusicXML 3.1 is used but the version
number, so that older programs read it too.

Source: MusicXML 4.0, W3C Music Notation Community Group, final report of 1 June 2021.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import count
from math import lcm
from pathlib import Path
from typing import NamedTuple

from lxml import etree

from sonorarium.errors import InputError
from sonorarium.files import write_whole
from sonorarium.pcs.chordsymbol import Chord
from sonorarium.pcs.spelling import LETTERS, Spelled
from sonorarium.pitch.instruments import written_pitch
from sonorarium.render.harmony import kind_and_degrees, kind_text
from sonorarium.render.notevalues import NoteValue, beamed, beat_quarters, note_values
from sonorarium.render.sheet import Event, Sheet, SheetPart, SpelledPitch, key_alters

Element = etree._Element
_DOCTYPE = (
    '<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" '
    '"http://www.musicxml.org/dtds/partwise.dtd">'
)
_CLEFS = {
    "treble": ("G", 2, 0),
    "bass": ("F", 4, 0),
    "alto": ("C", 3, 0),
    "tenor": ("C", 4, 0),
    "treble-8": ("G", 2, -1),
}
_ACCIDENTALS = {-3: "triple-flat", -2: "flat-flat", -1: "flat", 0: "natural", 1: "sharp", 2: "double-sharp"}
_ACCIDENTALS[3] = "triple-sharp"
SUFFIXES = (".musicxml", ".xml")


def to_musicxml(sheet: Sheet) -> bytes:
    """Write a sheet as MusicXML.

    Parameters
    ----------
    sheet : Sheet

    Returns
    -------
    bytes
        UTF-8; the same for the same sheet.

    Raises
    ------
    InputError
        Where a length or a sign of a text cannot be written, or the sheet is empty.

    Examples
    --------
    >>> from sonorarium.pitch.voicing import Voicing
    >>> from sonorarium.render.sheet import sheet_of_voicings
    >>> sheet = sheet_of_voicings([Voicing((48, 64))], [Spelled(0), Spelled(2)])
    >>> to_musicxml(sheet).count(b"<note id=")
    2
    """
    if not sheet.end:
        raise InputError("There is nothing to write down.", value=sheet)
    root = etree.Element("score-partwise", version="4.0")
    _write_heading(root, sheet)
    ids = count()
    for number, part in enumerate(sheet.parts, 1):
        _PartWriter(sheet, part, ids).write(etree.SubElement(root, "part", id=f"P{number}"), is_first=number == 1)
    return bytes(
        etree.tostring(
            root, xml_declaration=True, encoding="UTF-8", doctype=_DOCTYPE, pretty_print=True, standalone=False
        )
    )


def save_musicxml(sheet: Sheet, path: Path) -> None:
    """Write a sheet to a MusicXML file; the file is written under a temporary name and moved into place.

    Parameters
    ----------
    sheet : Sheet
    path : Path
        Ends in .musicxml or .xml.

    Raises
    ------
    InputError
        Where the suffix is another, the place cannot be written to, or as `to_musicxml`.
    """
    if path.suffix.lower() not in SUFFIXES:
        raise InputError(
            f"{path.name} is no name of a MusicXML file.",
            value=path,
            suggestion=f"End it in {' or '.join(SUFFIXES)}.",
        )
    write_whole(path, to_musicxml(sheet))


def _add(parent: Element, tag: str, text: object = None, **attributes: str) -> Element:
    child = etree.SubElement(parent, tag, {name.replace("_", "-"): value for name, value in attributes.items()})
    if text is not None:
        child.text = _checked(str(text))
    return child


def _checked(text: str) -> str:
    """Refuse signs that no XML document may hold."""
    found = re.search("[\x00-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff]", text)
    if found:
        raise InputError(f"{text!r} has a sign that cannot be written.", value=text, suggestion="Leave it out.")
    return text


# --- heading ------------------------------------------------------------------------------------------------------


def _write_heading(root: Element, sheet: Sheet) -> None:
    if sheet.title:
        _add(_add(root, "work"), "work-title", sheet.title)
    identification = _add(root, "identification")
    if sheet.composer:
        _add(identification, "creator", sheet.composer, type="composer")
    encoding = _add(identification, "encoding")
    _add(encoding, "software", "Sonorarium")
    for element in ("accidental", "beam"):
        _add(encoding, "supports", element=element, type="yes")
    parts = _add(root, "part-list")
    for number, part in enumerate(sheet.parts, 1):
        listed = _add(parts, "score-part", id=f"P{number}")
        _add(listed, "part-name", part.name)
        _add(_add(listed, "score-instrument", id=f"P{number}-I1"), "instrument-name", part.player.name)
        midi = _add(listed, "midi-instrument", id=f"P{number}-I1")
        _add(midi, "midi-channel", _channel(number))
        _add(midi, "midi-program", part.player.program + 1)


def _channel(number: int) -> int:
    """Channels 1 to 16 in turn, without 10, which is for drums."""
    at = (number - 1) % 15 + 1
    return at if at < 10 else at + 1


# --- parts --------------------------------------------------------------------------------------------------------


class _Piece(NamedTuple):
    """What is written as one note, chord or rest."""

    start: Fraction  # quarters from the bar line
    value: NoteValue
    event: Event
    is_head: bool  # first of its event
    is_tail: bool  # last of its event
    tuplet: str = ""  # start, stop, or both


@dataclass
class _PartWriter:
    sheet: Sheet
    part: SheetPart
    ids: Iterator[int]

    def __post_init__(self) -> None:
        bar, end = self.sheet.bar_quarters, self.sheet.end
        self.bars = -(-end // bar)
        self.voices = [
            (staff, [_in_bars(self._filled(voice), self.sheet, int(self.bars)) for voice in staff_.voices])
            for staff, staff_ in enumerate(self.part.staves, 1)
        ]
        every = [piece.value.quarters for _, voices in self.voices for voice in voices for b in voice for piece in b]
        self.divisions = lcm(*(length.denominator for length in every))
        self.fifths = _written_fifths(self.sheet.fifths, self.part.player.transposition)

    def _filled(self, voice: tuple[Event, ...]) -> tuple[Event, ...]:
        """The voice in written pitch, rests added up to the end of the last bar."""
        events = tuple(
            replace(event, pitches=tuple(written_pitch(self.part.player, pitch) for pitch in event.pitches))
            for event in voice
        )
        missing = self.bars * self.sheet.bar_quarters - sum((event.quarters for event in voice), Fraction(0))
        return (*events, Event(missing)) if missing else events

    def write(self, into: Element, *, is_first: bool) -> None:
        for bar in range(int(self.bars)):
            measure = _add(into, "measure", number=str(bar + 1))
            if bar == 0:
                self._write_attributes(measure)
                if is_first and self.sheet.tempo_qpm:
                    _write_tempo(measure, self.sheet.tempo_qpm)
            self._write_bar(measure, bar)
            if bar == self.bars - 1:
                _add(_add(measure, "barline", location="right"), "bar-style", "light-heavy")

    def _write_attributes(self, measure: Element) -> None:
        attributes = _add(measure, "attributes")
        _add(attributes, "divisions", self.divisions)
        _add(_add(attributes, "key"), "fifths", self.fifths)
        time = _add(attributes, "time")
        _add(time, "beats", self.sheet.metre[0])
        _add(time, "beat-type", self.sheet.metre[1])
        several = len(self.part.staves) > 1
        if several:
            _add(attributes, "staves", len(self.part.staves))
        for number, staff in enumerate(self.part.staves, 1):
            sign, line, octave = _CLEFS[staff.clef]
            clef = _add(attributes, "clef", **({"number": str(number)} if several else {}))
            _add(clef, "sign", sign)
            _add(clef, "line", line)
            if octave:
                _add(clef, "clef-octave-change", octave)
        _write_transpose(attributes, self.part.player.transposition)

    def _write_bar(self, measure: Element, bar: int) -> None:
        number, first = 0, True
        for staff, voices in self.voices:
            accidentals = _accidentals([voice[bar] for voice in voices], key_alters(self.fifths))
            for at, voice in enumerate(voices):
                number += 1
                if not first:
                    _add(_add(measure, "backup"), "duration", self._ticks(self.sheet.bar_quarters))
                first = False
                self._write_voice(measure, voice[bar], _Place(number, staff, len(voices), at), accidentals[at])

    def _write_voice(self, measure: Element, pieces: list[_Piece], place: _Place, signs: list[list[str]]) -> None:
        beat = beat_quarters(self.sheet.metre)
        beams = beamed([(p.start, p.value.beams if p.event.pitches else 0) for p in pieces], beat)
        for piece, beam, sign in zip(pieces, beams, signs, strict=True):
            if piece.is_head:
                self._write_above(measure, piece.event, place.staff)
            whole_bar = not piece.event.pitches and piece.value.quarters == self.sheet.bar_quarters
            for at in range(max(1, len(piece.event.pitches))):
                note = _add(measure, "note", id=f"n{next(self.ids)}")
                self._write_note(note, piece, at, place, sign[at] if sign else "")
                if not whole_bar:
                    _write_shape(note, piece, sign[at] if sign else "")
                if place.of > 1 and piece.event.pitches:
                    _add(note, "stem", "down" if place.at else "up")
                if len(self.part.staves) > 1:
                    _add(note, "staff", place.staff)
                for level, name in enumerate(beam if at == 0 else (), 1):
                    _add(note, "beam", name, number=str(level))
                _write_notations(note, piece, is_first=at == 0)

    def _write_note(self, note: Element, piece: _Piece, at: int, place: _Place, sign: str) -> None:
        if at:
            _add(note, "chord")
        if piece.event.pitches:
            _write_pitch(note, piece.event.pitches[at])
        else:
            whole = piece.value.quarters == self.sheet.bar_quarters
            _add(note, "rest", **({"measure": "yes"} if whole else {}))
        _add(note, "duration", self._ticks(piece.value.quarters))
        for kind in _ties(piece):
            _add(note, "tie", type=kind)
        _add(note, "voice", place.voice)

    def _write_above(self, measure: Element, event: Event, staff: int) -> None:
        if event.symbol is not None:
            _write_harmony(measure, event.symbol)
        if event.words:
            direction = _add(measure, "direction", placement="above")
            _add(_add(direction, "direction-type"), "words", event.words)
            if len(self.part.staves) > 1:
                _add(direction, "staff", staff)

    def _ticks(self, quarters: Fraction) -> int:
        return int(quarters * self.divisions)


class _Place(NamedTuple):
    """Number of a voice in its part, its staff, how many voices the staff has, and which of them it is."""

    voice: int
    staff: int
    of: int
    at: int


def _written_fifths(fifths: int | None, transposition: tuple[int, int]) -> int:
    """Key signature of a part that is written that far above where it sounds."""
    if fifths is None:
        return 0
    semitones, letters = transposition
    moved = fifths - (7 * semitones - 12 * letters)
    return moved - 12 if moved > 7 else moved + 12 if moved < -7 else moved


# --- time ---------------------------------------------------------------------------------------------------------


def _in_bars(voice: tuple[Event, ...], sheet: Sheet, bars: int) -> list[list[_Piece]]:
    """Cut a voice at the bar lines and into note values."""
    cut: list[list[_Piece]] = [[] for _ in range(bars)]
    at, bar = Fraction(0), sheet.bar_quarters
    for event in voice:
        end, head = at + event.quarters, True
        while at < end:
            number = int(at // bar)
            start = at - number * bar
            length = min(end - at, bar - start)
            if not event.pitches and _is_odd(length) and length > (to_beat := -start % 1) > 0:
                length = to_beat  # the rest first completes the tuplet
            values = _values(start, length, sheet, is_rest=not event.pitches)
            for value in values:
                tail = at + value.quarters == end
                cut[number].append(_Piece(at - number * bar, value, event, head, tail))
                at, head = at + value.quarters, False
    return [_with_tuplets(pieces) for pieces in cut]


def _is_odd(length: Fraction) -> bool:
    """Whether a length takes a tuplet."""
    return length.denominator & (length.denominator - 1) != 0


def _values(start: Fraction, length: Fraction, sheet: Sheet, *, is_rest: bool) -> tuple[NoteValue, ...]:
    """Note values of a length; a rest through the whole bar is one sign in every metre."""
    if is_rest and length == sheet.bar_quarters:
        return (NoteValue(length, "whole"),)
    return note_values(start, length, beat_quarters(sheet.metre))


def _with_tuplets(pieces: list[_Piece]) -> list[_Piece]:
    """Mark where each tuplet of a bar begins and ends: where its notes again make up a plain length."""
    marked, inside = [], Fraction(0)
    for at, piece in enumerate(pieces):
        tuplet, follower = piece.value.tuplet, pieces[at + 1].value.tuplet if at + 1 < len(pieces) else None
        if tuplet is None:
            marked.append(piece)
            continue
        opens = not inside
        inside += piece.value.quarters
        closes = not _is_odd(inside) or follower != tuplet
        inside = Fraction(0) if closes else inside
        marked.append(piece._replace(tuplet=" ".join(("start",) * opens + ("stop",) * closes)))
    return marked


# --- signs --------------------------------------------------------------------------------------------------------


def _accidentals(voices: list[list[_Piece]], key: dict[int, int]) -> list[list[list[str]]]:
    """The accidental of each note of a staff in one bar, by voice and piece; empty where none is needed."""
    in_force: dict[tuple[int, int], int] = {}
    signs: list[list[list[str]]] = [[[] for _ in voice] for voice in voices]
    order = sorted((piece.start, v, at) for v, voice in enumerate(voices) for at, piece in enumerate(voice))
    for _, v, at in order:
        piece = voices[v][at]
        for step, alter, octave in piece.event.pitches:
            known = in_force.get((step, octave), key[step])
            if not piece.is_head:
                signs[v][at].append("")  # tied over
                if piece.start:
                    in_force[step, octave] = alter
                continue
            signs[v][at].append("" if known == alter else _ACCIDENTALS[alter])
            in_force[step, octave] = alter
    return signs


def _write_pitch(note: Element, pitch: SpelledPitch) -> None:
    step, alter, octave = pitch
    inner = _add(note, "pitch")
    _add(inner, "step", LETTERS[step])
    if alter:
        _add(inner, "alter", alter)
    _add(inner, "octave", octave)


def _ties(piece: _Piece) -> list[str]:
    if not piece.event.pitches:
        return []
    return ["stop"] * (not piece.is_head) + ["start"] * (not piece.is_tail)


def _write_shape(note: Element, piece: _Piece, sign: str) -> None:
    _add(note, "type", piece.value.type)
    if piece.value.is_dotted:
        _add(note, "dot")
    if sign:
        _add(note, "accidental", sign)
    if piece.value.tuplet:
        modification = _add(note, "time-modification")
        _add(modification, "actual-notes", piece.value.tuplet[0])
        _add(modification, "normal-notes", piece.value.tuplet[1])


def _write_notations(note: Element, piece: _Piece, *, is_first: bool) -> None:
    tuplets = piece.tuplet.split() if is_first else []
    ties = _ties(piece)
    if not tuplets and not ties:
        return
    notations = _add(note, "notations")
    for kind in ties:
        _add(notations, "tied", type=kind)
    for kind in tuplets:
        _add(notations, "tuplet", type=kind)


def _write_tempo(measure: Element, tempo_qpm: float) -> None:
    direction = _add(measure, "direction", placement="above")
    metronome = _add(_add(direction, "direction-type"), "metronome")
    _add(metronome, "beat-unit", "quarter")
    _add(metronome, "per-minute", f"{tempo_qpm:g}")
    _add(direction, "sound", tempo=f"{tempo_qpm:g}")


def _write_transpose(attributes: Element, transposition: tuple[int, int]) -> None:
    semitones, letters = transposition
    if not semitones and not letters:
        return
    octaves = int(letters / 7)
    transpose = _add(attributes, "transpose")
    _add(transpose, "diatonic", letters - 7 * octaves)
    _add(transpose, "chromatic", semitones - 12 * octaves)
    if octaves:
        _add(transpose, "octave-change", octaves)


def _write_harmony(measure: Element, chord: Chord) -> None:
    harmony = _add(measure, "harmony")
    root = _add(harmony, "root")
    _write_name(root, "root", chord.root)
    kind, degrees = kind_and_degrees(chord.quality)
    _add(harmony, "kind", kind).set("text", kind_text(chord))
    if chord.bass is not None:
        _write_name(_add(harmony, "bass"), "bass", chord.bass)
    for degree in degrees:
        element = _add(harmony, "degree", print_object="no")
        _add(element, "degree-value", degree.number)
        _add(element, "degree-alter", degree.alter)
        _add(element, "degree-type", degree.way)


def _write_name(parent: Element, prefix: str, name: Spelled) -> None:
    _add(parent, f"{prefix}-step", LETTERS[name.step])
    if name.alter:
        _add(parent, f"{prefix}-alter", name.alter)
