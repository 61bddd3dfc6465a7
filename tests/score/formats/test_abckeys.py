"""Key signatures of ABC against the table of modes in The abc music standard 2.1, section 3.1.14."""

from __future__ import annotations

import pytest

from sonorarium.score.formats.abckeys import LETTERS, Key, read_key, shift_of

SEVEN_SHARPS_TO_SEVEN_FLATS = [
    ("C#", "A#m", "G#Mix", "D#Dor", "E#Phr", "F#Lyd", "B#Loc", 7),
    ("F#", "D#m", "C#Mix", "G#Dor", "A#Phr", "BLyd", "E#Loc", 6),
    ("B", "G#m", "F#Mix", "C#Dor", "D#Phr", "ELyd", "A#Loc", 5),
    ("E", "C#m", "BMix", "F#Dor", "G#Phr", "ALyd", "D#Loc", 4),
    ("A", "F#m", "EMix", "BDor", "C#Phr", "DLyd", "G#Loc", 3),
    ("D", "Bm", "AMix", "EDor", "F#Phr", "GLyd", "C#Loc", 2),
    ("G", "Em", "DMix", "ADor", "BPhr", "CLyd", "F#Loc", 1),
    ("C", "Am", "GMix", "DDor", "EPhr", "FLyd", "BLoc", 0),
    ("F", "Dm", "CMix", "GDor", "APhr", "BbLyd", "ELoc", -1),
    ("Bb", "Gm", "FMix", "CDor", "DPhr", "EbLyd", "ALoc", -2),
    ("Eb", "Cm", "BbMix", "FDor", "GPhr", "AbLyd", "DLoc", -3),
    ("Ab", "Fm", "EbMix", "BbDor", "CPhr", "DbLyd", "GLoc", -4),
    ("Db", "Bbm", "AbMix", "EbDor", "FPhr", "GbLyd", "CLoc", -5),
    ("Gb", "Ebm", "DbMix", "AbDor", "BbPhr", "CbLyd", "FLoc", -6),
    ("Cb", "Abm", "GbMix", "DbDor", "EbPhr", "FbLyd", "BbLoc", -7),
]
"""The table of the standard, typed from memory of its layout and checked against the circle of fifths."""


def signature(count: int) -> dict[int, int]:
    order = "FCGDAEB"[:count] if count > 0 else "BEADGCF"[:-count]
    return {LETTERS.index(letter): (1 if count > 0 else -1) for letter in order}


@pytest.mark.parametrize("row", SEVEN_SHARPS_TO_SEVEN_FLATS, ids=lambda row: str(row[-1]))
def test_the_table_of_modes(row: tuple[str | int, ...]) -> None:
    *names, count = row
    for name in map(str, names):
        for spelled in (name, name[:-3] + name[-3:].upper() if len(name) > 3 else name, f"{name} clef=bass"):
            assert read_key(spelled) == Key(signature(int(count)))


def test_changed_and_explicit_signatures() -> None:
    assert read_key("D Phr ^f") == Key({6: -1, 2: -1, 3: 1})
    assert read_key("D exp _b _e ^f") == Key({6: -1, 2: -1, 3: 1})
    assert read_key("D maj =c") == Key({3: 1, 0: 0})
    assert read_key("none") == read_key("") == Key()
    assert read_key("HP") == read_key("Hp") == Key({3: 1, 0: 1})
    assert read_key("E minor % was Em") == Key({3: 1})
    assert read_key("bass") is None


@pytest.mark.parametrize(
    ("text", "semitones"),
    [
        ("transpose=-2", -2),
        ("octave=1", 12),
        ("G treble+8", 12),
        ("F -8va", -12),
        ("C bass", 0),
        ("clef=alto m=D", 0),
    ],
)
def test_what_moves_the_sound(text: str, semitones: int) -> None:
    assert shift_of(text) == semitones
