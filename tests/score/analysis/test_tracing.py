"""Tracings of pieces whose collections are known: made by rule, and the demo pieces.

The numbers of the model were fitted on other pieces (`bench.tracing`, seeds from 100,000).
"""

from __future__ import annotations

from fractions import Fraction
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bench.analyses import chorales
from bench.composing import BAR_TICKS, Piece, Section, compose, random_sections
from bench.tracing import key_score
from sonorarium.errors import InputError
from sonorarium.pcs.collection import collection
from sonorarium.pcs.families import default_family, read_family
from sonorarium.pcs.family import Family
from sonorarium.pcs.pcset import PcSet
from sonorarium.score.analysis.span import Span
from sonorarium.score.analysis.tracing import trace, trace_score
from sonorarium.score.reading import read_score
from sonorarium.score.score import BAR, NOTE, Score
from tests.score.writing import attributes, measure, note, read

DEMO = Path(__file__).parents[3] / "demo" / "pieces"
WHOLE_TONE = PcSet((0, 2, 4, 6, 8, 10))
BLACK_KEYS = PcSet((1, 3, 6, 8, 10))
DEFAULT_KINDS = '"major", "acoustic", "harmonic minor", "harmonic major", "octatonic semitone-tone", "hexatonic third-semitone", "whole tone"'  # noqa: E501
HALF_BAR = BAR_TICKS // 2


@cache
def with_scale(name: str) -> Family:
    """The default kinds and one more."""
    return read_family(f'name = "with {name}"\nscales = [{DEFAULT_KINDS}, "{name}"]')


def masks(spans: list[Span]) -> list[int | None]:
    return [span.collection.mask if span.collection else None for span in spans]


def boundaries(spans: list[Span]) -> list[int]:
    return [span.onset for span in spans[1:]]


def in_sections(sections: list[Section], *, seed: int, misprints: int = 0) -> Piece:
    return compose(sections, seed=seed, misprints=misprints)


# Whole tone, pentatonic for six bars, whole tone, with a dozen foreign notes in sixty bars.
VEILED = [Section.of(WHOLE_TONE, 40), Section.of(BLACK_KEYS, 6), Section.of(WHOLE_TONE, 14)]


@pytest.mark.parametrize("seed", [1, 2, 3, 4])
def test_six_pentatonic_bars_between_whole_tones_are_found_to_half_a_bar(seed: int) -> None:
    piece = in_sections(VEILED, seed=seed, misprints=12)
    spans = trace(piece.score, with_scale("major pentatonic"))
    assert masks(spans) == [WHOLE_TONE.mask, BLACK_KEYS.mask, WHOLE_TONE.mask]
    assert np.abs(np.array(boundaries(spans)) - [40 * BAR_TICKS, 46 * BAR_TICKS]).max() <= HALF_BAR
    assert [span.label for span in spans] == ["6-35", "5-35", "6-35"]


@pytest.mark.parametrize("seed", [1, 2, 3, 4])
def test_a_family_without_pentatonics_says_undecided_and_between_which(seed: int) -> None:
    """The black keys lie in three diatonic scales and one acoustic; nothing in the bars tells which."""
    spans = trace(in_sections(VEILED, seed=seed, misprints=12).score)
    assert [span.verdict for span in spans] == ["decided", "undecided", "decided"]
    middle = spans[1]
    assert middle.collection is None
    assert middle.label == "5-35"
    assert {member.mask for member in middle.candidates} == {
        member.mask for member in default_family().members_holding(BLACK_KEYS)
    }
    assert np.abs(np.array(boundaries(spans)) - [40 * BAR_TICKS, 46 * BAR_TICKS]).max() <= HALF_BAR


@pytest.mark.parametrize("seed", [1, 2, 3, 4, 5, 6])
def test_octatonics_are_told_apart_in_the_middle_of_a_phrase(seed: int) -> None:
    """From one to another of the three after two and a half bars, which is no downbeat."""
    first, second, third = (collection(f"{root} octatonic semitone-tone").pcset for root in ("C", "C#", "D"))
    sections = [Section(first.mask, 22), Section(second.mask, 18), Section(third.mask, 20)]
    spans = trace(in_sections(sections, seed=seed).score)
    assert [span.nearest.mask if span.nearest else 0 for span in spans] == [first.mask, second.mask, third.mask]
    assert [span.verdict for span in spans].count("decided") >= 2
    assert np.abs(np.array(boundaries(spans)) / BAR_TICKS - [5.5, 10]).max() <= 0.5


# Melody and bass of a plain song in C, in eighths and halves: each bar has a chromatic neighbour or passing note.
SONG = (
    "C5 B4 C5 D5 E5 D#5 E5 C5|A4 G#4 A4 B4 C5 B4 A4 G4|F4 E4 F4 F#4 G4 A4 B4 G4|C5 C#5 D5 B4 C5 G4 E4 C4|"
    "D5 C#5 D5 E5 F5 E5 D5 B4|C5 B4 C5 E5 G5 F#5 G5 E5|F5 E5 D5 C5 B4 A#4 B4 D5|C5 B4 C5 D5 C5 G4 E4 C4"
)
BASS = "C3 E3|F3 C3|D3 G3|C3 C3|G3 G3|C3 E3|F3 G3|C3 C3"


