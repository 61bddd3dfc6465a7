"""Class labels are judged where it is sure that they are labels, and nothing else is."""

from __future__ import annotations

import pytest

from sonorarium.lesson.checks.labels import judged, may_mention, mentions
from sonorarium.pcs import catalogue


def test_every_label_of_the_catalogue_is_right_as_it_stands() -> None:
    assert all(judged(label) == (label, "") for label in catalogue.mask_of_label())


@pytest.mark.parametrize(
    ("sentence", "truths"),
    [
        ("The class 6-10 has a partner.", ["the class is written 6-Z10"]),
        ("The class 4-Z19 is bright.", ["the class is written 4-19"]),
        ("5-22A is bright.", ["there is no class 5-22A: 5-22 is its own mirror and has no A and B"]),
        ("The hexachord 6-51 is dark.", ["there is no set class 6-51; classes of 6 notes are numbered 1 to 50"]),
        ("The tetrachord 4-Z30 is dark.", ["there is no set class 4-Z30; classes of 4 notes are numbered 1 to 29"]),
        ("4-Z15 and 4-29 are partners.", ["", "the class is written 4-Z29"]),
    ],
)
def test_wrong_labels(sentence: str, truths: list[str]) -> None:
    assert [mention.truth for mention in mentions(sentence)] == truths


@pytest.mark.parametrize(
    "sentence",
    [
        "Bars 5-12 are loud.",
        "See pages 6-10, where the class is defined.",
        "Take 3-5 notes.",
        "The steps are 1-3-1-2-1-3-1.",
        "In 1905-12 he wrote much.",
        "There are 6, 12, 29 classes for sizes 2-10.",
        "Call 5-12 at noon.",
        "It runs 0-8 by class.",
    ],
)
def test_what_is_no_label(sentence: str) -> None:
    assert not [mention for mention in mentions(sentence) if mention.truth]


def test_a_bare_pair_may_be_a_label() -> None:
    assert may_mention("5-35 has no tritone.")
    assert not may_mention("The phrase is 5-35.")
