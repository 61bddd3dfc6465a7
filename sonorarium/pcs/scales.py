"""The catalogue of scale kinds: their names, notes and parents.

One table, ``scales.csv``, holds the facts, and `sonorarium.pcs.melakarta` adds the 72 melakarta; this module reads
both. A kind is a scale without a place ("double harmonic"); with a root it becomes a
`sonorarium.pcs.collection.Collection`.

Conventions
-----------
* A kind has one **name**, which the tool prints, and **aliases**, which are read. Names describe: a mode by its
  place or by what it alters, counted from the plain mode ("mixolydian b6").
* **Borrowed** names come from a tradition or a place ("Byzantine", "Hirajoshi", the names of the melakarta). They
  are read like the rest, and shown with the caution that equal temperament only approximates their notes.
* Where several kinds have the same notes from the root, the first of the catalogue is the one that is printed.
* Names are compared without regard to case, hyphens or spaces; ♭ is b, ♯ is #, ♮6 is natural 6, "flat 6" is b6,
  #11 is #4; a closing "scale" or "mode" may be left out or put in.

Sources stand in the table, one for each row.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from difflib import get_close_matches
from functools import cache
from pathlib import Path

from sonorarium.errors import InputError
from sonorarium.pcs.melakarta import CAUTION, melakartas
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
    borrowed : tuple of str
        Names from a tradition or a place, read and marked.
    """

    name: str
    pcs: tuple[int, ...]
    parent: str
    degree: int
    aliases: tuple[str, ...]
    source: str
    borrowed: tuple[str, ...] = ()

    @property
    def names(self) -> tuple[str, ...]:
        """Every name that is read, the printed one first."""
        return (self.name, *self.aliases, *self.borrowed)

    @property
    def caution(self) -> str:
        """What to say beside its borrowed names; empty where it has none."""
        return CAUTION if self.borrowed else ""

    @property
    def pcset(self) -> PcSet:
        """Its notes from C."""
        return PcSet(self.pcs)


@cache
def scale_kinds() -> tuple[ScaleKind, ...]:
    """Every kind of the catalogue, in its order; the melakarta that have no other name come last."""
    listed = {kind.pcs: kind for kind in reversed(_listed())}
    found = {kind.name: kind for kind in _listed()}
    for mela in melakartas():
        numbered, names = f"melakarta {mela.number}", (mela.name, *mela.aliases)
        known = found[listed[mela.pcs].name] if mela.pcs in listed else None
        if known:
            found[known.name] = replace(known, borrowed=(*known.borrowed, numbered, *names))
        else:
            found[numbered] = ScaleKind(
                numbered, mela.pcs, numbered, 1, (), "Venkatamakhin's scheme; common practice", names
            )
    return tuple(found.values())


def _listed() -> tuple[ScaleKind, ...]:
    text = (Path(__file__).parent / "scales.csv").read_text(encoding="utf-8")
    rows = [line.split("|") for line in text.splitlines() if line and not line.startswith("#")][1:]
    return tuple(
        ScaleKind(
            name,
            tuple(map(int, pcs.split())),
            parent.rpartition(" ")[0],
            int(parent.rpartition(" ")[2]),
            _several(aliases),
            source,
            _several(borrowed),
        )
        for name, pcs, parent, aliases, borrowed, source in rows
    )


def _several(cell: str) -> tuple[str, ...]:
    return tuple(word.strip() for word in cell.split(",") if word.strip())


@cache
def _by_key() -> dict[str, ScaleKind]:
    """Every name as it is compared; where two kinds claim one, a name goes before an alias, then the first wins."""
    found: dict[str, ScaleKind] = {}
    for rank in (lambda k: (k.name,), lambda k: k.aliases, lambda k: k.borrowed):
        for kind in scale_kinds():
            for name in rank(kind):
                found.setdefault(_key(name), kind)
    return found


@cache
def _by_mask() -> dict[int, ScaleKind]:
    return {kind.pcset.mask: kind for kind in reversed(scale_kinds())}


def _key(name: str) -> str:
    plain = name.lower().replace("♭", "b").replace("♯", "#").replace("𝄫", "bb").replace("♮", "natural")
    plain = re.sub(r"[\s,()-]+", "", plain)
    plain = re.sub(r"flat(?=\d)", "b", re.sub(r"sharp(?=\d)", "#", plain))
    return re.sub(r"(b|#|natural)(9|11|13)", lambda m: m[1] + str(int(m[2]) - 7), plain)


def _bare(key: str) -> str:
    return re.sub(r"(scale|mode|thaat)$", "", key)


def find_kind(name: str) -> ScaleKind:
    """Find a kind by its name or another name.

    Raises `InputError` where there is none; it offers the nearest names.

    >>> find_kind("Double-Harmonic").pcs
    (0, 1, 4, 5, 7, 8, 11)
    """
    kind = known_kind(name)
    if kind is None:
        near = nearest_names(name)
        hint = f"The nearest are: {'; '.join(near)}." if near else ""
        raise InputError(f"There is no scale called {name!r} in the catalogue.", value=name, suggestion=hint)
    return kind


def known_kind(name: str) -> ScaleKind | None:
    """Find a kind by its name or another name, or None where there is none."""
    key = _key(name)
    return _by_key().get(key) or _by_key().get(_bare(key)) or _by_key().get(key + "scale")


def nearest_names(name: str, *, limit: int = 3) -> tuple[str, ...]:
    """Names of the catalogue that look most like this one, nearest first, each kind once.

    >>> nearest_names("doble harmonik")
    ('double harmonic', 'double harmonic b5', 'double harmonic minor')
    """
    by_key = _by_key()
    shown = {_key(n): n for kind in scale_kinds() for n in reversed(kind.names)}
    near = get_close_matches(_key(name), list(by_key), n=3 * limit, cutoff=0.6)
    kinds = {by_key[key].name: shown[key] for key in reversed(near)}
    order = dict.fromkeys(by_key[key].name for key in near)
    return tuple(kinds[kind] for kind in order)[:limit]


def kind_of(pcset_from_root: PcSet) -> ScaleKind | None:
    """The kind whose notes from C are exactly these, or None; the first of the catalogue where several agree.

    >>> found = kind_of(PcSet((0, 2, 4, 6, 7, 9, 10)))
    >>> found.name if found else ""
    'acoustic'
    """
    return _by_mask().get(pcset_from_root.mask)
