"""The 72 melakarta: parent scales of South Indian music, as far as twelve equal semitones can show them.

Scheme
------
Venkatamakhin (Caturdandi Prakashika, about 1660) lets the first and the fifth stand and varies the rest:

* numbers 1 to 36 take the perfect fourth, 37 to 72 the augmented one;
* within each half, six groups of six run through the six ways to choose a second and a third;
* within each group, six members run through the six ways to choose a sixth and a seventh.

So the notes follow from the number, and only the names, in ``melakarta.csv``, are data. Scheme and names: common
practice. The 72 numbers make 36 different sets up to transposition.

The caution that goes with every one of them is `CAUTION`: a melakarta is a frame for ragas with their own intonation
and turns; its notes in equal temperament are an approximation and no raga.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import NamedTuple

from sonorarium.errors import InputError

CAUTION = (
    "The name comes from a tradition with its own intonation and manner of playing; "
    "equal temperament only approximates its notes."
)
_PAIRS = ((1, 2), (1, 3), (1, 4), (2, 3), (2, 4), (3, 4))
_SECONDS, _THIRDS = {1: "R1", 2: "R2", 3: "R3"}, {2: "G1", 3: "G2", 4: "G3"}


class Melakarta(NamedTuple):
    """One of the 72.

    Parameters
    ----------
    number : int
        1 to 72.
    name : str
        Its name in common use.
    aliases : tuple of str
        Other spellings of the name.

    Examples
    --------
    >>> melakartas()[14].name, melakartas()[14].pcs
    ('Mayamalavagowla', (0, 1, 4, 5, 7, 8, 11))
    """

    number: int
    name: str
    aliases: tuple[str, ...] = ()

    @property
    def pcs(self) -> tuple[int, ...]:
        """Semitones above the first note, ascending."""
        return melakarta_pcs(self.number)

    @property
    def degrees(self) -> str:
        """Its notes in the tradition's own short names: ``S R1 G3 M1 P D1 N3``."""
        second, third, fourth, _, sixth, seventh = self.pcs[1:]
        upper = _SECONDS[sixth - 7].replace("R", "D"), _THIRDS[seventh - 7].replace("G", "N")
        return " ".join(("S", _SECONDS[second], _THIRDS[third], "M1" if fourth == 5 else "M2", "P", *upper))


def melakarta_pcs(number: int) -> tuple[int, ...]:
    """Return the notes of a melakarta from its number by the scheme above.

    Raises `InputError` for a number other than 1 to 72.

    >>> melakarta_pcs(65)
    (0, 2, 4, 6, 7, 9, 11)
    """
    if not 1 <= number <= 72:
        raise InputError(f"There is no melakarta {number}.", value=number, suggestion="They are numbered 1 to 72.")
    half, within = divmod(number - 1, 36)
    lower, upper = _PAIRS[within // 6], _PAIRS[within % 6]
    return (0, *lower, 5 + half, 7, *(7 + step for step in upper))


@cache
def melakartas() -> tuple[Melakarta, ...]:
    """All 72, by number."""
    text = (Path(__file__).parent / "melakarta.csv").read_text(encoding="utf-8")
    rows = [line.split("|") for line in text.splitlines() if line and line[0].isdigit()]
    return tuple(Melakarta(int(n), name, tuple(a.strip() for a in other.split(",") if a)) for n, name, other in rows)
