"""Taking a score into the study, so that lessons can show it and the study can travel with it."""

from __future__ import annotations

import hashlib
from pathlib import Path

from sonorarium.errors import InputError
from sonorarium.files import write_whole
from sonorarium.score.corrections import corrections_path
from sonorarium.study.drawer import free_name
from sonorarium.study.folder import Study
from sonorarium.study.locking import writing


def places(study: Study) -> dict[str, str]:
    """Place in the study of each of its pieces, as lessons name it, by the SHA-256 of its bytes."""
    found = {hashlib.sha256(path.read_bytes()).hexdigest(): path for path in reversed(study.pieces())}
    return {digest: path.relative_to(study.folder).as_posix() for digest, path in found.items()}


def take_in(study: Study, path: Path) -> str:
    """Copy a score, and its corrections where it has some, into the study's pieces.

    Parameters
    ----------
    study : Study
    path : Path
        A file anywhere.

    Returns
    -------
    str
        Its place in the study. Where the study has the very piece already, that one's.

    Raises
    ------
    InputError
        Where the file cannot be read, or the study cannot be written to.
    """
    try:
        data = path.read_bytes()
        beside = corrections_path(path)
        corrections = beside.read_bytes() if beside.is_file() else None
    except OSError as error:
        raise InputError(f"{path.name} could not be read: {error.strerror}.", value=path.name) from error
    with writing(study.folder):
        there = places(study).get(hashlib.sha256(data).hexdigest())
        if there:
            return there
        folder = study.folder / study.pieces_name
        copy = folder / free_name(folder, path.stem, path.suffix)
        if corrections is not None:
            write_whole(corrections_path(copy), corrections)
        write_whole(copy, data)
        return copy.relative_to(study.folder).as_posix()