def test_a_plain_song_stays_on_one_collection_through_chromatic_neighbours() -> None:
    bars = [bar.split() for bar in SONG.split("|")]
    melody = "".join(
        measure((attributes(2) if i == 0 else "") + "".join(note(n, 1) for n in bar), str(i + 1))
        for i, bar in enumerate(bars)
    )
    bass = "".join(
        measure((attributes(2) if i == 0 else "") + "".join(note(n, 4) for n in bar.split()), str(i + 1))
        for i, bar in enumerate(BASS.split("|"))
    )
    (span,) = trace(read(melody, bass))
    assert str(span.collection) == "C diatonic"
    assert span.foreign == PcSet((1, 3, 6, 8, 10))
    assert span.centre is not None
    assert span.centre.note is not None
    assert span.centre.note.text == "C"
    assert span.bars == ("1", "8")


@pytest.mark.parametrize("known", [False, True])
def test_three_notes_are_not_claimed_as_six(known: bool) -> None:
    """An augmented triad alone lies in many collections; amid a whole-tone piece it belongs to what surrounds it."""
    triad = PcSet((0, 4, 8))
    around = [Section.of(WHOLE_TONE, 8)] if known else []
    spans = trace(compose([*around, Section.of(triad, 4), *around], seed=5).score)
    assert len(spans) == 1
    assert spans[0].verdict == ("decided" if known else "undecided")
    assert spans[0].heard == (WHOLE_TONE if known else triad)


@pytest.mark.parametrize("name", ["D double harmonic", "E neapolitan minor"])
def test_a_scale_that_the_family_lacks_is_none_of_these(name: str) -> None:
    scale = collection(name).pcset
    (span,) = trace(compose([Section.of(scale, 24)], seed=9, misprints=5).score)
    assert span.verdict == "none of these"
    assert span.collection is None
    assert span.heard == scale
    assert span.nearest is not None
    assert (span.nearest.mask & scale.mask).bit_count() == 6


def test_a_chromatic_piece_is_none_of_these() -> None:
    (span,) = trace(compose([Section(0xFFF, 80)], seed=3).score)
    assert (span.verdict, span.heard.cardinality) == ("none of these", 12)


@pytest.mark.parametrize("seed", range(300, 312))
def test_generated_pieces_are_read_well(seed: int) -> None:
    """Nine tenths of the time at least, in three voices with three notes in a hundred foreign."""
    family = default_family()
    sections = random_sections(family.masks.tolist(), np.random.default_rng(seed), count=4)
    piece = compose(sections, seed=seed, noise=0.03)
    right = sum(
        max(0, min(end, span.end) - max(onset, span.onset))
        for onset, end, mask in piece.truth
        for span in trace(piece.score)
        if span.nearest and span.nearest.mask == mask
    )
    assert right / piece.score.end > 0.85


# The demo pieces, whose collections stand in demo/PIECES.md: printed bars in which each span begins and ends.


@pytest.mark.parametrize(
    ("file", "expected"),
    [
        ("1-saffron-evening", [("D double harmonic", "1", "39")]),
        ("2-bare-feet-on-warm-stone", [("B double harmonic", "1", "32")]),
        (
            "3-the-well",
            [("C harmonic minor", "1", "8"), ("G double harmonic", "9", "17"), ("C harmonic minor", "18", "28")],
        ),
        (
            "5-clockwork-moth",
            [("C# octatonic semitone-tone", "1", "12"), ("Bb acoustic", "13", "24"),
             ("C# octatonic semitone-tone", "25", "39")],
        ),
        (
            "6-after-the-lamps",
            [("C acoustic", "0", "8"), ("D harmonic major", "9", "16"), ("D double harmonic", "17", "30")],
        ),
    ],
)  # fmt: skip
def test_demo_pieces_are_read_as_written(file: str, expected: list[tuple[str, str, str]]) -> None:
    spans = trace(read_score(DEMO / f"{file}.musicxml"), with_scale("double harmonic"))
    assert masks(spans) == [collection(name).mask for name, _, _ in expected]
    for span, (_, first, last) in zip(spans, expected, strict=True):
        assert abs(int(span.bars[0]) - int(first)) <= 1
        assert abs(int(span.bars[1]) - int(last)) <= 1


def test_the_default_family_says_that_the_double_harmonic_is_none_of_these() -> None:
    (span,) = trace(read_score(DEMO / "1-saffron-evening.musicxml"))
    assert span.verdict == "none of these"
    assert span.label == "7-22"
    assert "none of these, nearest" in span.sentence


def test_collection_and_centre_are_two_things() -> None:
    """Piece 2: the fourth mode of B double harmonic, whose final is E."""
    (span,) = trace(read_score(DEMO / "2-bare-feet-on-warm-stone.musicxml"), with_scale("double harmonic"))
    assert span.collection is not None
    assert span.collection.root.text == "B"
    assert span.centre is not None
    assert span.centre.note is not None
    assert span.centre.note.text == "E"


