from dataclasses import replace

import pytest

from sonorarium.errors import InputError
from sonorarium.score.search.finding import find
from sonorarium.score.search.limits import Limits
from sonorarium.score.search.material import Material
from sonorarium.score.search.query import Query
from tests.score.little_scores import TICKS, little_score


def test_material_is_searched_like_its_score() -> None:
    score = little_score({"Flute": ["C4:1 E4:1 G4:2"], "Viola": ["F3:4"]})
    material = Material(score, ("Flute",))
    for what in ("C E G", "2-3"):
        assert find(material, what) == find(score, what, parts=["Flute"])
    with pytest.raises(InputError, match="other parts than the query asks for"):
        find(material, "C E G", parts=["Viola"])


def test_a_part_that_is_not_there_is_named() -> None:
    material = Material(little_score({"Flute": ["C4:4"]}), ("Tuba",))
    for question in ("slices", "sliced", "lines"):
        with pytest.raises(InputError, match="no part named 'Tuba'"):
            getattr(material, question)


def test_struck_notes_count_until_the_next_is_struck_or_all_of_them_have_ended() -> None:
    score = little_score({"Piano": ["C4+E4+G4:1 r:1 F4:1/2 r:3/2"], "Flute": ["r:1/2 B4:1/4 r:13/4"]})
    slices = Material(score, struck=True).slices
    found = dict(zip((slices.cuts[:-1] / TICKS).tolist(), slices.masks.tolist(), strict=True))
    assert found == {0: 0b10010001, 0.5: 1 << 11, 0.75: 0, 2: 1 << 5, 2.5: 0}


def test_a_held_note_is_no_member_of_a_struck_chord() -> None:
    score = little_score({"Flute": ["r:1 G5:1 r:2"], "Piano": ["C4+E4:3 r:1"]})
    chord = Query.of("C E G", kind="chord")
    assert find(score, chord)
    assert not find(score, replace(chord, struck=True))
    (third,) = find(score, replace(Query.of("C E", kind="chord"), struck=True))
    assert (third.onset, third.end) == (0, TICKS)


def test_notes_struck_together_are_one_chord_though_one_is_let_go() -> None:
    score = little_score({"Piano": ["C4+E4:2", "G4:1 r:1"]})
    (chord,) = find(score, replace(Query.of("C E G", kind="chord"), struck=True))
    assert (chord.end / TICKS, chord.notes) == (2, ("C4", "E4", "G4"))


def test_material_of_other_notes_is_refused() -> None:
    score = little_score({"Piano": ["C4+E4+G4:4 D4:4"]})
    with pytest.raises(InputError, match="struck or sounding"):
        find(Material(score), replace(Query.of("C E G"), struck=True))
    with pytest.raises(InputError, match="struck or sounding"):
        find(Material(score), replace(Query.of("C E G"), limits=Limits(bars="1")))
    assert find(Material(score, bars="1"), Query.of("C E G"))
    assert not find(Material(score, bars="2"), Query.of("C E G"))


def test_how_much_is_looked_at_is_counted() -> None:
    score = little_score({"Piano": ["C4+E4+G4:4 D4:4 E4:4"], "Flute": ["C5:12"]})
    assert (Material(score).bar_count, len(Material(score).searched)) == (3, 6)
    part = Material(score, ("Piano",), bars="1-2")
    assert (part.bar_count, len(part.searched)) == (2, 4)
