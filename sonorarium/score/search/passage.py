"""A passage: a located excerpt of a piece, the set that it shows, and how well.

A passage does not hold its score. It names the file and the digest of the file's bytes, the ticks, and the rows of
the note table, so it can be kept, sent and traced.

Transposition: the set shown is compared with the prime form (Rahn 1980) of its class. ``T4`` says that it is the
prime form four semitones higher; ``T7I`` that it is the prime form inverted about 0, then seven semitones higher (x
becomes 7 − x). Where several fit, T comes before TI and small numbers before large ones.
"""

from __future__ import annotations

from dataclasses import asdict, dataclass, field
from fractions import Fraction
from functools import cache

from sonorarium.pcs import tables
from sonorarium.pcs.pcset import PcSet
from sonorarium.score.metre import Place
from sonorarium.score.score import Score
from sonorarium.score.search.listing import By
from sonorarium.score.search.nearness import Nearness
from sonorarium.score.search.query import Kind
from sonorarium.score.search.salience import Salience
from sonorarium.score.search.teachability import Teachability


@dataclass(frozen=True)
class Source:
    """Which piece a passage is from.

    Parameters
    ----------
    path : str
        The file; empty where the score was not read from one.
    digest : str
        SHA-256 of the file's bytes.
    title, composer : str
        As the file states them.
    """

    path: str = ""
    digest: str = ""
    title: str = ""
    composer: str = ""

    @classmethod
    def of(cls, score: Score) -> Source:
        """Take the source from a score."""
        return cls(str(score.path or ""), score.digest, score.title, score.composer)


@dataclass(frozen=True)
class Stretch:
    """A part of a piece from one tick to another.

    Parameters
    ----------
    onset, end : int
        Ticks.
    bar_indices : (int, int)
        First and last bar in which it sounds, as indices into `Score.bars`.
    bars : (str, str)
        Their printed numbers.
    """

    onset: int
    end: int
    bar_indices: tuple[int, int]
    bars: tuple[str, str]


@dataclass(frozen=True)
class Elsewhere:
    """Another place where a passage comes again.

    Parameters
    ----------
    extent : Stretch
    parts : tuple of str
        Names of the parts that its notes belong to.
    semitones : int
        How much higher it is; 0 for a repeat at pitch.
    """

    extent: Stretch
    parts: tuple[str, ...]
    semitones: int = 0

    def as_dict(self) -> dict[str, object]:
        """Plain values for JSON."""
        return {**_plain(self.extent), "parts": list(self.parts), "semitones": self.semitones}


