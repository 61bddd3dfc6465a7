"""A progression is realised as smoothly as it can be, by trying everything on small lines."""

from __future__ import annotations

from itertools import combinations, pairwise, product

import pytest

from sonorarium.errors import InputError, NothingFoundError
from sonorarium.pcs.pcset import PcSet
from sonorarium.pcs.roughness import roughness
from sonorarium.pitch.candidates import Compass
from sonorarium.pitch.progression import read_progression, realise
from sonorarium.pitch.realising import Taste
from sonorarium.pitch.voicing import Voicing

ALL = 10**6
Row = tuple[int, ...]


def price(one: Row, other: Row, taste: Taste) -> float:
    moved = [abs(b - a) for a, b in zip(one, other, strict=True)]
    total = taste.smooth * sum(moved)
    for v, w in combinations(range(len(one)), 2):
        apart = one[w] - one[v], other[w] - other[v]
        same_way = (other[v] - one[v]) * (other[w] - one[w]) > 0
        if same_way and apart[0] % 12 == apart[1] % 12 and apart[0] % 12 in (0, 7):
            total += taste.parallels
    if taste.leap is not None and max(moved) > taste.leap:
        return float("inf")
    return total


def rows_of(notes: PcSet, voices: int, compass: Compass, omit: int = 0) -> list[Row]:
    """Every voicing, by trying every choice of pitches."""
    found = []
    for row in combinations([p for p in range(compass.low, compass.high + 1) if p % 12 in notes], voices):
        missing = len(set(notes) - {p % 12 for p in row})
        gaps = [b - a for a, b in pairwise(row)]
        near = all(gap <= (compass.gap or 99) for gap in (gaps[1:] if voices > 2 else gaps))
        if missing <= omit and near and row[-1] - row[0] <= (compass.span or 99):
            found.append(row)
    return found


@pytest.mark.parametrize(
    ("line", "voices", "taste"),
    [
        (("C", "F", "G"), 3, Taste()),
        (("Dm7", "G7", "Cmaj7"), 4, Taste(parallels=float("inf"))),
        (("C", "Db", "C"), 4, Taste(parallels=0.5, leap=5)),
        (("C E Ab B", "D F# A C#", "E G"), 4, Taste(smooth=0.5, rough=3.0)),
    ],
)
def test_every_realisation_is_listed_in_order_of_price(line: tuple[str, ...], voices: int, taste: Taste) -> None:
    from sonorarium.pcs.reading import read_set, set_of

    compass = Compass(50, 67, gap=12)
    found = realise(line, voices=voices, compass=compass, taste=taste, limit=ALL)
    places = [rows_of(set_of(read_set(chord)), voices, compass) for chord in line]
    expected = []
    for rows in product(*places):
        steps = sum(price(one, other, taste) for one, other in pairwise(rows))
        total = steps + taste.rough * sum(float(roughness(row)) for row in rows)
        if total < float("inf"):
            expected.append(total)
    assert len(found) == len(expected) > 0
    assert [answer.price for answer in found] == pytest.approx(sorted(expected))
    assert found.left_out == 0 and not found.cut


def test_the_whole_line_is_smoother_than_step_by_step() -> None:
    """Going greedily from each chord to the nearest voicing of the next costs more here."""
    compass = Compass(48, 72, gap=9)
    line = ("C", "Ebm7", "Abmaj7", "D7")
    best = realise(line, voices=4, compass=compass, taste=Taste(parallels=0))[0]
    from sonorarium.pcs.reading import read_set, set_of

    places = [rows_of(set_of(read_set(chord)), 4, compass) for chord in line]
    greedy = []
    for start in places[0]:
        rows = [start]
        for place in places[1:]:
            rows.append(min(place, key=lambda row: (price(rows[-1], row, Taste(parallels=0)), row)))
        greedy.append(sum(price(a, b, Taste(parallels=0)) for a, b in pairwise(rows)))
    assert best.price <= min(greedy)
    assert best.movement == best.price


def test_what_is_given_is_kept() -> None:
    found = realise("C3 G3 E4 C5 ; F/A ; 4-27 ; C3 G3 E4 B4", limit=5, compass=Compass(45, 79))
    for answer in found:
        assert answer.voicings[0] == Voicing((48, 55, 64, 72))
        assert answer.voicings[-1] == Voicing((48, 55, 64, 71))
        assert answer.voicings[1].pitches[0] % 12 == 9
        assert answer.chords[2].set_class.label == "4-27"
        assert all(voicing.pcset <= chord for voicing, chord in zip(answer.voicings, answer.chords, strict=True))


def test_names_come_from_the_line() -> None:
    found = realise("A7 | Db", voices=4)[0]
    names = {move.names[0].text for move in found.leadings[0].moves}
    assert "C#" in names and "Db" not in names
    assert "Db" in {move.names[1].text for move in found.leadings[0].moves}


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ("Dm7 | G7 | Cmaj7", ("Dm7", "G7", "Cmaj7")),
        ("| Dm7 | G7 |", ("Dm7", "G7")),
        ("Ab|C7 ; F", ("Ab|C7", "F")),
        ("Dm7 G7 C", ("Dm7", "G7", "C")),
        ("C E G", ("C E G",)),
        ("C E G -> 4-19\n[0148] on D", ("C E G", "4-19", "[0148] on D")),
    ],
)
def test_a_line_is_parted(text: str, parts: tuple[str, ...]) -> None:
    assert read_progression(text) == parts


def test_what_cannot_be_realised_is_refused() -> None:
    with pytest.raises(InputError, match="'Q7' was not understood"):
        read_progression("C | Q7")
    with pytest.raises(InputError, match="No chord was typed"):
        read_progression(" ; ")
    with pytest.raises(InputError, match="C9 has 5 notes, and there are 4 voices"):
        realise("C9 | F", voices=4)
    assert realise("C9 | F", voices=4, omit=1)[0].voicings
    with pytest.raises(InputError, match="has 3 notes, and there are 4 voices"):
        realise("C3 E3 G3 | F7")
    with pytest.raises(NothingFoundError, match=r"^C finds no place"):
        realise("C | F#7", voices=4, compass=Compass(60, 64))
    with pytest.raises(NothingFoundError, match="No row of voicings"):
        realise("C | F#", taste=Taste(leap=0))
    with pytest.raises(InputError, match="0 answers"):
        realise("C | F", limit=0)


def test_what_is_left_out_is_said() -> None:
    wide = realise("C | F", voices=5, compass=Compass(24, 96))
    assert wide.left_out > 0
    assert wide.cut
