"""The flat table of events."""

from __future__ import annotations

import re
from fractions import Fraction

import numpy as np
import pytest
from lxml import etree

from sonorarium.score.written import events as ev
from sonorarium.score.written.events import exact_number, read_events
from tests.score.writing import attributes, chord, measure, note, page


def test_events_stand_in_cells_and_have_holders() -> None:
    root = etree.fromstring(
        page(measure(attributes() + note("C4", 4)) + measure(note("D4", 4), "2"), measure(note("E4", 4)))
    )
    events = read_events(root, ["P1", "P2"])
    notes = events.kind == ev.NOTE
    assert events.part[notes].tolist() == [0, 0, 1]
    assert events.bar[notes].tolist() == [0, 1, 0]
    assert events.elements == 3
    at, letters = events.values(ev.STEP, ev.NOTE, np.arange(len(events.texts)))
    assert [events.texts[word] for word in letters] == ["C", "D", "E"]
    assert events.ordinal[at].tolist() == [0, 1, 2]


def test_a_word_is_kept_once() -> None:
    root = etree.fromstring(page(measure(attributes() + note("C4", 1) * 3 + chord("C4", 1))))
    events = read_events(root, ["P1"])
    assert len(events.words(ev.STEP)) == len(events.words(ev.OCTAVE)) == 1


def test_marks_come_with_their_elements() -> None:
    root = etree.fromstring(page(measure(attributes() + note("R", 4))))
    events = read_events(root, ["P1"])
    assert [element.tag for _, element in events.marks(ev.ATTRIBUTES)] == ["attributes"]
    ((place, rest),) = events.marks(ev.REST)
    assert (events.kind[place], rest.tag) == (ev.REST, "rest")


@pytest.mark.parametrize(
    ("text", "value"), [("4", 4), ("-0.5", Fraction(-1, 2)), ("+1.", 1), (".25", Fraction(1, 4))]
)
def test_exact_numbers(text: str, value: Fraction) -> None:
    assert exact_number(text) == value


@pytest.mark.parametrize("text", ["", None, "1e9", "1/2", "nan", "--1", ".", "9" * 19, "٣"])
def test_what_is_no_number(text: str | None) -> None:
    with pytest.raises(ValueError, match=re.escape(text or "")[:4] or None):
        exact_number(text)