# Analyses by hand: keys of chorales by Bach, by Andrew Jones and Dmitri Tymoczko, carried by a registry package
# (`bench.analyses`). The chorales of even number served to fit the model.


def test_the_traced_collection_agrees_with_the_local_key() -> None:
    pieces = chorales(range(1, 21, 2))
    assert len(pieces) == 8
    signatures, tonics = np.mean([key_score(piece) for piece in pieces], axis=0)
    assert signatures > 0.65
    assert tonics > 0.5


# Laws


@given(st.integers(0, 10**6), st.integers(1, 4), st.floats(0, 0.3), st.integers(1, 5))
@settings(max_examples=25, deadline=None)
def test_spans_tile_the_piece_and_their_numbers_are_in_range(
    seed: int, voices: int, noise: float, count: int
) -> None:
    family = default_family()
    sections = random_sections(family.masks.tolist(), np.random.default_rng(seed), count=count)
    piece = compose(sections, seed=seed, voices=voices, noise=noise)
    tracing = trace_score(piece.score)
    spans = tracing.spans
    assert [spans[0].onset, *[s.end for s in spans]] == [*[s.onset for s in spans], piece.score.end]
    assert tracing.posteriors.min() >= 0
    assert np.allclose(tracing.posteriors.sum(axis=1), 1)
    for span in spans:
        assert 0 <= span.posterior <= 1
        assert 0 <= span.inside <= 1
        assert not span.heard & span.foreign
        odds = [reading.log_odds for reading in span.readings]
        assert odds[0] == 0
        assert odds == sorted(odds, reverse=True)
        if span.collection:
            assert span.heard.mask & ~span.collection.mask == 0
            assert span.foreign.mask & span.collection.mask == 0
        assert span.as_dict()["bars"] == list(span.bars)


@given(st.integers(0, 10**6), st.integers(1, 11))
@settings(max_examples=12, deadline=None)
def test_a_piece_transposed_is_read_transposed(seed: int, by: int) -> None:
    """The model knows no pitch class better than another."""
    sections = random_sections(default_family().masks.tolist(), np.random.default_rng(seed), count=3)
    score = compose(sections, seed=seed).score
    notes = score.notes.copy()
    notes["pitch"] += by
    moved = Score(notes, score.bars, score.parts, score.ticks_per_quarter)
    plain, higher = trace(score), trace(moved)
    assert [(s.onset, s.verdict) for s in higher] == [(s.onset, s.verdict) for s in plain]
    assert [s.heard.mask for s in higher] == [s.heard.transposed(by).mask for s in plain]


def test_the_same_notes_are_spelled_as_on_the_page() -> None:
    names = {"sharp": "F# G# A# B C# D# E# F#", "flat": "Gb Ab Bb Cb Db Eb F Gb"}
    for way, row in names.items():
        bar = "".join(note(f"{name}4", 1) for name in row.split())
        score = read(measure(attributes(2) + bar) + measure(bar, "2") + measure(bar, "3"))
        (span,) = trace(score)
        assert span.collection is not None
        assert span.collection.root.text == {"sharp": "F#", "flat": "Gb"}[way]


def test_places_are_said_by_printed_bars_and_beats() -> None:
    sections = [Section(collection("C major").mask, 22), Section(collection("F# major").mask, 18)]
    one, two = trace(compose(sections, seed=4).score)
    assert one.bars == ("1", "6")
    assert one.beats == (Fraction(1), two.beats[0])
    assert two.bars == ("6", "10")
    assert two.beats[1] == 5


def test_nothing_that_sounds_is_silent() -> None:
    empty = Score(np.zeros(0, NOTE), np.array([(0, 4, "1", 4, 4, 0)], BAR), (), 1)
    (span,) = trace(empty)
    assert (span.verdict, span.collection, span.readings, span.centre) == ("silent", None, (), None)
    assert span.sentence == "bar 1: nothing sounds."


def test_a_score_without_length_has_no_spans() -> None:
    assert trace(Score(np.zeros(0, NOTE), np.zeros(0, BAR), (), 1)) == []


def test_a_score_without_bars_is_refused() -> None:
    notes = np.zeros(1, NOTE)
    notes["duration"], notes["pitch"] = 4, 60
    with pytest.raises(InputError, match="has notes but no bars"):
        trace(Score(notes, np.zeros(0, BAR), (), 1))


def test_one_part_can_be_traced_alone() -> None:
    upper = "".join(measure((attributes(1) if i == 0 else "") + note("C5", 4), str(i + 1)) for i in range(2))
    lower = "".join(measure((attributes(1) if i == 0 else "") + note("F#2", 4), str(i + 1)) for i in range(2))
    assert [span.heard for span in trace(read(upper, lower), parts=("Part 2",))] == [PcSet((6,))]
    with pytest.raises(InputError, match="no part named 'Harp'"):
        trace(read(upper, lower), parts=("Harp",))
