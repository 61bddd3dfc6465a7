"""The list of what is live on a shelf: one small JSON file, replaced as a whole.

A shelf is a folder::

    manifest.json       this list
    writing.lock        held by the one process that writes
    tables/000007-5f0c…/  one batch: its Parquet files (`sonorarium.shelf.tables`)

A batch counts from the moment at which a manifest that names it has been moved into place. Whatever else lies in the
folder was left by a process that was stopped, or has been replaced, and is cleared away by the next one that writes.
So a shelf is whole at every instant, whoever is stopped, and who reads needs no lock.

The manifest names folders relative to itself: a shelf may be moved.
"""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass, replace
from pathlib import Path
from typing import Any

from sonorarium.errors import DamagedError
from sonorarium.files import write_whole

NAME = "manifest.json"
KIND = "sonorarium shelf"
SCHEMA = 1
"""Version of the layout of manifest and tables; it changes when an older program could not read them."""


@dataclass(frozen=True)
class BatchEntry:
    """A live batch.

    Parameters
    ----------
    name : str
        Its folder.
    rules : str
        `sonorarium.shelf.tables.rules` when it was written.
    scores, notes : int
        How many are in it.
    sizes, sums : dict of str to int
        Bytes, and CRC-32, of each of its Parquet files.
    """

    name: str
    rules: str
    scores: int
    notes: int
    sizes: dict[str, int]
    sums: dict[str, int]


@dataclass(frozen=True)
class Manifest:
    """What is live on a shelf.

    Parameters
    ----------
    folders : tuple of str
        Folders and files that were added, absolute.
    batches : tuple of BatchEntry
        In the order in which they were written: where two know of one file, the later one counts.
    next_score, next_batch : int
        Numbers not yet given.
    """

    folders: tuple[str, ...] = ()
    batches: tuple[BatchEntry, ...] = ()
    next_score: int = 0
    next_batch: int = 0

    def with_batch(self, entry: BatchEntry, *, without: frozenset[str] = frozenset()) -> Manifest:
        """Add a batch, and leave out those that it replaces."""
        kept = tuple(batch for batch in self.batches if batch.name not in without)
        return replace(self, batches=(*kept, entry))


def read_manifest(folder: Path) -> Manifest:
    """Read the manifest of a shelf; an empty one where there is none.

    Parameters
    ----------
    folder : Path
        The shelf.

    Returns
    -------
    Manifest

    Raises
    ------
    DamagedError
        Where it cannot be read, or was written by a later version.
    """
    path = folder / NAME
    try:
        plain = json.loads(path.read_text(encoding="utf-8"))
        schema = plain["schema"]
        if plain["kind"] == KIND and schema == SCHEMA:
            return _manifest(plain)
    except FileNotFoundError:
        return Manifest()
    except (OSError, ValueError, KeyError, TypeError, AttributeError) as error:
        raise DamagedError(
            f"The list of what is on the shelf, {path}, is damaged.",
            value=str(path),
            suggestion="Index your scores again with `sonorarium shelf add --afresh FOLDER`; they are not touched.",
        ) from error
    raise DamagedError(
        f"The shelf {folder} was written in layout {schema}, and this version reads layout {SCHEMA}.",
        value=schema,
        suggestion="Index your scores again with `sonorarium shelf add --afresh FOLDER`; they are not touched.",
    )


def write_manifest(folder: Path, manifest: Manifest) -> None:
    """Move a new manifest into place.

    Parameters
    ----------
    folder : Path
        The shelf.
    manifest : Manifest

    Raises
    ------
    InputError
        Where it cannot be written.
    """
    text = json.dumps({"kind": KIND, "schema": SCHEMA, **asdict(manifest)}, indent=1, ensure_ascii=False)
    write_whole(folder / NAME, f"{text}\n".encode())


def _manifest(plain: dict[str, Any]) -> Manifest:
    return Manifest(
        folders=tuple(map(str, plain["folders"])),
        batches=tuple(BatchEntry(**batch) for batch in plain["batches"]),
        next_score=int(plain["next_score"]),
        next_batch=int(plain["next_batch"]),
    )