@dataclass(frozen=True)
class Passage:
    """A located excerpt.

    Parameters
    ----------
    source : Source
    kind : {"chord", "line", "texture"}
    extent : Stretch
        Where it lies.
    first, last : Place
        Where it begins, and where its last note is struck (never before it begins).
    pcs : PcSet
        The set shown: the form that was found.
    foreign : Fraction
        Share of its sounding time in which something foreign sounds; 0 unless a tolerance was given.
    rows : tuple of int
        Its notes, as rows of the note table; those of a line in the order of the line.
    notes : tuple of str
        Their names at sounding pitch, in the same order.
    parts : tuple of str
        Names of the parts that these notes belong to.
    tightest : Stretch
        The shortest stretch inside it in which all of the set is heard.
    salience : Salience
    besides : PcSet
        What sounds in it that is not of the set shown: nothing, unless the search let it.
    near : Nearness or None
        How near the set shown is to what was looked for, where it is not the very set.
    teachability : Teachability or None
        The facts that tell how easily it is shown to a class.
    repeats : tuple of Elsewhere
        Where the same notes come again in the piece, in order of place; empty unless repeats were folded.
    transposed : tuple of Elsewhere
        Where they come again at another pitch; these are passages of their own, where the search was for them too.
    """

    source: Source
    kind: Kind
    extent: Stretch
    first: Place
    last: Place
    pcs: PcSet
    foreign: Fraction
    rows: tuple[int, ...]
    notes: tuple[str, ...]
    parts: tuple[str, ...]
    tightest: Stretch
    salience: Salience
    besides: PcSet = field(default_factory=PcSet)
    near: Nearness | None = None
    teachability: Teachability | None = None
    repeats: tuple[Elsewhere, ...] = ()
    transposed: tuple[Elsewhere, ...] = ()

    @property
    def onset(self) -> int:
        """Tick at which it begins."""
        return self.extent.onset

    @property
    def end(self) -> int:
        """Tick at which it ends."""
        return self.extent.end

    @property
    def bars(self) -> tuple[str, str]:
        """Printed numbers of the first and the last bar in which it sounds."""
        return self.extent.bars

    @property
    def bar_indices(self) -> tuple[int, int]:
        """Indices of the first and the last bar in which it sounds."""
        return self.extent.bar_indices

    @property
    def label(self) -> str:
        """Label of the set shown: ``4-19B``."""
        return self.pcs.label

    @property
    def transposition(self) -> str:
        """How the set shown arises from the prime form of its class: ``T4``, ``T7I``."""
        return transposition_of(self.pcs)

    @property
    def rank(self) -> tuple[object, ...]:
        """Key that sorts passages by salience: exact before near, then as below."""
        return (self.farness, -self.salience.total, *self._place)

    @property
    def farness(self) -> float:
        """How far the set shown is from what was looked for; 0 where it is the very set."""
        if self.near is None:
            return 0.0
        return 2 - self.near.likeness if self.near.likeness is not None else float(self.near.semitones or 0)

    @property
    def _place(self) -> tuple[object, ...]:
        """Piece, place, kind, set and notes."""
        where = (self.onset, self.end, self.kind, self.pcs.mask, self.rows)
        return (self.source.path, self.source.digest, *where)

    def key(self, by: By) -> tuple[object, ...]:
        """Key that sorts passages by one of the orders of `sonorarium.score.search.listing`."""
        if by == "place":
            return self._place
        if by == "teachability":
            total = self.teachability.total if self.teachability else 0.0
            return (self.farness, -total, *self.rank)
        return self.rank

    def as_dict(self) -> dict[str, object]:
        """Plain values for JSON, with keys that stay the same."""
        return {
            "source": asdict(self.source),
            "kind": self.kind,
            "set": list(self.pcs.pcs),
            "label": self.label,
            "transposition": self.transposition,
            "onset": self.onset,
            "end": self.end,
            "bars": list(self.bars),
            "bar_indices": list(self.bar_indices),
            "first": self.first.as_dict(),
            "last": self.last.as_dict(),
            "parts": list(self.parts),
            "notes": list(self.notes),
            "rows": list(self.rows),
            "foreign": float(self.foreign),
            "tightest": _plain(self.tightest),
            "salience": self.salience.as_dict(),
            "besides": list(self.besides.pcs),
            "near": self.near.as_dict() if self.near else None,
            "teachability": self.teachability.as_dict() if self.teachability else None,
            "repeats": [one.as_dict() for one in self.repeats],
            "transposed": [one.as_dict() for one in self.transposed],
        }


def transposition_of(pcset: PcSet) -> str:
    """Say how a set arises from the prime form of its class.

    >>> [transposition_of(PcSet(pcs)) for pcs in ((0, 4, 8, 11), (4, 7, 11), (0, 4, 7))]
    ['T0I', 'T4', 'T7I']
    """
    return _transposition(pcset.mask)


@cache
def _transposition(mask: int) -> str:
    prime = int(tables.prime()[mask])
    tables_of = {"": tables.transposed(), "I": tables.inverted()}
    return next(f"T{n}{letter}" for letter, moved in tables_of.items() for n in range(12) if moved[n, prime] == mask)


def _plain(stretch: Stretch) -> dict[str, object]:
    return {
        "onset": stretch.onset,
        "end": stretch.end,
        "bars": list(stretch.bars),
        "bar_indices": list(stretch.bar_indices),
    }
