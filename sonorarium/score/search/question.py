"""A question as it is typed: the set, or several in a row, and the options, made into a query or a chain."""

from __future__ import annotations

from dataclasses import dataclass, replace

from sonorarium.errors import InputError
from sonorarium.score.search.chain import Chain, is_row, read_row
from sonorarium.score.search.limits import Length, Limits, read_length
from sonorarium.score.search.listing import Listing
from sonorarium.score.search.nearness import Near
from sonorarium.score.search.query import ANY_EXTRA, Query


@dataclass(frozen=True)
class Typed:
    """Options as they are typed; docs/finding.md explains each.

    ``bars``, ``shortest`` and ``longest`` are texts: ``9-12``, ``2 bars``, ``3 quarters``; ``bass`` and ``top`` are
    notes.
    """

    kind: tuple[str, ...] = ()
    part: tuple[str, ...] = ()
    under: str = ""
    struck: bool = False
    at_least: bool = False
    extra: int | None = None
    tolerance: float = 0.0
    near: int = 0
    alike: float | None = None
    shortest: str = ""
    longest: str = ""
    least_notes: int = 1
    bars: str = ""
    bass: str = ""
    top: str = ""
    by: str = "salience"
    every: bool = False


def question(what: str, typed: Typed) -> Query | Chain:
    """Make a query of what was typed, or a chain where several sets in a row were.

    Parameters
    ----------
    what : str
    typed : Typed

    Raises
    ------
    InputError
        Where something is not understood, or two options contradict each other.
    """
    if typed.at_least and typed.extra is not None:
        raise InputError("Others besides a chord are any, or so many.", suggestion="Choose one of the two.")
    if not is_row(what):
        return _query(what, typed, fold=not typed.every)
    sets, within = read_row(what)
    return Chain(tuple(_query(one, typed, fold=False) for one in sets), within)


def _query(what: str, typed: Typed, *, fold: bool) -> Query:
    least = _shortest(typed)
    query = Query.of(
        what,
        kind=typed.kind or None,
        parts=typed.part,
        tolerance=typed.tolerance,
        least_notes=typed.least_notes,
        least_quarters=least.amount if least and least.unit == "quarters" else 0,
    )
    query = query.under(typed.under) if typed.under else query
    return replace(
        query,
        extra=ANY_EXTRA if typed.at_least else typed.extra or 0,
        struck=typed.struck,
        near=_near(typed),
        limits=_limits(typed, least),
        listing=Listing(typed.by, fold),  # type: ignore[arg-type]  # another order is refused by its name
    )


def _shortest(typed: Typed) -> Length | None:
    return read_length(typed.shortest) if typed.shortest else None


def _limits(typed: Typed, least: Length | None) -> Limits:
    bars_long = typed.shortest if least and least.unit == "bars" else ""
    return Limits.of(shortest=bars_long, longest=typed.longest, bars=typed.bars, bass=typed.bass, top=typed.top)


def _near(typed: Typed) -> Near:
    if typed.alike is None:
        return Near(typed.near)
    return replace(Near.alike(typed.alike), semitones=typed.near)
