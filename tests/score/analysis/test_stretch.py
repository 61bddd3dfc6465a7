"""What is here: four bars of two staves, by hand, and the demo pieces."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import pytest

from sonorarium.errors import InputError
from sonorarium.pcs.families import read_family
from sonorarium.pcs.pcset import PcSet
from sonorarium.score.analysis.stretch import LEAST_INSIDE, read_stretch
from sonorarium.score.reading import read_score
from sonorarium.score.score import Score
from tests.score.writing import attributes, chord, measure, note, read

DEMO = Path(__file__).parents[3] / "demo" / "pieces"


@pytest.fixture(scope="module")
def score() -> Score:
    """A tune over C, F, G7 and C, with one passing F sharp."""
    tune = ["E5 2 G5 2", "A5 1 G5 1 A5 2", "B5 1 G5 1 F#5 1 D5 1", "E5 4"]
    bass = ["C4 E4", "F3 C4", "G3 F4", "C3 C4"]
    upper = "".join(
        measure(
            (attributes(1) if i == 0 else "")
            + "".join(note(n, int(d)) for n, d in zip(bar.split()[::2], bar.split()[1::2], strict=True)),
            str(i + 1),
        )
        for i, bar in enumerate(tune)
    )
    lower = "".join(
        measure((attributes(1) if i == 0 else "") + note(pair.split()[0], 4) + chord(pair.split()[1], 4), str(i + 1))
        for i, pair in enumerate(bass)
    )
    return read(upper, lower)


def test_verticals_have_places_names_and_chord_symbols(score: Score) -> None:
    here = read_stretch(score, "1-2")
    first, second, *rest = here.verticals
    assert (first.notes, first.onset, first.end, first.place.bar) == (("C4", "E4", "E5"), 0, 2, "1")
    assert (second.notes, second.symbol, second.label) == (("C4", "E4", "G5"), "C", "3-11B")
    assert [vertical.notes[-1] for vertical in rest] == ["A5", "G5", "A5"]
    assert [rest[0].symbol, rest[2].symbol] == ["F", "F"]
    assert rest[0].naming is not None
    assert rest[0].naming.bass == 5
    assert first.naming is None


def test_lines_follow_the_voices(score: Score) -> None:
    lines = read_stretch(score, "3").lines
    assert [(line.part, line.notes) for line in lines] == [
        ("Part 1", ("B5", "G5", "F#5", "D5")),
        ("Part 2", ("G3", "F4")),
    ]
    assert lines[0].pcset == PcSet((2, 6, 7, 11))
    assert lines[0].label == "4-20"


def test_the_whole_and_its_shares(score: Score) -> None:
    here = read_stretch(score, "1")
    assert here.whole == PcSet((0, 4, 7))
    assert here.naming is not None
    assert here.naming.readings[0].symbol == "C"
    assert here.shares[[0, 4, 7]].tolist() == pytest.approx([0.4, 0.4, 0.2])
    assert here.where == "bar 1"


def test_collections_that_hold_all_go_first_and_the_others_by_what_they_hold(score: Score) -> None:
    here = read_stretch(score)
    best = here.collections[0]
    assert (best.member.name, best.foreign) == ("C diatonic", (6,))
    assert best.inside > 0.95
    shares = [holder.inside for holder in here.collections]
    assert shares == sorted(shares, reverse=True)
    assert min(shares) >= LEAST_INSIDE
    without = read_stretch(score, "1-2").collections
    assert [holder.member.name for holder in without if not holder.foreign][:2] == ["C diatonic", "F diatonic"]
    assert all(not one.foreign or other.foreign for one, other in pairwise(without))


def test_a_held_note_belongs_to_the_bars_in_which_it_sounds() -> None:
    tied = note("C4", 4, after='<tie type="start"/>')
    held = note("C4", 4, after='<tie type="stop"/>')
    here = read_stretch(read(measure(attributes(1) + tied) + measure(held, "2")), "2")
    assert here.whole == PcSet((0,))
    assert [(v.onset, v.end) for v in here.verticals] == [(4, 8)]
    assert here.lines[0].notes == ("C4",)


def test_parts_can_be_chosen(score: Score) -> None:
    assert read_stretch(score, "3", parts=("Part 2",)).whole == PcSet((5, 7))
    assert read_stretch(score, (2, 2), parts=(1,)).whole == PcSet((5, 7))


def test_a_rest_holds_nothing() -> None:
    here = read_stretch(read(measure(attributes(1) + note("R", 4))), "1")
    assert (here.verticals, here.lines, here.whole, here.naming) == ((), (), PcSet(), None)
    assert (here.collections, here.scales) == ((), ())


@pytest.mark.parametrize("bars", ["9", (0, 9), (-1, 2), (3, 2)])
def test_bars_that_are_not_there_are_refused(score: Score, bars: str | tuple[int, int]) -> None:
    with pytest.raises(InputError, match="no bar"):
        read_stretch(score, bars)


def test_a_part_that_is_not_there_is_refused(score: Score) -> None:
    with pytest.raises(InputError, match="no part named 'Harp'"):
        read_stretch(score, "1", parts=("Harp",))


def test_the_middle_of_the_well_is_double_harmonic() -> None:
    """Piece 3, bars 10 to 16: G double harmonic, by demo/PIECES.md."""
    family = read_family('name = "kin"\nscales = ["double harmonic", "harmonic minor", "harmonic major"]')
    here = read_stretch(read_score(DEMO / "3-the-well.musicxml"), "10-16", family=family)
    first = here.collections[0]
    assert (first.member.name, first.foreign, first.missing) == ("G double harmonic", (), ())
    assert here.whole.label == "7-22"
    assert any("double harmonic" in degrees.name for degrees in here.scales)
