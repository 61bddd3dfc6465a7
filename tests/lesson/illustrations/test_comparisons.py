"""Collections compared: the table counted again note by note, common tones, and what is refused."""

from __future__ import annotations

from itertools import combinations
from pathlib import Path

import pytest

from sonorarium.errors import InputError
from sonorarium.lesson.directives import make
from sonorarium.lesson.illustrations.blocks import Figure, Made, Table
from sonorarium.lesson.markdown import read_page
from sonorarium.pcs.pcset import PcSet
from sonorarium.pcs.subject import subject
from sonorarium.study.folder import open_study

DEMO = Path(__file__).parents[3] / "demo"
THREE = "D double harmonic; D harmonic minor; D harmonic major"


def made(text: str) -> Made:
    (directive,) = read_page(f"{text}\n").directives
    return make(directive, open_study(DEMO))


def table_of(options: str, sets: str = THREE) -> Table:
    (table,) = made(f"```{{compare}} {sets}\n:parts: classes\n{options}\n```").blocks
    assert isinstance(table, Table)
    return table


def strips_of(sets: str, options: str = "") -> Figure:
    (figure,) = made(f"```{{compare}} {sets}\n:parts: strips\n{options}\n```").blocks
    assert isinstance(figure, Figure)
    return figure


@pytest.mark.parametrize("size", [3, 4, 5, 6])
@pytest.mark.parametrize("mirrors", ["together", "apart"])
def test_the_table_counts_what_is_there(size: int, mirrors: str) -> None:
    sets = [subject(one).pcset for one in THREE.split(";")]
    counted: dict[str, list[int]] = {}
    for i, one in enumerate(sets):
        for notes in combinations(one.pcs, size):
            inner = PcSet(notes)
            name = inner.label if mirrors == "apart" else inner.set_class.label
            counted.setdefault(name, [0, 0, 0])[i] += 1
    table = table_of(f":size: {size}\n:mirrors: {mirrors}")
    shown = {row[1].text: [int(cell.text.replace("–", "0")) for cell in row[2:5]] for row in table.rows}
    assert shown == counted
    for row in table.rows:
        held = sum(cell.text != "–" for cell in row[2:5])
        assert row[5].text.startswith({1: "only ", 2: "all but ", 3: "in all"}[held])


def test_shared_and_own_part_the_table() -> None:
    every, shared, own = (table_of(f":size: 5\n:show: {which}") for which in ("all", "shared", "own"))
    assert len(every.rows) == len(shared.rows) + len(own.rows)
    assert {row[1].text for row in own.rows} == {"5-6", "5-15", "5-28", "5-Z37", "5-Z38"}
    assert "21 classes of 5 notes in all, 7 of them in every one; D double harmonic alone 5" in every.note


def test_the_usual_size_is_two_fewer_than_the_smallest_has() -> None:
    assert "of 5 notes" in table_of("").title
    assert "of 4 notes" in table_of("", "C whole tone; C major").title


def test_common_tones_are_named() -> None:
    figure = strips_of(THREE)
    assert "common to all of them: D, G, A, B♭, C♯." in figure.caption
    assert "D harmonic minor (7-32A): D E F G A B♭ C♯" in figure.description


def test_roots_compare_degrees() -> None:
    figure = strips_of("D dorian; E phrygian", ":align: roots")
    assert "degrees of all of them: 1, ♭3, 4, 5, ♭7." in figure.caption


def test_two_names_of_one_key_stand_over_its_column() -> None:
    assert ">F/E♯<" in strips_of("D minor; F# major").svg


def test_a_family_stands_on_one_root() -> None:
    figure = strips_of("heptatonic", ":on: D")
    assert figure.description.count("7-") == 6
    assert "D diatonic" in figure.description


def test_comparisons_sound_one_after_another() -> None:
    (figure,) = made(f"```{{compare}} {THREE}\n:parts: strips\n:sound: yes\n```").blocks
    assert isinstance(figure, Figure)
    assert figure.clip is not None
    assert figure.clip.duration_s > 8


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("```{compare} D dorian;\n```", "1 collections cannot be compared"),
        ("```{compare} D dorian; E phrygian\n:on: D\n```", "the option 'on' is for a family"),
        ("```{compare} no such family\n```", "There is no family 'no such family'"),
        ("```{compare} D dorian; E phrygian\n:parts: colours\n```", "a comparison has no part 'colours'"),
        ("```{compare} D dorian; E phrygian\n:size: 12\n```", "a whole number from 2 to 11"),
        ("```{compare} D dorian; 6-Z99\n```", "There is no set class 6-"),
    ],
)
def test_refusals(text: str, sentence: str) -> None:
    with pytest.raises(InputError) as caught:
        made(text)
    assert sentence in str(caught.value)
    assert str(caught.value).startswith("Line 1: ")
