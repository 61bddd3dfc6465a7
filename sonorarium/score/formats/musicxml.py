"""From a MusicXML document to a `Score`.

The document is parsed by lxml and read once as a flat table of events (`sonorarium.score.written.events`). From the
table follow, each as array work: what the attributes state (`attributes`), when each note begins in its bar
(`moves`), how long the bars are (`bars`), what sounds where (here), and which heads are one sounding note (`ties`).

Conventions
-----------
* Repeats, endings, D.C. and the like are not followed: time is the time of the page.
* A note is what a ``<note>`` element writes. Chord symbols and figured bass are never taken for notes.
* Accidentals finer than a semitone are rounded towards the unaltered letter, and remarked.
* A note without pitch, rest or unpitched mark, or with a pitch that is none, is left out and remarked.
* Entity declarations are refused, nothing is fetched, and lxml's own limits on depth and text length stay on.

Sources: W3C, *MusicXML 4.0* (DTD and XSD), https://www.w3.org/2021/06/musicxml40/.
"""

from __future__ import annotations

import math
import re
from typing import TYPE_CHECKING, Any

import numpy as np
from lxml import etree

from sonorarium.errors import DamagedError, InputError
from sonorarium.score.remarks import Findings
from sonorarium.score.score import Part, Score
from sonorarium.score.written import events as ev
from sonorarium.score.written.attributes import Statements, read_statements
from sonorarium.score.written.bars import build_bars, metres, read_measures
from sonorarium.score.written.events import Events, Flags, read_events
from sonorarium.score.written.heading import part_names, read_heading
from sonorarium.score.written.heads import Heads, read_heads
from sonorarium.score.written.moves import Moves, read_moves
from sonorarium.score.written.ties import join_ties, joined

if TYPE_CHECKING:
    from lxml.etree import _Element
    from numpy.typing import NDArray

MOST_PARTS = 1_000
ROOTS = ("score-partwise", "score-timewise")
_MEASURE_TAG = re.compile(rb"<measure\b[^>]*?\bnumber\s*=\s*[\"']([^\"']*)")


def read_musicxml(xml: bytes, findings: Findings | None = None) -> Score:
    """Return the score in a MusicXML document.

    Parameters
    ----------
    xml : bytes
        The document, part-wise or time-wise.
    findings : Findings, optional
        What was found fault with so far.

    Returns
    -------
    Score
        Without path and digest.

    Raises
    ------
    DamagedError
        If the document is no well-formed XML, declares entities, or has numbers beyond belief.
    InputError
        If it is XML but no MusicXML score.

    Examples
    --------
    >>> score = read_musicxml(b'''<score-partwise><part-list/><part id="P1"><measure number="1">
    ... <attributes><divisions>1</divisions><time><beats>1</beats><beat-type>4</beat-type></time></attributes>
    ... <note><pitch><step>F</step><alter>1</alter><octave>4</octave></pitch><duration>1</duration></note>
    ... </measure></part></score-partwise>''')
    >>> score.notes["pitch"].tolist(), score.bars["label"].tolist()
    ([66], ['1'])
    """
    findings = Findings() if findings is None else findings
    root = _parsed(xml, findings)
    part_ids = _part_ids(root)
    events = read_events(root, part_ids)
    statements = read_statements(events, findings)
    moves = read_moves(root, events, statements, findings)
    measures = read_measures(root, part_ids, findings)
    if events.part.max(initial=-1) >= len(part_ids) or events.bar.max(initial=-1) >= len(measures):
        raise DamagedError("The parts or measures of the score stand inside one another.")
    bar_metres = metres(len(measures), events, statements, moves)
    bars = build_bars(measures, bar_metres, events, moves, findings, _whole_rests(events, moves))
    heads = read_heads(root, xml, events, statements, moves, findings)
    if b"measure-repeat" in xml and root.find(".//measure-repeat") is not None:
        findings.add("The file has bar-repeat signs: bars that it does not write out are empty.")
    heads.table["onset"] += bars["onset"][heads.table["bar"]]
    notes, element_note = _join(heads, events.elements, findings)
    parts = _parts(root, part_ids, heads, statements, findings)
    ticks = _coarsen(notes, bars, moves.ticks_per_quarter)
    heading = read_heading(root)
    return Score(
        notes,
        bars,
        parts,
        ticks,
        heading.title,
        heading.composer,
        heading.rights,
        heading.encoder,
        element_note=element_note,
        remarks=findings.remarks([measure.label for measure in measures]),
    )


