"""Staves of an MEI score: parts, metres, keys, transposition, and their changes."""

from __future__ import annotations

import pytest

from sonorarium.score.formats.meistaves import NO_METRE, Staff, change_staves, read_staves
from sonorarium.score.formats.meitree import parsed


def score_def(inside: str, attributes: str = "") -> tuple[dict[str, Staff], list[tuple[str, int]]]:
    staves, parts = read_staves(parsed(f"<scoreDef {attributes}><staffGrp>{inside}</staffGrp></scoreDef>".encode()))
    return staves, [(part.name, part.staves) for part in parts]


def test_parts_are_staves_or_braces() -> None:
    _, parts = score_def(
        '<staffDef n="1"><label>Voice</label></staffDef>'
        '<staffGrp><grpSym symbol="brace"/><label>Piano</label><staffDef n="2"/><staffDef n="3"/></staffGrp>'
        '<staffGrp symbol="bracket"><staffDef n="4" label="Viola"/><staffDef n="5" label="Cello"/></staffGrp>'
    )
    assert parts == [("Voice", 1), ("Piano", 2), ("Viola", 1), ("Cello", 1)]


def test_names_lose_the_signs_of_the_music_font() -> None:
    assert score_def('<staffDef n="1"><label>Clarinet in B\ue260</label></staffDef>')[1] == [("Clarinet in Bb", 1)]


@pytest.mark.parametrize(
    ("inside", "metre"),
    [
        ('<meterSig count="6" unit="8"/>', (6, 8)),
        ('<meterSig count="3+2+2" unit="8"/>', (7, 8)),
        ('<meterSig sym="cut"/>', (2, 2)),
        ('<meterSig sym="common"/>', (4, 4)),
        (
            '<meterSigGrp func="mixed"><meterSig count="2" unit="4"/><meterSig count="3" unit="8"/></meterSigGrp>',
            (7, 8),
        ),
        (
            '<meterSigGrp func="alternating"><meterSig count="2" unit="4"/><meterSig count="3" unit="4"/>'
            "</meterSigGrp>",
            (2, 4),
        ),
        ('<meterSig count="x" unit="8"/>', NO_METRE),
        ("", NO_METRE),
    ],
)
def test_metres(inside: str, metre: tuple[int, int]) -> None:
    assert score_def(f'<staffDef n="1">{inside}</staffDef>')[0]["1"].metre == metre


@pytest.mark.parametrize(
    ("inside", "key"),
    [
        ('<keySig sig="2s"/>', {3: 1, 0: 1}),
        ('<keySig sig="3f"/>', {6: -1, 2: -1, 5: -1}),
        ('<keySig sig="0"/>', {}),
        (
            '<keySig sig="mixed"><keyAccid pname="f" accid="s"/><keyAccid pname="b" accid="f"/></keySig>',
            {3: 1, 6: -1},
        ),
    ],
)
def test_keys(inside: str, key: dict[int, int]) -> None:
    assert score_def(f'<staffDef n="1">{inside}</staffDef>')[0]["1"].key == key


def test_statements_of_the_whole_score_and_later_changes() -> None:
    staves, _ = score_def(
        '<staffDef n="1" trans.semi="-2"/><staffDef n="2"/>', 'meter.count="3" meter.unit="4" key.sig="1f"'
    )
    assert [(staff.metre, staff.key, staff.semitones) for staff in staves.values()] == [
        ((3, 4), {6: -1}, -2),
        ((3, 4), {6: -1}, 0),
    ]
    change_staves(
        parsed(b'<scoreDef meter.sym="cut"><staffGrp><staffDef n="2" keysig="1s"/></staffGrp></scoreDef>'),
        staves,
    )
    change_staves(parsed(b'<staffDef n="1" trans.semi="3"/>'), staves)
    assert [(staff.metre, staff.key, staff.semitones) for staff in staves.values()] == [
        ((2, 2), {6: -1}, 3),
        ((2, 2), {3: 1}, 0),
    ]
