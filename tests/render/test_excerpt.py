"""Cutting bars out of a file: what is stated anew, what is continued, what is left out."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import pytest
from lxml import etree

from sonorarium.errors import DamagedError, InputError
from sonorarium.render.excerpt import Excerpt, cut, read_sheets, sheets_of
from sonorarium.score.reading import read_score
from tests.render.scores import attributes, direction, document, note, part

CLEF_CHANGE = "<attributes><clef><sign>F</sign><line>4</line></clef></attributes>"
KEY_CHANGE = "<attributes><key><cancel>3</cancel><fifths>-2</fifths></key></attributes>"
PIECE = document(
    part(
        attributes(fifths=3) + note("C5", 4),
        note("D5", 2) + CLEF_CHANGE + note("E3", 2),
        KEY_CHANGE + note("F3", 4),
        note("G3", 4),
    )
)


def tree(excerpt: Excerpt) -> Any:
    """The cut document, parsed."""
    return etree.fromstring(excerpt.xml)


def stated(excerpt: Excerpt) -> dict[str, str]:
    """What the first <attributes> of an excerpt says."""
    first = tree(excerpt).find("part/measure/attributes")
    return {
        "clef": first.findtext("clef/sign"),
        "fifths": first.findtext("key/fifths"),
        "beats": first.findtext("time/beats"),
        "divisions": first.findtext("divisions"),
    }


@pytest.mark.parametrize(
    ("bars", "clef", "fifths"),
    [((0, 0), "G", "3"), ((1, 1), "G", "3"), ((2, 2), "F", "-2"), ((3, 3), "F", "-2"), ((1, 3), "G", "3")],
)
def test_first_bar_states_what_is_in_force(bars: tuple[int, int], clef: str, fifths: str) -> None:
    excerpt = cut(read_sheets(PIECE), bars)
    assert stated(excerpt) == {"clef": clef, "fifths": fifths, "beats": "4", "divisions": "1"}


def test_a_cancelled_key_is_not_cancelled_again() -> None:
    assert tree(cut(read_sheets(PIECE), (2, 3))).find(".//cancel") is None


def test_changes_inside_stay_where_they_are() -> None:
    clefs = [e.text for e in tree(cut(read_sheets(PIECE), (1, 2))).iter("sign")]
    assert clefs == ["G", "F"]


def test_notes_have_ordinals_of_the_whole_file() -> None:
    excerpt = cut(read_sheets(PIECE), (1, 2))
    assert excerpt.notes == (1, 2, 3)
    assert [n.get("id") for n in tree(excerpt).iter("note")] == ["n1", "n2", "n3"]


def test_bars_have_their_index_and_label() -> None:
    excerpt = cut(read_sheets(PIECE), (1, 2), labels=["0", "1", "1a", "2"])
    assert [(m.get("id"), m.get("number")) for m in tree(excerpt).iter("measure")] == [("b1", "1"), ("b2", "1a")]


def test_cutting_leaves_the_sheets_as_they_were() -> None:
    sheets = read_sheets(PIECE)
    before = [etree.tostring(measure) for _, measures in sheets.parts for measure in measures]
    first = cut(sheets, (2, 3))
    assert [etree.tostring(measure) for _, measures in sheets.parts for measure in measures] == before
    assert cut(sheets, (2, 3)) == first


@pytest.mark.parametrize("bars", [(-1, 0), (2, 1), (0, 4), (4, 4)])
def test_bars_that_are_not_there_are_refused(bars: tuple[int, int]) -> None:
    with pytest.raises(InputError, match="There are no bars with the indices"):
        cut(read_sheets(PIECE), bars)


@pytest.mark.parametrize("parts", [(), (1,), (-1,)])
def test_parts_that_are_not_there_are_refused(parts: tuple[int, ...]) -> None:
    with pytest.raises(InputError, match="There are no parts"):
        cut(read_sheets(PIECE), (0, 0), parts=parts)


OTTAVA = document(
    part(
        attributes() + direction('<octave-shift type="down" size="8" number="2"/>') + note("C6", 4),
        note("D6", 4),
        note("E6", 4) + direction('<octave-shift type="stop" size="8" number="2"/>') + "",
        note("F5", 4),
    )
)


@pytest.mark.parametrize(
    ("bars", "types"),
    [
        ((0, 0), ["down", "stop"]),
        ((1, 1), ["down", "stop"]),
        ((1, 2), ["down", "stop"]),
        ((0, 3), ["down", "stop"]),
        ((3, 3), []),
    ],
)
def test_an_ottava_line_is_whole_in_every_excerpt(bars: tuple[int, int], types: list[str]) -> None:
    lines = list(tree(cut(read_sheets(OTTAVA), bars)).iter("octave-shift"))
    assert [line.get("type") for line in lines] == types
    assert {line.get("size") for line in lines} <= {"8"}


SLURRED = document(
    part(
        attributes()
        + note("C5", 2, '<slur type="start" number="1"/>')
        + note("D5", 2, '<slur type="stop" number="1"/>'),
        note("E5", 4, '<slur type="start" number="1"/>'),
        note("F5", 4, '<slur type="stop" number="1"/>'),
    )
)


@pytest.mark.parametrize(
    ("bars", "slurs", "remarks"), [((0, 0), 2, 0), ((0, 1), 2, 1), ((1, 2), 2, 0), ((2, 2), 0, 1)]
)
def test_slurs_over_the_edge_are_left_out_and_remarked(bars: tuple[int, int], slurs: int, remarks: int) -> None:
    excerpt = cut(read_sheets(SLURRED), bars)
    assert len(list(tree(excerpt).iter("slur"))) == slurs
    assert len(excerpt.remarks) == remarks


def test_voices_written_one_after_the_other_keep_their_slur() -> None:
    """The stop stands before the start in the file, but not in time."""
    bar = (
        attributes()
        + note("C5", 2)
        + note("D5", 2, '<slur type="stop" number="1"/>')
        + "<backup><duration>4</duration></backup>"
        + note("E4", 2, '<slur type="start" number="1"/>')
        + note("F4", 2)
    )
    excerpt = cut(read_sheets(document(part(bar))), (0, 0))
    assert len(list(tree(excerpt).iter("slur"))) == 2
    assert excerpt.remarks == ()


TIED = document(
    part(
        attributes() + note("C5", 4, tie="start"),
        note("C5", 4, tie="stop start"),
        note("C5", 4, tie="stop"),
    )
)
ONE_NOTE = np.zeros(3, np.int32)


@pytest.mark.parametrize(
    ("bars", "kinds"),
    [
        ((0, 0), ["let-ring"]),
        ((1, 1), ["let-ring"]),
        ((2, 2), []),
        ((0, 1), ["start", "stop", "let-ring"]),
        ((0, 2), ["start", "stop", "start", "stop"]),
    ],
)
def test_ties_that_leave_the_excerpt_end_in_the_air(bars: tuple[int, int], kinds: list[str]) -> None:
    excerpt = cut(read_sheets(TIED), bars, element_row=ONE_NOTE)
    assert [tied.get("type") for tied in tree(excerpt).iter("tied")] == kinds


ENDINGS = document(
    part(
        attributes() + note("C5", 4),
        '<barline location="left"><ending number="1" type="start">1.</ending></barline>' + note("D5", 4),
        note("E5", 4) + '<barline location="right"><ending number="1" type="stop"/></barline>',
        note("F5", 4),
    )
)


@pytest.mark.parametrize(
    ("bars", "types"), [((0, 0), []), ((1, 1), ["start", "discontinue"]), ((2, 3), ["start", "stop"]), ((3, 3), [])]
)
def test_first_endings_are_whole(bars: tuple[int, int], types: list[str]) -> None:
    assert [e.get("type") for e in tree(cut(read_sheets(ENDINGS), bars)).iter("ending")] == types


TRIO = (
    document(
        *(
            part(attributes() + note(pitch, 4), note(pitch, 4), name=f"P{n}")
            for n, pitch in enumerate(("C5", "E4", "G3"), 1)
        ),
        names=("Flute", "Viola", "Bass"),
    )
    .replace(
        b'<score-part id="P2">',
        b'<part-group type="start" number="1"><group-symbol>bracket</group-symbol></part-group><score-part id="P2">',
    )
    .replace(b"</part-list>", b'<part-group type="stop" number="1"/></part-list>')
)


def test_chosen_parts_keep_ordinals_and_names() -> None:
    excerpt = cut(read_sheets(TRIO), (1, 1), parts=(2, 0))
    assert excerpt.notes == (1, 5)
    assert [name.text for name in tree(excerpt).iter("part-name")] == ["Flute", "Bass"]


@pytest.mark.parametrize(("parts", "groups"), [((0, 1, 2), 2), ((1, 2), 2), ((0, 1), 0), ((2,), 0)])
def test_brackets_hold_two_parts_or_vanish(parts: tuple[int, ...], groups: int) -> None:
    assert len(list(tree(cut(read_sheets(TRIO), (0, 0), parts=parts)).iter("part-group"))) == groups


def test_names_can_be_left_off() -> None:
    excerpt = cut(read_sheets(TRIO), (0, 0), part_names=False)
    assert {name.text for name in tree(excerpt).iter("part-name")} <= {None, ""}


def test_time_wise_scores_give_the_same_excerpt() -> None:
    """Ordinals follow the document, so they run through bar after bar, all parts of a bar together."""
    timewise = b"""<score-timewise><part-list><score-part id="P1"><part-name>A</part-name></score-part>
    <score-part id="P2"><part-name>B</part-name></score-part></part-list>
    <measure number="1"><part id="P1">%s</part><part id="P2">%s</part></measure>
    <measure number="2"><part id="P1">%s</part><part id="P2">%s</part></measure></score-timewise>""" % tuple(
        text.encode()
        for text in (
            attributes() + note("C5", 4),
            attributes(clef="F4") + note("C3", 4),
            note("D5", 4),
            note("D3", 4),
        )
    )
    excerpt = cut(read_sheets(timewise), (1, 1))
    assert excerpt.notes == (2, 3)
    assert [sign.text for sign in tree(excerpt).iter("sign")] == ["G", "F"]


def test_multiple_rests_become_single_ones() -> None:
    style = "<attributes><measure-style><multiple-rest>2</multiple-rest></measure-style></attributes>"
    rest = '<note><rest measure="yes"/><duration>4</duration></note>'
    excerpt = cut(read_sheets(document(part(attributes() + note("C5", 4), style + rest, rest))), (0, 1))
    assert tree(excerpt).find(".//multiple-rest") is None
    assert excerpt.notes == (0,)


def test_heads_that_are_not_printed_are_not_expected() -> None:
    bare = note("C5", 4).replace("</type>", "</type><notehead>none</notehead>")
    hidden = note("C5", 4).replace("<note>", '<note print-object="no">')
    assert cut(read_sheets(document(part(attributes() + bare, hidden, note("D5", 4)))), (0, 2)).notes == (2,)


def test_damaged_and_foreign_xml_is_refused() -> None:
    with pytest.raises(DamagedError, match="The XML is damaged"):
        read_sheets(b"<score-partwise><part>")
    with pytest.raises(InputError, match="its root is <opus>"):
        read_sheets(b"<opus/>")


def test_a_file_that_changed_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "piece.musicxml"
    path.write_bytes(PIECE)
    score = read_score(path)
    assert sheets_of(path, score.digest).bars == 4
    path.write_bytes(OTTAVA)
    sheets_of.cache_clear()
    with pytest.raises(InputError, match="has changed since it was read"):
        sheets_of(path, score.digest)


def test_a_file_that_is_gone_is_refused(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="cannot be opened"):
        sheets_of(tmp_path / "nothing.musicxml", "")
