"""Realising: chords one after another as voicings, by taste.

For each chord there are choices, its candidate voicings; `Taste` prices each voicing and each step from voicing to
voicing; the trellis (`sonorarium.pitch.trellis`) gives the ways through, the cheapest first. Progressions,
harmonisations and continued textures all end here.

Prices are in semitones of movement, so that a price of 6 for parallels means: rather move six semitones more.

Up to `MOST` candidates a chord the answer is exact. Where there are more, the most compact of each set are weighed
first; then, about the best row so far, the candidates nearest to its chords; and so on until nothing gets cheaper.
That is a search and no proof, and the answer says how many candidates were left out.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from math import inf

import numpy as np
from numpy.typing import NDArray

from sonorarium.errors import InputError, NothingFoundError
from sonorarium.pcs import catalogue
from sonorarium.pcs.pcset import PcSet
from sonorarium.pcs.roughness import roughness
from sonorarium.pcs.spelling import Spelled
from sonorarium.pitch.bestfirst import unlike
from sonorarium.pitch.candidates import Placements
from sonorarium.pitch.leading import VoiceLeading, straight
from sonorarium.pitch.motion import farthest, movement, parallels
from sonorarium.pitch.palette import Palette
from sonorarium.pitch.trellis import walks
from sonorarium.pitch.voicing import Voicing

Prices = NDArray[np.float64]
MOST = 600
"""So many candidate voicings a chord are weighed at a time."""
ROUNDS = 6
"""So many times the candidates about the best row are renewed at most."""


@dataclass(frozen=True)
class Taste:
    """What is dear and what is cheap.

    Parameters
    ----------
    smooth : float
        Price of each semitone that a voice moves.
    parallels : float
        Price of each pair of voices in parallel fifths, octaves or unisons; ``inf`` forbids them.
    leap : int, optional
        The most semitones that a voice may move.
    rough : float
        Price of roughness, by the unit of `sonorarium.pcs.roughness.roughness`.
    variety : float
        Price of two chords of one class, transposition and inversion aside, one after the other.
    home : float
        Price of two chords one after the other that no home of the palette holds both.

    Raises
    ------
    InputError
        Where a price is below 0.

    Examples
    --------
    >>> Taste(parallels=float("inf"), leap=7)
    Taste(smooth=1.0, parallels=inf, leap=7, rough=0.0, variety=0.0, home=0.0)
    """

    smooth: float = 1.0
    parallels: float = 6.0
    leap: int | None = None
    rough: float = 0.0
    variety: float = 0.0
    home: float = 0.0

    def __post_init__(self) -> None:
        for price in (self.smooth, self.parallels, self.leap or 0, self.rough, self.variety, self.home):
            if not price >= 0:
                raise InputError(f"A price of {price} would be a reward.", value=price, suggestion="Use 0 or more.")


@dataclass(frozen=True, eq=False)
class Choices:
    """Candidate voicings of one chord, or of several that might stand in one place.

    Parameters
    ----------
    rows : ndarray of int16, shape (candidates, voices)
    masks : ndarray of int, shape (candidates,)
        Which set each one realises.
    own : ndarray of float, shape (candidates,)
        Price of each besides its roughness.
    left_out : int
        How many more there were.
    """

    rows: Placements
    masks: NDArray[np.int64]
    own: Prices
    left_out: int = 0

    def __len__(self) -> int:
        return len(self.rows)

    def priced(self, taste: Taste) -> Prices:
        """Price of each by itself."""
        return self.own + (taste.rough * roughness(self.rows) if taste.rough and len(self) else 0.0)

    def taken(self, at: NDArray[np.intp]) -> Choices:
        """Some of them, by their places."""
        return Choices(self.rows[at], self.masks[at], self.own[at], len(self) - len(at))

    def compact(self, most: int = MOST) -> Choices:
        """Those that span least, of every set as many; all where there are not too many.

        >>> rows = np.array([[48, 64, 79], [60, 64, 67]], np.int16)
        >>> choices([(145, rows)]).compact(1).rows.tolist()
        [[60, 64, 67]]
        """
        if len(self) <= most:
            return self
        order = np.lexsort((self.rows[:, -1] - self.rows[:, 0], self.masks))
        sets, firsts = np.unique(self.masks[order], return_index=True)
        rank = np.arange(len(order)) - np.repeat(firsts, np.diff(firsts, append=len(order)))
        return self.taken(np.sort(order[rank < max(1, most // len(sets))]))

    def nearest(self, own: NDArray[np.int16], others: Sequence[NDArray[np.int16]], most: int = MOST) -> Choices:
        """A voicing of theirs, and those that are nearest to the chords before and after it."""
        if len(self) <= most or not others:
            return self.compact(most)
        far = np.sum([movement(self.rows, other[None, :])[:, 0] for other in others], axis=0)
        far[(self.rows == own).all(axis=1)] = -1
        return self.taken(np.sort(np.argsort(far, kind="stable")[:most]))


def choices(by_set: Sequence[tuple[int, Placements]]) -> Choices:
    """Gather all candidates for one place: mask and voicings of each set that might stand there.

    >>> len(choices([(145, np.array([[60, 64, 67], [48, 64, 79]], np.int16))]))
    2
    """
    filled = [(mask, rows) for mask, rows in by_set if len(rows)]
    if not filled:
        return Choices(np.zeros((0, 0), np.int16), np.zeros(0, np.int64), np.zeros(0))
    masks = np.repeat([mask for mask, _ in filled], [len(rows) for _, rows in filled])
    return Choices(np.concatenate([rows for _, rows in filled]), masks.astype(np.int64), np.zeros(len(masks)))


@dataclass(frozen=True)
class Realisation:
    """Chords one after another as voicings.

    Parameters
    ----------
    chords : tuple of PcSet
    voicings : tuple of Voicing
        One for each chord.
    price : float
        By the taste asked for.
    names : tuple of tuple of Spelled
        Names for the notes of each chord, as far as they were given.
    """

    chords: tuple[PcSet, ...]
    voicings: tuple[Voicing, ...]
    price: float
    names: tuple[tuple[Spelled, ...], ...] = ()

    @property
    def movement(self) -> int:
        """Semitones that all voices move together."""
        return int(sum(leading.size for leading in self.leadings))

    @property
    def leadings(self) -> tuple[VoiceLeading, ...]:
        """How the voices go from each chord to the next."""
        names = self.names or ((),) * len(self.chords)
        steps = zip(pairwise(self.voicings), pairwise(names), strict=True)
        return tuple(straight(one, other, names=named) for (one, other), named in steps)


@dataclass(frozen=True)
class Realisations:
    """Realisations, the cheapest first.

    Parameters
    ----------
    found : tuple of Realisation
    cut : bool
        Whether there are more than were asked for.
    left_out : int
        How many candidate voicings were not weighed because there were too many; 0 where the answer is exact.
    """

    found: tuple[Realisation, ...]
    cut: bool
    left_out: int

    def __len__(self) -> int:
        return len(self.found)

    def __iter__(self) -> Iterator[Realisation]:
        return iter(self.found)

    def __getitem__(self, place: int) -> Realisation:
        return self.found[place]


def step_prices(one: Choices, other: Choices, taste: Taste, chords: Palette | None = None) -> Prices:
    """Price of every step from a voicing of one place to a voicing of the next: shape (m, n).

    Raises `InputError` where homes have a price and there is no palette with homes.
    """
    prices = taste.smooth * movement(one.rows, other.rows).astype(np.float64)
    if taste.parallels:
        count = parallels(one.rows, other.rows)
        prices[count > 0] += taste.parallels * count[count > 0]
    if taste.leap is not None:
        prices[farthest(one.rows, other.rows) > taste.leap] = np.inf
    if taste.variety:
        kinds = [catalogue.tni_index()[choice.masks] for choice in (one, other)]
        prices += taste.variety * (kinds[0][:, None] == kinds[1][None, :])
    if taste.home:
        if chords is None:
            raise InputError("Chords without a palette have no homes to keep to.", value=taste.home)
        prices += taste.home * ~chords.share_a_home[np.ix_(chords.at(one.masks), chords.at(other.masks))]
    return prices


Step = Callable[[Choices, Choices], Prices]
"""Prices from each candidate of one place to each of the next."""


def realised(
    places: Sequence[Choices],
    step: Step,
    taste: Taste,
    *,
    limit: int,
    apart: int = 1,
    names: tuple[tuple[Spelled, ...], ...] = (),
) -> Realisations:
    """List ways through the choices, the cheapest first.

    Parameters
    ----------
    places : sequence of Choices
        All candidates of each place.
    step : callable
        Prices from place to place; see `step_prices`.
    taste : Taste
        For the price of each voicing by itself.
    limit : int
        At most so many.
    apart : int
        In how many places each one listed differs from every one before it.
    names : tuple of tuple of Spelled
        Names for the notes, place by place.

    Returns
    -------
    Realisations

    Raises
    ------
    InputError
        Where none are asked for.
    NothingFoundError
        Where there is no way through.
    """
    if limit < 1 or apart < 1:
        raise InputError(f"{limit} answers {apart} apart cannot be given.", value=(limit, apart))
    trellis = _Trellis([place.compact() for place in places], step, taste)
    left_out = sum(place.left_out for place in trellis.places)
    if left_out:
        trellis = _renewed(trellis, places)
    every = (_realisation(trellis.places, walk, price, names) for price, walk in trellis.walks())
    found, cut = unlike(every, limit, _places_apart, apart=apart)
    if not found:
        unweighed = f" {left_out} candidates were not weighed." if left_out else ""
        raise NothingFoundError(
            f"No row of voicings keeps these limits.{unweighed}",
            suggestion="Give more room, allow larger leaps or parallels, or leave notes out.",
        )
    return Realisations(found, cut, sum(place.left_out for place in trellis.places))


@dataclass(frozen=True, eq=False)
class _Trellis:
    places: Sequence[Choices]
    step: Step
    taste: Taste

    @cached_property
    def steps(self) -> list[Prices]:
        return [self.step(one, other) for one, other in pairwise(self.places)]

    def walks(self) -> Iterator[tuple[float, tuple[int, ...]]]:
        return walks([place.priced(self.taste) for place in self.places], self.steps)

    def best(self) -> tuple[float, list[NDArray[np.int16]]]:
        price, walk = next(self.walks(), (inf, ()))
        return price, [place.rows[at] for place, at in zip(self.places, walk, strict=bool(walk))]


def _renewed(trellis: _Trellis, places: Sequence[Choices]) -> _Trellis:
    """Weigh again about the best row, until it gets no cheaper."""
    price, rows = trellis.best()
    for _ in range(ROUNDS):
        if price == inf:
            return trellis
        around = [rows[max(0, i - 1) : i] + rows[i + 1 : i + 2] for i in range(len(rows))]
        near = [place.nearest(row, others) for place, row, others in zip(places, rows, around, strict=True)]
        again = _Trellis(near, trellis.step, trellis.taste)
        cheaper, rows = again.best()
        if cheaper >= price:
            return trellis
        trellis, price = again, cheaper
    return trellis


def _places_apart(one: Realisation, other: Realisation) -> float:
    return sum(a != b for a, b in zip(one.voicings, other.voicings, strict=True))


def _realisation(
    places: Sequence[Choices], walk: tuple[int, ...], price: float, names: tuple[tuple[Spelled, ...], ...]
) -> Realisation:
    at = list(zip(places, walk, strict=True))
    chords = tuple(PcSet.of_mask(int(place.masks[i])) for place, i in at)
    voicings = tuple(Voicing(tuple(place.rows[i].tolist())) for place, i in at)
    return Realisation(chords, voicings, price, names)
