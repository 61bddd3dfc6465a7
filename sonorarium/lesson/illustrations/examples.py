"""An example as music that goes out to notation software: every scale, chord and passage of a lesson as MusicXML.

What was engraved from columns of notes becomes a `Sheet` in the same spelling, on the same staves; a passage is cut
from the bars of its own file, so nothing of the source's notation is lost, and says where it comes from.

Conventions
-----------
* Each column of notes lasts a quarter where all hold one note, as in a scale, and a whole note otherwise.
* What stands under a column in the figure, degrees say, stands over it in the file.
* There is no key signature: every accidental is written out, as in the figure.
* A cut passage keeps its parts with their names. Title, composer, rights and bars are stated in the file.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

from lxml import etree

from sonorarium.errors import InputError
from sonorarium.pitch.instruments import instrument
from sonorarium.render.excerpt import cut, sheets_of
from sonorarium.render.musicxml import to_musicxml
from sonorarium.render.notation import MIDDLE_C, Column, choose_staves, height
from sonorarium.render.sheet import Event, Sheet, SheetPart, SheetStaff
from sonorarium.score.barnames import bars_in_words
from sonorarium.score.reading import read_score
from sonorarium.score.score import Score

PROGRAM = "Sonorarium"
_DOCTYPE = (
    '<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" '
    '"http://www.musicxml.org/dtds/partwise.dtd">'
)


@dataclass(frozen=True)
class Bars:
    """Some bars of a score's file.

    Parameters
    ----------
    path : Path
    digest : str
        SHA-256 of the file's bytes when it was read.
    first, last : int
        Indices of bars, both included.
    """

    path: Path
    digest: str
    first: int
    last: int


Example = Sheet | Bars
"""Music that can be written out."""


def bars_of(score: Score, bars: tuple[int, int]) -> Bars | None:
    """Some bars of a score as an example; None where it was not read from a file."""
    return Bars(score.path, score.digest, *bars) if score.path else None


def sheet_of_columns(columns: Sequence[Column], title: str = "") -> Sheet:
    """Write columns of notes as they were engraved.

    Parameters
    ----------
    columns : sequence of Column
    title : str

    Returns
    -------
    Sheet
        One part for piano, of one staff or two.

    Raises
    ------
    InputError
        Where there are no notes.

    Examples
    --------
    >>> sheet = sheet_of_columns([Column(((0, 0, 4), (2, -1, 4)), below="i")], "One chord")
    >>> sheet.parts[0].staves[0].voices[0]
    (Event(quarters=Fraction(4, 1), pitches=((0, 0, 4), (2, -1, 4)), words='i', symbol=None),)
    """
    if not any(column.pitches for column in columns):
        raise InputError("There are no notes to write down.", value=tuple(columns))
    clefs = choose_staves(columns)
    quarters = Fraction(1 if all(len(column.pitches) == 1 for column in columns) and columns[1:] else 4)
    staves = tuple(
        SheetStaff(clef, (tuple(_event(column, quarters, place, len(clefs)) for column in columns),))
        for place, clef in enumerate(clefs)
    )
    piano = instrument("piano")
    return Sheet((SheetPart("Piano", piano, staves),), title)


def _event(column: Column, quarters: Fraction, place: int, staves: int) -> Event:
    """The notes of a column that stand on one staff, as in the figure: two staves part at middle C."""
    here = tuple(p for p in column.pitches if staves == 1 or (height(p) >= MIDDLE_C) == (place == 0))
    words = " ".join(word for word in (column.above, column.below) if word)
    return Event(quarters, here, "" if place else words)


def example_musicxml(example: Example) -> bytes:
    """Write an example as MusicXML 4.0.

    Parameters
    ----------
    example : Sheet or Bars

    Returns
    -------
    bytes
        The same for the same example.

    Raises
    ------
    InputError
        Where a passage's file is gone or has changed.
    """
    return to_musicxml(example) if isinstance(example, Sheet) else _passage(example)


def _passage(bars: Bars) -> bytes:
    score = read_score(bars.path)
    sheets = sheets_of(bars.path, bars.digest)
    labels = score.bars["label"].tolist()
    excerpt = cut(sheets, (bars.first, bars.last), element_row=score.element_note, labels=labels)
    root = etree.fromstring(excerpt.xml.encode())
    for place, heading in enumerate(_heading(score, bars)):
        root.insert(place, heading)
    return bytes(etree.tostring(root, xml_declaration=True, encoding="UTF-8", doctype=_DOCTYPE, pretty_print=True))


def _heading(score: Score, bars: Bars) -> list[etree._Element]:
    """Title with bars, composer, rights and program, in the order that the format wants."""
    where = bars_in_words(score, bars.first, bars.last)
    work, told = etree.Element("work"), etree.Element("identification")
    etree.SubElement(work, "work-title").text = f"{score.title or bars.path.stem}, {where}"
    if score.composer:
        etree.SubElement(told, "creator", type="composer").text = score.composer
    if score.rights:
        etree.SubElement(told, "rights").text = score.rights
    etree.SubElement(etree.SubElement(told, "encoding"), "software").text = PROGRAM
    etree.SubElement(told, "source").text = f"{score.title or bars.path.stem}, {where}; SHA-256 {bars.digest}"
    return [work, told]
