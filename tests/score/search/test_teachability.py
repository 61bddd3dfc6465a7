"""Facts of passages where they can be counted by eye, and against plain loops."""

from fractions import Fraction
from pathlib import Path

import music21
import pytest

from sonorarium.score.reading import read_score
from sonorarium.score.score import Score
from sonorarium.score.search.finding import find
from sonorarium.score.search.passage import Passage
from sonorarium.score.search.teachability import WEIGHTS, Teachability
from tests.score.little_scores import little_score

CORPUS = Path(music21.__file__).parent / "corpus"


def facts(parts: dict[str, list[str]], what: str, kind: str) -> Teachability:
    (passage,) = find(little_score(parts), what, kind=kind)  # type: ignore[arg-type]
    assert passage.teachability
    return passage.teachability


def test_weights_sum_to_one() -> None:
    assert sum(WEIGHTS) == 100


def test_the_facts_are_told() -> None:
    parts = {"Flute": ["D5:4 r:2 C5:2 E5:4"], "Viola": ["r:6 G3:6"]}
    assert facts(parts, "C E G", "texture") == Teachability(Fraction(3, 2), 2, 2, 3, 2, False, True, 0)


def test_notes_held_in_and_a_downbeat_are_told() -> None:
    parts = {"Flute": ["F5:2 C5:6"], "Viola": ["B3:4 E4:4"]}
    found = facts(parts, "C E", "chord")
    assert (found.held_in, found.begins_bar, found.after_rest) == (1, True, False)


def test_a_part_that_went_on_is_no_rest_but_another_part_is() -> None:
    line = {"Flute": ["r:4 C5:2 E5:2"], "Viola": ["D3:8"]}
    assert facts(line, "C E", "line").after_rest
    assert not facts({"Flute": ["D5:4 C5:2 E5:2"]}, "C E", "line").after_rest


@pytest.mark.parametrize(
    ("changed", "parts"),
    [
        ({"length_bars": Fraction(1), "notes": 16}, (0.5, 1, 1, 1, 1, 1)),
        ({"length_bars": Fraction(16), "bars": 16}, (0.5, 1, 1, 1, 1, 1)),
        ({"staves": 3}, (1, 0.6667, 1, 1, 1, 1)),
        ({"at_once": 8}, (1, 1, 0.5, 1, 1, 1)),
        ({"notes": 128}, (1, 1, 1, 0.5, 1, 1)),
        ({"begins_bar": False}, (1, 1, 1, 1, 0.5, 1)),
        ({"held_in": 4, "begins_bar": True}, (1, 1, 1, 1, 1, 0.9)),
    ],
)
def test_each_fact_has_its_part(changed: dict[str, int], parts: tuple[float, ...]) -> None:
    best: dict[str, object] = {
        **{"length_bars": Fraction(4), "bars": 4, "staves": 2, "notes": 40, "at_once": 4},
        **{"begins_bar": True, "after_rest": True, "held_in": 0},
    }
    found = Teachability(**(best | changed))  # type: ignore[arg-type]
    assert found.parts == parts
    assert found.total == pytest.approx(sum(w * p for w, p in zip(WEIGHTS, parts, strict=True)) / 100, abs=5e-5)


def counted(score: Score, passage: Passage) -> Teachability:
    """The same facts, counted one by one."""
    notes = [score.notes[row] for row in passage.rows]
    spans = [(max(int(n["onset"]), passage.onset), min(int(n["onset"] + n["duration"]), passage.end)) for n in notes]
    bar = score.bars[score.bar_at(passage.onset)]
    length = Fraction(int(bar["beats"]) * 4 * score.ticks_per_quarter, int(bar["beat_type"]))
    own_parts = {int(n["part"]) for n in notes}
    before = [score.notes[row] for row in score.sounding if score.notes["onset"][row] < passage.onset]
    return Teachability(
        (passage.end - passage.onset) / length,
        passage.bar_indices[1] - passage.bar_indices[0] + 1,
        len({(int(n["part"]), int(n["staff"])) for n in notes}),
        len(notes),
        max(sum(a <= tick < b for a, b in spans) for tick in range(passage.onset, passage.end)),
        score.beat_at(passage.onset) == 1,
        not any(n["onset"] + n["duration"] >= passage.onset and int(n["part"]) in own_parts for n in before),
        sum(int(n["onset"]) < passage.onset for n in notes),
    )


@pytest.mark.parametrize("piece", ["bach/bwv66.6.mxl", "schoenberg/opus19/movement6.mxl"])
def test_real_passages_agree_with_counting(piece: str) -> None:
    score = read_score(CORPUS / piece)
    found = [p for what in ("3-11", "3-9", "3-7") for p in find(score, what)]
    assert len(found) >= 5
    for passage in found:
        assert passage.teachability == counted(score, passage)
