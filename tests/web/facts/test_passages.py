"""Passages as pages show them: the core's own values, drawn with the notes marked, found again to be kept."""

from __future__ import annotations

import pytest
from lxml import etree

from sonorarium.errors import NothingFoundError
from sonorarium.render.engraving import Engraving
from sonorarium.score.search.finding import find
from sonorarium.score.search.passage import Passage
from sonorarium.score.search.query import Query
from sonorarium.score.search.question import Typed, question
from sonorarium.web.facts.passages import MOST_BARS, Place, excerpt, found_again, passage_facts
from sonorarium.web.room import KEY_LENGTH, Room

MARKED = ".//{*}g[@fill='#0d6b5b']"


def passages(room: Room, what: str) -> tuple[str, tuple[Passage, ...]]:
    """The passages of a set in the first piece that has any."""
    for key in room.paths():
        found = tuple(find(room.score(key), what))
        if found:
            return key, found
    raise AssertionError(what)


def test_facts_are_the_core_s(room: Room) -> None:
    key, found = passages(room, "5-15")
    for one in found:
        facts = passage_facts(one)
        assert facts.piece == key == one.source.digest[:KEY_LENGTH]
        assert (facts.onset, facts.end, facts.kind, facts.label) == (one.onset, one.end, one.kind, one.label)
        assert facts.salience["total"] == pytest.approx(one.salience.total, abs=1e-4)
        assert question(facts.set, Typed(under="literal")).subject == one.pcs  # type: ignore[union-attr]


def test_its_notes_and_no_others_are_marked(room: Room) -> None:
    _, found = passages(room, "5-15")
    one = min(found, key=lambda p: p.bar_indices[1] - p.bar_indices[0])
    assert one.bar_indices[1] - one.bar_indices[0] < MOST_BARS
    drawn = excerpt(room, (one,))
    assert isinstance(drawn, Engraving)
    score = room.score(one.source.digest[:KEY_LENGTH])
    drawing = etree.fromstring(drawn.svg.encode())
    notes = drawing.findall(".//{*}g[@data-note]")
    marked = {
        int(score.element_note[int(note.attrib["data-note"])]) for note in notes if note.find(MARKED) is not None
    }
    assert marked == set(one.rows) and len(notes) > len(marked)


def test_a_passage_is_found_again_by_its_question(room: Room) -> None:
    key, found = passages(room, "5-15")
    for one in found:
        _, again = found_again(room, key, Query.of("5-15"), Place(one.kind, one.onset, one.end, one.notes))
        assert (again.rows, again.pcs) == (one.rows, one.pcs)
    with pytest.raises(NothingFoundError):
        found_again(room, key, Query.of("5-15"), Place("line", 10**6, 10**6 + 1))
    with pytest.raises(NothingFoundError):
        found_again(room, "0" * KEY_LENGTH, Query.of("5-15"), Place("line", 0, 1))


def test_of_passages_that_begin_and_end_together_each_is_found_by_its_notes(room: Room) -> None:
    asked = Query.of("3-3", kind="line")
    together = 0
    for key in room.paths():
        found = tuple(find(room.score(key), asked))
        places = [(one.onset, one.end) for one in found]
        for one in (one for one in found if places.count((one.onset, one.end)) > 1):
            together += 1
            _, again = found_again(room, key, asked, Place(one.kind, one.onset, one.end, one.notes))
            assert again.rows == one.rows
    assert together, "the demo has lines of this class that begin and end together"
