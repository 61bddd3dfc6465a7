"""Voicings against a plain listing of all combinations, each limit by itself and all together."""

from __future__ import annotations

from itertools import combinations
from typing import Any

import numpy as np
import pytest

from sonorarium.errors import InputError, NothingFoundError
from sonorarium.pcs.modes import ranked_modes
from sonorarium.pcs.pcset import PcSet
from sonorarium.pcs.roughness import SETHARES, curve, roughness
from sonorarium.pcs.subject import subject
from sonorarium.pitch.harmonicity import period
from sonorarium.pitch.limits import Hands, blurred, left_hand
from sonorarium.pitch.spacing import evenness, kinds_of
from sonorarium.pitch.terms import Terms
from sonorarium.pitch.voicing import Voicing
from sonorarium.pitch.voicings import mode_voicings, voicings

PCS = (0, 4, 8, 11)
FREE = Terms(hands=None, clear=False)


def by_hand(sizes: range, low: int, high: int, omit: int = 0) -> list[tuple[int, ...]]:
    pool = [pitch for pitch in range(low, high + 1) if pitch % 12 in PCS]
    every = (row for size in sizes for row in combinations(pool, size))
    return [row for row in every if len(set(PCS) - {pitch % 12 for pitch in row}) <= omit]


def doubled(row: tuple[int, ...]) -> set[int]:
    pcs = [pitch % 12 for pitch in row]
    return {pc for pc in pcs if pcs.count(pc) > 1}


CASES: dict[str, tuple[dict[str, Any], Any]] = {
    "nothing asked": ({}, lambda row: True),
    "bass": ({"bass": "E"}, lambda row: row[0] % 12 == 4),
    "bass at its place": ({"bass": "E3"}, lambda row: row[0] == 52),
    "top": ({"top": "B"}, lambda row: row[-1] % 12 == 11),
    "top at its place": ({"top": "Ab4"}, lambda row: row[-1] == 68),
    "span": ({"span": 15}, lambda row: row[-1] - row[0] <= 15),
    "more notes": ({"notes": (4, 6)}, lambda row: True),
    "no doubling": ({"notes": 5, "double": "C E"}, lambda row: doubled(row) <= {0, 4}),
    "kept": ({"omit": 2, "keep": "E Ab"}, lambda row: {4, 8} <= {pitch % 12 for pitch in row}),
    "hands": ({"hands": Hands(10, 3)}, lambda row: left_hand(np.array([row]), Hands(10, 3))[0] >= 0),
    "spacing": ({"kinds": ("close", "drop 3")}, lambda row: bool({"close", "drop 3"} & set(kinds_of(row)))),
    "clear": ({"clear": True}, lambda row: not blurred(row)),
    "several": (
        {"notes": 5, "bass": "C", "span": 20, "clear": True, "kinds": ("open",)},
        lambda row: row[0] % 12 == 0 and row[-1] - row[0] <= 20 and not blurred(row) and "open" in kinds_of(row),
    ),
}


@pytest.mark.parametrize(("asked", "keeps"), CASES.values(), ids=CASES.keys())
def test_all_and_only_those_that_keep_the_terms_are_found(asked: dict[str, Any], keeps: Any) -> None:
    terms = Terms(**({"hands": None, "clear": False} | asked))
    every = by_hand(terms.sizes(4), 45, 73, terms.omit)
    wanted = {row for row in every if keeps(row)}
    found = voicings("C E Ab B", low=45, high=73, limit=100_000, terms=terms)
    assert {voiced.pitches for voiced in found} == wanted
    assert (found.total, found.kept) == (len(every), len(wanted))
    assert len(found.removed) == len(set(asked) - {"notes", "omit"})
    if len(found.removed) == 1:
        assert found.removed[0].count == len(every) - len(wanted)


@pytest.mark.parametrize(
    ("order", "figure"),
    [
        ("smooth", lambda row: float(roughness(row))),
        ("rough", lambda row: -float(roughness(row))),
        ("even", lambda row: float(evenness(np.array([row]))[0])),
        ("harmonic", lambda row: float(period(row))),
        ("narrow", lambda row: row[-1] - row[0]),
        ("wide", lambda row: row[0] - row[-1]),
        ("low", lambda row: row[0]),
        ("high", lambda row: -row[-1]),
        ("near", lambda row: sum(abs(a - b) for a, b in zip(row, (48, 55, 64, 71), strict=True))),
        ("alike", lambda row: int(np.abs(np.diff(row) - np.diff((48, 55, 64, 71))).sum())),
    ],
)
def test_the_best_come_first(order: str, figure: Any) -> None:
    terms = Terms(hands=None, clear=False, order=(order,), like=Voicing((48, 55, 64, 71)))
    found = voicings("C E Ab B", low=45, high=73, limit=25, terms=terms)
    measured = sorted((round(figure(row), 9), row[-1] - row[0], row) for row in by_hand(range(4, 5), 45, 73))
    assert [round(figure(voiced.pitches), 9) for voiced in found] == [value for value, *_ in measured[:25]]
    assert found.is_cut


