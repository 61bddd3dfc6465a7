"""What people type: every form, the ambiguous ones, and what is said of the rest."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sonorarium.errors import InputError
from sonorarium.pcs import catalogue
from sonorarium.pcs.chordsymbol import chord
from sonorarium.pcs.collection import Collection, collection, degrees
from sonorarium.pcs.pcset import PcSet
from sonorarium.pcs.pitches import read_pitches
from sonorarium.pcs.reading import Readable, read_set, readings, set_of
from sonorarium.pcs.scales import find_kind
from sonorarium.pcs.setclass import SetClass
from sonorarium.pcs.spelling import Spelled, read_note
from sonorarium.pcs.stacks import interval_stack, stacked
from tests.pcs.test_spelling import ROOTS

NAMES = ("C", "C#", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B")
SETS = st.integers(0, 4095).map(PcSet.of_mask)

FORMS: list[tuple[str, Readable]] = [
    # scales
    ("D double harmonic", collection("D double harmonic")),
    ("F# mixolydian b6", collection("F# mixolydian b6")),
    ("F♯ mixolydian ♭6", collection("F# mixolydian b6")),
    ("Eb Lydian", collection("Eb lydian")),
    ("D-dorian", collection("D dorian")),
    ("dorian on D", collection("D dorian")),
    ("double harmonic in D", collection("D double harmonic")),
    ("c  LYDIAN   dominant", collection("C acoustic")),
    ("Messiaen mode 3 transposition 2", collection("Db Messiaen mode 3")),
    ("mode 2 t3", collection("D octatonic semitone-tone")),
    # degrees of a scale
    ("1 3 5 7 of D double harmonic", degrees("1 3 5 7 of D double harmonic")),
    ("1-3-5 in C minor", degrees("1 3 5 of C minor")),
    # chords
    ("Ebmaj7#5", chord("Ebmaj7#5")),
    ("G7alt", chord("G7alt")),
    ("E/C", chord("E/C")),
    ("C half-diminished", chord("Cm7b5")),
    ("Ab over C7", stacked("Ab over C7")),
    ("Ab|C7", stacked("Ab over C7")),
    ("Ab/C7", stacked("Ab over C7")),
    ("fourths 4-#4-4 on C", interval_stack("fourths 4-#4-4 on C")),
    # notes
    ("C E Ab B", PcSet((0, 4, 8, 11))),
    ("c e a♭ b", PcSet((0, 4, 8, 11))),
    ("C, E, Ab, B", PcSet((0, 4, 8, 11))),
    ("{C E Ab B}", PcSet((0, 4, 8, 11))),
    ("C-E-Ab-B", PcSet((0, 4, 8, 11))),
    ("Fx A## Bbb E♯", PcSet((5, 7, 9, 11))),
    ("C3 G3 E4", read_pitches("C3 G3 E4")),
    ("C4 G4", read_pitches("C4 G4")),
    # numbers
    ("0 4 8 11", PcSet((0, 4, 8, 11))),
    ("{0,4,8,t}", PcSet((0, 4, 8, 10))),
    ("0 4 a b", PcSet((0, 4, 10, 11))),
    ("0, 4, 8, E", PcSet((0, 4, 8, 11))),
    ("[0,1,4,8]", PcSet((0, 1, 4, 8))),
    ("0-4-8-11", PcSet((0, 4, 8, 11))),
    ("0148", PcSet((0, 1, 4, 8))),
    ("7", PcSet((7,))),
    ("0 4 7 on D", PcSet((2, 6, 9))),
    ("mask 2321", PcSet((0, 4, 8, 11))),
    ("0b100100010001", PcSet((0, 4, 8, 11))),
    # classes
    ("4-19", SetClass("4-19")),
    ("6-z10b", SetClass("6-Z10B")),
    ("6-10", SetClass("6-Z10")),
    ("[0148]", SetClass("4-19")),
    ("(0148)", SetClass("4-19")),
    ("[02468t]", SetClass("6-35")),
    ("6-Z10B on G", PcSet((1, 2, 7, 9, 10, 11))),
    ("[0148] on F", PcSet((1, 5, 6, 9))),
    # steps and degrees
    ("1-3-1-2-1-3-1 on D", collection("D double harmonic")),
    ("1 3 1 2 1 3 1 on D", collection("D double harmonic")),
    ("W W H W W W H on C", collection("C major")),
    ("T-T-S-T-T-T-S on Eb", collection("Eb major")),
    ("4-4-3 on C", PcSet((0, 4, 8, 11))),
    ("5-5-5-5 on D", collection("D minor pentatonic #5")),
    ("2-2-1-2-2-2-1", SetClass("7-35")),
    ("2 2 1 2 2 2 1", SetClass("7-35")),
    ("1 b3 5 7 on C", PcSet((0, 3, 7, 11))),
    ("1 ♭3 5 on F♯", PcSet((1, 6, 9))),
    ("1 3 5 on C", PcSet((0, 4, 7))),
    ("1 b3 5 b7", SetClass("4-26")),
    ("1 2 3 5 6 on C", collection("C major pentatonic")),
]


@pytest.mark.parametrize(("text", "meant"), FORMS, ids=[text for text, _ in FORMS])
def test_forms(text: str, meant: Readable) -> None:
    assert read_set(text) == meant
    assert readings(text)[0] == meant


@pytest.mark.parametrize(
    ("text", "meant"),
    [
        ("C", [chord("C"), PcSet((0,))]),
        ("c", [chord("C"), PcSet((0,)), chord("Cm")]),
        ("Ab", [chord("Ab"), PcSet((8,))]),
        ("a minor", [collection("A minor"), chord("Am")]),
        ("C major", [collection("C major"), chord("C")]),
        ("C diminished", [chord("Cdim"), collection("C octatonic tone-semitone")]),
        ("C augmented", [chord("Caug"), collection("C hexatonic third-semitone")]),
        ("C altered", [collection("C altered"), chord("C7alt")]),
        ("B b", [PcSet((10,)), PcSet((11,)), chord("Bb")]),
        ("C A b", [PcSet((0, 8)), PcSet((0, 9, 11))]),
        ("a b c", [PcSet((0, 9, 11)), PcSet((0, 8))]),
        ("Bb-7", [chord("Bbm7")]),
        ("C-7", [chord("Cm7")]),
        ("C4", [read_pitches("C4"), chord("Cadd4")]),
        ("C7", [chord("C7"), read_pitches("C7")]),
        ("C5", [chord("C5"), read_pitches("C5")]),
        ("Cb5", [chord("Cb5"), read_pitches("Cb5"), chord("C(b5)")]),
        ("C E G", [PcSet((0, 4, 7))]),
        ("b", [chord("B"), PcSet((11,)), chord("Bm")]),
        ("{C}", [PcSet((0,))]),
        ("{C7}", [read_pitches("C7")]),
        ("E/C", [chord("E/C"), stacked("E over C")]),
        ("Ab over C", [stacked("Ab over C"), chord("Ab/C")]),
        ("1-3-5 on C", [PcSet((0, 1, 4, 9)), PcSet((0, 4, 7))]),
        ("0148", [PcSet((0, 1, 4, 8)), SetClass("4-19")]),
        ("M7", []),
    ],
)
def test_what_can_mean_several_things(text: str, meant: list[Readable]) -> None:
    assert list(readings(text)) == meant


def test_letter_case_of_major_and_minor() -> None:
    assert read_set("CM7") == chord("Cmaj7")
    assert read_set("Cm7") == chord("Cm7")
    assert read_set("cM7") == chord("Cmaj7")


@given(SETS.filter(bool))
def test_a_set_reads_back_from_numbers_and_names(pcset: PcSet) -> None:
    numbers = ",".join("0123456789te"[pc] for pc in pcset.pcs)
    if pcset != PcSet((11,)):  # {e} is the note E
        assert read_set(f"{{{numbers}}}") == pcset
    assert read_set(f"{{{','.join(map(str, pcset.pcs))}}}") == pcset
    assert read_set(f"mask {pcset.mask}") == pcset
    if len(pcset) > 1:
        assert read_set(" ".join(NAMES[pc] for pc in pcset.pcs)) == pcset


def test_every_label_reads_back_alone_and_in_every_place() -> None:
    for label in (*catalogue.tni_labels(), *catalogue.tn_labels()):
        named = SetClass(label)
        assert read_set(label) == named
        if named.cardinality:
            for root in ROOTS:
                placed = set_of(read_set(f"{label} on {root.text}"))
                assert placed in named
                assert root.pc in placed


@given(st.sampled_from([SetClass(label) for label in catalogue.tni_labels() if label not in ("0-1",)]))
def test_every_prime_form_reads_back(named: SetClass) -> None:
    digits = "".join("0123456789te"[pc] for pc in named.prime_form)
    assert read_set(f"[{digits}]") == named


@given(st.sampled_from(ROOTS), SETS)
def test_steps_and_degrees_agree(note: Spelled, pcset: PcSet) -> None:
    """A set from its root by steps and by degrees is the same set."""
    rooted = pcset | PcSet((0,))
    steps = rooted.steps
    if len(steps) < 3:
        return
    by_steps = read_set(f"{'-'.join(map(str, steps))} on {note.text}")
    names = ["1", "b2", "2", "b3", "3", "4", "#4", "5", "b6", "6", "b7", "7"]
    by_degrees = read_set(f"{' '.join(names[pc] for pc in rooted.pcs)} on {note.text}")
    assert set_of(by_steps) == set_of(by_degrees) == rooted.transposed(note.pc)


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ("", ["Nothing was typed"]),
        ("   ", ["Nothing was typed"]),
        ("D doble harmonic", ["'doble harmonic' in 'D doble harmonic'", "D double harmonic"]),
        ("C mixolidian", ["'mixolidian'", "C mixolydian"]),
        ("Dmjaor", ["'mjaor'", "D major"]),
        ("double harmonic", ["'double harmonic' has no root", "C double harmonic"]),
        ("Cmaj7x5", ["'x5' in 'Cmaj7x5'", "Cmaj7#5"]),
        ("C#mi77", ["'7' in 'C#mi77'", "C#m7"]),
        ("C E J", ["'J' in 'C E J' is not a note name"]),
        ("H dorian", ["'H' in 'H dorian' is not a note name", "B dorian", "German"]),
        ("4-99", ["There is no set class 4-99", "numbered 1 to 29"]),
        ("0 4 13", ["13 is not a pitch class"]),
        ("1 3 9 of C major", ["C major has no degree 9"]),
        ("1 3 5 of C majr", ["There is no scale called 'majr'", "major"]),
        ("fourths 4-5 on C", ["4-5 are not all fourths"]),
        ("Ab over xyz", ["'xyz' does not begin with a note"]),
        ("mode 8", ["no mode of limited transposition 8"]),
        ("mask 9999", ["9999 is not the number of a set"]),
        ("hello world", ["'hello world' was not understood"]),
        ("C7no11", ["A chord without 11 cannot leave it out"]),
        ("3-3-3-x on C", ["'3-3-3-x on C' was not understood"]),
    ],
)
def test_what_is_not_understood(text: str, parts: list[str]) -> None:
    with pytest.raises(InputError) as caught:
        read_set(text)
    for part in parts:
        assert part in str(caught.value)
    assert caught.value.suggestion or "no chord" in str(caught.value)
    assert readings(text) == ()


@given(st.text(max_size=12) | st.text("ABCDEFGabcdefgmMj#b♭♯°øΔ^+-/|()[]{}0123456789 ,onusdimaj", max_size=12))
def test_nothing_typed_breaks_it(text: str) -> None:
    """Whatever is typed, either it has readings or a sentence says why not."""
    found = readings(text)
    if found:
        assert read_set(text) == found[0]
        assert all(0 <= set_of(meant).mask <= 4095 for meant in found)
    else:
        with pytest.raises(InputError):
            read_set(text)
    readings(text, german=True)


def test_set_of() -> None:
    assert set_of(SetClass("4-19B")) == PcSet((0, 3, 4, 8))
    assert set_of(Collection(read_note("C"), find_kind("major"))) == PcSet((0, 2, 4, 5, 7, 9, 11))
