"""Corrections that somebody keeps beside a score, in a file of their own; the score itself is left alone.

``song.mxl`` is corrected by ``song.mxl.corrections.toml``::

    score = "9f86d0…"          # SHA-256 of the score that was corrected; may be left out
    title = "Song without a name"
    composer = "…"

    [[note]]
    bar = "12"                 # as printed
    part = "Clarinet in Bb"    # printed name, or number from 1
    beat = "2 1/2"             # 1 for the first, in units of the metre's lower figure
    written = "F4"             # as it stands on the page
    correct = "F#4"
    reason = "autograph"       # may be left out

Conventions
-----------
* A correction names what it replaces. Where that is not there, it is not made, and a remark says so.
* Where ``score`` is given and the score has changed since, no correction is made, and a remark says so: who has
  looked at the new score puts its number in.
* Every correction made is a remark. A note is corrected with all that is tied to it. A transposing instrument is
  corrected as it is written; what sounds moves along.
* A file that cannot be understood is an error: corrections are never half read.

See docs/corrections.md. The format is our own.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from sonorarium.errors import InputError
from sonorarium.pcs.spelling import NATURAL_PC, NOTE_PATTERN, Spelled, read_note
from sonorarium.score.score import Remark, Score

SUFFIX = ".corrections.toml"
HEADINGS = ("title", "composer", "rights", "encoder", "date")
"""What can be corrected besides notes."""

_NOTE_KEYS = ("bar", "part", "beat", "written", "correct")
_NAME = re.compile(rf"({NOTE_PATTERN})(-?\d)")
_DIGEST = re.compile(r"[0-9a-f]{64}")


@dataclass(frozen=True)
class NoteCorrection:
    """One note to be corrected.

    Parameters
    ----------
    bar : str
        Printed label.
    part : str or int
        Printed name, or number from 1.
    beat : Fraction
        1 for the first.
    written, correct : (Spelled, int)
        Name and octave on the page, and what they should be.
    reason : str
    """

    bar: str
    part: str | int
    beat: Fraction
    written: tuple[Spelled, int]
    correct: tuple[Spelled, int]
    reason: str = ""


@dataclass(frozen=True)
class Corrections:
    """What a correction file says.

    Parameters
    ----------
    digest : str
        SHA-256 of the score that it was made for, "" where it does not say.
    headings : tuple of (str, str)
        What is to be replaced by what, in the order of `HEADINGS`.
    notes : tuple of NoteCorrection
    """

    digest: str = ""
    headings: tuple[tuple[str, str], ...] = ()
    notes: tuple[NoteCorrection, ...] = ()


def corrections_path(path: Path) -> Path:
    """Return where the corrections of a score are kept.

    >>> corrections_path(Path("songs/song.mxl")).name
    'song.mxl.corrections.toml'
    """
    return path.with_name(path.name + SUFFIX)


def corrected(score: Score) -> Score:
    """Return a score with the corrections that lie beside its file, if there are any.

    Raises
    ------
    InputError
        If the correction file cannot be opened or understood.
    """
    if score.path is None:
        return score
    place = corrections_path(score.path)
    try:
        text = place.read_bytes().decode("utf-8")
    except FileNotFoundError:
        return score
    except (OSError, UnicodeDecodeError) as error:
        raise InputError(f"{place.name} cannot be opened as UTF-8 text.", value=str(place)) from error
    try:
        return apply_corrections(score, read_corrections(text))
    except InputError as error:
        raise InputError(f"{place.name}: {error.sentence}", value=error.value, suggestion=error.suggestion) from error


def read_corrections(text: str) -> Corrections:
    """Return what a correction file says.

    Raises
    ------
    InputError
        If it is no TOML, or has anything in it that is not known.

    Examples
    --------
    >>> read_corrections('title = "Air"')
    Corrections(digest='', headings=(('title', 'Air'),), notes=())
    """
    import tomllib  # noqa: PLC0415

    try:
        table = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise InputError(f"The file is no TOML: {error}.") from error
    _known(table, ("score", "note", *HEADINGS), "The file")
    digest = _text(table, "score", "The file") if "score" in table else ""
    if digest and not _DIGEST.fullmatch(digest):
        raise InputError("score is no SHA-256: that has 64 signs, 0-9 and a-f.", value=digest)
    headings = tuple((key, _text(table, key, "The file")) for key in HEADINGS if key in table)
    notes = table.get("note", [])
    if not isinstance(notes, list) or not all(isinstance(one, dict) for one in notes):
        raise InputError("Notes are corrected in tables that begin with [[note]].", value=notes)
    return Corrections(digest, headings, tuple(_note(one, number) for number, one in enumerate(notes, start=1)))


def _known(table: Mapping[str, object], keys: tuple[str, ...], where: str) -> None:
    for key in table:
        if key not in keys:
            raise InputError(
                f"{where} has {key}, which is not known.", value=key, suggestion=f"Known: {', '.join(keys)}."
            )


def _text(table: Mapping[str, object], key: str, where: str) -> str:
    value = table[key]
    if not isinstance(value, str) or not value.strip():
        raise InputError(f"{where} gives {key}, which must be a text in quotes.", value=value)
    return " ".join(value.split())


def _note(table: Mapping[str, object], number: int) -> NoteCorrection:
    where = f"[[note]] {number}"
    _known(table, (*_NOTE_KEYS, "reason"), where)
    missing = [key for key in _NOTE_KEYS if key not in table]
    if missing:
        raise InputError(f"{where} lacks {', '.join(missing)}.", value=missing)
    bar, part = table["bar"], table["part"]
    is_number = isinstance(part, int) and not isinstance(part, bool)
    return NoteCorrection(
        str(bar) if isinstance(bar, int) else _text(table, "bar", where),
        int(str(part)) if is_number else _text(table, "part", where),
        _beat(table["beat"], where),
        _pitch(_text(table, "written", where), where),
        _pitch(_text(table, "correct", where), where),
        _text(table, "reason", where) if "reason" in table else "",
    )


def _beat(value: object, where: str) -> Fraction:
    try:
        return sum((Fraction(word) for word in str(value).split()), Fraction(0))
    except (ValueError, ZeroDivisionError) as error:
        raise InputError(f"{where} has the beat {value}; beats look like 2, 2.5 or 2 1/2.", value=value) from error


def _pitch(text: str, where: str) -> tuple[Spelled, int]:
    found = _NAME.fullmatch(text)
    if not found:
        raise InputError(f"{where} has the note {text}; notes look like F4, C#5 or Bb3.", value=text)
    return read_note(found[1]), int(found[2])


def apply_corrections(score: Score, corrections: Corrections) -> Score:
    """Return a score with corrections made, and a remark on each.

    Parameters
    ----------
    score : Score
        As it was read; corrections are looked for by what is written in it.
    corrections : Corrections
    """
    if corrections.digest and score.digest and corrections.digest != score.digest:
        what = (
            "The score has changed since its corrections were made: none of them was made. Look at them, and put "
            f'score = "{score.digest}" into their file.'
        )
        return replace(score, remarks=(*score.remarks, Remark(what)))
    remarks = [*score.remarks]
    for key, value in corrections.headings:
        before = getattr(score, key)
        remarks.append(Remark(f"Corrected by hand: the {key} is {value}; the file says {before or 'nothing'}."))
    notes = score.notes.copy()
    for one in corrections.notes:
        remarks.append(_correct(notes, score, one))
    order = np.lexsort([notes[name] for name in ("element", "pitch", "voice", "staff", "part", "onset")])
    rank = np.empty(len(order), np.int32)
    rank[order] = np.arange(len(order))
    element_note = score.element_note.copy()
    element_note[element_note >= 0] = rank[element_note[element_note >= 0]]
    headings = {key: str(getattr(score, key)) for key in HEADINGS} | dict(corrections.headings)
    return replace(
        score,
        notes=notes[order],
        element_note=element_note,
        remarks=tuple(remarks),
        title=headings["title"],
        composer=headings["composer"],
        rights=headings["rights"],
        encoder=headings["encoder"],
        date=headings["date"],
    )


def _correct(notes: NDArray[np.void], score: Score, one: NoteCorrection) -> Remark:
    """Correct the rows that a correction means; return the remark on it.

    What was read decides where, not earlier corrections.
    """
    spelled, octave = one.written
    place = f"{_name(one.written)} in bar {one.bar}, beat {one.beat}, of {_part_in_words(score, one.part)}"
    read = score.notes
    rows = np.flatnonzero(
        (read["step"] == spelled.step)
        & (read["alter"] == spelled.alter)
        & (read["octave"] == octave)
        & (read["pitch"] >= 0)
    )
    rows = rows[[_part_fits(score, int(read["part"][row]), one.part) for row in rows]]
    rows = rows[[_place_fits(score, int(read["onset"][row]), one) for row in rows]]
    part = int(read["part"][rows[0]]) if len(rows) else -1
    if not len(rows):
        return Remark(f"A correction does not fit and was not made: there is no {place}.", part, one.bar)
    new, new_octave = one.correct
    moved = _height(one.correct) - _height(one.written)
    sounding = read["pitch"][rows] + moved
    if (sounding < 0).any() or (sounding > 127).any():
        return Remark(f"A correction was not made: {place} would sound outside the range of MIDI.", part, one.bar)
    notes["pitch"][rows] = sounding
    notes["step"][rows], notes["alter"][rows], notes["octave"][rows] = new.step, new.alter, new_octave
    reason = f" ({one.reason})" if one.reason else ""
    return Remark(f"Corrected by hand: {place} is {_name(one.correct)}{reason}.", part, one.bar)


def _part_fits(score: Score, part: int, wanted: str | int) -> bool:
    return part == wanted - 1 if isinstance(wanted, int) else score.parts[part].name == wanted


def _place_fits(score: Score, onset: int, one: NoteCorrection) -> bool:
    return str(score.bars["label"][score.bar_at(onset)]) == one.bar and score.beat_at(onset) == one.beat


def _part_in_words(score: Score, part: str | int) -> str:
    if isinstance(part, str):
        return part
    name = score.parts[part - 1].name if 0 < part <= len(score.parts) else ""
    return f"part {part} ({name})" if name else f"part {part}"


def _height(pitch: tuple[Spelled, int]) -> int:
    spelled, octave = pitch
    return 12 * (octave + 1) + NATURAL_PC[spelled.step] + spelled.alter


def _name(pitch: tuple[Spelled, int]) -> str:
    return f"{pitch[0].text}{pitch[1]}"
