"""Plain sentences: what states something is read, what asks, supposes or quotes is not."""

from __future__ import annotations

from dataclasses import replace

import pytest

from sonorarium.lesson.checks.claims import check_claim
from sonorarium.lesson.checks.recognition import recognise, sentences
from sonorarium.lesson.checks.terms import Setting, read_term
from sonorarium.lesson.checks.verdicts import Verdict

SCALE = replace(Setting(), scale=read_term("D double harmonic")[0])


def check(clause: str, setting: Setting) -> Verdict:
    return check_claim(clause, setting, plain=True)


def said(text: str, setting: Setting = SCALE) -> list[str]:
    return [found.verdict.standing for found in recognise(text, setting, check)]


@pytest.mark.parametrize(
    "text",
    [
        "So 5-22 is inside 7-22 twice.",
        "Note that, of course, 5-22 is inside 7-22, too.",
        "5-22 (the one in the middle) is inside 7-22.",
        "The tune goes up; 5-22 is inside 7-22.",
        "Sing it, for the scale is its own mirror around D.",
        "The class 5-22 (01478) is rarely heard.",
    ],
)
def test_what_is_understood(text: str) -> None:
    assert said(text) == ["true"]


@pytest.mark.parametrize(
    "text",
    [
        "Is 5-35 inside 7-22?",
        "If 5-35 is inside 7-22, I am a lute.",
        "“5-35 is inside 7-22” is wrong.",
        "Some say that 5-35 is inside 7-22.",
        "It would be odd; 5-35 is inside 7-22.",
        "5-35 is inside 7-22 only where a note moves.",
        "5-35 is almost inside 7-22.",
        "C is one semitone from C#, and the tune is in C minor, which holds G7.",
        "In 5-22 of the bars, 7-35 is inside 3-11 or so.",
        "C minor holds G7.",
        "D is the fifth of G.",
        "The tune lies in C, and C is in E.",
    ],
)
def test_nothing_here_is_called_false(text: str) -> None:
    assert "false" not in said(text)


def test_them_points_to_the_classes_just_counted() -> None:
    text = "Twelve classes of five notes lie in the scale, and {} of them lie in no sister."
    assert said(text.format("four")) == ["true", "true"]
    assert said(text.format("five")) == ["true", "false"]


def test_the_scale_points_back_only_where_no_other_is_named() -> None:
    assert said("The scale is its own mirror.") == ["true"]
    assert said("The well is in C harmonic minor. The scale is its own mirror.") == ["not understood"] * 2


def test_wrong_labels_and_prime_forms_are_found_in_any_sentence() -> None:
    assert said("Would you call the class 6-10 bright?") == ["false"]
    assert said("Listen to 5-22 (01378) once more.") == ["false"]
    assert said("Listen to 5-20 (01378) once more, as Forte has it.") == ["true"]
    assert said("Listen to 5-22 (0458e) once more.") == []


def test_sentences() -> None:
    text = "See pieces/x.musicxml for it. It is 5-22. (Yes.)"
    assert [sentence for _, sentence in sentences(text)] == ["See pieces/x.musicxml for it.", "It is 5-22.", "(Yes.)"]
