"""Which symbols say exactly a set: nothing missing, nothing too much."""

from __future__ import annotations

from sonorarium.pcs.chordfit import Cost, qualities_of, quality_cost
from sonorarium.pcs.chordquality import Quality, bases, degree_number
from sonorarium.pcs.pcset import PcSet


def test_every_quality_says_exactly_its_set() -> None:
    for mask in range(1, 4096, 2):
        found = qualities_of(mask)
        assert len(found) <= 4
        costs = [quality_cost(q).total for q in found]
        assert costs == sorted(costs)
        for quality in found:
            assert quality.mask == mask
            assert quality.canonical == quality


def test_a_member_that_is_missing_is_printed() -> None:
    for mask in range(1, 4096, 2):
        for quality in qualities_of(mask):
            if quality.sus:
                continue
            present = {degree_number(d) for d in quality.degrees}
            required = {degree_number(d) for d in bases()[quality.base].degrees}
            assert required - present == {int(n) for n in quality.omitted}
            assert not present & {int(n) for n in quality.omitted}


def test_every_base_is_its_own_first_reading() -> None:
    """Except the open fifth, which is no base of other chords, and those that are another chord in this rotation."""
    for symbol in bases():
        first = qualities_of(Quality(symbol).mask)
        assert symbol == "5" or first[0] == Quality(symbol), symbol


def test_no_two_readings_hear_the_same_degrees() -> None:
    found = [q.text() for q in qualities_of(PcSet((0, 4, 7, 9)).mask)]
    assert found == ["6"]
    assert "9b9" not in [q.text() for q in qualities_of(PcSet((0, 1, 4, 7, 10)).mask)]


def test_costs() -> None:
    assert quality_cost(Quality("7")) == Cost()
    assert quality_cost(Quality("7", altered=("b9", "#11"))) == Cost(alterations=2)
    assert quality_cost(Quality("maj7", altered=("b9",))) == Cost(alterations=2)
    assert quality_cost(Quality("m7", altered=("#5",))) == Cost(alterations=2)
    assert quality_cost(Quality("", added=("9",), omitted=("5",))) == Cost(additions=2, omissions=3)
    assert quality_cost(Quality("13", omitted=("11",))) == Cost(quality=2)
    assert quality_cost(Quality("", sus="sus2")) == Cost(quality=2)
    assert str(Cost(1, 0, 2)) == "3 (quality 1, additions 2)"
    assert str(Cost()) == "0"
    assert Cost(1, 2, 3, 4, 5).total == 15
