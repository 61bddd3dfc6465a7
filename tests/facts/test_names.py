"""Published names and common practice, one row of ``names.csv`` each, against what the program reads and prints."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from sonorarium.pcs.chordsymbol import chord
from sonorarium.pcs.collection import Collection, collection
from sonorarium.pcs.melakarta import melakarta_pcs, melakartas
from sonorarium.pcs.pcset import PcSet
from sonorarium.pcs.reading import read_set, set_of
from sonorarium.pcs.scales import find_kind
from sonorarium.pcs.spelling import read_note
from sonorarium.pcs.stacks import stacked
from tests.facts.table import Row, rows

ROWS = {row.id: row for row in rows("names")}


def _on_c(name: str) -> list[int]:
    return list(collection(f"C {name}").pcs)


def _modes(given: Any, expected: Any) -> None:
    assert {name: _on_c(name) for name in given["modes"]} == expected
    rotations = [sorted(mode.heights) for mode in collection("C ionian").modes]
    assert rotations == [expected[name] for name in given["modes"]]


def _melodic_minor(given: Any, expected: Any) -> None:
    scale = collection("C melodic minor")
    assert list(scale.rising) == given["base"]
    for degree, pcs in expected.items():
        assert sorted(scale.modes[int(degree) - 1].heights) == pcs
    names = {"3": "lydian augmented", "4": "acoustic", "5": "mixolydian b6", "6": "locrian natural 2", "7": "altered"}
    assert {degree: _on_c(name) for degree, name in names.items()} == expected
    assert find_kind("lydian dominant") is find_kind("acoustic")


def _melakarta(given: Any, expected: Any) -> None:
    assert {str(n): list(melakarta_pcs(n)) for n in given["melakarta"]} == expected
    names = (
        "8 Hanumatodi, 15 Mayamalavagowla, 20 Natabhairavi, 21 Keeravani, 22 Kharaharapriya, 23 Gourimanohari, "
        "26 Charukesi, 27 Sarasangi, 28 Harikambhoji, 29 Dheerasankarabharanam, 57 Simhendramadhyamam, "
        "64 Vachaspati, 65 Mechakalyani, 1 Kanakangi, 36 Chalanata, 72 Rasikapriya, 39 Jhalavarali"
    )
    for number, name in (pair.split() for pair in names.split(", ")):
        assert melakartas()[int(number) - 1].name == name
        if number in expected:
            assert _on_c(name) == expected[number]


def _melakarta_count(given: Any, expected: Any) -> None:
    assert given == {"melakarta": "1..72"}
    sets = [PcSet(m.pcs) for m in melakartas()]
    smooth = [s for s in sets if not any({n % 12, (n + 1) % 12, (n + 2) % 12} <= set(s.pcs) for n in range(12))]
    assert {"Tn": len({s.label for s in sets}), "no_012": len(smooth)} == expected


def _thaats(given: Any, expected: Any) -> None:
    assert {name: _on_c(f"{name} thaat") for name in given["thaats"]} == expected
    melas = (
        "29 Bilaval, 65 Kalyan, 28 Khamaj, 15 Bhairav, 51 Purvi, 53 Marva, 22 Kafi, 20 Asavari, 8 Bhairavi, 45 Todi"
    )
    for number, name in (pair.split() for pair in melas.split(", ")):
        assert tuple(_on_c(name)) == melakarta_pcs(int(number))


def _label_of(*texts: str) -> Callable[[Any, Any], None]:
    """Check that the set has the class, and that each text is read as the same set."""

    def check(given: Any, expected: Any) -> None:
        pcset = PcSet(given["pcs"])
        assert expected == (pcset.label if expected[-1] in "AB" else pcset.set_class.label)
        for text in texts:
            meant = read_set(text)
            assert set_of(meant) == pcset
            assert expected.rstrip("AB") == set_of(meant).set_class.label

    return check


def _library_names(given: Any, expected: Any) -> None:
    from music21 import chord as library

    ours = "C octatonic", "C whole tone", "C major", "Cdim7"
    for pcs, name, text in zip(given["pcs"], expected, ours, strict=True):
        assert library.Chord(pcs).commonName == name
        assert list(set_of(read_set(text)).pcs) == pcs


CHECKS: dict[str, Callable[[Any, Any], None]] = {
    "NAM-001": _modes,
    "NAM-002": _melodic_minor,
    "NAM-003": _melakarta,
    "NAM-004": _melakarta,
    "NAM-006": _melakarta_count,
    "NAM-007": _thaats,
    "NAM-008": _label_of("C major triad"),
    "NAM-009": _label_of("Cm"),
    "NAM-010": _label_of("C7", "C dominant seventh"),
    "NAM-011": _label_of("Cø", "C half-diminished"),
    "NAM-014": _label_of("F B D# G#", "Fø"),
    "NAM-015": _label_of("C over F#", "C E G F# A# C#", "C petrushka scale"),
    "NAM-017": _label_of("C G# B E A"),
    "NAM-018": _label_of("C C# F#"),
    "NAM-019": _label_of("Eb7 over Fb"),
    "NAM-020": _label_of("Ab C D F#"),
    "NAM-021": _label_of("E A D G B", "fourths 4-4-4-4 on B"),
    "NAM-022": _label_of("E7#9", "E G# B D G"),
    "NAM-023": _label_of("B Bb D"),
    "NAM-026": _label_of("C Hungarian major"),
    "NAM-027": _label_of("C Romanian major"),
    "NAM-028": _label_of("C blues"),
    "NAM-029": _label_of("C Hirajoshi"),
    "NAM-032": _label_of("C Kumoi"),
    "NAM-034": _label_of("C Neapolitan major"),
    "NAM-035": _label_of("C Neapolitan minor"),
    "NAM-036": _label_of("C Guidonian hexachord"),
    "NAM-038": _library_names,
}


def test_every_row_has_a_check() -> None:
    assert set(CHECKS) == set(ROWS)


@pytest.mark.parametrize("row", ROWS.values(), ids=list(ROWS))
def test_row(row: Row) -> None:
    CHECKS[row.id](row.input, row.value)


def test_the_augurs_chord_is_two_chords_with_one_name_for_each_note() -> None:
    names = [note.text for note in stacked("Eb7 over Fb").spelling]
    assert len(names) == len(set(names)) == 7


def test_tristan_chord_is_written_otherwise_than_it_is_named() -> None:
    assert chord("Fø").pcset == PcSet(read_note(n).pc for n in ("F", "B", "D#", "G#"))


def test_a_name_means_a_collection() -> None:
    assert isinstance(read_set("C Hirajoshi"), Collection)
