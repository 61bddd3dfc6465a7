"""What directives refuse, with the line and what to do."""

from __future__ import annotations

from pathlib import Path

import pytest

from sonorarium.errors import InputError, NothingFoundError, SonorariumError
from sonorarium.lesson.directives import make
from sonorarium.lesson.illustrations.blocks import Made
from sonorarium.lesson.markdown import read_page
from sonorarium.study.folder import open_study

DEMO = Path(__file__).parents[2] / "demo"
SONG = "pieces/1-saffron-evening.musicxml"


def made(text: str) -> Made:
    (directive,) = read_page(f"\n{text}\n").directives
    return make(directive, open_study(DEMO))


@pytest.mark.parametrize(
    ("text", "kind", "sentence"),
    [
        ("```{scael} C major\n```", InputError, "Line 2: there is no directive 'scael'. There are: scale, chord"),
        (
            "```{scale} C major\n:colour: red\n```",
            InputError,
            "has no option 'colour'. Its options are: below, sound.",
        ),
        ("```{scale}\n```", InputError, "Line 2: the directive 'scale' needs a set"),
        ("```{scale} C mayor\n```", InputError, "Line 2: "),
        ("```{scale} C major\n:below: stars\n```", InputError, "'below' is 'stars', which is not understood"),
        ("```{survey} C major\n:parts: everything\n```", InputError, "no part 'everything'. Its parts: facts, modes"),
        ("```{survey} C major\n:parts: insides\n:size: many\n```", InputError, "'many' is no number of notes"),
        ("```{passage} ../x.musicxml\n```", InputError, "lies outside the study"),
        (f"```{{passage}} {SONG}\n:bars: 99\n```", InputError, "Saffron Evening has no bar 99"),
        (f"```{{passage}} {SONG}\n:set: 8-28\n```", NothingFoundError, "has none of the texture passages of 8-28"),
        (
            f"```{{passage}} {SONG}\n:set: 5-15\n:rank: 9\n```",
            NothingFoundError,
            "has only 2 of the texture passages",
        ),
        (f"```{{sound}} {SONG}\n:as: chord\n```", InputError, "the option 'as' is for sets"),
        ("```{sound} C major\n:bars: 1-2\n```", InputError, "the option 'bars' is for pieces"),
    ],
)
def test_refusals(text: str, kind: type[SonorariumError], sentence: str) -> None:
    with pytest.raises(kind) as caught:
        made(text)
    assert sentence in str(caught.value)
    assert str(caught.value).startswith("Line 2: ")