def test_several_figures_weigh_alike() -> None:
    rows = by_hand(range(4, 5), 45, 73)
    measured = (roughness(rows), evenness(np.array(rows)))
    places = [[(np.round(values, 9) < round(float(v), 9)).mean() for v in values] for values in measured]
    score = dict(zip(rows, np.mean(places, axis=0), strict=True))
    found = voicings("C E Ab B", low=45, high=73, limit=10, terms=FREE)
    assert [score[voiced.pitches] for voiced in found] == pytest.approx(sorted(score.values())[:10])


def test_each_result_says_its_figures() -> None:
    best = voicings("C E Ab B", terms=Terms(bass="C3", like=Voicing((48, 55, 64, 71)), order=("near",)))[0]
    figures = best.figures
    assert figures.roughness == float(roughness(best.pitches))
    assert figures.span == best.pitches[-1] - best.pitches[0]
    assert (figures.movement, figures.profile) == (1, 2)
    assert (best.text, best.hands) == ("C3 A♭3 E4 B4", ((48, 56), (64, 71)))
    assert best.kinds == ("open", "spread", "drop 2+4")


def test_when_nothing_is_left_the_strictest_limit_is_named() -> None:
    with pytest.raises(NothingFoundError) as nothing:
        voicings("C E G B", terms=Terms(kinds=("fifths",), bass="C2", span=20))
    assert str(nothing.value).startswith(
        "None of the 320 ways to set C E G B between MIDI 36 and 84 keeps every limit: "
        "C2 in the bass takes away 256; a span of 20 semitones takes away 252;"
    )
    assert str(nothing.value).endswith("Loosen C2 in the bass first.")


def test_a_range_without_room_is_said() -> None:
    with pytest.raises(NothingFoundError, match="cannot be set between MIDI 60 and 63 with that number of notes"):
        voicings("C E G", low=60, high=63)


def test_too_many_ways_are_refused_before_they_are_listed() -> None:
    with pytest.raises(InputError, match=r"There are [\d,]+ ways to voice C major like that; 2,000,000 can be"):
        voicings("C major", low=21, high=108, terms=Terms(notes=12))


@pytest.mark.parametrize("limit", [0, -3])
def test_none_cannot_be_asked_for(limit: int) -> None:
    with pytest.raises(InputError, match="voicings cannot be given"):
        voicings("C E G", limit=limit)


def test_the_empty_set_has_no_voicings() -> None:
    with pytest.raises(InputError, match="The empty set has no voicings"):
        voicings(PcSet())


def test_a_chord_brings_its_bass_and_two_chords_their_hands() -> None:
    assert all(voiced.pitches[0] % 12 == 0 for voiced in voicings("E/C", limit=50))
    for voiced in voicings("Ab over C7", terms=Terms(kinds=("two chords",)), limit=10):
        assert {pitch % 12 for pitch in voiced.pitches[:4]} == {0, 4, 7, 10}
        assert {pitch % 12 for pitch in voiced.pitches[4:]} == {8, 0, 3}


def test_names_come_from_the_collection() -> None:
    best = voicings("D double harmonic", limit=1)[0]
    assert {name.text for name in best.names} == {"D", "Eb", "F#", "G", "A", "Bb", "C#"}


def test_omitted_notes_are_named() -> None:
    found = voicings("C E Ab B", limit=200, terms=Terms(omit=1, notes=3, keep="C E"))
    assert {voiced.omitted[0].text for voiced in found} == {"Ab", "B"}


def test_modes_come_from_the_brightest_to_the_darkest_with_their_tonics_below() -> None:
    scale = "D double harmonic"
    voiced = mode_voicings(scale)
    assert [one.mode for one in voiced] == list(ranked_modes(subject(scale).pcset))
    assert [one.tonic.text for one in voiced] == ["Eb", "Bb", "G", "D", "A", "F#", "C#"]
    for one in voiced:
        pitches = one.voicings[0].pitches
        assert pitches[0] % 12 == one.tonic.pc
        assert {pitch % 12 for pitch in pitches} == set(subject(scale).pcset)
    with pytest.raises(InputError, match="Each mode has its own tonic in the bass"):
        mode_voicings(scale, terms=Terms(bass="D"))


def test_modes_may_be_spaced_alike() -> None:
    model, *others = mode_voicings("C major", alike=True)
    assert len(others) == 6
    assert all(one.voicings[0].figures.profile is not None for one in others)
    assert model.voicings[0].figures.profile is None


@pytest.mark.parametrize("just", [6 / 5, 5 / 4, 4 / 3, 3 / 2, 5 / 3, 2])
def test_smoothness_has_its_minima_at_the_just_intervals(just: float) -> None:
    # William Sethares, Local consonance and the relationship between timbre and scale, JASA 94 (1993), the curve for
    # harmonic tones on 500 Hz: minima at these ratios (and at some with 7).
    ratios = np.arange(1.01, 2.2, 0.0005)
    values = curve(SETHARES, 500, ratios)
    minima = ratios[1:-1][(values[1:-1] < values[:-2]) & (values[1:-1] < values[2:])]
    assert np.abs(minima - just).min() < 0.002
