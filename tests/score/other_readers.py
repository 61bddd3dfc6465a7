"""Two general-purpose libraries reading MusicXML, brought to one form: the written heads of each part.

music21 (Cuthbert and Ariza, ISMIR 2010) and partitura (Cancino-Chacón et al., MEC 2022). What is theirs stays
theirs: where notes stand, how long they are, what sounds. Three things they leave to their user are done here.
music21's chord symbols are left out (they stand among the notes). partitura gives written pitch, so what the file's
own ``<transpose>`` says is added; it is read with the standard library's XML parser. Both leave ties as marks on the
heads; `joined` follows them.
"""

from __future__ import annotations

import io
import re
import warnings
import zipfile
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

GRID = 645_120
"""Times are compared in 645120ths of a quarter (2**11 · 3**2 · 5 · 7), to which the libraries' floats are rounded."""

Row = tuple[int, int, int]
"""Onset, sounding pitch, duration of one sounding note; times on the grid."""


@dataclass(frozen=True)
class Head:
    """One written notehead as a library gives it; times in grid units."""

    part: str
    bar: int
    onset: int
    onset_in_bar: int
    duration: int
    pitch: int
    tie_stops: bool
    tie_starts: bool


def grid(quarters: float | Fraction) -> int:
    return round(quarters * GRID)


def document(path: Path) -> bytes:
    """The XML in a file of the corpus; in an archive the one that its container names."""
    if not zipfile.is_zipfile(path):
        return path.read_bytes()
    with zipfile.ZipFile(path) as archive:
        named = re.search(rb'full-path="([^"]+)"', archive.read("META-INF/container.xml"))
        assert named is not None
        return archive.read(named[1].decode())


def music21_heads(path: Path) -> list[Head]:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        from music21.musicxml.xmlToM21 import MusicXMLImporter

        importer = MusicXMLImporter()
        importer.readFile(io.BytesIO(document(path)))
        present = {id(part) for part in importer.stream.parts}
        heads: list[Head] = []
        for part_id, part in importer.m21PartObjectsById.items():
            if id(part) in present:
                heads += _music21_part(re.sub(r"-Staff\d+$", "", part_id), part.toSoundingPitch())
        return heads


def _music21_part(part_id: str, part: Any) -> Iterator[Head]:
    from music21 import chord, harmony, note

    for bar, measure in enumerate(part.getElementsByClass("Measure")):
        for element in measure.recurse().notes:
            if isinstance(element, harmony.Harmony) or element.duration.isGrace:
                continue
            in_bar = element.getOffsetInHierarchy(measure)
            for one in element.notes if isinstance(element, chord.ChordBase) else [element]:
                if isinstance(one, note.Unpitched):
                    continue
                mark = one.tie
                kind = mark.type if mark else ""
                yield Head(
                    part_id,
                    bar,
                    grid(measure.offset + in_bar),
                    grid(in_bar),
                    grid(measure.offset + in_bar + element.quarterLength) - grid(measure.offset + in_bar),
                    int(one.pitch.midi),
                    kind in ("stop", "continue"),
                    kind in ("start", "continue"),
                )


def partitura_heads(path: Path) -> list[Head]:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import partitura

        score = partitura.load_musicxml(str(path))
        shifts = _transpositions(ElementTree.fromstring(document(path)))
        return [head for part in score.parts for head in _partitura_part(part, shifts[part.id])]


def _transpositions(root: ElementTree.Element) -> dict[str, int]:
    """Semitones that each part sounds from where it is written; the sample has no part that changes."""
    found = {}
    for part in root.iter("part"):
        stated = {
            int(one.findtext("chromatic", "0")) + 12 * int(one.findtext("octave-change", "0"))
            for one in part.iter("transpose")
        }
        assert len(stated) < 2, stated
        found[part.get("id", "")] = stated.pop() if stated else 0
    return found


def _partitura_part(part: Any, shift: int) -> Iterator[Head]:
    from partitura.score import GraceNote, Measure

    starts = [measure.start.t for measure in part.iter_all(Measure)]
    quarter = part.quarter_map
    origin = float(quarter(part.first_point.t))
    for note in part.notes:
        if isinstance(note, GraceNote) or not hasattr(note, "midi_pitch"):
            continue
        bar = sum(start <= note.start.t for start in starts) - 1
        onset = float(quarter(note.start.t)) - origin
        yield Head(
            part.id,
            bar,
            grid(onset),
            grid(onset - float(quarter(starts[bar])) + origin),
            grid(float(quarter(note.end.t)) - origin) - grid(onset),
            int(note.midi_pitch) + shift,
            note.tie_prev is not None,
            note.tie_next is not None,
        )


def joined(heads: list[Head], bar_onsets: list[int] | None = None) -> dict[str, Counter[Row]]:
    """Follow the ties: for each part the multiset of its sounding notes.

    With `bar_onsets` each bar is put where that list says, and only the places inside the bars are the library's.
    """
    notes: dict[str, list[list[int]]] = {}
    waiting: dict[tuple[str, int, int], list[list[int]]] = {}
    placed = [
        (head.onset if bar_onsets is None else bar_onsets[head.bar] + head.onset_in_bar, head) for head in heads
    ]
    for onset, head in sorted(placed, key=lambda pair: (pair[0], pair[1].duration)):
        before = waiting.get((head.part, head.pitch, onset), []) if head.tie_stops else []
        if before:
            row = before.pop(0)
            row[2] = onset + head.duration - row[0]
        else:
            row = [onset, head.pitch, head.duration]
            notes.setdefault(head.part, []).append(row)
        if head.tie_starts:
            waiting.setdefault((head.part, head.pitch, onset + head.duration), []).append(row)
    return {part: Counter((row[0], row[1], row[2]) for row in rows) for part, rows in notes.items()}
