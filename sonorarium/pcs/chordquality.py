"""Chord qualities: what a chord symbol means, apart from its root, and how it is written.

A quality is a base from the table ``chords.csv`` ("maj7"), a suspension in place of the third, altered members, added
members and omitted ones. Each quality means exactly one set:

* a base means its degrees; an eleventh or a thirteenth is the **whole** stack of thirds below it, so that C13 has a
  third, a ninth and an eleventh. Players often leave some of them out; here that is written (``C13no11``);
* **sus4** (or sus) and **sus2** put the fourth or second in the place of the third;
* an **altered** member takes the place of the natural one where the base has it (``9b9`` has no natural ninth), and
  is added where it has not (``7#11``); two alterations of one member stand side by side (``7b9#9``);
* **7alt** is the whole altered scale: third, seventh, and both alterations of fifth and ninth. Players choose among
  them; a symbol here means one set;
* **add** adds without anything below it; **no** leaves a member out, whatever its alteration;
* an altered 9, 11 or 13 on a chord without a seventh is an added note, and so it is printed (``Caddb9``).

Degrees are written against the major scale of the root: ``b3``, ``#11``. House styles differ in one sign: ``maj7``,
``M7`` or ``Δ``; all are read everywhere.

Sources: common practice. Where writers differ: some let C13 imply no eleventh, some let C(b9) imply a seventh, some
let Cdim mean a seventh chord; here each says only what it writes.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from functools import cache, cached_property
from pathlib import Path
from typing import Literal, NamedTuple

from sonorarium.errors import InputError
from sonorarium.pcs.spelling import NATURAL_PC

Style = Literal["maj7", "M7", "Δ"]
"""House style of a printed chord symbol."""


class Base(NamedTuple):
    """A row of the table."""

    symbol: str
    style_m: str
    style_triangle: str
    degrees: tuple[str, ...]
    simplicity: int
    words: str


@cache
def bases() -> dict[str, Base]:
    """The table by symbol."""
    text = (Path(__file__).parent / "chords.csv").read_text(encoding="utf-8")
    rows = [line.split("|") for line in text.splitlines() if not line.startswith("#")][1:]
    return {r[0]: Base(r[0], r[1], r[2], tuple(r[3].split()), int(r[4]), r[5]) for r in rows if len(r) == 6}


def degree_number(degree: str) -> int:
    """Number of a degree without its sign: 9 for ``b9``."""
    return int(degree.lstrip("b#"))


def degree_height(degree: str) -> int:
    """Semitones of a degree above the root, within the octave.

    >>> degree_height("b3"), degree_height("#11"), degree_height("bb7")
    (3, 6, 9)
    """
    natural = NATURAL_PC[(degree_number(degree) - 1) % 7]
    return (natural + degree.count("#") - degree.count("b")) % 12


@dataclass(frozen=True)
class Quality:
    """What a chord symbol says beside its root.

    Parameters
    ----------
    base : str
        A symbol of ``chords.csv``; empty for the major triad.
    sus : str
        ``""``, ``"sus2"``, ``"sus4"`` or ``"sus2sus4"``.
    altered, added : tuple of str
        Degrees such as ``"b5"`` or ``"#9"``.
    omitted : tuple of str
        Numbers such as ``"5"``.

    Raises
    ------
    InputError
        Where there is no such base, or a member is left out that is not there.

    Examples
    --------
    >>> quality = Quality("7", altered=("#9",), omitted=("5",))
    >>> quality.text(), quality.degrees, quality.heights
    ('7#9no5', ('1', '3', 'b7', '#9'), (0, 3, 4, 10))
    """

    base: str = ""
    sus: str = ""
    altered: tuple[str, ...] = ()
    added: tuple[str, ...] = ()
    omitted: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        if self.base not in bases():
            raise InputError(f"There is no chord quality {self.base!r}.", value=self.base)
        absent = {int(n) for n in self.omitted} - {degree_number(d) for d in self._complete}
        if absent:
            raise InputError(
                f"A chord without {min(absent)} cannot leave it out.",
                value=self.omitted,
                suggestion="Leave out the no.",
            )

    @cached_property
    def _complete(self) -> tuple[str, ...]:
        """Degrees before anything is left out."""
        kept = list(bases()[self.base].degrees)
        if self.sus:
            kept = [d for d in kept if degree_number(d) != 3] + re.findall(r"\d", self.sus)
        for degree in self.altered:
            kept = [d for d in kept if d != str(degree_number(degree))]
        every = sorted({*kept, *self.altered, *self.added}, key=lambda d: (degree_number(d), degree_height(d)))
        first_of = {degree_height(d): d for d in reversed(every)}
        return tuple(d for d in every if first_of[degree_height(d)] == d)

    @cached_property
    def degrees(self) -> tuple[str, ...]:
        """Its members as degrees of the root's major scale, upward by number."""
        return tuple(d for d in self._complete if str(degree_number(d)) not in self.omitted)

    @property
    def heights(self) -> tuple[int, ...]:
        """Its members as semitones above the root, ascending."""
        return tuple(sorted(map(degree_height, self.degrees)))

    @cached_property
    def mask(self) -> int:
        """Its members above C as a 12-bit integer."""
        return sum(1 << height for height in self.heights)

    def text(self, style: Style = "maj7") -> str:
        """Write it as a chord symbol without root.

        >>> Quality("maj7", altered=("#11",)).text("M7"), Quality("m7b5").text("Δ"), Quality(altered=("b5",)).text()
        ('M7#11', 'ø7', '(b5)')
        """
        row = bases()[self.base]
        head = {"maj7": row.symbol, "M7": row.style_m, "Δ": row.style_triangle}[style] + self.sus
        altered = "".join(self.altered)
        if altered and not head:
            altered = f"({altered})"  # so that the accidental does not join the root
        return head + altered + "".join(f"add{d}" for d in self.added) + "".join(f"no{n}" for n in self.omitted)

    @property
    def words(self) -> str:
        """Say it in words: ``dominant seventh, sharp 9, without 5``."""
        parts = ["triad" if self.sus and not self.base else bases()[self.base].words]
        parts += [
            "suspended " + " and ".join("second" if n == "2" else "fourth" for n in re.findall(r"\d", self.sus))
        ]
        parts += [_spoken(d) for d in self.altered] + [f"added {_spoken(d)}" for d in self.added]
        parts += [f"without {'root' if n == '1' else n}" for n in self.omitted]
        return ", ".join(part for part in parts if part != "suspended ")

    @property
    def canonical(self) -> Quality:
        """The same set in the usual writing: ``m7b5``, not a minor seventh with an altered fifth.

        >>> Quality("m7", altered=("b5", "b9")).canonical
        Quality(base='m7b5', sus='', altered=('b9',), added=(), omitted=())
        """
        base, altered, added = self.base, list(self.altered), list(self.added)
        for plain, sign, named in _NAMED_FIFTHS:
            if base == plain and [d for d in altered if degree_number(d) == 5] == [sign] and not self.sus:
                base = named
                altered.remove(sign)
        if not any(degree_number(d) == 7 for d in bases()[base].degrees):
            added += [d for d in altered if degree_number(d) > 5]
            altered = [d for d in altered if degree_number(d) <= 5]
        if base in ("6", "m6") and "9" in added:
            base += "/9"
            added.remove("9")
        return replace(self, base=base, altered=_in_order(altered), added=_in_order(added), omitted=self.omitted)


_NAMED_FIFTHS = (("", "#5", "aug"), ("m", "b5", "dim"), ("m7", "b5", "m7b5"), ("mMaj7", "b5", "dimMaj7"))


def _in_order(degrees: list[str]) -> tuple[str, ...]:
    return tuple(sorted(set(degrees), key=lambda d: (degree_number(d), degree_height(d))))


def _spoken(degree: str) -> str:
    sign = {"": "", "b": "flat ", "#": "sharp "}.get(degree.rstrip("0123456789"), "double flat ")
    return sign + degree.lstrip("b#")
