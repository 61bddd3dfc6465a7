"""ABC: tunes and tune books, read through verovio's importer.

verovio reads one voice at a time, and a fault in one tune may end its process. So a book is cut into its tunes and a
tune into its voices before it is imported; the results are put together again as one MEI document, one ``<mdiv>`` a
tune, one staff a voice. A tune that cannot be read is left out and named.

Conventions
-----------
* A printed accidental holds to the end of the bar in every octave, as the standard has it, unless the file says
  otherwise (``propagate-accidentals not`` or ``octave``). Where this changes a note in another octave than that of
  the accidental, it is remarked.
* The tunes of a book stand one after another; the bars of tune ``X:12`` are labelled ``12:1``, ``12:2`` …
* ABC does not number bars: they are counted, a pick-up being 0. The n-th bar of every voice is the same bar.
* The importer is checked: the notes that each tune writes are counted, and a difference is remarked.
* Title T, composer C, encoder Z, of the first tune; rights ``abc-copyright``.

Source: *The abc music standard 2.1* (December 2011), sections 2 to 4, 7 (voices) and 11.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from lxml import etree

from sonorarium.errors import DamagedError
from sonorarium.score.abctext import Tune, abc_heading, file_header, repaired, tunes_of
from sonorarium.score.importing import shared_importer
from sonorarium.score.mei import Origin, read_mei_tree
from sonorarium.score.meinotes import Scope
from sonorarium.score.meitree import parsed
from sonorarium.score.remarks import Findings
from sonorarium.score.score import Score

if TYPE_CHECKING:
    from lxml.etree import _Element

_SCOPES = {"not": Scope.ITS_NOTE, "octave": Scope.OCTAVE, "pitch": Scope.EVERY_OCTAVE}
_PROPAGATE = re.compile(r"^(?:%%|I:)\s*propagate-accidentals\s+(\w+)", re.M)


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
        If none of its tunes can be understood.
    """
    mei, tunes = abc_as_mei(text, findings)
    directive = _PROPAGATE.search(text)
    scope = _SCOPES.get(directive[1], Scope.EVERY_OCTAVE) if directive else Scope.EVERY_OCTAVE
    numbers = tuple(tune.number for tune in tunes)
    written = sum(tune.written_notes for tune in tunes)
    return read_mei_tree(
        mei,
        findings,
        Origin(scope, abc_heading(text), written, numbers if len({*numbers}) == len(numbers) else ()),
    )


def abc_as_mei(text: str, findings: Findings) -> tuple[_Element, list[Tune]]:
    """Return the tunes of an ABC file that can be read, as one MEI document, and which they are.

    Raises
    ------
    DamagedError
        If there are none.
    """
    root = etree.Element("mei")
    body = etree.SubElement(etree.SubElement(root, "music"), "body")
    header, read = file_header(text), []
    tunes = tunes_of(text)
    for number, tune in enumerate(tunes):
        try:
            score = _score_of(tune, header, number, findings)
        except DamagedError as error:
            if len(tunes) == 1:
                raise
            findings.add(f"Tune {tune.number} ({tune.title or 'no title'}) was left out. {error.sentence}")
            continue
        etree.SubElement(body, "mdiv", n=tune.number).append(score)
        read.append(tune)
    if not read:
        raise DamagedError("The ABC file holds no tune that can be read.")
    return root, read


def _score_of(tune: Tune, header: str, number: int, findings: Findings) -> _Element:
    """Import the voices of a tune, and put them together as one ``<score>``."""
    voices = tune.voices()
    scores: list[_Element] = []
    for index, voice in enumerate(voices):
        text, repairs = repaired(voice.text)
        mei, _ = shared_importer().mei(header + text, "abc", seed=1 + number * 100 + index)
        for repair in repairs:
            findings.add(repair)
        score = parsed(mei.encode()).find(".//score")
        if score is None or score.find(".//measure") is None:
            raise DamagedError("There are no bars in it.")
        _number_staff(score, str(index + 1), voice.name)
        scores.append(score)
    for other in scores[1:]:
        _join(scores[0], other)
    return scores[0]


def _number_staff(score: _Element, number: str, name: str) -> None:
    """Give the one staff of a voice its number and its name."""
    for element in score.iter("staffDef", "staff"):
        element.set("n", number)
    staff_def = score.find(".//staffDef")
    if staff_def is not None and name:
        staff_def.set("label", name)


def _join(score: _Element, other: _Element) -> None:
    """Take the staff of one voice into the score of another, bar by bar."""
    group, staff_def = score.find(".//staffGrp"), other.find(".//staffDef")
    if group is not None and staff_def is not None:
        group.append(staff_def)
    bars, others = list(score.iter("measure")), list(other.iter("measure"))
    for bar, more in zip(bars, others, strict=False):
        bar.extend(list(more))
    section = bars[-1].getparent()
    if section is not None:
        section.extend(others[len(bars) :])
