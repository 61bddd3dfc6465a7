"""Some bars of a score's own file, as a small MusicXML document that stands by itself.

Why the file is cut here and not by the engraver's own selection: the engraver would have to read the whole piece
for every excerpt (seconds for a long one), counts bars by position and falls back to the whole piece when
a range is wrong, and cannot leave parts out.

Conventions
-----------
* Bars are chosen by index, 0 for the first ``<measure>`` of a part, as in `Score.bars`.
* Every ``<note>`` element gets the id ``n{ordinal}``, counted in document order over the whole file, as in
  `Score.element_note`; every bar the id ``b{index}``.
* The first bar states clef, key, metre and transposition in force. Ottava lines and hairpins that cross the
  edge are continued up to it. Ties that leave the excerpt are drawn as open ties; other lines that cross
  the edge (slurs, pedals) are left out, and remarked.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from copy import deepcopy
from dataclasses import dataclass, field
from functools import lru_cache
from pathlib import Path
from typing import Any

import numpy as np
from lxml import etree
from numpy.typing import NDArray

from sonorarium.errors import DamagedError, InputError
from sonorarium.render.carrying import Carried, absorb_opening
from sonorarium.score.formats.container import musicxml_bytes
from sonorarium.score.remarks import Findings

DROPPED = ("print", "sound", "figured-bass", "listening", "grouping", "link", "bookmark")
CROSSING = ("slur", "glissando", "slide", "wavy-line", "dashes", "bracket", "pedal")
STARTS = ("start", "up", "down", "crescendo", "diminuendo")


@dataclass(frozen=True)
class Excerpt:
    """A cut document.

    Parameters
    ----------
    xml : str
        MusicXML.
    notes : tuple of int
        Ordinals of the note elements in it that are printed and are no rests, in document order.
    remarks : tuple of str
        What was left out.
    """

    xml: str = field(repr=False)
    notes: tuple[int, ...]
    remarks: tuple[str, ...] = ()


@dataclass(frozen=True, eq=False)
class Sheets:
    """A parsed file with ids on its notes; read only.

    Parameters
    ----------
    head : lxml element
        Its <part-list>, or None.
    parts : tuple of (str, tuple of lxml element)
        Identifier and measures of each part.
    """

    head: Any
    parts: tuple[tuple[str, tuple[Any, ...]], ...]

    @property
    def bars(self) -> int:
        """Number of bars of the longest part."""
        return max((len(measures) for _, measures in self.parts), default=0)


def read_sheets(data: bytes) -> Sheets:
    """Parse a file and write ids on its notes.

    Parameters
    ----------
    data : bytes
        A MusicXML file, plain or compressed.

    Raises
    ------
    DamagedError
        When the XML is damaged.
    InputError
        When it is not MusicXML.
    """
    parser = etree.XMLParser(
        resolve_entities=False, no_network=True, load_dtd=False, remove_comments=True, remove_pis=True
    )
    try:
        root = etree.fromstring(musicxml_bytes(data, Findings()), parser)
    except etree.XMLSyntaxError as error:
        raise DamagedError(f"The XML is damaged: {error.msg}.") from error
    for element in root.iter(etree.Element) if str(root.tag).startswith("{") else ():
        element.tag = etree.QName(element).localname
    for ordinal, note in enumerate(root.iter("note")):
        note.set("id", f"n{ordinal}")
    if root.tag == "score-timewise":
        return Sheets(root.find("part-list"), _by_part(root))
    if root.tag != "score-partwise":
        raise InputError(f"This is XML, but its root is <{root.tag}>, not a MusicXML score.", value=root.tag)
    parts = [(part.get("id", ""), tuple(part.iterchildren("measure"))) for part in root.iterchildren("part")]
    return Sheets(root.find("part-list"), tuple(parts))


def _by_part(root: Any) -> tuple[tuple[str, tuple[Any, ...]], ...]:
    """The measures of a time-wise score, gathered by part, parts in the order of the list."""
    listed = [part.get("id", "") for part in root.findall("part-list/score-part")]
    found: dict[str, list[Any]] = {name: [] for name in listed}
    for index, measure in enumerate(root.iterchildren("measure")):
        for part in measure.iterchildren("part"):
            bars = found.setdefault(part.get("id", ""), [])
            bars.extend(etree.Element("measure", measure.attrib) for _ in range(index - len(bars)))
            part.tag = "measure"
            part.attrib.clear()
            part.attrib.update(measure.attrib)
            bars.append(part)
    return tuple((name, tuple(bars)) for name, bars in found.items() if bars)


@lru_cache(maxsize=8)
def sheets_of(path: Path, digest: str) -> Sheets:
    """The sheets of a score's file, kept for the next excerpt; ``digest`` is that of the file's bytes.

    Raises
    ------
    InputError
        When the file is gone, or is another one than was read.
    """
    import hashlib

    try:
        data = path.read_bytes()
    except OSError as error:
        raise InputError(f"{path} cannot be opened: {error.strerror}.", value=str(path)) from error
    if digest and hashlib.sha256(data).hexdigest() != digest:
        raise InputError(f"{path.name} has changed since it was read.", suggestion="Read the score again.")
    return read_sheets(data)


def cut(
    sheets: Sheets,
    bars: tuple[int, int],
    *,
    parts: Sequence[int] | None = None,
    element_row: NDArray[np.int32] | None = None,
    labels: Sequence[str] | None = None,
    part_names: bool = True,
) -> Excerpt:
    """Cut some bars out of a file.

    Parameters
    ----------
    sheets : Sheets
    bars : (int, int)
        Index of the first and of the last bar, 0-based, both included.
    parts : sequence of int, optional
        Indices of the parts wanted; all where not given.
    element_row : ndarray, shape (n,), int32
        `Score.element_note`: tells which note elements are one tied note. Without it no tie is left open.
    labels : sequence of str, optional
        Printed number of every bar of the piece; what the file says where not given.
    part_names : bool
        Whether parts are named at the first system.

    Raises
    ------
    InputError
        When there are no such bars or parts.
    """
    first, last = bars
    chosen = tuple(range(len(sheets.parts))) if parts is None else tuple(sorted(set(parts)))
    _check_range(sheets, first, last, chosen)
    root: Any = etree.Element("score-partwise", version="4.0")
    root.append(_part_list(sheets, chosen, part_names))
    remarks: set[str] = set()
    for place, index in enumerate(chosen):
        part = _cut_part(sheets.parts[index], first, last, named=place == 0)
        if _drop_crossing(part):
            remarks.add("Slurs and lines that cross the edge of the excerpt are left out.")
        if labels is not None:
            _number(part, labels[first : last + 1])
        root.append(part)
    _open_ties(root, element_row)
    for degree in root.findall(".//degree[@print-object='no']"):
        degree.getparent().remove(degree)  # the engraver would print it beside the symbol that has it already
    notes = tuple(
        int(note.get("id")[1:])
        for note in root.iter("note")
        if note.find("rest") is None and note.get("print-object") != "no" and note.findtext("notehead") != "none"
    )
    return Excerpt(etree.tostring(root, encoding="unicode"), notes, tuple(sorted(remarks)))


def _check_range(sheets: Sheets, first: int, last: int, chosen: tuple[int, ...]) -> None:
    """Refuse bars and parts that are not there."""
    if not 0 <= first <= last < sheets.bars:
        raise InputError(
            f"There are no bars with the indices {first} to {last}.",
            value=(first, last),
            suggestion=f"The piece has bars 0 to {sheets.bars - 1}.",
        )
    if not chosen or not 0 <= chosen[0] <= chosen[-1] < len(sheets.parts):
        raise InputError(
            f"There are no parts {list(chosen)}.",
            value=chosen,
            suggestion=f"The piece has parts 0 to {len(sheets.parts) - 1}.",
        )


def _part_list(sheets: Sheets, chosen: Collection[int], part_names: bool) -> Any:
    """The list of the chosen parts, with the brackets that still hold two of them or more."""
    wanted = {sheets.parts[index][0] for index in chosen}
    made: Any = etree.Element("part-list")
    listed = {} if sheets.head is None else {part.get("id"): part for part in sheets.head.findall("score-part")}
    if wanted <= listed.keys():
        for entry in sheets.head:
            if entry.tag == "part-group" or entry.get("id") in wanted:
                made.append(deepcopy(entry))
        _drop_small_groups(made)
    else:
        for name in sorted(wanted):
            etree.SubElement(etree.SubElement(made, "score-part", id=name), "part-name")
    if not part_names:
        _drop_names(made)
    return made


def _drop_names(made: Any) -> None:
    """Leave the parts without names."""
    for name in made.iter("part-name", "part-abbreviation"):
        name.text = ""
    for shown in list(made.iter("part-name-display", "part-abbreviation-display")):
        shown.getparent().remove(shown)


def _drop_small_groups(made: Any) -> None:
    """Remove brackets around fewer than two parts."""
    begun: dict[str, tuple[Any, int]] = {}
    seen = 0
    for entry in list(made):
        if entry.tag == "score-part":
            seen += 1
        elif entry.get("type") == "start":
            begun[entry.get("number", "1")] = (entry, seen)
        else:
            start, before = begun.pop(entry.get("number", "1"), (None, 0))
            if seen - before < 2:
                made.remove(entry)
                if start is not None:
                    made.remove(start)
    for start, _ in begun.values():
        made.remove(start)


def _cut_part(source: tuple[str, tuple[Any, ...]], first: int, last: int, *, named: bool) -> Any:
    """One part of the excerpt; ``named`` where its bars bear the ids."""
    name, measures = source
    part: Any = etree.Element("part", id=name)
    carried = Carried()
    carried.take(measures[:first])
    begun = carried.open_lines()
    for index in range(first, last + 1):
        here = index < len(measures)
        measure: Any = deepcopy(measures[index]) if here else etree.Element("measure", number=str(index + 1))
        measure.attrib.pop("id", "")
        if named:
            measure.set("id", f"b{index}")
        for dropped in list(measure.iterchildren(*DROPPED)) + list(measure.iter("measure-style")):
            dropped.getparent().remove(dropped)
        part.append(measure)
    absorb_opening(part[0], carried)
    for line in reversed(begun):
        part[0].insert(0, line)
    part[0].insert(0, carried.stated())
    carried.take(measures[first : last + 1])
    part[-1].extend(carried.closing_lines())
    _mend_endings(part)
    return part


def _number(part: Any, labels: Sequence[str]) -> None:
    """Give bars their printed numbers, also those of which the file says that they have none of their own."""
    for measure, label in zip(part, labels, strict=True):
        measure.set("number", str(label))
        measure.attrib.pop("implicit", "")


def _mend_endings(part: Any) -> None:
    """Begin and end the brackets of first and second endings inside the excerpt."""
    open_ending = None
    for ending in list(part.iter("ending")):
        if ending.get("type") == "start":
            open_ending = ending
        elif open_ending is None:
            part[0].insert(0, _ending_barline("left", ending, "start"))
        else:
            open_ending = None
    if open_ending is not None:
        part[-1].append(_ending_barline("right", open_ending, "discontinue"))


def _ending_barline(location: str, ending: Any, kind: str) -> Any:
    """A <barline> with the missing end of a bracket."""
    barline = etree.Element("barline", location=location)
    etree.SubElement(barline, "ending", number=ending.get("number", "1"), type=kind).text = ending.text
    return barline


def _drop_crossing(part: Any) -> bool:
    """Remove lines that begin or end outside; return whether there were any."""
    lines: dict[tuple[str, str], list[Any]] = {}
    for line in part.iter(*CROSSING):
        lines.setdefault((line.tag, line.get("number", "1")), []).append(line)
    dropped = [line for group in lines.values() for line in _unpaired(group)]
    for line in dropped:
        _remove_with_shell(line)
    return bool(dropped)


def _unpaired(lines: list[Any]) -> list[Any]:
    """The starts without stop and stops without start; none where their numbers match.

    Where voices are written one after the other, a stop may stand before its start in the file.
    """
    starts = sum(line.get("type") in STARTS for line in lines)
    if starts == sum(line.get("type") == "stop" for line in lines):
        return []
    begun: list[Any] = []
    lost = []
    for line in lines:
        if line.get("type") in STARTS:
            begun.append(line)
        elif line.get("type") == "stop":
            if begun:
                begun.pop()
            else:
                lost.append(line)
    return lost + begun


def _remove_with_shell(element: Any) -> None:
    """Remove an element, and the direction around it if that is empty then."""
    parent = element.getparent()
    parent.remove(element)
    if parent.tag == "direction-type" and not len(parent):
        direction = parent.getparent()
        direction.remove(parent)
        if direction.find("direction-type") is None:
            direction.getparent().remove(direction)


def _open_ties(root: Any, element_row: NDArray[np.int32] | None) -> None:
    """Let ties that leave the excerpt end in the air, and drop the ends of ties that come from before it."""
    if element_row is None:
        return
    heads: dict[int, list[Any]] = {}
    for note in root.iter("note"):
        row = int(element_row[int(note.get("id")[1:])])
        if row >= 0:
            heads.setdefault(row, []).append(note)
    for group in heads.values():
        for tied in group[-1].findall("notations/tied[@type='start']"):
            tied.set("type", "let-ring")
        for tied in group[0].findall("notations/tied[@type='stop']"):
            tied.getparent().remove(tied)
        for note, kind in ((group[-1], "start"), (group[0], "stop")):
            for tie in note.findall(f"tie[@type='{kind}']"):
                note.remove(tie)
