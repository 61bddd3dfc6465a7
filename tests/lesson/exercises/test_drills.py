"""Drills: seeds, levels, numbers, plain data, and what is refused."""

from __future__ import annotations

import json
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path
from random import Random

import pytest

from sonorarium.errors import InputError, NothingFoundError
from sonorarium.lesson.exercises.drills import KINDS, LEVELS, Request, as_data, make_drill, of_level, shares
from sonorarium.pcs.subject import subject

DEMO = Path(__file__).parents[3] / "demo"
PIECES = [(f"pieces/{path.name}", path) for path in sorted((DEMO / "pieces").glob("*.musicxml"))]
SCALE = "D double harmonic"


def test_the_same_seed_gives_the_same_drill_and_another_seed_another() -> None:
    request = Request(seed=11, level=3)
    one, same = (json.dumps(as_data(make_drill(SCALE, request, PIECES))) for _ in range(2))
    assert one == same
    assert one != json.dumps(as_data(make_drill(SCALE, Request(seed=12, level=3), PIECES)))


def test_a_kind_is_the_same_whatever_stands_beside_it() -> None:
    alone = make_drill(SCALE, Request(("class",), count=2, seed=4))
    beside = make_drill(SCALE, Request(("mode", "class"), count=4, seed=4))
    assert alone.sections[0].exercises == beside.sections[1].exercises


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("name", [SCALE, "C major pentatonic"])
def test_difficulty_never_falls_from_level_to_level_and_rises_in_the_mean(kind: str, name: str) -> None:
    bank = list(KINDS[kind].make(subject(name), (), Random("1")))
    levels = [[e.difficulty for e in of_level(bank, level)] for level in range(1, LEVELS + 1)]
    assert sum(map(len, levels)) == len(bank)
    for below, above in pairwise(levels):
        assert max(below) <= min(above)
    means = [sum(level) / len(level) for level in levels]
    assert means == sorted(means) and means[0] < means[-1]


@pytest.mark.parametrize("level", range(1, LEVELS + 1))
def test_every_kind_is_made_at_every_level_the_easiest_first(level: int) -> None:
    drill = make_drill(SCALE, Request(count=27, level=level, seed=level), PIECES)
    assert drill.remarks == () or all("'partner'" in remark for remark in drill.remarks)
    assert [section.kind for section in drill.sections] == list(KINDS)
    assert [number for number, _ in drill.exercises] == list(range(1, len(drill.exercises) + 1))
    for section in drill.sections:
        found = [exercise.difficulty for exercise in section.exercises]
        assert found == sorted(found)
        assert len({exercise.answer for exercise in section.exercises}) == len(found)


def test_the_right_letter_wanders() -> None:
    letters = {
        exercise.right_letter
        for seed in range(6)
        for _, exercise in make_drill(SCALE, Request(("subset",), count=5, seed=seed)).exercises
    }
    assert letters == set("abcd")


def test_plain_data_holds_the_whole_drill() -> None:
    drill = make_drill(SCALE, Request(count=18, seed=2), PIECES)
    data = json.loads(json.dumps(as_data(drill)))
    assert [one["number"] for one in data["exercises"]] == [number for number, _ in drill.exercises]
    for one, (_, exercise) in zip(data["exercises"], drill.exercises, strict=True):
        right = [choice["letter"] for choice in one["choices"] if choice["right"]]
        assert right == ([one["answer"]["letter"]] if one["choices"] else [])
        assert bool(one["choices"]) != bool(one["write"])
        total = one["difficulty"]["work"] + one["difficulty"]["closeness"]
        assert one["difficulty"]["total"] == pytest.approx(total)
        assert one["prompt"] == exercise.prompt
    assert str(DEMO) not in json.dumps(data)


def test_what_a_set_does_not_yield_is_said() -> None:
    drill = make_drill("C E G", Request(("complement", "voicing"), count=4))
    assert drill.remarks[0].startswith("C E G yields no different exercises of the kind 'complement'")
    assert [section.kind for section in drill.sections] == ["voicing"]
    with pytest.raises(NothingFoundError, match="yields no exercise of the kinds"):
        make_drill("C E G", Request(("complement",), count=1))


@pytest.mark.parametrize(
    ("make", "sentence"),
    [
        (lambda: Request(("cadence",)), "no kind of exercise 'cadence'. There are: mode, class"),
        (lambda: Request(("mode", "mode")), "named once each"),
        (lambda: Request(()), "named once each"),
        (lambda: Request(level=6), "no level 6"),
        (lambda: Request(count=0), "0 exercises cannot be made"),
        (lambda: make_drill("C G", Request()), "C G has 2 notes; a drill takes a set of 3 to 9"),
        (lambda: make_drill("C mayor", Request()), "mayor"),
    ],
)
def test_refusals(make: Callable[[], object], sentence: str) -> None:
    with pytest.raises(InputError) as caught:
        make()
    assert sentence in str(caught.value)


def test_shares_add_up() -> None:
    assert all(sum(shares(count, among)) == count for count in range(1, 30) for among in range(1, 10))
