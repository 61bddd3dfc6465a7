"""Limits of a search: how long a passage may be, in which bars it lies, what is lowest and highest in it.

Conventions
-----------
* **Length in bars** is the length of the passage over that of the bar, by its metre, in which it begins; so a passage
  of two bars is two bars long wherever in a bar it begins. A passage that is too long or too short is left out: it is
  not cut.
* **A range of bars** is printed numbers, ``9`` or ``9-12`` (`sonorarium.score.barnames`). The piece is then searched
  as if nothing but these bars were there: what sounds into them counts from their first bar line, what sounds on
  beyond counts to their last, and a run ends there.
* **Bass** and **top**: the pitch class of the lowest and of the highest note. Of a chord this is asked in every
  slice, so that a chord held over a moving bass counts as long as the bass is right; of a line or a texture it is
  asked once, of the lowest or highest note of all that sounds in it.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal, NamedTuple, TypeAlias

from sonorarium.errors import InputError
from sonorarium.pcs.spelling import read_note

Unit: TypeAlias = Literal["quarters", "bars"]

NUMBER_WORDS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")
"""Numbers that may be written out."""

_LENGTH = re.compile(r"(?P<amount>\d+(?:\.\d+|/\d+)?|[a-z]+)\s*(?P<unit>quarters?|bars?|q|b|)", re.IGNORECASE)


class Length(NamedTuple):
    """A length of musical time.

    Parameters
    ----------
    amount : Fraction
        0 or more.
    unit : {"quarters", "bars"}
    """

    amount: Fraction
    unit: Unit

    def __str__(self) -> str:
        unit = self.unit[:-1] if self.amount == 1 else self.unit
        return f"{self.amount} {unit}"


def read_length(text: str) -> Length:
    """Read a length as typed: ``2 bars``, ``3/2 quarters``, ``two bars``, ``1.5``; a bare number is quarters.

    Parameters
    ----------
    text : str

    Returns
    -------
    Length

    Raises
    ------
    InputError
        Where the text is no length.

    Examples
    --------
    >>> read_length("two bars"), str(read_length("3/2"))
    (Length(amount=Fraction(2, 1), unit='bars'), '3/2 quarters')
    """
    match = _LENGTH.fullmatch(text.strip())
    word = match["amount"].lower() if match else ""
    written = str(NUMBER_WORDS.index(word)) if word in NUMBER_WORDS else word
    if match is None or not written[:1].isdigit() or written.endswith("/0"):
        raise InputError(
            f"{text!r} is no length.", value=text, suggestion="Lengths look like 2 bars, 3 quarters, 1/2, 1.5 bars."
        )
    return Length(Fraction(written), "bars" if match["unit"].lower().startswith("b") else "quarters")


@dataclass(frozen=True)
class Limits:
    """Limits of a search. `Limits.of` makes them of what a person types.

    Parameters
    ----------
    least_bars : Fraction
        A passage is at least so many bars long.
    most_quarters, most_bars : Fraction or None
        It is at most so long; None for no limit.
    bars : str
        Printed bar or bars that are searched: ``9``, ``9-12``; empty for the whole piece.
    bass, top : int or None
        Pitch class of the lowest and of the highest note, 0 to 11; None for any.

    Raises
    ------
    InputError
        Where a limit has no meaning.
    """

    least_bars: Fraction = Fraction(0)
    most_quarters: Fraction | None = None
    most_bars: Fraction | None = None
    bars: str = ""
    bass: int | None = None
    top: int | None = None

    def __post_init__(self) -> None:
        if self.least_bars < 0 or any(
            most is not None and most <= 0 for most in (self.most_quarters, self.most_bars)
        ):
            raise InputError(
                "A passage is longer than nothing.", value=(self.least_bars, self.most_quarters, self.most_bars)
            )
        if self.most_bars is not None and self.most_bars < self.least_bars:
            raise InputError(
                f"Nothing is at least {self.least_bars} and at most {self.most_bars} bars long.",
                value=(self.least_bars, self.most_bars),
                suggestion="Give the smaller number as the shortest.",
            )
        for pc in (self.bass, self.top):
            if pc is not None and not 0 <= pc < 12:
                raise InputError(f"There is no pitch class {pc}.", value=pc, suggestion="Pitch classes are 0 to 11.")

    @classmethod
    def of(
        cls, *, shortest: str = "", longest: str = "", bars: str = "", bass: str | int = "", top: str | int = ""
    ) -> Limits:
        """Make limits of what a person types.

        Parameters
        ----------
        shortest : str
            A length in bars; one in quarters is `sonorarium.score.search.query.Query.least_quarters`.
        longest : str
            A length, in bars or quarters.
        bars : str
            Printed bars.
        bass, top : str or int
            A note name or a pitch class.

        Returns
        -------
        Limits

        Raises
        ------
        InputError
            Where a text is not understood, or a limit has no meaning.

        Examples
        --------
        >>> Limits.of(longest="4 bars", bars="9-12", bass="Eb").bass
        3
        """
        least = read_length(shortest) if shortest else Length(Fraction(0), "bars")
        if least.unit == "quarters":
            raise InputError(
                "A shortest length in quarters belongs to the query itself.",
                value=shortest,
                suggestion=f"Give least_quarters={least.amount}.",
            )
        most = read_length(longest) if longest else None
        return cls(
            least.amount,
            most.amount if most and most.unit == "quarters" else None,
            most.amount if most and most.unit == "bars" else None,
            bars.strip(),
            _read_pc(bass),
            _read_pc(top),
        )


UNLIMITED = Limits()
"""No limit at all."""


def _read_pc(typed: str | int) -> int | None:
    if isinstance(typed, int) or typed.strip().isdigit():
        return int(typed)
    return read_note(typed.strip()).pc if typed.strip() else None
