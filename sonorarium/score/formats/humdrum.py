"""Humdrum: ``**kern`` and its relatives, read through verovio's importer.

Conventions
-----------
* Every note of ``**kern`` states how it sounds, so nothing about accidentals is guessed.
* Spines of other kinds (``**text``, ``**dynam``, ``**harm`` …) hold no notes; they are not read, and named.
* The importer is checked: the notes that the file writes are counted, along every splitting and joining of its
  spines, and a difference is remarked.
* Title: that of the parent work (OPR), the title (OTL), and number and name of the movement (OMV, OMD), after colons.
  Composer COM; encoder ENC, else EED; rights YEC and YEM; date of composition ODT.

Sources: Huron, *The Humdrum Toolkit: Reference Manual* (1995), sections 2 (``**kern``) and 5 (interpretations), and
appendix I (reference records).
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Sequence

from sonorarium.errors import InputError
from sonorarium.score.formats.importing import shared_importer
from sonorarium.score.formats.mei import Origin, read_mei
from sonorarium.score.formats.meinotes import Scope
from sonorarium.score.remarks import Findings
from sonorarium.score.score import Score
from sonorarium.score.written.heading import Heading

KERN = ("**kern",)
"""Spines that hold notes of common notation."""

_RECORD = re.compile(r"^!!!(?!!)\s*([A-Za-z]{2,5})\d*(?:@@?[A-Za-z]+)?\s*:[ \t]*(.*)$", re.M)
_KERN_NOTE = re.compile(r"[a-gA-G]")


def read_humdrum(text: str, findings: Findings) -> Score:
    """Return the score in a Humdrum file.

    Parameters
    ----------
    text : str
        The whole file, with plain line ends.
    findings : Findings
        Takes up what was guessed, repaired or left out.

    Raises
    ------
    InputError
        If it holds no ``**kern`` spine.
    DamagedError
        If it cannot be understood, or the importer dies over it.
    """
    kinds = Counter(spine_kinds(text))
    if not any(kinds[kind] for kind in KERN):
        raise InputError(
            "The Humdrum file holds no notes that can be read: it has no **kern spine.", value=sorted(kinds)
        )
    others = sorted(f"{kind} ({count})" for kind, count in kinds.items() if kind not in KERN)
    if others:
        findings.add(f"Only **kern was read; spines of other kinds were left out: {', '.join(others)}.")
    mei, _ = shared_importer().mei(text, "humdrum")
    return read_mei(mei.encode(), findings, Origin(Scope.STATED, humdrum_heading(text), written_notes(text)))


def humdrum_heading(text: str) -> Heading:
    r"""Return what the reference records say.

    Examples
    --------
    >>> heading = humdrum_heading("!!!COM: Haydn, Joseph\n!!!OTL@@DE: Quartett\n!!!OMV: 2\n!!!OMD: Adagio\n**kern\n")
    >>> heading.title, heading.composer
    ('Quartett: 2 Adagio', 'Haydn, Joseph')
    """
    records: dict[str, list[str]] = {}
    for key, value in _RECORD.findall(text):
        records.setdefault(key.upper(), []).append(" ".join(value.split()))

    def one(key: str) -> str:
        return next(filter(None, records.get(key, [])), "")

    def every(*keys: str) -> str:
        return ", ".join(dict.fromkeys(value for key in keys for value in records.get(key, []) if value))

    movement = " ".join(filter(None, (one("OMV"), one("OMD"))))
    titles = dict.fromkeys(filter(None, (one("OPR"), one("OTL"), movement)))
    return Heading(": ".join(titles), every("COM"), every("YEC", "YEM"), every("ENC") or every("EED"), one("ODT"))


def spine_kinds(text: str) -> list[str]:
    r"""Return the kind of each spine that a file begins.

    >>> spine_kinds("**kern\t**text\n1c\tla\n*-\t*-\n")
    ['**kern', '**text']
    """
    lines = (line for line in text.split("\n") if line.startswith("**") or "\t**" in line)
    return [token for line in lines for token in line.split("\t") if token.startswith("**")]


def written_notes(text: str) -> int:
    r"""Return how many noteheads the ``**kern`` spines write.

    >>> written_notes("**kern\t**kern\n*^\t*\n4c 4e\t4g\t4r\n4d\t.\tqa\n*v\t*v\t*\n*-\t*-\n")
    5
    """
    return sum(
        1
        for kinds, tokens in _data_lines(text)
        for kind, token in zip(kinds, tokens, strict=False)
        if kind in KERN and token != "."
        for note in token.split(" ")
        if "r" not in note and _KERN_NOTE.search(note)
    )


def _data_lines(text: str) -> Iterator[tuple[list[str], list[str]]]:
    """Return the tokens of each data line with the kinds of their spines."""
    kinds: list[str] = []
    for line in text.split("\n"):
        if not line or line.startswith("!"):
            continue
        tokens = line.split("\t")
        if line.startswith("*") or any(token.startswith("**") for token in tokens):
            kinds = _after(kinds, tokens)
        elif not line.startswith("="):
            yield kinds, tokens


def _after(kinds: Sequence[str], tokens: Sequence[str]) -> list[str]:
    """Return the kinds of the spines after a line of interpretations."""
    found: list[str] = []
    joining = False
    exchanged: int | None = None
    padded = [*kinds, *[""] * (len(tokens) - len(kinds))]
    for kind, token in zip(padded, tokens, strict=False):
        if token == "*v" and joining:
            continue
        joining = token == "*v"
        if token.startswith("**"):
            found.append(token)
        elif token == "*^":
            found += [kind, kind]
        elif token == "*+":
            found += [kind, ""]
        elif token != "*-":
            found.append(kind)
        if token == "*x" and exchanged is None:
            exchanged = len(found) - 1
        elif token == "*x" and exchanged is not None:
            found[exchanged], found[-1] = found[-1], found[exchanged]
            exchanged = None
    return found
