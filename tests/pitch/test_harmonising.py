"""Harmonisations hold the melody where it belongs, and the cheapest come first."""

from __future__ import annotations

from fractions import Fraction
from itertools import combinations, pairwise, product

import pytest

from sonorarium.errors import InputError, NothingFoundError
from sonorarium.pcs.collection import collection
from sonorarium.pcs.families import default_family
from sonorarium.pcs.pcset import PcSet
from sonorarium.pcs.roughness import roughness
from sonorarium.pitch.candidates import Compass
from sonorarium.pitch.harmonising import Harmonisations, Place, Setting, harmonise, reharmonise
from sonorarium.pitch.melody import MelodyNote, Span, read_melody
from sonorarium.pitch.palette import palette
from sonorarium.pitch.realising import Taste
from tests.pitch.test_progression import price

ALL = 10**6
SCALE = collection("D double harmonic")
TUNE = "D5 Eb5:1/2 F#5 G5 F#5:2"


def allowed(pitch: int, chord: PcSet, voices: int, room: range, place: Place) -> list[tuple[int, ...]]:
    """Every voicing with the melody where it belongs, by trying every choice of pitches."""
    found = []
    for row in combinations([p for p in room if p % 12 in chord], voices):
        where = {"top": row[-1:], "inner": row[1:-1], "any": row}[place]
        if {p % 12 for p in row} == set(chord) and pitch in where:
            found.append(row)
    return found


@pytest.mark.parametrize("place", ["top", "inner", "any"])
def test_every_harmonisation_is_listed_in_order_of_price(place: Place) -> None:
    chords = palette("3-11", "3-12", inside=(collection("C major"), collection("C harmonic minor")))
    taste = Taste(smooth=1.5, parallels=4, rough=2, variety=3, home=5)
    setting = Setting(voices=3, compass=Compass(55, 72), place=place, taste=taste)
    pitches = (67, 65, 68) if place == "inner" else (72, 71, 68)
    melody = tuple(map(MelodyNote, pitches))
    places = [
        [(row, chord) for chord in chords.chords for row in allowed(pitch, chord, 3, range(55, 73), place)]
        for pitch in pitches
    ]
    expected = []
    for chosen in product(*places):
        total = taste.rough * sum(float(roughness(row)) for row, _ in chosen)
        for (row, chord), (after, next_chord) in pairwise(chosen):
            total += price(row, after, taste) + taste.variety * (chord.set_class == next_chord.set_class)
            total += taste.home * (not any(chord <= home and next_chord <= home for home in chords.homes))
        expected.append(total)
    found = harmonise(melody, chords, rhythm=(1, 1, 1), setting=setting, limit=ALL)
    assert len(expected) == len(found) > 0
    assert [answer.price for answer in found.realisations] == pytest.approx(sorted(expected))
    assert found.realisations.left_out == 0


def test_the_melody_is_on_top_and_in_its_chord() -> None:
    found = harmonise(TUNE, palette("3-11", "4-19", inside=SCALE), limit=5)
    for answer in found.realisations:
        for span, chord, voicing in zip(found.spans, answer.chords, answer.voicings, strict=True):
            assert voicing.pitches[-1] == span.first
            assert all(pitch % 12 in chord for pitch, _ in span.sounding)
            assert voicing.pcset == chord
            assert chord <= SCALE
            assert span.lowest is not None and voicing.pitches[-2] < span.lowest


def test_foreign_notes_pass_where_they_may() -> None:
    chords = palette("3-11", inside="C major")
    melody = read_melody("C5:1/2 D5 E5:1")
    strict = [(chord.pcs, span.sounding) for span, chord in _first(harmonise(melody, chords))]
    assert all(pitch % 12 in pcs for pcs, sounding in strict for pitch, _ in sounding)
    loose = harmonise(melody, chords, rhythm=(1, 1), setting=Setting(foreign=Fraction(1, 2)))
    assert all(span.first is not None and span.first % 12 in chord for span, chord in _first(loose))
    with pytest.raises(NothingFoundError, match="No chord of the palette can stand from quarter 0 to 1"):
        harmonise(melody, chords, rhythm=(1, 1))


def _first(found: Harmonisations) -> list[tuple[Span, PcSet]]:
    return list(zip(found.spans, found[0].chords, strict=True))


def test_a_bass_is_kept() -> None:
    melody, bass = "E5 F5 D5 E5", "C3:1/2 D3:1/2 A2:1 B2 C3"
    found = reharmonise(melody, bass, default_family(), rhythm=(1, 1, 1, 1), limit=4)
    for answer in found.realisations:
        assert [voicing.pitches[0] for voicing in answer.voicings] == [48, 45, 47, 48]
        assert [voicing.pitches[-1] for voicing in answer.voicings] == [76, 77, 74, 76]
        assert answer.voicings[0].pitches[1] > 50
        assert all(voicing.pcset == chord for voicing, chord in zip(answer.voicings, answer.chords, strict=True))
        assert all(default_family().members_holding(chord) for chord in answer.chords)
    with pytest.raises(InputError, match="A melody of 4 quarters over a bass of 3"):
        reharmonise(melody, "C3 A2 B2", default_family())


def test_staying_at_home_is_weighed() -> None:
    """Where it is dear to go where no scale holds both chords, neighbours share one."""
    family = default_family()
    at_home = Setting(taste=Taste(home=1000.0, variety=2.0))
    for answer in reharmonise(TUNE, (), family, rhythm=(1, HALF, HALF, HALF, 2), setting=at_home).realisations:
        for one, other in pairwise(answer.chords):
            assert family.members_holding(one | other)


HALF = Fraction(1, 2)


def test_variety_keeps_classes_from_following_themselves() -> None:
    chords = palette("3-11", "3-10", "3-12")
    dull = harmonise("C5 C5 C5 C5", chords, rhythm=(1,) * 4, setting=Setting(taste=Taste()))
    assert len(set(dull[0].chords)) == 1 and dull[0].price == 0
    varied = harmonise("C5 C5 C5 C5", chords, rhythm=(1,) * 4, setting=Setting(taste=Taste(variety=50)))
    assert all(one.set_class != other.set_class for one, other in pairwise(varied[0].chords))


def test_answers_apart_differ_in_so_many_chords() -> None:
    found = harmonise(TUNE, palette("3-11", "4-19", inside=SCALE), setting=Setting(apart=2), limit=4)
    for i, one in enumerate(found.realisations):
        for other in found.realisations.found[:i]:
            assert sum(a != b for a, b in zip(one.voicings, other.voicings, strict=True)) >= 2


def test_the_melody_may_rest() -> None:
    found = harmonise("C5 r E5", palette("3-11", inside="C major"), rhythm=(1, 1, 1))
    assert found.spans[1].first is None
    assert len(found[0].voicings[1].pitches) == 4


def test_what_cannot_be_harmonised_is_refused() -> None:
    with pytest.raises(NothingFoundError, match="just before quarter 1"):
        harmonise("C#5", palette("3-11", inside="C major"))
    with pytest.raises(InputError, match="makes no passage"):
        harmonise((), palette("3-11"))
    with pytest.raises(InputError, match="no place for a melody"):
        Setting(place="middle")  # type: ignore[arg-type]
    with pytest.raises(InputError, match="1 voices"):
        Setting(voices=1)
