"""All voicings of a set within limits, ranked.

`voicings` sets a chord or a scale in every way that the range allows (`sonorarium.pitch.candidates`), takes out what
breaks a limit, and ranks the rest. The limits and the order are `sonorarium.pitch.terms.Terms`; the result says how
many ways there were, how many each limit took away, how many were left, and gives the best of them with their figures
(`sonorarium.pitch.voiced`). `mode_voicings` sets a whole scale as one chord, mode by mode.

**Figures.** Roughness (Sethares 1993, `sonorarium.pcs.roughness`); unevenness, the standard deviation of the
distances between neighbours (`sonorarium.pitch.spacing`); period, the octaves from the lowest note down to one common
fundamental (Stolzenburg 2015, `sonorarium.pitch.harmonicity`); span; and, where a model is given, movement from it
and difference of profile (`sonorarium.pitch.likeness`).

**Order.** By one figure, or by several of equal weight: each voicing has a place by each figure, the share of the
others that are better, and the mean of its places counts. That is this program's own choice; no scale common to
roughness and semitones exists. Ties go to the narrower voicing, then to the lower.

**Limits** are counted each by itself: a voicing that breaks two limits counts for both. Bass, top and span are
counted among all ways; the others among the ways that those three leave.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from sonorarium.errors import InputError, NothingFoundError
from sonorarium.pcs.chordsymbol import Chord
from sonorarium.pcs.modes import RankedMode, ranked_modes
from sonorarium.pcs.pcset import PcSet
from sonorarium.pcs.reading import Readable, read_set
from sonorarium.pcs.roughness import roughness
from sonorarium.pcs.spelling import Spelled, spell_in
from sonorarium.pcs.stacks import Stacked
from sonorarium.pcs.subject import subject
from sonorarium.pitch.candidates import Compass, Placements, available, placements
from sonorarium.pitch.counting import counts
from sonorarium.pitch.harmonicity import period
from sonorarium.pitch.likeness import movement, profile_difference
from sonorarium.pitch.limits import are_clear, blurred, left_hand
from sonorarium.pitch.spacing import evenness, kinds_of, of_kind
from sonorarium.pitch.terms import Terms, pitch_classes, place_of
from sonorarium.pitch.voiced import Figures, Removal, Voiced, Voicings
from sonorarium.pitch.voicing import Voicing

Bools = NDArray[np.bool_]
Floats = NDArray[np.float64]

ANY = Terms()
"""Any voicing that two hands can hold and that keeps the low-interval limits, smooth and even ones first."""


def voicings(what: str | Readable, *, low: int = 36, high: int = 84, limit: int = 20, terms: Terms = ANY) -> Voicings:
    """Voice a set in every way within limits, and give the best.

    Parameters
    ----------
    what : str or set
        A set in any form that is read; of a class, its best-packed form from C. A chord with a bass (``E/C``) has
        that note in the bass unless the terms say another.
    low, high : int
        Lowest and highest pitch, MIDI numbers 0 to 127.
    limit : int
        How many are given, 1 or more; all are counted.
    terms : Terms
        Everything else that is asked for.

    Returns
    -------
    Voicings

    Raises
    ------
    InputError
        Where the set is not understood or empty, or there are more ways than the terms allow to list.
    NothingFoundError
        Where no voicing is left; it says which limit takes away the most.

    Examples
    --------
    >>> found = voicings("C E Ab B", limit=3, terms=Terms(bass="C", kinds=("drop 2", "spread")))
    >>> found.summary
    'C E Ab B: 320 ways, 7 within the limits, the best 3 shown'
    >>> found[0].text, found[0].hands
    ('C4 A♭4 E5 B5', ((60, 68), (76, 83)))
    """
    if limit < 1:
        raise InputError(f"{limit} voicings cannot be given.", value=limit, suggestion="Ask for 1 or more.")
    task = _task(what, Compass(low, high, span=terms.span), terms)
    sized = [_Sized.of(task, size) for size in task.terms.sizes(task.notes.cardinality)]
    total, removed = sum(s.total for s in sized), _removed(sized)
    left = [s.left for s in sized if len(s.left)]
    if not left:
        raise _nothing(task, total, removed)
    found = tuple(_voiced(task, pitches) for pitches in _ranked(left, terms, limit))
    return Voicings(task.title, found, total, sum(len(rows) for rows in left), removed)


class _Task(NamedTuple):
    """The question, understood."""

    title: str
    notes: PcSet
    names: tuple[Spelled, ...]
    chords: tuple[int, int] | None
    compass: Compass
    terms: Terms


def _task(what: str | Readable, compass: Compass, terms: Terms) -> _Task:
    meant = read_set(what) if isinstance(what, str) else what
    shown = subject(what)
    if not shown.pcset:
        raise InputError("The empty set has no voicings.", value=what, suggestion="Give at least one note.")
    if isinstance(meant, Chord) and meant.bass is not None and terms.bass is None:
        terms = replace(terms, bass=meant.bass.text)
    chords = (meant.lower.mask, meant.upper.mask) if isinstance(meant, Stacked) else None
    if chords and "two chords" in terms.kinds and terms.notes is None:
        terms = replace(terms, notes=sum(chord.bit_count() for chord in chords))  # notes of both are there twice
    title = " ".join(what.split()) if isinstance(what, str) else shown.title
    return _Task(title, shown.pcset, getattr(meant, "spelling", shown.notes), chords, compass, terms)


# --- limits -------------------------------------------------------------------------------------------------------


class _Sized(NamedTuple):
    """All ways with one number of notes: how many, what each limit takes away, and what is left."""

    total: int
    removed: tuple[Removal, ...]
    left: Placements

    @classmethod
    def of(cls, task: _Task, size: int) -> _Sized:
        by_ends = counts(task.notes, size, task.compass, omit=task.terms.omit)
        total = int(by_ends.sum())
        ends = _ends(task)
        removed = [Removal(name, int(by_ends[~allows].sum())) for name, allows in ends.items()]
        allowed = np.logical_and.reduce([np.ones(by_ends.shape, bool), *ends.values()])
        _check_listed(task, int(by_ends[allowed].sum()))
        rows = _within_ends(task, size)
        keeping = _keeping(rows, task)
        removed += [Removal(name, int((~keeps).sum())) for name, keeps in keeping.items()]
        left = rows[np.logical_and.reduce([np.ones(len(rows), bool), *keeping.values()])]
        return cls(total, tuple(removed), left)


def _ends(task: _Task) -> dict[str, Bools]:
    """Which lowest and highest notes bass, top and span allow."""
    pitches, terms = available(task.notes, task.compass), task.terms
    shape, ends = (len(pitches), len(pitches)), {}
    if terms.bass is not None:
        ends[f"{terms.bass} in the bass"] = np.broadcast_to(_is_place(pitches, terms.bass)[:, None], shape)
    if terms.top is not None:
        ends[f"{terms.top} on top"] = np.broadcast_to(_is_place(pitches, terms.top), shape)
    if terms.span is not None:
        ends[f"a span of {terms.span} semitones"] = pitches[None, :] - pitches[:, None] <= terms.span
    return ends


def _is_place(pitches: NDArray[np.signedinteger], name: str) -> Bools:
    pc, pitch = place_of(name)
    return np.asarray(pitches % 12 == pc if pitch is None else pitches == pitch)


def _check_listed(task: _Task, count: int) -> None:
    if count > task.terms.most:
        raise InputError(
            f"There are {count:,} ways to voice {task.title} like that; {task.terms.most:,} can be compared.",
            value=count,
            suggestion="Narrow the range or the span, fix bass or top, or ask for fewer notes.",
        )


def _within_ends(task: _Task, size: int) -> Placements:
    """Every way that bass, top and span allow."""
    terms, compass, bass = task.terms, task.compass, None
    if terms.bass is not None:
        bass, pitch = place_of(terms.bass)
        compass = replace(compass, low=max(compass.low, min(pitch or 0, compass.high)))
    if terms.top is not None and (pitch := place_of(terms.top)[1]) is not None:
        compass = replace(compass, high=min(compass.high, max(pitch, compass.low)))
    rows = placements(task.notes, size, compass, omit=terms.omit, bass=bass)
    for column, name in ((0, terms.bass), (-1, terms.top)):
        if name is not None:
            rows = rows[_is_place(rows[:, column], name)]
    return rows


def _keeping(rows: Placements, task: _Task) -> dict[str, Bools]:
    """Which ways keep each of the other limits."""
    terms, keeping = task.terms, {}
    if terms.keep:
        wanted = pitch_classes(terms.keep)
        sounds = [(rows % 12 == pc).any(axis=1) for pc in wanted]
        keeping[f"{terms.keep} kept"] = np.logical_and.reduce(sounds)
    if terms.double is not None:
        single = [pc for pc in task.notes if pc not in pitch_classes(terms.double)]
        once = [(rows % 12 == pc).sum(axis=1) <= 1 for pc in single]
        keeping[f"doubling {terms.double or 'nothing'}"] = np.logical_and.reduce([np.ones(len(rows), bool), *once])
    if terms.hands is not None:
        limit = f"two hands of {terms.hands.fingers} notes and {terms.hands.reach} semitones"
        keeping[limit] = left_hand(rows, terms.hands) >= 0
    if terms.kinds:
        kinds = [of_kind(rows, kind, chords=task.chords) for kind in terms.kinds]
        keeping[f"spacing {' or '.join(terms.kinds)}"] = np.logical_or.reduce(kinds)
    if terms.clear:
        keeping["the low-interval limits"] = are_clear(rows)
    return keeping


def _removed(sized: list[_Sized]) -> tuple[Removal, ...]:
    """What each limit takes away over all numbers of notes, the strictest first."""
    by_limit: dict[str, int] = {}
    for one in sized:
        for removal in one.removed:
            by_limit[removal.limit] = by_limit.get(removal.limit, 0) + removal.count
    return tuple(sorted((Removal(*item) for item in by_limit.items()), key=lambda removal: -removal.count))


def _nothing(task: _Task, total: int, removed: tuple[Removal, ...]) -> NothingFoundError:
    names = " ".join(name.sign for name in task.names)
    for end, place in (("bass", task.terms.bass), ("top", task.terms.top)):
        if place is not None and place_of(place)[0] not in {name.pc for name in task.names}:
            return NothingFoundError(
                f"{place} cannot be the {end}: it is not in {task.title} ({names}).",
                value=place,
                suggestion=f"Choose one of its notes for the {end}.",
            )
    compass = task.compass
    where = f"between MIDI {compass.low} and {compass.high}"
    if not total:
        return NothingFoundError(
            f"{task.title} cannot be set {where} with that number of notes.",
            value=task.title,
            suggestion="Widen the range, allow omissions, or ask for another number of notes.",
        )
    strictest = "; ".join(f"{removal.limit} takes away {removal.count:,}" for removal in removed[:3] if removal.count)
    return NothingFoundError(
        f"None of the {total:,} ways to set {task.title} {where} keeps every limit: {strictest}.",
        value=removed,
        suggestion=f"Loosen {removed[0].limit} first.",
    )


# --- ranking ------------------------------------------------------------------------------------------------------


def _by_order(rows: Placements, order: str, terms: Terms) -> Floats:
    """What is to be small for voicings of one size."""
    model = terms.like.pitches if terms.like else ()
    measured: Floats | NDArray[np.signedinteger]
    match order:
        case "smooth" | "rough":
            measured = roughness(rows)
        case "even":
            measured = evenness(rows)
        case "harmonic":
            measured = period(rows)
        case "near":
            measured = movement(rows, model)
        case "alike":
            measured = profile_difference(rows, model)
        case "narrow" | "wide":
            measured = rows[:, -1] - rows[:, 0]
        case _:
            measured = rows[:, 0] if order == "low" else rows[:, -1]
    return np.asarray(measured, np.float64) * (-1 if order in ("rough", "wide", "high") else 1)


def _ranked(left: list[Placements], terms: Terms, limit: int) -> list[tuple[int, ...]]:
    measured = [np.concatenate([_by_order(rows, order, terms) for rows in left]) for order in terms.order]
    score = measured[0] if len(measured) == 1 else np.mean([_places(values) for values in measured], axis=0)
    limit = min(limit, len(score))
    candidates = np.flatnonzero(score <= np.partition(score, limit - 1)[limit - 1])
    starts = np.cumsum([0, *(len(rows) for rows in left)])

    def pitches(at: int) -> tuple[int, ...]:
        size = int(np.searchsorted(starts, at, side="right")) - 1
        return tuple(left[size][at - starts[size]].tolist())

    def rank(at: int) -> tuple[float, int, tuple[int, ...]]:
        row = pitches(at)
        return float(score[at]), row[-1] - row[0], row

    return [pitches(at) for at in sorted(candidates.tolist(), key=rank)[:limit]]


def _places(values: Floats) -> Floats:
    """Share of the others that are better; values that agree to a billionth are equal."""
    rounded = values.round(9)
    return np.asarray(np.searchsorted(np.sort(rounded), rounded) / len(values))


def _voiced(task: _Task, pitches: tuple[int, ...]) -> Voiced:
    row, terms = np.array([pitches], np.int16), task.terms
    model = terms.like.pitches if terms.like else None
    figures = Figures(
        float(roughness(row)[0]),
        float(evenness(row)[0]),
        float(period(row)[0]),
        pitches[-1] - pitches[0],
        None if model is None else int(movement(row, model)[0]),
        None if model is None else int(profile_difference(row, model)[0]),
    )
    left = int(left_hand(row, terms.hands)[0]) if terms.hands else -1
    omitted = task.notes - PcSet(pitch % 12 for pitch in pitches)
    return Voiced(
        Voicing(pitches),
        spell_in(task.names, (pitch % 12 for pitch in pitches)),
        figures,
        kinds_of(pitches, chords=task.chords),
        None if left < 0 else left,
        blurred(pitches),
        spell_in(task.names, omitted),
    )


# --- modes --------------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class VoicedMode:
    """A mode of a scale, sounded as one chord.

    Parameters
    ----------
    mode : RankedMode
    tonic : Spelled
        The note in the bass.
    voicings : Voicings
    """

    mode: RankedMode
    tonic: Spelled
    voicings: Voicings


def mode_voicings(
    what: str | Readable,
    *,
    low: int = 36,
    high: int = 84,
    limit: int = 1,
    terms: Terms = ANY,
    alike: bool = False,
) -> tuple[VoicedMode, ...]:
    """Voice a whole scale as one chord, mode by mode from the brightest to the darkest, its tonic in the bass.

    Parameters
    ----------
    what : str or set
        The scale; its notes stay, the bass goes through them. A mode found on several notes is set on one.
    low, high, limit, terms
        As for `voicings`; the terms' bass must be left open.
    alike : bool
        Whether each mode after the first is ranked by how like its distances are to the one before it.

    Returns
    -------
    tuple of VoicedMode

    Raises
    ------
    InputError, NothingFoundError
        As `voicings` does; also where the terms fix a bass.

    Examples
    --------
    >>> for voiced in mode_voicings("C major")[:2]:
    ...     print(voiced.mode.name, voiced.voicings[0].text)
    lydian F4 B4 D5 E5 G5 A5 C6
    major C4 F4 A4 D5 E5 G5 B5
    """
    if terms.bass is not None:
        raise InputError("Each mode has its own tonic in the bass.", value=terms.bass, suggestion="Leave bass open.")
    names = {name.pc: name for name in _task(what, Compass(low, high), terms).names}
    answers: list[VoicedMode] = []
    for mode in ranked_modes(subject(what).pcset):
        tonic = names[mode.tonics[0]]
        asked = replace(terms, bass=tonic.text)
        if alike and answers:
            asked = replace(asked, like=answers[-1].voicings[0].voicing, order=("alike",))
        answers.append(VoicedMode(mode, tonic, voicings(what, low=low, high=high, limit=limit, terms=asked)))
    return tuple(answers)
