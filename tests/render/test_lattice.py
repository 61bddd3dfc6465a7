"""The net of fifths and thirds: names, distances, triads as triangles, and sets laid out whole."""

from __future__ import annotations

from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from lxml import etree

from sonorarium.errors import InputError
from sonorarium.pcs.spelling import Spelled, spell_freely
from sonorarium.pcs.subject import subject
from sonorarium.render.lattice import Net, apart, draw_lattice, lay_out, name_at

PLACES = st.tuples(st.integers(-9, 9), st.integers(-4, 4))


@given(PLACES)
def test_steps_are_fifths_and_thirds(place: tuple[int, int]) -> None:
    x, y = place
    here = name_at(place)
    for to, semitones, letters in (((x + 1, y), 7, 4), ((x, y + 1), 4, 2), ((x + 1, y - 1), 3, 2)):
        there = name_at(to)
        assert (there.pc - here.pc) % 12 == semitones
        assert (there.step - here.step) % 7 == letters


@given(PLACES, PLACES, PLACES)
def test_distance_is_a_metric(a: tuple[int, int], b: tuple[int, int], c: tuple[int, int]) -> None:
    assert apart(a, b) == apart(b, a)
    assert (apart(a, b) == 0) == (a == b)
    assert apart(a, c) <= apart(a, b) + apart(b, c)


@pytest.mark.parametrize("root", ["C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B"])
@pytest.mark.parametrize("kind", ["", "m"])
def test_every_triad_is_a_triangle(root: str, kind: str) -> None:
    """Euler, Tentamen (1739); Riemann, Tonvorstellungen (1914/15); from memory."""
    notes = subject(root + kind).notes
    places = lay_out(notes)
    assert all(apart(a, b) == 1 for a, b in combinations(places, 2))
    assert tuple(map(name_at, places)) == notes


def test_the_major_scale_lies_in_two_rows() -> None:
    """F C G D below A E B: the form in which the net is printed since the nineteenth century (common practice)."""
    scale = subject("C major").notes
    places = dict(zip((note.text for note in scale), lay_out(scale), strict=True))
    assert sorted(places, key=lambda name: (places[name][1], places[name][0])) == ["F", "C", "G", "D", "A", "E", "B"]


@given(st.sets(st.integers(0, 11), min_size=1, max_size=9))
def test_every_note_gets_one_place_of_its_own_pitch(pcs: set[int]) -> None:
    notes = spell_freely(tuple(sorted(pcs)))
    places = lay_out(notes)
    assert len(set(places)) == len(notes)
    assert [name_at(place).pc for place in places] == [note.pc for note in notes]


def rings(drawing: str, width: str) -> int:
    return len(etree.fromstring(drawing.encode()).findall(f".//{{*}}circle[@stroke-width='{width}']"))


def test_sets_are_told_by_rings() -> None:
    scale, chord = subject("D double harmonic"), subject("Dmaj7")
    drawing = draw_lattice(Net(scale.notes, scale.root, chord.notes, "a chord in a scale"))
    assert rings(drawing, "2.6") == 7
    assert rings(drawing, "2.4") == 4
    root = etree.fromstring(drawing.encode())
    assert root.get("aria-label") == "a chord in a scale"
    assert all(c.get("stroke-dasharray") == "3 3" for c in root.findall(".//{*}circle[@stroke-width='1.2']"))


def test_a_foreign_note_of_the_second_set_has_a_place_too() -> None:
    drawing = draw_lattice(Net(subject("C").notes, None, subject("C E G B").notes))
    assert rings(drawing, "2.6") == 3
    assert rings(drawing, "2.4") == 4


def test_nothing_cannot_be_drawn() -> None:
    with pytest.raises(InputError, match="A lattice needs a note"):
        draw_lattice(Net(()))


def test_whole_drawing_lies_inside_its_frame() -> None:
    for text in ("C whole tone", "C octatonic semitone-tone", "F#", "C chromatic"):
        root = etree.fromstring(draw_lattice(Net(subject(text).notes or (Spelled(0),))).encode())
        wide, high = float(root.get("width", "")), float(root.get("height", ""))
        for one in root.iterfind(".//{*}text"):
            assert 10 < float(one.get("x", "")) < wide - 10
            assert 10 < float(one.get("y", "")) < high - 10
