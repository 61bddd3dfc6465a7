"""Sifting a shelf: which of its scores a question is put to, by composer and by date."""

from __future__ import annotations

from dataclasses import dataclass

from sonorarium.errors import InputError
from sonorarium.shelf.snapshot import ScoreRow


@dataclass(frozen=True)
class Sift:
    """Which scores are let through.

    Parameters
    ----------
    composer : str
        A part of the composer's name as the score states it, in any case; empty for all.
    since, until : int
        First and last year, by the first year in the score's date; 0 for any. A score without a year is not let
        through where a year is asked for.

    Raises
    ------
    InputError
        Where the last year lies before the first.
    """

    composer: str = ""
    since: int = 0
    until: int = 0

    def __post_init__(self) -> None:
        if self.until and self.since > self.until:
            raise InputError(
                f"No year lies from {self.since} to {self.until}.",
                value=f"{self.since}-{self.until}",
                suggestion="Give the earlier year first.",
            )

    def __bool__(self) -> bool:
        """Whether anything is asked for."""
        return self != Sift()

    def lets(self, row: ScoreRow) -> bool:
        """Whether a score is let through."""
        year = year_of(row.date)
        return (
            self.composer.casefold().strip() in row.composer.casefold()
            and (not self.since or year >= self.since)
            and (not self.until or 0 < year <= self.until)
        )

    @property
    def in_words(self) -> str:
        """What is asked for, in words; empty where nothing is.

        >>> Sift("Anon", 1820).in_words, Sift(until=1840).in_words, Sift().in_words
        ('by Anon, from 1820', 'until 1840', '')
        """
        said = (
            (self.composer, f"by {self.composer.strip()}"),
            (self.since, f"from {self.since}"),
            (self.until, f"until {self.until}"),
        )
        return ", ".join(words for there, words in said if there)


def year_of(date: str) -> int:
    """The first year in a date, 0 where it has none.

    >>> year_of("between 1826 and 1828"), year_of("n. d.")
    (1826, 0)
    """
    digits = "".join(sign if sign.isdecimal() else " " for sign in date).split()
    return next((int(one) for one in digits if len(one) == 4), 0)  # a year as it is written
