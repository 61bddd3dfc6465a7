"""Reading a score from a file: the one entrance.

What a file is follows from its content, not from its name. MusicXML is read, plain or compressed.
"""

from __future__ import annotations

import hashlib
from dataclasses import replace
from pathlib import Path

from sonorarium.errors import DamagedError, InputError
from sonorarium.score.container import musicxml_bytes
from sonorarium.score.musicxml import read_musicxml
from sonorarium.score.remarks import Findings
from sonorarium.score.score import Score


def read_score(path: str | Path) -> Score:
    """Read a score from a file.

    Parameters
    ----------
    path : str or Path
        A MusicXML file, plain or compressed; its suffix does not matter.

    Returns
    -------
    Score
        With ``remarks`` on everything that was repaired, guessed or left out.

    Raises
    ------
    InputError
        If there is no such file, or it holds something that is no MusicXML score.
    DamagedError
        If the file is damaged, or not safe to open.

    Examples
    --------
    >>> read_score("nowhere.musicxml")
    Traceback (most recent call last):
        ...
    sonorarium.errors.InputError: There is no file nowhere.musicxml.
    """
    path = Path(path)
    data = _content(path)
    findings = Findings()
    try:
        score = read_musicxml(musicxml_bytes(data, findings), findings)
    except (DamagedError, InputError) as error:
        raise type(error)(f"{path.name}: {error.sentence}", value=error.value, suggestion=error.suggestion) from error
    return replace(score, path=path, digest=hashlib.sha256(data).hexdigest())


def _content(path: Path) -> bytes:
    try:
        return path.read_bytes()
    except FileNotFoundError as error:
        raise InputError(f"There is no file {path}.", value=str(path)) from error
    except OSError as error:
        raise InputError(f"{path} cannot be opened: {error.strerror}.", value=str(path)) from error
