"""German note names, only where asked for."""

from __future__ import annotations

import pytest

from sonorarium.pcs.german import from_german, to_german
from sonorarium.pcs.reading import Readable, read_set


@pytest.mark.parametrize(
    ("german", "english"),
    [
        ("C D E F G A H", "C D E F G A B"),
        ("Cis Dis Eis Fis Gis Ais His", "C# D# E# F# G# A# B#"),
        ("Ces Des Es Fes Ges As B", "Cb Db Eb Fb Gb Ab Bb"),
        ("Cisis Fisis Gisis", "C## F## G##"),
        ("Deses Eses Ases Asas Heses", "Dbb Ebb Abb Abb Bbb"),
        ("es, as, h", "Eb, Ab, B"),
        ("C3 Es3 H3", "C3 Eb3 B3"),
        ("Es-Dur", "Eb major"),
        ("fis moll", "F# minor"),
        ("Es lydisch", "Eb lydisch"),
        ("B7", "Bb7"),
        ("Hm7b5/A", "Bm7b5/A"),
        ("As/C", "Ab/C"),
        ("As over H7", "Ab over B7"),
        ("Asus4", "Asus4"),
        ("Esus4", "Esus4"),
        ("Essus4", "Ebsus4"),
        ("Asmaj7", "Abmaj7"),
        ("Hmin7", "Bmin7"),
        ("6-Z10B on Es", "6-Z10B on Eb"),
        ("harmonic minor on H", "harmonic minor on B"),
        ("blues on B", "blues on Bb"),
        ("0 4 8 11", "0 4 8 11"),
    ],
)
def test_names_are_turned(german: str, english: str) -> None:
    assert from_german(german) == english


@pytest.mark.parametrize(
    ("german", "english"),
    [("Es double harmonic", "Eb double harmonic"), ("H", "B"), ("B", "Bb"), ("Es G B", "Eb G Bb")],
)
def test_read_as_what_they_mean(german: str, english: str) -> None:
    meant: Readable = read_set(german, german=True)
    assert meant == read_set(english)


@pytest.mark.parametrize(
    ("english", "german"),
    [
        ("C D E F G A B", "C D E F G A H"),
        ("Bb Eb Ab Bbb Ebb Abb F##", "B Es As Heses Eses Ases Fisis"),
        ("Bb3 B3", "B3 H3"),
        ("{B}", "{H}"),
        ("B7/B", "H7/H"),
        ("Bb7", "B7"),
        ("Bb dorian", "Bb dorian"),
        ("4-19 on B", "4-19 on H"),
    ],
)
def test_names_are_turned_back(english: str, german: str) -> None:
    assert to_german(english) == german
    assert read_set(to_german(english), german=True) == read_set(english)
