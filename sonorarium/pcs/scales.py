"""The catalogue of scale kinds: their names, notes and parents.

One table, ``scales.csv``, holds the facts; this module reads it. A kind is a scale without a place ("double
harmonic"); with a root it becomes a `sonorarium.pcs.collection.Collection`. Names are compared without regard to
case, hyphens or spacing, with ♭ and ♯ or b and #.
"""

from __future__ import annotations

from dataclasses import dataclass
from difflib import get_close_matches
from functools import cache
from pathlib import Path

from sonorarium.errors import InputError
from sonorarium.pcs.pcset import PcSet


@dataclass(frozen=True, slots=True)
class ScaleKind:
    """A scale without a place.

    Parameters
    ----------
    name : str
        What the tool prints.
    pcs : tuple of int
        Semitones above the root, ascending, beginning with 0.
    parent : str
        The scale of which it is a mode; its own name where it is the first.
    degree : int
        Degree of the parent on which it begins, 1 for the parent itself.
    aliases : tuple of str
        Other names that are read.
    source : str
        Where the name and the notes come from.
    """

    name: str
    pcs: tuple[int, ...]
    parent: str
    degree: int
    aliases: tuple[str, ...]
    source: str

    @property
    def pcset(self) -> PcSet:
        """Its notes from C."""
        return PcSet(self.pcs)


@cache
def scale_kinds() -> tuple[ScaleKind, ...]:
    """Every kind of the catalogue, in its order."""
    text = (Path(__file__).parent / "scales.csv").read_text(encoding="utf-8")
    rows = [line.split("|") for line in text.splitlines() if line and not line.startswith("#")][1:]
    return tuple(
        ScaleKind(
            name,
            tuple(map(int, pcs.split())),
            parent.rpartition(" ")[0],
            int(parent.rpartition(" ")[2]),
            tuple(a.strip() for a in aliases.split(",") if a.strip()),
            source,
        )
        for name, pcs, parent, aliases, source in rows
    )


@cache
def _by_key() -> dict[str, ScaleKind]:
    found = {_key(alias): kind for kind in scale_kinds() for alias in kind.aliases}
    return found | {_key(kind.name): kind for kind in scale_kinds()}


@cache
def _by_mask() -> dict[int, ScaleKind]:
    return {kind.pcset.mask: kind for kind in reversed(scale_kinds())}


def _key(name: str) -> str:
    plain = name.lower().replace("♭", "b").replace("♯", "#").replace("-", " ")
    return " ".join(plain.split())


def find_kind(name: str) -> ScaleKind:
    """Find a kind by its name or another name.

    Raises `InputError` where there is none; it offers the nearest names.

    >>> find_kind("Double-Harmonic").pcs
    (0, 1, 4, 5, 7, 8, 11)
    """
    kind = _by_key().get(_key(name))
    if kind is None:
        near = get_close_matches(_key(name), list(_by_key()), n=3, cutoff=0.6)
        hint = f"The nearest are: {'; '.join(near)}." if near else ""
        raise InputError(f"There is no scale called {name!r} in the catalogue.", value=name, suggestion=hint)
    return kind


def kind_of(pcset_from_root: PcSet) -> ScaleKind | None:
    """The kind whose notes from C are exactly these, or None; the first of the catalogue where several agree.

    >>> found = kind_of(PcSet((0, 2, 4, 6, 7, 9, 10)))
    >>> found.name if found else ""
    'acoustic'
    """
    return _by_mask().get(pcset_from_root.mask)