def _parsed(xml: bytes, findings: Findings) -> _Element:
    """Return the root of a document that is safe and is MusicXML."""
    parser = etree.XMLParser(
        resolve_entities=False,
        no_network=True,
        load_dtd=False,
        huge_tree=False,
        remove_blank_text=True,
        remove_comments=True,
        remove_pis=True,
    )
    try:
        root = etree.fromstring(xml, parser)
    except etree.XMLSyntaxError as error:
        raise DamagedError(f"The XML is damaged{_place_of(error, xml)}.", value=error.msg) from error
    dtd: Any = root.getroottree().docinfo.internalDTD
    if dtd is not None and dtd.entities():
        raise DamagedError("The document declares XML entities, which no score needs and which are not safe.")
    if isinstance(root.tag, str) and root.tag.startswith("{"):
        findings.add("The document uses an XML namespace, which MusicXML has not; it was ignored.")
        for element in root.iter(etree.Element):
            element.tag = etree.QName(element).localname
    if root.tag not in ROOTS:
        raise InputError(f"This is XML, but its root is <{root.tag}>, not a MusicXML score.", value=root.tag)
    return root


def _place_of(error: etree.XMLSyntaxError, xml: bytes) -> str:
    """Return line and bar of an error, as far as known."""
    line = error.lineno or 0
    before = b"\n".join(xml.split(b"\n", line)[:line]) if line > 1 else xml
    labels = _MEASURE_TAG.findall(before)
    bar = f", in or after bar {labels[-1].decode('utf-8', 'replace')}" if labels else ""
    return f" at line {line}{bar}" if line else bar


def _part_ids(root: _Element) -> list[str]:
    """Return the identifiers of the parts that have music, in score order."""
    if root.tag == "score-partwise":
        ids = [part.get("id", "") for part in root.iterchildren("part")]
    else:
        present = dict.fromkeys(part.get("id", "") for part in root.iter("part"))
        listed = [part.get("id", "") for part in root.findall("part-list/score-part")]
        ids = [one for one in dict.fromkeys([*listed, *present]) if one in present]
    if not ids:
        raise DamagedError("The score has no part with music in it.")
    if len(ids) > MOST_PARTS:
        raise DamagedError(f"The score has {len(ids)} parts, more than the {MOST_PARTS} that are believed.")
    return ids


def _whole_rests(events: Events, moves: Moves) -> Flags:
    """Return which moves are rests for a whole bar: marked so by the file, or alone in their bar."""
    if not len(moves.place):
        return moves.rest
    marked = np.zeros(events.elements, np.bool_)
    marked[events.ordinal[[place for place, rest in events.marks(ev.REST) if rest.get("measure") == "yes"]]] = True
    alone = np.diff(moves.cell_start, append=len(moves.place)) == 1
    flags: Flags = moves.rest & (marked[events.ordinal[moves.place]] | alone[moves.cell])
    return flags


def _join(heads: Heads, elements: int, findings: Findings) -> tuple[NDArray[np.void], NDArray[np.int32]]:
    """Return the note table, sorted, and the row of each ``<note>`` element."""
    table = heads.table
    joining = join_ties(table, heads.starts, heads.stops)
    for what, faulty in joining.faults.items():
        for part in sorted({int(table["part"][head]) for head in faulty}):
            bars = [int(table["bar"][head]) for head in faulty if table["part"][head] == part]
            findings.add(what, part=part, bars=bars)
    notes, row_of_head = joined(table, joining)
    # Rows of equal keys are in the order of their elements already.
    order = np.lexsort([notes[name] for name in ("pitch", "voice", "staff", "part", "onset")])
    rank = np.empty(len(order), np.int32)
    rank[order] = np.arange(len(order))
    element_note = np.full(elements, -1, np.int32)
    element_note[table["element"]] = rank[row_of_head]
    return notes[order], element_note


def _parts(
    root: _Element, part_ids: list[str], heads: Heads, statements: Statements, findings: Findings
) -> tuple[Part, ...]:
    """Return the parts that have music."""
    names = part_names(root)
    parts = []
    for index, part_id in enumerate(part_ids):
        if part_id not in names:
            findings.add("The part is not in the list of parts: it has no name.", part=index)
        rows = slice(*np.searchsorted(heads.table["part"], [index, index + 1]).tolist())
        stated = statements.transpositions.get(index)
        shifts = heads.shift[rows]
        parts.append(
            Part(
                part_id,
                names.get(part_id, ""),
                staves=max(statements.staves.get(index, 1), int(heads.table["staff"][rows].max(initial=1))),
                voices=heads.voices[index] if index < len(heads.voices) else (),
                transposition=int(shifts[0]) if len(shifts) else stated[0].semitones if stated else 0,
            )
        )
    return tuple(parts)


def _coarsen(notes: NDArray[np.void], bars: NDArray[np.void], ticks: int) -> int:
    """Divide all times by what they have in common; return the ticks per quarter that are left."""
    columns = [notes[name] for name in ("onset", "duration")] + [bars[name] for name in ("duration", "lead")]
    common = math.gcd(ticks, *(int(np.gcd.reduce(column)) for column in columns if len(column)))
    if common > 1:
        for column in (*columns, bars["onset"]):
            np.floor_divide(column, common, out=column)
    return ticks // common
