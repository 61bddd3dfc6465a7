"""What the reader of MusicXML makes of short scores: each test states two bars and what must be read from them."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from lxml import etree

from sonorarium.errors import DamagedError, InputError
from sonorarium.score.formats.musicxml import read_musicxml
from sonorarium.score.score import BAR, NOTE
from tests.score.writing import (
    TIE,
    TIED,
    attributes,
    backup,
    chord,
    forward,
    grace,
    measure,
    note,
    page,
    quarters,
    read,
    said,
    voice,
)


def test_a_melody_of_two_bars() -> None:
    score = read(
        measure(attributes(2) + note("C4", 2) + note("D4", 1) + note("E4", 1) + note("F#4", 4))
        + measure(note("Bb4", 8), "2")
    )
    assert quarters(score) == [(0, 60, 1), (1, 62, 0.5), (1.5, 64, 0.5), (2, 66, 2), (4, 70, 4)]
    assert score.notes["step"].tolist() == [0, 1, 2, 3, 6]
    assert score.notes["alter"].tolist() == [0, 0, 0, 1, -1]
    assert score.notes["octave"].tolist() == [4] * 5
    assert score.notes["bar"].tolist() == [0, 0, 0, 0, 1]
    assert score.bars["label"].tolist() == ["1", "2"]
    assert score.bars["lead"].tolist() == [0, 0]
    assert score.notes.dtype == NOTE
    assert score.bars.dtype == BAR
    assert score.remarks == ()


def test_two_voices_by_backup_and_forward() -> None:
    first = note("C5", 4, after=voice("1")) + backup(4)
    second = note("E4", 1, after=voice("2")) + forward(1) + note("G4", 2, after=voice("2"))
    score = read(measure(attributes() + first + second))
    assert quarters(score) == [(0, 72, 4), (0, 64, 1), (2, 67, 2)]
    assert score.parts[0].voices == ("1", "2")
    assert score.notes["voice"].tolist() == [0, 1, 1]


def test_the_cursor_says_when_whatever_the_voice_label() -> None:
    score = read(
        measure(attributes() + note("C5", 4, after=voice("1")) + backup(4) + note("E4", 4, after=voice("1")))
    )
    assert quarters(score) == [(0, 64, 4), (0, 72, 4)]


def test_chords_begin_together_and_move_the_cursor_once() -> None:
    score = read(measure(attributes() + note("C4", 2) + chord("E4", 2) + chord("G4", 1) + note("D4", 2)))
    assert quarters(score) == [(0, 60, 2), (0, 64, 2), (0, 67, 1), (2, 62, 2)]


def test_notes_are_sorted_by_onset_part_staff_voice_pitch() -> None:
    low = measure(attributes() + note("E3", 4, after=voice("b", 2)) + backup(4) + note("G5", 4, after=voice("a", 1)))
    score = read(measure(attributes() + note("C4", 4)), low)
    rows = list(zip(*(score.notes[name].tolist() for name in ("part", "staff", "pitch")), strict=True))
    assert rows == [(0, 1, 60), (1, 1, 79), (1, 2, 52)]
    assert score.parts[1].staves == 2


def test_grace_cue_hidden_and_unpitched_notes_are_marked_and_left_out_of_sounding() -> None:
    cue = note("D4", 1, "<cue/>")
    hidden = note("E4", 1).replace("<note>", '<note print-object="no">')
    drum = "<note><unpitched><display-step>C</display-step></unpitched><duration>1</duration></note>"
    score = read(measure(attributes() + grace("B3") + note("C4", 1) + cue + hidden + drum))
    assert quarters(score) == [(0, 59, 0), (0, 60, 1), (1, 62, 1), (2, 64, 1), (3, -1, 1)]
    assert score.notes["grace"].tolist() == [True, False, False, False, False]
    assert score.notes["cue"].tolist() == [False, False, True, False, False]
    assert score.notes["hidden"].tolist() == [False, False, False, True, False]
    assert score.notes["step"].tolist() == [6, 0, 1, 2, -1]
    assert score.sounding.tolist() == [1]


def test_grace_chord_before_a_chord() -> None:
    graces = grace("B3") + "<note><grace/><chord/>" + grace("D4").removeprefix("<note><grace/>")
    score = read(measure(attributes() + graces + note("C4", 4) + chord("E4", 4)))
    assert quarters(score) == [(0, 59, 0), (0, 60, 4), (0, 62, 0), (0, 64, 4)]


def test_a_grace_note_at_the_end_of_a_bar_stays_in_its_bar() -> None:
    score = read(measure(attributes() + note("C4", 4) + grace("D4")) + measure(note("E4", 4), "2"))
    assert quarters(score) == [(0, 60, 4), (4, 62, 0), (4, 64, 4)]
    assert score.notes["bar"][score.notes["grace"]].tolist() == [0]


def test_chord_symbols_and_figured_bass_are_never_notes() -> None:
    symbol = (
        "<harmony><root><root-step>B</root-step><root-alter>-1</root-alter></root><kind>half-diminished</kind>"
        "<bass><bass-step>E</bass-step></bass><staff>1</staff></harmony>"
    )
    figured = "<figured-bass><figure><figure-number>6</figure-number></figure><duration>4</duration></figured-bass>"
    score = read(measure(attributes() + symbol + figured + note("E4", 4)))
    assert quarters(score) == [(0, 64, 4)]
    assert score.element_note.tolist() == [0]


def test_staff_and_voice_of_a_direction_are_not_those_of_the_note_before() -> None:
    direction = (
        "<direction><direction-type><words>dolce</words></direction-type><voice>9</voice><staff>2</staff></direction>"
    )
    score = read(measure(attributes() + note("E4", 4, after=voice("1", 1)) + direction))
    assert score.notes["staff"].tolist() == [1]
    assert score.parts[0].voices == ("1",)


def test_element_note_maps_every_note_element_in_document_order() -> None:
    bar = note("R", 1) + note("G4", 1) + note("C4", 2, after=TIE) + chord("E4", 2)
    score = read(measure(attributes() + bar) + measure(note("C4", 4, after=TIED), "2"))
    # G4 sounds first, then C4 (held into bar 2) and E4.
    assert quarters(score) == [(1, 67, 1), (2, 60, 6), (2, 64, 2)]
    assert score.element_note.tolist() == [-1, 0, 1, 2, 1]
    assert score.notes["element"].tolist() == [1, 2, 3]


def test_a_time_wise_score_reads_as_the_part_wise_one() -> None:
    bars = [
        [attributes(2) + note("C5", 8), attributes(3) + note("C3", 6) + note("D3", 6)],
        [note("E5", 4, after=TIE) + note("E5", 4, after=TIED), note("E3", 12)],
    ]
    part_wise = read(measure(bars[0][0]) + measure(bars[1][0], "2"), measure(bars[0][1]) + measure(bars[1][1], "2"))
    listed = '<part-list><score-part id="P1"><part-name>Part 1</part-name></score-part>'
    listed += '<score-part id="P2"><part-name>Part 2</part-name></score-part></part-list>'
    music = "".join(
        measure("".join(f'<part id="P{p + 1}">{bar[p]}</part>' for p in (1, 0)), str(number))
        for number, bar in enumerate(bars, 1)
    )
    time_wise = read_musicxml(f"<score-timewise>{listed}{music}</score-timewise>".encode())
    names = [name for name in NOTE.names or () if name != "element"]
    assert time_wise.notes[names].tolist() == part_wise.notes[names].tolist()
    assert time_wise.bars.tolist() == part_wise.bars.tolist()
    assert time_wise.parts == part_wise.parts
    # The document gives part 2 first in each bar: C3, D3, C5, E3, E5, E5.
    pitches = [time_wise.notes["pitch"][row] for row in time_wise.element_note]
    assert pitches == [48, 50, 72, 52, 76, 76]


def test_parts_of_different_length_share_the_time_line() -> None:
    score = read(
        measure(attributes() + note("C4", 4)),
        measure(attributes() + note("E3", 4)) + measure(note("F3", 4), "2"),
    )
    assert score.bars["label"].tolist() == ["1", "2"]
    assert "1 to 2 bars" in said(score)


def test_ticks_are_the_least_that_the_file_needs() -> None:
    triplet = note("C4", 4) * 3
    score = read(measure(attributes(12) + triplet + note("C4", 36)), measure(attributes(8) + note("C4", 4) * 8))
    assert score.ticks_per_quarter == 6
    assert Fraction(int(score.notes["duration"].min()), 6) == Fraction(1, 3)


def test_divisions_may_change_and_may_be_decimal() -> None:
    change = "<attributes><divisions>4</divisions></attributes>"
    score = read(
        measure(attributes("0.5") + note("C4", 1) + change + note("D4", 2) + note("E4", "1.5") + note("F4", "4.5"))
    )
    assert quarters(score) == [(0, 60, 2), (2, 62, 0.5), (2.5, 64, 0.375), (2.875, 65, 1.125)]


def test_repeats_are_not_unfolded() -> None:
    repeat = '<barline location="right"><repeat direction="backward"/></barline>'
    score = read(measure(attributes() + note("C4", 4) + repeat) + measure(note("D4", 4), "2"))
    assert quarters(score) == [(0, 60, 4), (4, 62, 4)]


def test_bar_repeat_signs_are_remarked() -> None:
    sign = '<attributes><measure-style><measure-repeat type="start">1</measure-repeat></measure-style></attributes>'
    score = read(measure(attributes() + note("C4", 4)) + measure(sign, "2"))
    assert "bar-repeat signs" in said(score)
    assert score.bars["duration"].tolist() == [4, 4]


def test_a_score_without_notes() -> None:
    score = read(measure(attributes()))
    assert len(score.notes) == 0
    assert score.end == score.bars["duration"][0]
    assert score.sounding.tolist() == []


@pytest.mark.parametrize(
    ("xml", "what"),
    [
        (b"<score-partwise><part-list>", "The XML is damaged at line 1"),
        (page(measure(attributes() + note("C4", 4))).encode()[:-60], "in or after bar 1"),
        (b"<score-partwise><part-list/></score-partwise>", "no part with music"),
        (
            page(measure(attributes() + note("C4", "x"))).encode(),
            "part 1, measure 1 .counted.: 'x' is not the duration",
        ),
        (page(measure(attributes() + note("C4", -1))).encode(), "'-1' is not the duration"),
        (page(measure(attributes() + note("C4", "9" * 30))).encode(), "'9+' is not the duration"),
        (page(measure(attributes() + note("C4", 10**9 * 1024))).encode(), "longer than any music"),
        (page(measure(attributes() + note("C4", "1/0"))).encode(), "'1/0' is not the duration"),
    ],
)
def test_damaged_documents(xml: bytes, what: str) -> None:
    with pytest.raises(DamagedError, match=what):
        read_musicxml(xml)


def test_more_parts_than_any_score_has() -> None:
    with pytest.raises(DamagedError, match="1001 parts, more than the 1000"):
        read(*[measure("")] * 1001)


@pytest.mark.parametrize("root", ["mei", "opus", "html"])
def test_other_xml_is_refused(root: str) -> None:
    with pytest.raises(InputError, match=f"its root is <{root}>"):
        read_musicxml(f"<{root}/>".encode())


def test_entities_are_refused_and_nothing_is_expanded() -> None:
    bomb = '<!DOCTYPE s [<!ENTITY a "ha"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;">]>'
    xml = bomb + page(measure(attributes() + note("C4", 4))).replace("Part 1", "&b;")
    with pytest.raises(DamagedError, match="declares XML entities"):
        read_musicxml(xml.encode())
    outside = '<!DOCTYPE s [<!ENTITY a SYSTEM "file:///etc/hostname">]>' + page(measure(attributes()))
    with pytest.raises(DamagedError, match="declares XML entities"):
        read_musicxml(outside.encode())


def test_the_usual_doctype_is_allowed_and_not_fetched() -> None:
    doctype = (
        '<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" '
        '"http://www.musicxml.org/dtds/partwise.dtd">'
    )
    score = read_musicxml((doctype + page(measure(attributes() + note("C4", 4)))).encode())
    assert score.notes["pitch"].tolist() == [60]


def test_a_namespace_is_ignored_and_remarked() -> None:
    xml = page(measure(attributes() + note("C4", 4))).replace("<score-partwise>", '<score-partwise xmlns="urn:x">')
    score = read_musicxml(xml.encode())
    assert score.notes["pitch"].tolist() == [60]
    assert "namespace" in said(score)


def test_comments_and_cdata_change_nothing() -> None:
    xml = page(measure(attributes() + note("C4", 4)))
    xml = xml.replace("<step>C", "<!-- not D --><step><![CDATA[C]]>").replace(
        "<duration>4", "<duration> 4 <!-- x -->"
    )
    assert read_musicxml(xml.encode()).notes["pitch"].tolist() == [60]


LETTERS = st.sampled_from(["C", "D", "E", "F", "G", "A", "B"])
PITCH = st.builds(
    lambda step, sign, octave: f"{step}{sign}{octave}", LETTERS, st.sampled_from(["", "#", "b"]), st.integers(1, 7)
)
EVENT = st.tuples(st.lists(PITCH, max_size=3, unique=True), st.integers(1, 12))
VOICE = st.lists(EVENT, min_size=1, max_size=6)
SEMITONE = {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}


def midi(name: str) -> int:
    sign = name.count("#") - name.count("b")
    return SEMITONE[name[0]] + sign + 12 * (int(name[-1]) + 1)


@settings(max_examples=60, deadline=None)
@given(bars=st.lists(st.lists(VOICE, min_size=1, max_size=3), min_size=1, max_size=4), divisions=st.integers(1, 12))
def test_what_is_written_is_read(bars: list[list[list[tuple[list[str], int]]]], divisions: int) -> None:
    """Bars of voices of chords and rests, written by this test with backups, come back note for note."""
    xml, expected, start = "", [], Fraction(0)
    for number, voices in enumerate(bars):
        inside, lengths = attributes(divisions, "") if number == 0 else "", []
        for label, events in enumerate(voices):
            cursor = 0
            for names, duration in events:
                inside += note(names[0] if names else "R", duration, after=voice(str(label)))
                inside += "".join(chord(name, duration, after=voice(str(label))) for name in names[1:])
                onset = start + Fraction(cursor, divisions)
                expected += [(onset, midi(name), Fraction(duration, divisions)) for name in names]
                cursor += duration
            inside += backup(cursor)
            lengths.append(cursor)
        start += Fraction(max(lengths), divisions)
        xml += measure(inside, str(number))
    score = read(xml)
    ticks = score.ticks_per_quarter
    found = [
        (Fraction(int(row["onset"]), ticks), int(row["pitch"]), Fraction(int(row["duration"]), ticks))
        for row in score.notes
    ]
    assert sorted(found) == sorted(expected)
    assert divisions % ticks == 0
    assert np.all(score.notes["bar"] == [score.bar_at(int(tick)) for tick in score.notes["onset"]])


@settings(max_examples=200, deadline=None)
@given(st.data())
def test_no_damage_ends_in_anything_but_our_own_errors(data: st.DataObject) -> None:
    """Elements of a good score are dropped, doubled, renamed or given another text."""
    root = etree.fromstring(
        page(
            measure(
                attributes(2)
                + note("C4", 2, after=TIE)
                + chord("E4", 2)
                + note("C4", 2, after=TIED)
                + backup(2)
                + grace("D4")
                + forward(2)
            )
            * 2
        )
    )
    for _ in range(data.draw(st.integers(1, 4))):
        elements = [one for one in root.iter() if one.getparent() is not None]
        victim = data.draw(st.sampled_from(elements))
        action = data.draw(st.sampled_from(["drop", "text", "rename", "double"]))
        parent = victim.getparent()
        if parent is None:
            continue
        if action == "drop":
            parent.remove(victim)
        elif action == "text":
            victim.text = data.draw(
                st.sampled_from(["", "x", "-3", "0", "1e9", "1e999999999", "7/2", "9" * 20, "9" * 5000, "½", "nan"])
            )
        elif action == "rename":
            victim.tag = data.draw(
                st.sampled_from(["note", "measure", "backup", "chord", "part", "rest", "duration"])
            )
        else:
            parent.append(etree.fromstring(etree.tostring(victim, with_tail=False)))
        if len(root) == 0:
            break
    try:
        score = read_musicxml(etree.tostring(root))
    except (DamagedError, InputError):
        return
    assert len(score.element_note) == len(list(root.iter("note")))
    assert (score.notes["onset"] >= 0).all()
    assert (score.notes["duration"] >= 0).all()
    assert score.end >= 0
