"""Reading a score from a file: the one entrance.

What a file is follows from its content, not from its name: MusicXML (plain or compressed), MEI, Humdrum, ABC, MIDI.
Readers other than that for MusicXML are loaded when they are first needed. A correction file beside the score is
applied (`sonorarium.score.corrections`).
"""

from __future__ import annotations

import hashlib
from dataclasses import replace
from pathlib import Path

from sonorarium.errors import DamagedError, InputError
from sonorarium.score.corrections import corrected
from sonorarium.score.formats.container import LIMITS, MEBIBYTE, musicxml_bytes
from sonorarium.score.formats.musicxml import read_musicxml
from sonorarium.score.formats.sniffing import Format, format_of, text_of
from sonorarium.score.remarks import Findings
from sonorarium.score.score import Score


def read_score(path: str | Path) -> Score:
    """Read a score from a file.

    Parameters
    ----------
    path : str or Path
        A score file; its suffix does not matter.

    Returns
    -------
    Score
        With ``remarks`` on everything that was repaired, guessed or left out.

    Raises
    ------
    InputError
        If there is no such file, or it holds something that is no score, or a correction file cannot be understood.
    DamagedError
        If the file is damaged, or not safe to open.
    ToolError
        If the importer that a format needs is missing.

    Examples
    --------
    >>> read_score("nowhere.musicxml")
    Traceback (most recent call last):
        ...
    sonorarium.errors.InputError: There is no file nowhere.musicxml.
    """
    path = Path(path)
    data = _content(path)
    try:
        score = score_of(data)
    except (DamagedError, InputError) as error:
        raise type(error)(f"{path.name}: {error.sentence}", value=error.value, suggestion=error.suggestion) from error
    return corrected(replace(score, path=path, digest=hashlib.sha256(data).hexdigest()))


def score_of(data: bytes) -> Score:
    r"""Return the score in the bytes of a file, without path, digest and corrections.

    Raises
    ------
    InputError
        If it is no score.
    DamagedError
        If it is damaged, or not safe to open.
    ToolError
        If the importer that a format needs is missing.

    Examples
    --------
    >>> score_of(b"X:1\nT:Air\nM:2/4\nL:1/4\nK:G\nF G|\n").notes["pitch"].tolist()
    [66, 67]
    """
    findings = Findings()
    form = format_of(data) or Format.MUSICXML
    if form is Format.MUSICXML:
        score = read_musicxml(musicxml_bytes(data, findings), findings)
    elif len(data) > LIMITS.file_bytes:
        raise DamagedError(
            f"The file has {len(data) // MEBIBYTE} MiB, more than the {LIMITS.file_bytes // MEBIBYTE} allowed."
        )
    else:
        score = _imported(form, data, findings)
    return replace(score, format=form.value)


def _imported(form: Format, data: bytes, findings: Findings) -> Score:
    """Read a format other than MusicXML."""
    if form is Format.MIDI:
        from sonorarium.score.formats.midifile import read_midi  # noqa: PLC0415

        return read_midi(data, findings)
    text = text_of(data, findings)
    if form is Format.HUMDRUM:
        from sonorarium.score.formats.humdrum import read_humdrum  # noqa: PLC0415

        return read_humdrum(text, findings)
    if form is Format.ABC:
        from sonorarium.score.formats.abcnotation import read_abc  # noqa: PLC0415

        return read_abc(text, findings)
    from sonorarium.score.formats.meifile import read_mei_file  # noqa: PLC0415

    return read_mei_file(text, findings)


def _content(path: Path) -> bytes:
    try:
        return path.read_bytes()
    except FileNotFoundError as error:
        raise InputError(f"There is no file {path}.", value=str(path)) from error
    except OSError as error:
        raise InputError(f"{path} cannot be opened: {error.strerror}.", value=str(path)) from error
