"""One bar of a staff: time through the layers, and how accidentals are understood."""

from __future__ import annotations

import pytest

from sonorarium.score.formats.meinotes import ALTERS, FINE_ACCIDENTAL, UNKNOWN_LENGTH, LayerReader, Scope, alter_notes
from sonorarium.score.formats.meistaves import Staff
from sonorarium.score.formats.meitree import number_notes, parsed


def read(inside: str) -> LayerReader:
    layer = parsed(f"<layer>{inside}</layer>".encode())
    number_notes(layer)
    reader = LayerReader(Staff("1", 0, 1, (4, 4)), [])
    reader.read(layer, 0)
    return reader


def alters(inside: str, scope: Scope, key: dict[int, int] | None = None) -> list[int]:
    reader = read(inside)
    alter_notes(reader.notes, scope, key or {}, {}, reader.faults)
    return [note.alter for note in reader.notes]


def test_time_through_rests_spaces_and_tremolos() -> None:
    reader = read(
        '<rest dur="8"/><note dur="8"/><space dur="4"/><fTrem><note dur="2"/><note dur="2"/></fTrem>'
        '<bTrem><note dur="4"/></bTrem><mRest/>'
    )
    assert [(str(note.onset), str(note.length)) for note in reader.notes] == [
        ("1/2", "1/2"),
        ("2", "1"),
        ("3", "1"),
        ("4", "1"),
    ]
    assert str(reader.reach) == "5"


def test_a_note_without_length_is_a_quarter_and_said() -> None:
    reader = read('<note/><chord><note dur="2"/></chord>')
    assert [str(note.length) for note in reader.notes] == ["1", "2"]
    assert reader.faults == [UNKNOWN_LENGTH]


def test_stated_and_printed_accidentals() -> None:
    notes = (
        '<note dur="4" pname="f" oct="4" accid="s"/><note dur="4" pname="f" oct="4"/>'
        '<note dur="4" pname="f" oct="5"/><note dur="4" pname="f" oct="4"><accid accid.ges="n"/></note>'
    )
    assert alters(notes, Scope.STATED) == [1, 0, 0, 0]
    assert alters(notes.replace('<accid accid.ges="n"/>', ""), Scope.OCTAVE, {3: -1}) == [1, 1, -1, 1]


@pytest.mark.parametrize("sign", sorted(ALTERS))
def test_every_accidental_of_mei(sign: str) -> None:
    assert alters(f'<note dur="4" pname="c" oct="4" accid="{sign}"/>', Scope.STATED) == [ALTERS[sign]]


def test_fine_accidentals_are_said() -> None:
    reader = read('<note dur="4" pname="c" oct="4" accid="3qs"/>')
    alter_notes(reader.notes, Scope.STATED, {}, {}, reader.faults)
    assert reader.faults == [FINE_ACCIDENTAL]


def test_a_tie_from_an_earlier_bar_keeps_its_accidental() -> None:
    reader = read('<note dur="4" pname="c" oct="4"/><note dur="4" pname="c" oct="4"/>')
    alter_notes(reader.notes, Scope.OCTAVE, {}, {0: 1}, [])
    assert [note.alter for note in reader.notes] == [1, 0]
