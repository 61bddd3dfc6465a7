"""Several sets in a row: what is asked, as typed.

``5-26 then 4-19 within two bars`` asks for a passage of 5-26, and one of 4-19 that begins at most two bars after the
first has ended. More sets may follow: ``3-11 then 3-12 then 4-19 within 3 quarters``. ``within`` says how long after
the end of the passage before the set's own may begin; where nothing is said, it is one bar. Bars are as long as the
one, by its metre, in which the earlier passage ends.

A passage **follows** another where it begins later and ends later than that one; they may overlap, for the last notes
of one set are often the first of the next. All passages of a chain are of one kind.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from typing import Any

from sonorarium.errors import InputError
from sonorarium.score.search.limits import Length, read_length
from sonorarium.score.search.query import Query

NEXT_BAR = Length(Fraction(1), "bars")
"""How soon a set must follow where nothing is said."""

_WITHIN = re.compile(r"(?P<set>.*\S)\s+within\s+(?P<length>.+)", re.IGNORECASE)


@dataclass(frozen=True)
class Chain:
    """Sets that are looked for one after the other. `Chain.of` makes one of what a person types.

    Parameters
    ----------
    links : tuple of Query
        Two or more; alike in parts, bars, kinds, notes and listing.
    within : tuple of Length
        How long after the end of the one before each but the first may begin.

    Raises
    ------
    InputError
        Where there is but one set, or the sets are to be looked for in different notes.
    """

    links: tuple[Query, ...]
    within: tuple[Length, ...]

    def __post_init__(self) -> None:
        if len(self.links) < 2 or len(self.within) != len(self.links) - 1:
            raise InputError(
                "A row of sets has two or more, and a length between each two.",
                value=(self.links, self.within),
                suggestion="Try: 5-26 then 4-19 within two bars.",
            )
        for one, other in pairwise(self.links):
            if _common(one) != _common(other):
                raise InputError(
                    "The sets of a row are looked for in the same notes, as the same kinds of passage.",
                    value=(one, other),
                    suggestion="Give them the same kinds, parts, bars and listing.",
                )

    @classmethod
    def of(cls, text: str, **options: Any) -> Chain:
        """Make a chain of what a person types.

        Parameters
        ----------
        text : str
            Sets with ``then`` between them.
        **options
            Those of `Query.of`, for every set.

        Returns
        -------
        Chain

        Raises
        ------
        InputError
            Where the text is not understood, or an option has no meaning.

        Examples
        --------
        >>> chain = Chain.of("5-26 then 4-19 within two bars then C E G")
        >>> [link.name for link in chain.links], [str(length) for length in chain.within]
        (['5-26', '4-19', '0 4 7'], ['2 bars', '1 bar'])
        """
        sets, within = read_row(text)
        return cls(tuple(Query.of(one, **options) for one in sets), within)

    @property
    def name(self) -> str:
        """What is searched for, as it can be typed."""
        links = [f"{q.name} within {length}" for q, length in zip(self.links[1:], self.within, strict=True)]
        return " then ".join([self.links[0].name, *links])


def is_row(text: str) -> bool:
    """Whether a text names several sets in a row.

    >>> is_row("5-26 then 4-19"), is_row("C E G")
    (True, False)
    """
    return len(_split(text)) > 1


def read_row(text: str) -> tuple[tuple[str, ...], tuple[Length, ...]]:
    """Take a row of sets apart.

    Parameters
    ----------
    text : str

    Returns
    -------
    sets : tuple of str
        Each as typed.
    within : tuple of Length
        One for each but the first.

    Raises
    ------
    InputError
        Where a set is missing, a length is not understood, or the first set is to be within something.
    """
    sets: list[str] = []
    within: list[Length] = []
    for number, words in enumerate(_split(text)):
        match = _WITHIN.fullmatch(words)
        sets.append(match["set"] if match else words)
        if not sets[-1] or words.lower().startswith("within"):
            raise InputError(f"A set is missing in {text!r}.", value=text, suggestion="Try: 5-26 then 4-19.")
        if number:
            within.append(read_length(match["length"]) if match else NEXT_BAR)
        elif match:
            raise InputError(
                f"Nothing comes before {sets[0]}, so it cannot be within {match['length']} of it.",
                value=text,
                suggestion=f"Put the length after the next set: {sets[0]} then … within {match['length']}.",
            )
    return tuple(sets), tuple(within)


def _split(text: str) -> list[str]:
    return [words.strip(" ,") for words in re.split(r"(?:^|[\s,])then(?=\s|$)", text.strip(), flags=re.IGNORECASE)]


def _common(query: Query) -> Iterable[object]:
    """What all sets of a chain must share."""
    return query.kinds, query.parts, query.struck, query.limits.bars, query.listing
