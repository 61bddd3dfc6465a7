"""Chords given to an ensemble: who plays which note.

An ensemble is a list of seats in sections: ``flute, oboe; violin, viola, cello`` has two sections, each written from
the highest seat to the lowest. Every note of a chord goes to some seat. Seats that are left over double: a note at
its own pitch or in another octave; what is doubled, and by whom, is said. A seat rests where it can do neither.

* **Range.** No seat plays what its instrument cannot; what leaves the comfortable register is said.
* **Crossing.** Inside a section no higher seat plays below a lower one, unless that is asked for. Between sections
  it is usual (woodwinds among strings).
* **Choice.** Of all ways the one is taken that strains least, doubles most plainly, and moves each seat least from
  its last note; chord by chord, without looking ahead.
* **Two hands** part each chord as `sonorarium.pitch.limits` does.

Common practice of scoring; the weights are this program's own.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import NamedTuple

import numpy as np

from sonorarium.errors import InputError, NothingFoundError
from sonorarium.pcs.spelling import spell_freely
from sonorarium.pitch.instruments import Instrument, instrument
from sonorarium.pitch.limits import TWO_HANDS, Hands, left_hand
from sonorarium.pitch.movement import note_name
from sonorarium.pitch.voicing import Voicing

ENSEMBLES: Mapping[str, str] = MappingProxyType(
    {
        "two hands": "piano, piano",
        "string quartet": "violin, violin, viola, cello",
        "string orchestra": "violin, violin, viola, cello, double bass",
        "wind quintet": "flute, oboe, clarinet in Bb, horn in F, bassoon",
        "brass quintet": "trumpet in C, trumpet in C, horn in F, trombone, tuba",
        "saxophone quartet": "soprano saxophone, alto saxophone, tenor saxophone, baritone saxophone",
        "choir": "soprano, alto, tenor, bass",
        "small orchestra": (
            "flute, oboe, clarinet in Bb, bassoon; horn in F, horn in F, trumpet in C; "
            "violin, violin, viola, cello, double bass"
        ),
    }
)
"""Ensembles by name: seats from the highest, sections parted by semicolons."""

_ALIASES = {"satb": "choir", "choir satb": "choir", "piano": "two hands"}
_RESTING, _IN_UNISON, _IN_OCTAVES, _SAME_AS_BELOW, _PER_SEMITONE = 40.0, 4.0, 6.0, 6.0, 0.05
_EVERY_NOTE = 10
"""With more notes than these in a chord, the ways to give them out are too many."""


@dataclass(frozen=True)
class Seat:
    """One player or singer, or one hand.

    Parameters
    ----------
    name : str
        As its part is headed: ``violin 2``.
    instrument : Instrument
    section : int
        Section of the ensemble, counted from 0.
    """

    name: str
    instrument: Instrument
    section: int = 0


@dataclass(frozen=True)
class Ensemble:
    """Seats to be written for.

    Parameters
    ----------
    name : str
    seats : tuple of Seat
        From the top of the page; in each section from the highest to the lowest.
    """

    name: str
    seats: tuple[Seat, ...]

    @property
    def is_keyboard(self) -> bool:
        """Whether the seats are two hands on one keyboard."""
        return self.name == "two hands"


def ensemble(text: str) -> Ensemble:
    """Find an ensemble by name, or make one of a list of instruments.

    Parameters
    ----------
    text : str
        A name of `ENSEMBLES`, or instruments with commas between, from the highest down, and semicolons between
        sections.

    Returns
    -------
    Ensemble

    Raises
    ------
    InputError
        Where an instrument is not known.

    Examples
    --------
    >>> [seat.name for seat in ensemble("string quartet").seats]
    ['violin 1', 'violin 2', 'viola', 'cello']
    >>> [(seat.name, seat.section) for seat in ensemble("oboe; viola, cello").seats]
    [('oboe', 0), ('viola', 1), ('cello', 1)]
    """
    key = " ".join(text.lower().split())
    name = _ALIASES.get(key, key)
    listed = ENSEMBLES.get(name, text)
    if name == "two hands":
        piano = instrument("piano")
        return Ensemble(name, (Seat("right hand", piano), Seat("left hand", piano)))
    sections = [[instrument(one) for one in re.split(r"\s*,\s*", part.strip())] for part in listed.split(";")]
    every = [one.name for section in sections for one in section]
    seats, seen = [], dict.fromkeys(every, 0)
    for number, section in enumerate(sections):
        for one in section:
            seen[one.name] += 1
            label = f"{one.name} {seen[one.name]}" if every.count(one.name) > 1 else one.name
            seats.append(Seat(label, one, number))
    return Ensemble(name if name in ENSEMBLES else text, tuple(seats))


@dataclass(frozen=True)
class PlayerLine:
    """What one seat plays.

    Parameters
    ----------
    seat : Seat
    chords : tuple of tuple of int
        Sounding pitches of each chord, ascending; one for a player, several for a hand, none for a rest.
    """

    seat: Seat
    chords: tuple[tuple[int, ...], ...]


@dataclass(frozen=True)
class Scoring:
    """Chords given to an ensemble.

    Parameters
    ----------
    ensemble : Ensemble
    chords : tuple of Voicing
    lines : tuple of PlayerLine
        One for each seat, in their order.
    doublings : tuple of str
        Which notes are doubled where, and by whom.
    strains : tuple of str
        Which notes leave a comfortable register.
    rests : tuple of str
        Which seats rest, since nothing lies for them.
    """

    ensemble: Ensemble
    chords: tuple[Voicing, ...]
    lines: tuple[PlayerLine, ...]
    doublings: tuple[str, ...] = ()
    strains: tuple[str, ...] = ()
    rests: tuple[str, ...] = ()


def score_out(
    chords: Sequence[Voicing],
    players: str | Ensemble,
    *,
    crossing: bool = False,
    octaves: bool = True,
    hands: Hands = TWO_HANDS,
) -> Scoring:
    """Give the voices of chords to an ensemble.

    Parameters
    ----------
    chords : sequence of Voicing
        At least one, none empty.
    players : str or Ensemble
        As `ensemble` reads it.
    crossing : bool
        Whether voices of a section may cross.
    octaves : bool
        Whether seats that are left over may double in another octave; else in unison only.
    hands : Hands
        What two hands can hold.

    Returns
    -------
    Scoring

    Raises
    ------
    InputError
        Where there is no chord, an empty one, or one with more notes than the ensemble has seats.
    NothingFoundError
        Where a chord does not fit the ranges, or the hands.

    Examples
    --------
    >>> scored = score_out([Voicing((48, 55, 64, 72))], "choir")
    >>> [(line.seat.name, line.chords[0]) for line in scored.lines]
    [('soprano', (72,)), ('alto', (64,)), ('tenor', (55,)), ('bass', (48,))]
    """
    played_by = ensemble(players) if isinstance(players, str) else players
    if not chords or not all(chord.pitches for chord in chords):
        raise InputError("There is nothing to give to the players.", value=tuple(chords))
    if played_by.is_keyboard:
        return _for_hands(tuple(chords), played_by, hands)
    given: list[list[_Given]] = []
    for number, chord in enumerate(chords):
        last: list[int | None] = [one.pitch for one in given[-1]] if given else [None] * len(played_by.seats)
        given.append(_Giving(chord.pitches, played_by, last, crossing, octaves).best(number))
    lines = tuple(
        PlayerLine(seat, tuple(_as_chord(chord[at].pitch) for chord in given))
        for at, seat in enumerate(played_by.seats)
    )
    return Scoring(played_by, tuple(chords), lines, *_said(played_by, given))


def _as_chord(pitch: int | None) -> tuple[int, ...]:
    return () if pitch is None else (pitch,)


def _for_hands(chords: tuple[Voicing, ...], played_by: Ensemble, hands: Hands) -> Scoring:
    parted = [int(left_hand(np.array([chord.pitches], np.int16), hands)[0]) for chord in chords]
    for number, (chord, left) in enumerate(zip(chords, parted, strict=True), 1):
        if left < 0:
            raise NothingFoundError(
                f"Two hands cannot hold chord {number} {chord.pitches}: {hands.fingers} notes and {hands.reach} "
                "semitones to a hand.",
                value=chord,
                suggestion="Give the hands a wider reach, or voice the chord closer.",
            )
    right, left_line = (
        tuple(chord.pitches[part:] for chord, part in zip(chords, parted, strict=True)),
        tuple(chord.pitches[:part] for chord, part in zip(chords, parted, strict=True)),
    )
    upper, lower = played_by.seats
    return Scoring(played_by, chords, (PlayerLine(upper, right), PlayerLine(lower, left_line)))


# --- one chord ----------------------------------------------------------------------------------------------------


class _Given(NamedTuple):
    """What a seat plays of a chord, and why: ``note``, ``unison``, ``octave`` or ``rest``."""

    pitch: int | None
    why: str


class _State(NamedTuple):
    """What matters of the seats served so far: the pitch under the next one of the section, and the notes covered."""

    below: int
    covered: int


@dataclass(frozen=True)
class _Giving:
    pitches: tuple[int, ...]
    ensemble: Ensemble
    last: list[int | None]
    crossing: bool
    octaves: bool

    def best(self, number: int) -> list[_Given]:
        """The cheapest way, by dynamic programming over the seats from each section's lowest up."""
        self._check(number)
        order = sorted(range(len(self.ensemble.seats)), key=lambda at: (self.ensemble.seats[at].section, -at))
        reached: dict[_State, tuple[float, tuple[_Given, ...]]] = {_State(-1, 0): (0.0, ())}
        section = -1
        for at in order:
            seat = self.ensemble.seats[at]
            if seat.section != section or self.crossing:
                reached, section = _forget(reached), seat.section
            reached = self._served(reached, at)
        whole = [item for state, item in reached.items() if state.covered == (1 << len(self.pitches)) - 1]
        if not whole:
            raise self._misfit(number)
        given = min(whole, key=lambda item: item[0])[1]
        return [one for _, one in sorted(zip(order, given, strict=True), key=lambda pair: pair[0])]

    def _served(
        self, reached: dict[_State, tuple[float, tuple[_Given, ...]]], at: int
    ) -> dict[_State, tuple[float, tuple[_Given, ...]]]:
        following: dict[_State, tuple[float, tuple[_Given, ...]]] = {}
        options = list(self._options(at))
        for state, (cost, given) in reached.items():
            for pitch, bit, extra in options:
                if pitch is not None and pitch < state.below:
                    continue
                is_new = bool(bit & ~state.covered)
                why = "rest" if pitch is None else "note" if is_new else "unison" if bit else "octave"
                price = cost + extra + (_IN_UNISON if why == "unison" else 0)
                price += _SAME_AS_BELOW if pitch == state.below else 0
                new = _State(state.below if pitch is None else pitch, state.covered | bit)
                if new not in following or price < following[new][0]:
                    following[new] = (price, (*given, _Given(pitch, why)))
        return following

    def _options(self, at: int) -> Iterator[tuple[int | None, int, float]]:
        """What a seat may play: pitch, the note of the chord that it covers as a bit, and what that costs."""
        player, last = self.ensemble.seats[at].instrument, self.last[at]

        def cost(pitch: int) -> float:
            return player.strain(pitch) + (0 if last is None else abs(pitch - last) * _PER_SEMITONE)

        for note, pitch in enumerate(self.pitches):
            if player.can_play(pitch):
                yield pitch, 1 << note, cost(pitch)
        if self.octaves:
            pcs = {pitch % 12 for pitch in self.pitches}
            for pitch in range(player.easy[0], player.easy[1] + 1):
                if pitch % 12 in pcs and pitch not in self.pitches:
                    yield pitch, 0, cost(pitch) + _IN_OCTAVES + self._beyond(pitch) * 0.5
        yield None, 0, _RESTING

    def _beyond(self, pitch: int) -> int:
        """Semitones by which a doubling leaves the compass of the chord."""
        return max(self.pitches[0] - pitch, pitch - self.pitches[-1], 0)

    def _check(self, number: int) -> None:
        notes, seats = len(self.pitches), len(self.ensemble.seats)
        if notes > min(seats, _EVERY_NOTE):
            raise InputError(
                f"Chord {number + 1} has {notes} notes; {self.ensemble.name} has {seats} seats, one note each.",
                value=self.pitches,
                suggestion=f"Leave out {notes - min(seats, _EVERY_NOTE)}, or add seats; {_EVERY_NOTE} notes at most.",
            )

    def _misfit(self, number: int) -> NothingFoundError:
        seats = self.ensemble.seats
        alone = [p for p in self.pitches if not any(seat.instrument.can_play(p) for seat in seats)]
        reason = f"no seat reaches {alone}" if alone else "the ranges leave no way without crossing voices"
        return NothingFoundError(
            f"Chord {number + 1} {self.pitches} does not lie for {self.ensemble.name}: {reason}.",
            value=self.pitches,
            suggestion="Voice it elsewhere, or allow crossing.",
        )


