"""From an MEI document to a `Score`.

MEI comes as a file of its own, or from verovio's importer for Humdrum (`sonorarium.score.formats.importing`). The
tree is walked once, bar by bar and staff by staff, with exact times; what holds on a staff is kept in
`sonorarium.score.formats.meistaves`, what a layer writes is read by `sonorarium.score.formats.meinotes`, bars are
laid out by `sonorarium.score.written.barlayout`.

Conventions
-----------
* Repeats, endings and ``<expansion>`` are not followed: time is the time of the page.
* Chord symbols (``<harm>``), lyrics and figured bass are never taken for notes.
* Several pieces in one file (``<mdiv>``) stand one after another; staves in the same place are one part.
* A voice is one layer of one staff.
* ``Head.element`` numbers the ``<note>`` elements of the document.

Source: Music Encoding Initiative, *Guidelines, Version 5* (2023), https://music-encoding.org/guidelines/v5/.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from fractions import Fraction
from typing import TYPE_CHECKING

import numpy as np

from sonorarium.errors import DamagedError
from sonorarium.pcs.spelling import NATURAL_PC
from sonorarium.score.formats.meinotes import NO_PITCH, LayerReader, Scope, Written, alter_notes
from sonorarium.score.formats.meistaves import PartNames, Staff, change_staves, read_staves
from sonorarium.score.formats.meitree import XML_ID, number_notes, parsed, read_children
from sonorarium.score.remarks import Findings
from sonorarium.score.score import Part, Score
from sonorarium.score.written.assembly import Head, note_table, ticks_per_quarter
from sonorarium.score.written.barlayout import Bar, bar_table
from sonorarium.score.written.heading import Heading

if TYPE_CHECKING:
    from lxml.etree import _Element
    from numpy.typing import NDArray

MOST_PARTS = 1_000
SEVERAL = "The file holds {} pieces: they stand one after another, bar 1 of the first being labelled {}:1."
GUESSED_SCOPE = (
    "The file does not say which notes sound altered: key signature and accidentals of the bar were applied."
)
UNDERFULL = "The part does not fill the bar: the rest of it is silence."
OUT_OF_RANGE = "A note sounds outside the range of MIDI: it was marked as unpitched."
NO_METRE_STATED = "No metre is stated at the beginning."


@dataclass(frozen=True)
class Origin:
    """What the reader of another format knows better than the MEI that was made of it.

    Parameters
    ----------
    scope : Scope, optional
        How long printed accidentals hold; by default as the document's own ``accid.ges`` suggest.
    heading : Heading, optional
        Who and what.
    written : int, optional
        Noteheads in the file.
    numbers : tuple of str
        Numbers of the pieces; 1, 2 … where there are not as many as pieces.
    """

    scope: Scope | None = None
    heading: Heading | None = None
    written: int | None = None
    numbers: tuple[str, ...] = ()


@dataclass(eq=False)
class _Reading:
    """What has been read so far."""

    scope: Scope
    findings: Findings
    tie_starts: frozenset[str]
    tie_stops: dict[str, str]
    parts: list[PartNames] = field(default_factory=list)
    voices: dict[int, dict[str, int]] = field(default_factory=dict)
    transpositions: dict[int, int] = field(default_factory=dict)
    heads: list[Head] = field(default_factory=list)
    pieces: list[tuple[str, list[Bar]]] = field(default_factory=list)
    alters: dict[str, int] = field(default_factory=dict)
    bar_count: int = 0
    time: Fraction = Fraction(0)

    def fault(self, what: str, part: int) -> None:
        """Take up a fault in the bar that is being read."""
        self.findings.add(what, part=part, bars=[self.bar_count])


def read_mei(mei: bytes, findings: Findings | None = None, origin: Origin | None = None) -> Score:
    """Return the score in an MEI document.

    Parameters
    ----------
    mei : bytes
        The document.
    findings : Findings, optional
        What was found fault with so far.
    origin : Origin, optional
        What is known better than the document says it.

    Returns
    -------
    Score
        Without path and digest.

    Raises
    ------
    DamagedError
        If the document is no well-formed XML, declares entities, or holds no bars; or no note came of a file that
        writes some.

    Examples
    --------
    >>> score = read_mei(b'''<mei><music><body><mdiv><score><scoreDef meter.count="1" meter.unit="4"><staffGrp>
    ... <staffDef n="1"/></staffGrp></scoreDef><section><measure n="7"><staff n="1"><layer n="1">
    ... <note pname="f" oct="4" dur="4" accid="s"/></layer></staff></measure></section></score></mdiv></body></music>
    ... </mei>''')
    >>> score.notes["pitch"].tolist(), score.bars["label"].tolist()
    ([66], ['7'])
    """
    return read_mei_tree(parsed(mei), Findings() if findings is None else findings, origin or Origin())


def read_mei_tree(root: _Element, findings: Findings, origin: Origin) -> Score:
    """Return the score in an MEI tree, as `read_mei` does; raises `DamagedError`."""
    elements = number_notes(root)
    reading = _Reading(origin.scope or _own_scope(root, findings), findings, *_ties(root))
    pieces = [piece for piece in root.iter("score") if next(piece.iter("measure"), None) is not None]
    if not pieces:
        raise DamagedError("There are no bars in it.")
    numbers = origin.numbers if len(origin.numbers) == len(pieces) else tuple(map(str, range(1, len(pieces) + 1)))
    for number, piece in zip(numbers, pieces, strict=True):
        reading.pieces.append((number if len(pieces) > 1 else "", []))
        _read_piece(piece, reading)
    if len(pieces) > 1:
        findings.add(SEVERAL.format(len(pieces), numbers[0]))
    if origin.written is not None:
        _check_count(origin.written, len(reading.heads), findings)
    return _score(reading, elements, origin.heading or read_mei_heading(root))


def _check_count(written: int, came: int, findings: Findings) -> None:
    """Remark that more or fewer notes came than the file writes."""
    if written and not came:
        raise DamagedError(f"The file writes {written} notes, and none of them could be read.")
    if came != written:
        findings.add(f"The file writes {written} notes; {came} were read.")


def _own_scope(root: _Element, findings: Findings) -> Scope:
    """Return how a document of unknown origin is to be read."""
    if next(root.iterfind(".//*[@accid.ges]"), None) is not None:
        return Scope.STATED
    altered = root.iterfind(".//*[@accid]"), root.iterfind(".//*[@key.sig]"), root.iterfind(".//*[@keysig]")
    if any(next(found, None) is not None for found in (*altered, root.iterfind(".//keySig"))):
        findings.add(GUESSED_SCOPE)
    return Scope.OCTAVE


def _ties(root: _Element) -> tuple[frozenset[str], dict[str, str]]:
    """Return the identifiers at which ties start, and from where a tie comes to each at which one stops."""
    ties = [(tie.get("startid", "").lstrip("#"), tie.get("endid", "").lstrip("#")) for tie in root.iter("tie")]
    return frozenset(start for start, _ in ties if start), {end: start for start, end in ties if end}


def _read_piece(piece: _Element, reading: _Reading) -> None:
    """Read one ``<score>``."""
    score_def = piece.find("scoreDef")
    if score_def is None:
        raise DamagedError("The MEI document does not define its staves: it has no <scoreDef>.")
    staves, parts = read_staves(score_def)
    if len(parts) > MOST_PARTS:
        raise DamagedError(f"The score has {len(parts)} parts, more than the {MOST_PARTS} that are believed.")
    reading.parts += parts[len(reading.parts) :]
    for staff in staves.values():
        reading.transpositions.setdefault(staff.part, staff.semitones)
    for element in _in_time(piece):
        if element.tag == "measure":
            _read_bar(element, staves, reading)
        elif element is not score_def:
            change_staves(element, staves)


def _in_time(parent: _Element) -> Iterator[_Element]:
    """Return bars and statements of staves in the order of the page."""
    for child in read_children(parent):
        if child.tag in ("section", "ending", "part", "parts"):
            yield from _in_time(child)
        elif child.tag in ("measure", "scoreDef", "staffDef"):
            yield child


def _read_bar(measure: _Element, staves: dict[str, Staff], reading: _Reading) -> None:
    """Read one bar of all staves."""
    reaches: dict[int, Fraction] = {}
    bars, later = 1, []
    metres: list[tuple[int, int]] = []
    for element in read_children(measure):
        staff = staves.get(element.get("n", ""))
        if element.tag != "staff" or staff is None:
            continue
        faults: list[str] = []
        reader = LayerReader(staff, faults)
        for index, layer in enumerate(one for one in read_children(element) if one.tag == "layer"):
            reader.read(layer, index)
        alter_notes(reader.notes, reading.scope, staff.key, _tied(reader.notes, reading), faults)
        for note in reader.notes:
            _add_head(note, staff, staves, reading)
        for what in faults:
            reading.fault(what, staff.part)
        reaches[staff.part] = max(reaches.get(staff.part, Fraction(0)), reader.reach)
        bars, metres = max(bars, reader.bars), [*metres, staff.metre]
        later += [(staff, change) for change in reader.changes]
    reach = max(reaches.values(), default=Fraction(0))
    number = " ".join(measure.get("n", "").split())
    bar = Bar(number, _metre_that_fits(metres, reach), reach, bars)
    for part, own in reaches.items():
        if 0 < own < bar.length:
            reading.fault(UNDERFULL, part)
    for staff, change in later:
        staff.take(change)
    reading.pieces[-1][1].append(bar)
    reading.time += bar.length
    reading.bar_count += 1


def _metre_that_fits(metres: list[tuple[int, int]], reach: Fraction) -> tuple[int, int]:
    """Return the first metre that is as long as the content of the bar, else the first."""
    fitting = [metre for metre in metres if Fraction(4 * metre[0], metre[1]) == reach]
    return (fitting or metres or [(0, 4)])[0]


def _tied(notes: list[Written], reading: _Reading) -> dict[int, int]:
    """Return the alteration of each note to which a tie leads from an earlier bar."""
    found = {}
    for note in notes:
        source = reading.tie_stops.get(note.element.get(XML_ID, ""), "")
        if source in reading.alters:
            found[note.ordinal] = reading.alters[source]
    return found


def _add_head(note: Written, home: Staff, staves: dict[str, Staff], reading: _Reading) -> None:
    """Add a note to the heads."""
    printed_on = staves.get(note.staff, home)
    staff = printed_on if printed_on.part == home.part else home
    step, octave = note.step, note.octave
    unpitched = home.is_percussion or (step < 0 and note.element.get("loc") is not None)
    pitch = -1
    if step >= 0 and octave is not None and not unpitched:
        pitch = 12 * (octave + 1) + NATURAL_PC[step] + note.alter + home.semitones
        if not 0 <= pitch <= 127:
            reading.fault(OUT_OF_RANGE, home.part)
            pitch = -1
    elif not unpitched:
        reading.fault(NO_PITCH, home.part)
        return
    identifiers = {note.element.get(XML_ID, ""), _chord_id(note.element)} - {""}
    reading.alters.update(dict.fromkeys(identifiers, note.alter))
    is_pitched = pitch >= 0
    label = str(note.layer + 1) if reading.parts[home.part].staves == 1 else f"{home.place}.{note.layer + 1}"
    voices = reading.voices.setdefault(home.part, {})
    reading.heads.append(
        Head(
            reading.time + note.onset,
            note.length,
            pitch,
            step if is_pitched else -1,
            note.alter if is_pitched else 0,
            octave if is_pitched and octave is not None else -1,
            home.part,
            staff.place,
            voices.setdefault(label, len(voices)),
            reading.bar_count,
            note.ordinal,
            note.grace,
            note.cue,
            note.hidden,
            any(mark in note.tie for mark in "im") or not identifiers.isdisjoint(reading.tie_starts),
            any(mark in note.tie for mark in "mt") or not identifiers.isdisjoint(reading.tie_stops),
        )
    )


def _chord_id(note: _Element) -> str:
    parent = note.getparent()
    return parent.get(XML_ID, "") if parent is not None and parent.tag == "chord" else ""


def _score(reading: _Reading, elements: int, heading: Heading) -> Score:
    """Return the score of what was read."""
    findings = reading.findings
    lengths = [bar.length for _, bars in reading.pieces for bar in bars]
    times = [time for head in reading.heads for time in (head.onset, head.duration)]
    ticks = ticks_per_quarter([*times, *lengths, *(bar.full for _, bars in reading.pieces for bar in bars)])
    tables: list[NDArray[np.void]] = []
    first = 0
    for piece, bars in reading.pieces:
        table = bar_table(bars, ticks, piece, first, findings)
        table["onset"] += tables[-1]["onset"][-1] + tables[-1]["duration"][-1] if tables else 0
        tables.append(table)
        if not bars[0].metre[0]:
            findings.add(NO_METRE_STATED, bars=[first])
        first += len(bars)
    notes, element_note = note_table(reading.heads, ticks, elements, findings)
    bar_rows = np.concatenate(tables)
    parts = tuple(
        Part(
            names.id,
            names.name,
            names.staves,
            tuple(reading.voices.get(index, {})),
            reading.transpositions.get(index, 0),
        )
        for index, names in enumerate(reading.parts)
    )
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
        date=heading.date,
    )


def read_mei_heading(root: _Element) -> Heading:
    """Return what the header of an MEI document says.

    Parameters
    ----------
    root : lxml element
        ``<mei>``, or anything without a header.
    """
    head = root.find("meiHead")
    if head is None:
        return Heading("", "", "", "")
    statement = head.find("fileDesc/titleStmt")
    work = next(head.iter("work"), None)
    titles = [_text(one) for place in (statement, work) if place is not None for one in place.findall("title")]
    composers = [_text(one) for one in head.iter("composer")]
    composers += [_text(one) for one in head.iter("persName") if one.get("role") in ("composer", "cmp")]
    rights = [_text(one) for one in head.iter("useRestrict", "availability")]
    encoders = [_text(one) for one in head.iter("persName") if one.get("role") == "encoder"]
    encoders += [_text(one) for one in head.findall("encodingDesc/appInfo/application/name")]
    return Heading(
        next(filter(None, titles), ""),
        ", ".join(dict.fromkeys(filter(None, composers))),
        next(filter(None, rights), ""),
        ", ".join(dict.fromkeys(filter(None, encoders))),
    )


def _text(element: _Element) -> str:
    return " ".join("".join(map(str, element.itertext())).split())
