"""Each part of salience on scores where it can be worked out by head."""

import math

import pytest

from sonorarium.pcs.pcset import PcSet
from sonorarium.score.search.finding import find
from sonorarium.score.search.query import Kind
from sonorarium.score.search.salience import WEIGHTS, Salience
from tests.score.little_scores import little_score


def salience(line: str, what: str | PcSet, kind: Kind, *, metre: tuple[int, int] = (4, 4)) -> Salience:
    """Salience of the only passage of a kind."""
    (passage,) = find(little_score({"Flute": [line]}, metre=metre), what, kind=kind)
    return passage.salience


def test_weights_sum_to_one() -> None:
    assert sum(WEIGHTS) == 100


def test_all_at_once_is_most_compact() -> None:
    assert salience("C4+E4+G4:4", "C E G", "chord").compactness == 1
    assert salience("C4+E4+G4:4", "C E G", "line").compactness == 1


def test_waiting_a_bar_halves_compactness() -> None:
    kinds: tuple[Kind, ...] = ("line", "texture")
    for kind in kinds:
        assert salience("C4:2 E4:2 G4:4", "C E G", kind).compactness == 0.5
        assert salience("C4:1 E4:1 G4:2", "C E G", kind, metre=(2, 4)).compactness == 0.5
        assert salience("C4:4 E4:4 C4:4 G4:1/2 E4:1/2 C4:3", "C E G", kind).compactness == 0.8


def test_evenness_is_one_when_all_share_equally() -> None:
    assert salience("C4:1 E4:1 G4:1 r:1", "C E G", "line").evenness == 1
    assert salience("C4:4 r:4", PcSet((0,)), "line").evenness == 1


def test_evenness_is_the_entropy_of_the_shares() -> None:
    quarter, three = 0.25, 0.75
    entropy = -(quarter * math.log2(quarter) + three * math.log2(three))
    assert salience("C4:3 E4:1", "C E", "texture").evenness == pytest.approx(entropy, abs=1e-4)


def test_a_passage_of_one_bar_has_half_the_extent() -> None:
    assert salience("C4:2 E4:2 D4:4", "C E", "line").extent == 0.5
    assert salience("C4:6 E4:6 D4:4", "C E", "line").extent == 0.75
    assert salience("C4:2 E4:1 D4:3", "C E", "line", metre=(6, 8)).extent == 0.5


def test_distinctness_is_the_foreign_share_of_the_neighbourhood() -> None:
    # A bar on each side: C and D before, D and C after; the rest is too far.
    line = "D4:4 C4:1 C4:1 D4:2 C4:2 E4:2 D4:1 C4:3 D4:4"
    assert salience(line, "C E", "line").distinctness == pytest.approx(3 / 8, abs=1e-4)


def test_the_next_item_counts_however_long_ago_it_began() -> None:
    assert salience("C4:4 D4:8 C4:2 E4:2", "C E", "texture").distinctness == 1
    assert salience("C4:4 F#4+C4:8 C4:2 E4:2", "C E", "texture").distinctness == 1


def test_silence_all_around_is_most_distinct() -> None:
    assert salience("r:4 C4:2 E4:2 r:4", "C E", "texture").distinctness == 1
    assert salience("D4:4 r:5 C4:2 E4:2 r:4", "C E", "line").distinctness == 1


def test_other_voices_do_not_touch_the_distinctness_of_a_line() -> None:
    score = little_score({"Flute": ["D4:1 C4:1 E4:1 D4:1"], "Viola": ["C4:4"], "Bass": ["F2:4"]})
    (line,) = find(score, "C E", kind="line")
    assert line.salience.distinctness == 1


def test_metre_is_the_strength_of_the_place_where_it_begins() -> None:
    for lead, strength in (("", 1), ("r:1/2 ", 0.25), ("r:1 ", 0.5), ("r:2 ", 0.75)):
        assert salience(f"{lead}C4:1 E4:1", "C E", "line").metre == strength


def test_the_total_is_the_weighted_mean_rounded_half_up() -> None:
    assert Salience(1, 1, 1, 1, 1).total == 1
    assert Salience(0, 0, 0, 0, 0).total == 0
    assert Salience(0.5714, 1, 0.5, 1, 1).total == 0.7429
    assert Salience(1, 0, 0, 0, 0).total == 0.25
    assert list(Salience(1, 0, 0, 0, 0).as_dict()) == [
        "total",
        "compactness",
        "evenness",
        "extent",
        "distinctness",
        "metre",
    ]


def test_a_chord_held_for_a_bar_outranks_one_touched_in_passing() -> None:
    score = little_score({"Piano": ["C4+E4+G4:1/4 D4+F4+A4:15/4 C4+E4+G4:4"]})
    best, worst = find(score, "C E G", kind="chord")
    assert (best.first.bar, worst.first.bar) == ("2", "1")
