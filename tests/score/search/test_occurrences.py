from fractions import Fraction

from sonorarium.score.search.finding import find, find_best
from sonorarium.score.search.material import Material
from sonorarium.score.search.occurrences import occurrences
from sonorarium.score.search.query import Query
from tests.score.little_scores import TICKS, little_score
from tests.score.search.test_finding import quarters


def test_least_notes_and_least_length() -> None:
    score = little_score({"Piano": ["C4+E4:1 r:1 C4+E4+C5:2"], "Flute": ["r:2 G4:1 r:1"]})
    chords = Query.of("C E", kind="chord")
    assert find_best(score, chords).count == 2
    assert quarters(find(score, Query.of("C E", kind="chord", least_notes=3))) == [(3, 4)]
    assert quarters(find(score, Query.of("C E", kind="chord", least_quarters=Fraction(3, 2)))) == []
    assert quarters(find(score, Query.of("C E G", kind="texture", least_quarters=Fraction(4)))) == [(0, 4)]
    assert len(find(score, Query.of("C E", kind="line", least_notes=5))) == 1
    assert len(find(score, Query.of("C E", kind="line", least_notes=6))) == 0


def test_occurrences_are_sorted_by_form_then_by_place() -> None:
    material = Material(little_score({"Piano": ["D4+F4+A4:1 C4+E4+G4:1 D4+F4+A4:1 C4+E4+G4:1"]}))
    found = occurrences("chord", material, Query.of("3-11"))
    assert found.form.tolist() == [0b10010001, 0b10010001, 0b1000100100, 0b1000100100]
    assert (found.onset // TICKS).tolist() == [1, 3, 0, 2]
    assert (found.end // TICKS).tolist() == [2, 4, 1, 3]
    assert [found.passage(i).notes for i in (1, 2)] == [("C4", "E4", "G4"), ("D4", "F4", "A4")]


def test_the_last_note_is_placed_where_it_is_struck() -> None:
    score = little_score({"Piano": ["r:1 C4:1 E4+G4:4 r:2"]})
    (passage,) = find(score, "C E G", kind="texture")
    assert (passage.first.bar, passage.last.bar) == ("1", "1")
    assert [passage.first.beat, passage.last.beat] == [2, 3]
    assert passage.bars == ("1", "2")


def test_no_note_is_struck_before_a_passage_begins() -> None:
    score = little_score({"Flute": ["D5:1"], "Viola": ["C4+E4:4"]})
    (passage,) = find(score, "C E", kind="chord")
    assert [passage.onset, passage.first.tick, passage.last.tick] == [TICKS] * 3


def test_a_passage_that_ends_on_a_bar_line_stays_in_its_bar() -> None:
    score = little_score({"Flute": ["C4:2 E4:2 D4:4"]})
    (passage,) = find(score, "C E", kind="line")
    assert passage.bars == passage.tightest.bars == ("1", "1")


def test_notes_that_began_before_a_passage_belong_to_it() -> None:
    score = little_score({"Flute": ["F4:1 G4:3"], "Viola": ["C3:2 E3:2"]})
    (passage,) = find(score, "C E G", kind="texture")
    assert passage.notes == ("C3", "G4", "E3")
    assert passage.first.beat == 2
    assert set(passage.parts) == {"Flute", "Viola"}
