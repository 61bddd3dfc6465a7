"""What is carried to a bar: per staff, all staves, open lines."""

from __future__ import annotations

from typing import Any

from lxml import etree

from sonorarium.render.carrying import Carried, absorb_opening
from tests.render.scores import attributes, direction, note


def measure(content: str) -> Any:
    """A bar."""
    return etree.fromstring(f"<measure>{content}</measure>")


def carried(*bars: str) -> Carried:
    """What stands after these bars."""
    made = Carried()
    made.take(measure(bar) for bar in bars)
    return made


def clefs(made: Carried) -> list[tuple[str | None, str]]:
    """Staff and sign of each clef."""
    return [(clef.get("number"), clef.findtext("sign")) for clef in made.stated().iter("clef")]


def test_clefs_of_two_staves_change_alone() -> None:
    two = '<staves>2</staves><clef number="2"><sign>F</sign><line>4</line></clef>'
    later = '<attributes><clef number="2"><sign>G</sign><line>2</line></clef></attributes>'
    assert clefs(carried(attributes(extra=two))) == [(None, "G"), ("2", "F")]
    assert clefs(carried(attributes(extra=two), note("C4", 4) + later)) == [(None, "G"), ("2", "G")]


def test_a_key_for_all_staves_replaces_those_of_single_ones() -> None:
    single = '<attributes><key number="2"><fifths>4</fifths></key></attributes>'
    for_all = "<attributes><key><fifths>-1</fifths></key></attributes>"
    keys = [k.findtext("fifths") for k in carried(attributes(fifths=1), single, for_all).stated().iter("key")]
    assert keys == ["-1"]


def test_elements_stand_in_the_order_of_the_standard() -> None:
    extra = "<transpose><chromatic>-2</chromatic></transpose><staves>1</staves>"
    stated = carried(attributes(extra=extra)).stated()
    assert [child.tag for child in stated] == ["divisions", "key", "time", "staves", "clef", "transpose"]


def test_lines_are_open_until_they_stop() -> None:
    begin = direction('<wedge type="crescendo" number="1"/>', placement="below") + note("C4", 4)
    end = note("C4", 4) + direction('<wedge type="stop" number="1"/>')
    (line,) = carried(begin).open_lines()
    assert (line.get("placement"), line.find("direction-type/wedge").get("type")) == ("below", "crescendo")
    assert [stop.find(".//wedge").get("type") for stop in carried(begin).closing_lines()] == ["stop"]
    assert carried(begin, end).open_lines() == []


def test_only_attributes_before_the_first_note_are_absorbed() -> None:
    bar = measure(attributes(clef="C3") + note("C4", 4) + attributes(clef="F4"))
    made = Carried()
    absorb_opening(bar, made)
    assert clefs(made) == [(None, "C")]
    assert [sign.text for sign in bar.iter("sign")] == ["F"]
