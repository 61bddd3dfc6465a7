"""The music of one voice of an ABC tune: bars of notes, with exact lengths and what sounds.

Conventions
-----------
* **Lengths** are multiples of the unit length (``L:``; without it a sixteenth where the metre is below 3/4, else an
  eighth). ``>`` and ``<`` move length between neighbours, ``(3`` and the like set tuplets; a chord is as long as its
  first note.
* **Accidentals** hold to the end of the bar in every octave, which is the standard's default, unless the file says
  ``propagate-accidentals`` ``octave`` or ``not``; a tied note keeps the one that it is tied to.
* **Bars** end at bar lines with music before them; repeats and endings are not followed. ``Z4`` is four bars of rest.
* ``+CEG+`` is a chord of old ABC.
* ``&`` begins a second voice at the start of the bar.
* ``%%MIDI transpose``, a directive in wide use outside the standard, moves what sounds, in place of all other
  statements on that.
* Chord symbols, annotations, decorations and lyrics are skipped. A single ``!`` is the line break of old ABC.

Source: *The abc music standard 2.1* (December 2011), sections 4 and 7.4, and 11.3 for accidentals.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from fractions import Fraction

from sonorarium.score.formats.abckeys import ALTERS, LETTERS, Key, read_key, shift_of
from sonorarium.score.formats.abctext import FIELD

NO_METRE = (0, 4)
_SYMBOLS = {"C": (4, 4), "C|": (2, 2)}
_LENGTH = r"(?:\d*/+\d*|\d+)?"
_NOTE = rf"(?P<accidental>\^\^|__|[_^=]|)(?P<fine>\d*/\d*|)(?P<letter>[A-Ga-g])(?P<octave>[,']*)(?P<length>{_LENGTH})"
NOTE = re.compile(_NOTE)
TOKEN = re.compile(
    rf"""
    (?P<skip>%.*|\\|"[^"]*"|![A-Za-z0-9+<>().,^_/:-]+!|\+(?![A-Ga-g]+\+)[a-z0-9.()<>]+\+)
  | \[(?P<field>[A-Za-z]):(?P<content>[^\]]*)\]
  | (?P<bar>\[\||::+|[:|]*\|[|:]*\]?)(?:\d[\d,.-]*)?
  | \[(?P<ending>\d[\d,.-]*)
  | \[(?P<chord>[^\]|]*)\](?P<chord_length>{_LENGTH})
  | \((?P<tuplet>\d)(?::(?P<time>\d*))?(?::(?P<count>\d*))?
  | (?P<brace>[{{}}])
  | (?P<broken>>+|<+)
  | (?P<tie>-)
  | (?P<rest>[zx])(?P<rest_length>{_LENGTH})
  | [ZX](?P<long_rest>\d*)
  | (?P<overlay>&+)
  | {_NOTE}
  | (?P<silent>y\d*|[H-Wh-w~.`()\s*$/])
  | (?P<unknown>.)
    """,
    re.VERBOSE | re.ASCII,
)

KINDS = (
    "letter",
    "chord",
    "rest",
    "bar",
    "field",
    "tuplet",
    "brace",
    "broken",
    "tie",
    "overlay",
    "long_rest",
    "unknown",
)
"""Groups of `TOKEN` that mean something, each read by a method of `AbcVoice`."""

_MIDI_TRANSPOSE = re.compile(r"%%MIDI\s+transpose\s+([+-]?\d{1,3})\b")
_OLD_CHORD = re.compile(r"\+((?:[_^=]*[A-Ga-g][,']*[\d/]*){2,})\+")
_OPEN_CHORD = re.compile(r"\[(?![\d|\s])[^\]|%\"]*$")

FINE_ACCIDENTAL = "An accidental finer than a semitone was rounded."
OTHER_OCTAVE = "An accidental was taken to hold in another octave too, as the ABC standard says."
OLD_BREAK = "A single ! (a line break of old ABC) was skipped."
OVER_LINES = "A chord runs over the end of a line: the lines were joined."
UNKNOWN = "Signs that the ABC standard does not know were skipped."
MOST_RESTS = 1_000


@dataclass(slots=True)
class AbcNote:
    """One written note.

    Parameters
    ----------
    onset, length : Fraction
        In quarters, from the start of the bar; length 0 for a grace note.
    step, alter, octave : int
        As in `sonorarium.score.score.NOTE`.
    semitones : int
        From written to sounding pitch.
    layer : int
        0, or 1 and more after ``&``.
    grace, tie_starts, tie_stops : bool
    """

    onset: Fraction
    length: Fraction
    step: int
    alter: int
    octave: int
    semitones: int
    layer: int
    grace: bool = False
    tie_starts: bool = False
    tie_stops: bool = False


@dataclass(slots=True)
class AbcBar:
    """One bar of one voice.

    Parameters
    ----------
    metre : (int, int)
    notes : list of AbcNote
    reach : Fraction
        Where all that is written in it ends, in quarters.
    faults : list of str
    """

    metre: tuple[int, int]
    notes: list[AbcNote] = field(default_factory=list)
    reach: Fraction = Fraction(0)
    faults: list[str] = field(default_factory=list)


def read_metre(content: str) -> tuple[int, int] | None:
    """Return beats and beat type of an ``M:`` field, (0, 4) for none; None where it cannot be understood.

    >>> [read_metre(text) for text in ("6/8", "C|", "(2+3)/8", "none", "?")]
    [(6, 8), (2, 2), (5, 8), (0, 4), None]
    """
    text = content.partition("%")[0].strip().split("=")[0].strip()
    if text in _SYMBOLS:
        return _SYMBOLS[text]
    if text.lower() in ("none", ""):
        return NO_METRE
    found = re.fullmatch(r"\(?([\d+\s]+)\)?\s*/\s*(\d+)", text)
    if not found:
        return None
    beats, beat_type = sum(map(int, re.findall(r"\d+", found[1]))), int(found[2])
    return (beats, beat_type) if 0 < beats <= 1_000 and 0 < beat_type <= 1_024 else None


def read_length(text: str) -> Fraction:
    """Return what a length is worth, in unit lengths.

    >>> [str(read_length(text)) for text in ("", "3", "/", "//", "3/2", "/4")]
    ['1', '3', '1/2', '1/4', '3/2', '1/4']
    """
    above, slashes, below = re.fullmatch(r"(\d*)(/*)(\d*)", text).groups()  # type: ignore[union-attr]
    divisor = int(below) if below and int(below) else 2 ** len(slashes)
    return Fraction(int(above) if above else 1, divisor)


class AbcVoice:
    """Reads one voice, line by line.

    Parameters
    ----------
    scope : str
        ``pitch``, ``octave`` or ``not``: how far accidentals hold.
    """

    def __init__(self, scope: str = "pitch") -> None:
        self.bars: list[AbcBar] = []
        self._scope = scope
        self._metre = NO_METRE
        self._unit: Fraction | None = None
        self._key = Key()
        self._voice_shift = self._midi_shift = 0
        self._bar = AbcBar(NO_METRE)
        self._cursor = Fraction(0)
        self._layer = 0
        self._in_grace = self._after_grace = False
        self._held: dict[int, tuple[int, int]] = {}
        self._held_at: dict[tuple[int, int], int] = {}
        self._tied: dict[tuple[int, int], int] = {}
        self._last: list[AbcNote] = []
        self._last_length = Fraction(0)
        self._next_factor = Fraction(1)
        self._tuplet = (0, Fraction(1))

    def read(self, lines: Iterable[str]) -> list[AbcBar]:
        """Read fields and music; return all bars."""
        begun = ""
        for line in lines:
            if FIELD.match(line):
                self._field(line[0], line[2:])
            elif _OPEN_CHORD.search(begun + line):
                self._bar.faults.append(OVER_LINES)
                begun += line
            elif moved := _MIDI_TRANSPOSE.match(line):
                self._midi_shift = int(moved[1])
            elif not line.startswith("%"):
                for token in TOKEN.finditer(_OLD_CHORD.sub(r"[\1]", begun + line)):
                    self._token(token)
                begun = ""
        self._end_bar()
        return self.bars

    @property
    def _unit_length(self) -> Fraction:
        """Unit length in quarters."""
        if self._unit is not None:
            return 4 * self._unit
        beats, beat_type = self._metre
        return Fraction(1, 4) if beats and Fraction(beats, beat_type) < Fraction(3, 4) else Fraction(1, 2)

    def _field(self, letter: str, content: str) -> None:
        if letter == "K":
            self._key = read_key(content) or Key(self._key.alters, shift_of(content) or self._key.semitones)
        elif letter == "M":
            if self._unit is None and self._metre != NO_METRE:
                self._unit = self._unit_length / 4
            self._metre = read_metre(content) or self._metre
            if not self._cursor:
                self._bar.metre = self._metre
        elif letter == "L":
            found = re.match(r"\s*(\d+)\s*(?:/\s*(\d+))?", content)
            if found and int(found[1]) and int(found[2] or 1):
                self._unit = Fraction(int(found[1]), int(found[2] or 1))
        elif letter == "V":
            self._voice_shift = shift_of(content) or self._voice_shift

    def _token(self, token: re.Match[str]) -> None:
        kind = next((kind for kind in KINDS if token[kind] is not None), "")
        if kind:
            getattr(self, f"_on_{kind}")(token)

    def _on_letter(self, token: re.Match[str]) -> None:
        self._notes([token], read_length(token["length"]))

    def _on_chord(self, token: re.Match[str]) -> None:
        notes = list(NOTE.finditer(re.sub(r'"[^"]*"|![^!]*!', "", token["chord"])))
        if not notes:
            return
        self._notes(notes, read_length(notes[0]["length"]), read_length(token["chord_length"]))
        for note, mark in zip(self._last, notes, strict=False):
            note.tie_starts = mark.string[mark.end() : mark.end() + 1] == "-"
        self._tied |= {(note.step, note.octave): note.alter for note in self._last if note.tie_starts}

    def _on_rest(self, token: re.Match[str]) -> None:
        self._advance(read_length(token["rest_length"]), [])

    def _on_bar(self, token: re.Match[str]) -> None:
        self._end_bar()

    def _on_field(self, token: re.Match[str]) -> None:
        self._field(token["field"], token["content"])

    def _on_brace(self, token: re.Match[str]) -> None:
        self._in_grace, self._after_grace = token["brace"] == "{", True

    def _on_tie(self, token: re.Match[str]) -> None:
        """Begin ties at the last notes; a hyphen behind a grace note is a slur of old transcriptions."""
        if self._after_grace:
            return
        for note in self._last:
            note.tie_starts = True
        self._tied |= {(note.step, note.octave): note.alter for note in self._last}

    def _on_overlay(self, token: re.Match[str]) -> None:
        self._bar.reach = max(self._bar.reach, self._cursor)
        self._cursor, self._layer = Fraction(0), self._layer + 1

    def _on_unknown(self, token: re.Match[str]) -> None:
        self._bar.faults.append(OLD_BREAK if token["unknown"] == "!" else UNKNOWN)

    def _notes(self, marks: list[re.Match[str]], length: Fraction, factor: Fraction = Fraction(1)) -> None:
        """Read a note or a chord."""
        tied, notes = ({} if self._in_grace else self._tied), []
        for mark in marks:
            step = LETTERS.index(mark["letter"].upper())
            octave = (5 if mark["letter"].islower() else 4) + mark["octave"].count("'") - mark["octave"].count(",")
            is_tied = (step, octave) in tied
            alter = self._alter(mark, step, octave, tied)
            shift = self._midi_shift or self._key.semitones + self._voice_shift
            own = read_length(mark["length"]) * factor
            note = AbcNote(self._cursor, own, step, alter, octave, shift, self._layer, self._in_grace)
            note.tie_stops = is_tied and tied[step, octave] == alter
            notes.append(note)
        if self._in_grace:
            for note in notes:
                note.length = Fraction(0)
            self._bar.notes += notes
            return
        self._tied, self._after_grace = {}, False
        self._advance(length * factor, notes)

    def _alter(self, mark: re.Match[str], step: int, octave: int, tied: dict[tuple[int, int], int]) -> int:
        """Return how a note is altered, and keep in mind what holds on."""
        if mark["accidental"]:
            alter = ALTERS[mark["accidental"]]
            if mark["fine"]:
                self._bar.faults.append(FINE_ACCIDENTAL)
                alter = alter if read_length(mark["fine"]) > Fraction(1, 2) else 0
            self._held[step] = alter, octave
            self._held_at[step, octave] = alter
            return alter
        plain = self._key.alters.get(step, 0)
        if (step, octave) in tied:
            return tied[step, octave]
        if self._scope == "not":
            return plain
        if self._scope == "octave" or step not in self._held:
            return self._held_at.get((step, octave), plain)
        alter, _ = self._held[step]
        if alter != self._held_at.get((step, octave), plain):
            self._bar.faults.append(OTHER_OCTAVE)
        return alter

    def _advance(self, length: Fraction, notes: list[AbcNote]) -> None:
        """Let notes or a rest take their time."""
        left, tuplet = self._tuplet
        factor = self._next_factor * (tuplet if left else 1) * self._unit_length
        self._tuplet, self._next_factor = (max(0, left - 1), tuplet), Fraction(1)
        for note in notes:
            note.length *= factor
        self._bar.notes += notes
        self._last, self._last_length = notes, length * factor
        self._cursor += self._last_length

    def _on_broken(self, token: re.Match[str]) -> None:
        """Move length between the last note and the next one."""
        sign = token["broken"]
        short = Fraction(1, 2 ** len(sign))
        first, self._next_factor = (2 - short, short) if sign[0] == ">" else (short, 2 - short)
        for note in self._last:
            note.length *= first
        self._cursor += self._last_length * (first - 1)
        self._last_length *= first

    def _on_tuplet(self, token: re.Match[str]) -> None:
        size = int(token["tuplet"])
        is_compound = self._metre[0] > 3 and self._metre[0] % 3 == 0
        usual = {2: 3, 3: 2, 4: 3, 6: 2, 8: 3}.get(size, 3 if is_compound else 2)
        if size:
            time, count = int(token["time"] or 0) or usual, int(token["count"] or 0) or size
            self._tuplet = count, Fraction(time, size)

    def _on_long_rest(self, token: re.Match[str]) -> None:
        """Let bars of rest go by."""
        self._end_bar()
        beats, beat_type = self._metre
        for _ in range(min(int(token["long_rest"] or "1"), MOST_RESTS)):
            self._cursor = Fraction(4 * beats, beat_type) if beats else Fraction(4)
            self._end_bar()

    def _end_bar(self) -> None:
        """Close the bar, if there is anything in it."""
        bar = self._bar
        bar.reach = max(bar.reach, self._cursor)
        if bar.reach or bar.notes:
            self.bars.append(bar)
        faults = [] if bar.reach or bar.notes else bar.faults
        self._bar = AbcBar(self._metre, faults=faults)
        self._cursor, self._layer = Fraction(0), 0
        self._held, self._held_at = {}, {}
