"""MEI files, read through verovio's importer.

verovio brings older versions of MEI (2 to 4) up to the present one, and leaves identifiers as they are. Mensural and
other notations without bars are not read.
"""

from __future__ import annotations

from sonorarium.score.formats.importing import shared_importer
from sonorarium.score.formats.mei import Origin, read_mei, read_mei_heading
from sonorarium.score.formats.meitree import parsed
from sonorarium.score.remarks import Findings
from sonorarium.score.score import Score


def read_mei_file(text: str, findings: Findings) -> Score:
    """Return the score in an MEI file.

    Parameters
    ----------
    text : str
        The whole file.
    findings : Findings
        Takes up what was guessed, repaired or left out.

    Raises
    ------
    DamagedError
        If it is no well-formed XML, declares entities, holds no bars, or the importer dies over it.
    """
    root = parsed(text.encode())
    mei, _ = shared_importer().mei(text, "mei")
    return read_mei(mei.encode(), findings, Origin(heading=read_mei_heading(root)))
