"""A drill inside a lesson."""

from __future__ import annotations

from pathlib import Path

import pytest

from sonorarium.errors import InputError
from sonorarium.lesson.directives import make
from sonorarium.lesson.exercises.drills import KINDS
from sonorarium.lesson.illustrations.blocks import Figure, Made, Table
from sonorarium.lesson.markdown import read_page
from sonorarium.study.folder import open_study

DEMO = Path(__file__).parents[3] / "demo"


def made(text: str) -> Made:
    (directive,) = read_page(text).directives
    return make(directive, open_study(DEMO))


def test_a_drill_is_numbered_figures_and_a_key_in_the_same_numbers() -> None:
    blocks = made("```{drill} D double harmonic\n:count: 11\n:seed: 3\n```").blocks
    figures = [block for block in blocks if isinstance(block, Figure)]
    (key,) = (block for block in blocks if isinstance(block, Table))
    assert [figure.above.partition(".")[0] for figure in figures] == [str(n) for n in range(1, 12)]
    assert [row[0].text for row in key.rows] == [str(n) for n in range(1, 12)]
    lettered = [row[1].text for row in key.rows if row[1].text]
    assert len(lettered) == sum("; b)" in figure.caption for figure in figures)
    assert sum(figure.clip is not None for figure in figures) >= 2


def test_the_key_can_be_left_out() -> None:
    blocks = made("```{drill} D double harmonic\n:kinds: mode\n:key: no\n```").blocks
    assert [type(block) for block in blocks] == [Figure]


@pytest.mark.parametrize(
    ("option", "sentence"),
    [
        (":kinds: mode, cadence", f"Line 1: the drill has no kind 'cadence'. There are: {', '.join(KINDS)}."),
        (":level: 9", "takes a whole number from 1 to 5"),
        (":count: none", "takes a whole number from 1 to 120"),
        (":key: perhaps", "It takes yes or no."),
    ],
)
def test_refusals(option: str, sentence: str) -> None:
    with pytest.raises(InputError) as caught:
        made(f"```{{drill}} D double harmonic\n{option}\n```")
    assert sentence in str(caught.value)
