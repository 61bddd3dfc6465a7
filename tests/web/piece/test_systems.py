"""A drawing cut into its lines of music: nothing is lost, and places are where the notes are."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from lxml import etree

from sonorarium.render.engraving import Engraving
from sonorarium.score.reading import read_score
from sonorarium.score.score import Score
from sonorarium.web.facts.drawings import passage
from sonorarium.web.piece.systems import LINE, System, draw_system, place_of, systems_of
from tests.web.conftest import DEMO


@pytest.fixture(scope="module")
def boat() -> Score:
    return read_score(DEMO / "pieces" / "4-boat-without-oars.musicxml")


@pytest.fixture(scope="module")
def drawing(boat: Score) -> Engraving:
    return passage(boat, (0, 7), marked=(10, 30))


@pytest.fixture(scope="module")
def cut(drawing: Engraving) -> tuple[str, list[System]]:
    return systems_of(drawing)


def test_every_bar_and_note_is_in_one_system(drawing: Engraving, cut: tuple[str, list[System]]) -> None:
    systems = cut[1]
    assert [bar for system in systems for bar in sorted(system.bars)] == list(drawing.bars)
    assert sorted(n for system in systems for n in system.heads) == list(drawing.notes)
    assert len(systems) > 1


def test_systems_have_one_scale_and_do_not_overlap(cut: tuple[str, list[System]]) -> None:
    one, two = cut[1][:2]
    assert (one.box.left, one.box.right) == (two.box.left, two.box.right)
    assert one.box.bottom < two.box.top + 400
    assert one.box.width >= LINE - 1
    for system in cut[1]:
        assert all(system.box.left < bar.left < bar.right <= system.box.right for bar in system.bars.values())


def test_frames_go_with_their_notes(drawing: Engraving, cut: tuple[str, list[System]]) -> None:
    assert drawing.svg.count('class="mark"') == 2
    for system in cut[1]:
        text = etree.tostring(system.music).decode()
        assert text.count('class="mark"') == text.count('class="note marked"')


def test_ticks_stand_where_their_notes_stand(boat: Score, cut: tuple[str, list[System]]) -> None:
    system = cut[1][0]
    first, last = min(system.bars), max(system.bars)
    assert place_of(boat, system, int(boat.bars["onset"][1])) == system.bars[1].left
    assert place_of(boat, system, -5) == system.bars[first].left
    assert place_of(boat, system, int(boat.bars["onset"][last + 1])) == system.bars[last].right
    ordinal = next(n for n in sorted(system.heads) if boat.notes["bar"][boat.element_note[n]] == 2)
    tick = int(boat.notes["onset"][boat.element_note[ordinal]])
    assert place_of(boat, system, tick) == (
        system.bars[2].left if tick == int(boat.bars["onset"][2]) else system.heads[ordinal]
    )
    later = next(
        n for n in sorted(system.heads) if int(boat.notes["onset"][boat.element_note[n]]) > int(boat.bars["onset"][1])
    )
    onset = int(boat.notes["onset"][boat.element_note[later]])
    same = [system.heads[n] for n in system.heads if int(boat.notes["onset"][boat.element_note[n]]) == onset]
    assert place_of(boat, system, onset) in same
    inside = place_of(boat, system, tick + 1)
    assert system.bars[2].left < inside < system.bars[2].right


def test_bars_can_be_pressed_and_names_cannot_break_the_drawing(cut: tuple[str, list[System]]) -> None:
    defs, systems = cut
    labels = ['1<"&'] * 8
    text = draw_system(systems[0], defs, labels, range(1, 3), below="<g/>", below_high=100)
    root = etree.fromstring(text.encode())
    buttons = [element for element in root.iter() if element.get("data-bar-button")]
    assert [button.get("aria-pressed") for button in buttons] == ["false", "true", "true", "false"]
    assert buttons[0].get("aria-label") == 'bar 1<"&'
    assert len(re.findall(r"data-bar-field=", text)) == len(systems[0].bars)
    assert " style=" not in text
    assert root.get("data-first") == "0"


def test_a_short_line_is_not_blown_up(boat: Score) -> None:
    (system,) = systems_of(passage(replace(boat), (32, 32)))[1]
    assert system.box.width >= LINE - 1
