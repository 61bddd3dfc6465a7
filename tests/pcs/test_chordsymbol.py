"""Chord symbols: the trade's spellings, printing and reading back, and two outside readers."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sonorarium.errors import InputError
from sonorarium.pcs.chordfit import qualities_of
from sonorarium.pcs.chordquality import Quality, Style, bases
from sonorarium.pcs.chordsymbol import Chord, chord, read_quality, simplest_root
from sonorarium.pcs.spelling import Spelled, read_note
from tests.pcs.test_spelling import ROOTS

STYLES: tuple[Style, ...] = ("maj7", "M7", "Δ")
QUALITIES = st.integers(0, 2047).flatmap(lambda m: st.sampled_from(qualities_of(2 * m + 1) or (Quality(),)))


@pytest.mark.parametrize(
    ("texts", "notes"),
    [
        ("C CM Cmaj CMaj Cma C♮", "C E G"),
        ("Cm C- Cmi Cmin Cminor CMIN", "C Eb G"),
        ("C° Co Cdim CDIM", "C Eb Gb"),
        ("C+ Caug C(#5) C+5", "C E G#"),
        ("C5", "C G"),
        ("C(b5) C-5", "C E Gb"),
        ("C6 Cmaj6 CM6", "C E G A"),
        ("Cm6 C-6 Cmin6", "C Eb G A"),
        ("C6/9 C69 C6add9", "C E G A D"),
        ("C7 Cdom7", "C E G Bb"),
        ("Cmaj7 CMaj7 CMAJ7 CMA7 CM7 CΔ CΔ7 C∆7 C△7 C^ C^7 Cj7 C7M C(maj7)", "C E G B"),
        ("Cm7 C-7 Cmi7 CMI7 CMi7 Cmin7 C−7", "C Eb G Bb"),
        ("CmM7 CmMaj7 Cm(maj7) Cm(M7) C-Δ7 C-Δ C-^7 CminMaj7 CmΔ", "C Eb G B"),
        ("Cø Cø7 C⌀7 CØ7 Cm7b5 Cm7(b5) C-7b5 C-7♭5 Cmin7b5 Cm7-5", "C Eb Gb Bb"),
        ("C°7 Co7 Cdim7 Cº7", "C Eb Gb Bbb"),
        ("C°Δ7 CdimM7 Cdim(maj7) Comaj7", "C Eb Gb B"),
        ("C+7 C7+ C7#5 C7+5 Caug7 C7(#5)", "C E G# Bb"),
        ("C+M7 C+Δ7 Cmaj7#5 CM7+5 CΔ7#5 Cmaj7(♯5) Caugmaj7", "C E G# B"),
        ("C9 C7/9", "C E G Bb D"),
        ("Cmaj9 CM9 CΔ9", "C E G B D"),
        ("Cm9 C-9", "C Eb G Bb D"),
        ("C+9 C9#5", "C E G# Bb D"),
        ("C11", "C E G Bb D F"),
        ("C13", "C E G Bb D F A"),
        ("C13no11 C13(no11) C13omit11", "C E G Bb D A"),
        ("C7b9 C7(b9) C7-9 C7♭9", "C E G Bb Db"),
        ("C7#9 C7(#9) C7+9 C7#2", "C E G Bb D#"),
        ("C7b9#11 C7(b9,#11) C7(b9)(#11) C7#11b9", "C E G Bb Db F#"),
        ("C7#11 C7#4 C7+11", "C E G Bb F#"),
        ("C7alt Calt C7altered", "C E Gb G# Bb Db D#"),
        ("Csus Csus4 CSUS4", "C F G"),
        ("Csus2", "C D G"),
        ("Csus24 Csus2sus4 Csus42", "C D F G"),
        ("C7sus C7sus4 Csus7 Cm7sus4", "C F G Bb"),
        ("C9sus4 C9sus", "C F G Bb D"),
        ("C7sus4b9 C7b9sus4 C7sus4(b9)", "C F G Bb Db"),
        ("Cadd9 C(add9) C(9) C/9", "C E G D"),
        ("Cm(add9) Cmadd9 C-add9", "C Eb G D"),
        ("Cmadd11 Cm(11)", "C Eb G F"),
        ("Caddb9 C(addb9) C(b9)", "C E G Db"),
        ("C7(13) C7add13", "C E G Bb A"),
        ("Cm7/11 Cm7add11", "C Eb G Bb F"),
        ("C7no5 C7(no5) C7omit5 C7no5th", "C E Bb"),
        ("C9(no3) C9no3", "C G Bb D"),
        ("Ebmaj7#5 ebmaj7#5 E♭maj7♯5", "Eb G B D"),
        ("Bb-7 bb-7 B♭m7", "Bb Db F Ab"),
        ("F#m7b5/E", "E F# A C"),
        ("E/C", "C E G# B"),
        ("C6/9/F#", "F# C E G A D"),
        ("Fx7", "F## A## C## E#"),
    ],
)
def test_the_trades_spellings(texts: str, notes: str) -> None:
    """Common practice; the notes written out by hand."""
    wanted = {read_note(n) for n in notes.split()}
    for text in texts.split():
        assert set(chord(text).spelling) == wanted, text


@pytest.mark.parametrize(
    ("text", "symbol"),
    [
        ("C dominant seventh sharp nine", "C7#9"),
        ("C major seventh", "Cmaj7"),
        ("Eb minor major seventh chord", "EbmMaj7"),
        ("C half-diminished seventh", "Cm7b5"),
        ("C half diminished", "Cm7b5"),
        ("F# diminished seventh", "F#dim7"),
        ("C augmented triad", "Caug"),
        ("C suspended fourth", "Csus4"),
        ("C major triad added ninth", "Cadd9"),
        ("C dominant thirteenth without eleventh", "C13no11"),
        ("C maj 7 # 11", "Cmaj7#11"),
        ("C b5", "C(b5)"),
    ],
)
def test_words(text: str, symbol: str) -> None:
    assert chord(text).symbol == symbol


@pytest.mark.parametrize(
    ("text", "complaint"),
    [
        ("Cmaj7x5", "'x5' in 'Cmaj7x5' was not understood"),
        ("Cfoo", "'foo' in 'Cfoo' was not understood"),
        ("C77", "'7' in 'C77' was not understood"),
        ("Cm5", "'m5' in 'Cm5' is no chord quality"),
        ("C7no11", "'C7no11' is no chord symbol: A chord without 11"),
        ("Hm7", "'Hm7' does not begin with a note"),
        ("C E G", "was not understood"),
        ("Calt9", "is no chord quality"),
    ],
)
def test_what_is_no_symbol(text: str, complaint: str) -> None:
    with pytest.raises(InputError) as caught:
        chord(text)
    assert complaint in str(caught.value)


def test_every_symbol_of_the_vocabulary_reads_back() -> None:
    """Over all 2,048 sets above a root: print in each house style, read, and have the same quality."""
    count = 0
    for mask in range(1, 4096, 2):
        for quality in qualities_of(mask):
            count += 1
            for style in STYLES:
                assert read_quality(quality.text(style)) == quality
    assert count > 1000


@pytest.mark.parametrize("root", ROOTS, ids=lambda r: r.text)
def test_every_base_on_every_root_reads_back(root: Spelled) -> None:
    for base in bases():
        for bass in (None, *ROOTS):
            made = Chord(root, Quality(base), bass if bass and bass.pc != root.pc else None)
            for style in STYLES:
                assert chord(made.symbol_in(style)) == made
                assert chord(made.sign(style)) == made


@given(st.sampled_from(ROOTS), QUALITIES, st.none() | st.sampled_from(ROOTS))
def test_a_chord_is_its_notes(root: Spelled, quality: Quality, bass: Spelled | None) -> None:
    made = Chord(root, quality, bass if bass and bass.pc != root.pc else None)
    assert {n.pc for n in made.spelling} == set(made.pcs)
    assert len({n.pc for n in made.spelling}) == len(made.spelling), "two names for one note"
    assert made.rising[0] == (made.bass or made.root).pc or "1" not in quality.degrees
    assert eval(repr(made), {"chord": chord}) == made
    assert made.words.startswith(root.text)


def test_the_bass_takes_the_chords_name() -> None:
    assert chord("C7/A#").symbol == "C7/Bb"
    assert chord("C/C").bass is None


def test_house_styles() -> None:
    made = chord("F#m7b5")
    assert [made.symbol_in(style) for style in STYLES] == ["F#m7b5", "F#m7b5", "F#ø7"]
    assert [chord("Bbmaj9").symbol_in(style) for style in STYLES] == ["Bbmaj9", "BbM9", "BbΔ9"]
    assert chord("Bb7b9/Ab").sign() == "B♭7♭9/A♭"


def test_simplest_roots() -> None:
    """Common practice: D flat major but C sharp minor."""
    assert simplest_root(1, Quality()).text == "Db"
    assert simplest_root(1, Quality("m")).text == "C#"
    assert simplest_root(11, Quality("7")).text == "B"


FIGURES = (
    "C Cm C+ Cdim C7 Cmaj7 Cm7 CmM7 Cø7 Cdim7 C9 Cm9 C11 C13 Cm11 C6 Cm6 Csus2 Csus4 F#m7 G7b9 C7b5 Am7/G E/C D9/F#"
)


@pytest.mark.parametrize("figure", FIGURES.split())
def test_against_a_general_purpose_library(figure: str) -> None:
    """music21 reads the same figures as the same sets (test-only reference)."""
    from music21 import harmony

    theirs = {int(p.pitchClass) for p in harmony.ChordSymbol(figure).pitches}
    assert theirs == set(chord(figure).pcs)


def test_against_a_published_table() -> None:
    """musictheory.education, level 8, "8.13 Chord symbols", all rows but one.

    The row left out is C(b9), which that table takes for a seventh chord; here it has no seventh, as it says.
    """
    table = {
        "C(b5)": "C E Gb",
        "C7(b5)": "C E Gb Bb",
        "C7(-5)": "C E Gb Bb",
        "C+7": "C E G# Bb",
        "C7(#5)": "C E G# Bb",
        "C9": "C E G Bb D",
        "CΔ9": "C E G B D",
        "Cadd9": "C E G D",
        "C9(#5)": "C E G# Bb D",
        "C9(b5)": "C E Gb Bb D",
        "C11": "C E G Bb D F",
        "Cadd11": "C E G F",
        "C13": "C E G Bb D F A",
        "Cadd13": "C E G A",
    }
    for symbol, notes in table.items():
        assert [n.text for n in chord(symbol).spelling] == notes.split(), symbol