def _forget(
    reached: dict[_State, tuple[float, tuple[_Given, ...]]],
) -> dict[_State, tuple[float, tuple[_Given, ...]]]:
    """Start from below again: a new section, or voices that may cross."""
    best: dict[_State, tuple[float, tuple[_Given, ...]]] = {}
    for state, item in reached.items():
        fresh = _State(-1, state.covered)
        if fresh not in best or item[0] < best[fresh][0]:
            best[fresh] = item
    return best


def _named(pitch: int, chord: list[_Given]) -> str:
    """Name a pitch by the chord in which it stands."""
    pcs = tuple(sorted({one.pitch % 12 for one in chord if one.pitch is not None}))
    names = dict(zip(pcs, spell_freely(pcs), strict=True))
    return note_name(pitch, names[pitch % 12], pitched=True)


def _said(played_by: Ensemble, given: list[list[_Given]]) -> tuple[tuple[str, ...], tuple[str, ...], tuple[str, ...]]:
    """Doublings, strains and rests in words."""
    doublings, strains, rests = [], [], []
    for number, chord in enumerate(given, 1):
        for seat, (pitch, why) in zip(played_by.seats, chord, strict=True):
            if pitch is None:
                rests.append(f"chord {number}: {seat.name} rests")
                continue
            if why != "note":
                way = "in unison" if why == "unison" else "in another octave"
                doublings.append(f"chord {number}: {seat.name} doubles {_named(pitch, chord)} {way}")
            if seat.instrument.strain(pitch):
                where = seat.instrument.register(pitch)
                strains.append(f"chord {number}: {_named(pitch, chord)} is {where} for {seat.name}")
    return tuple(doublings), tuple(strains), tuple(rests)
