"""MEI read from short documents that can be seen beside the claim."""

from __future__ import annotations

from fractions import Fraction

import pytest

from sonorarium.errors import DamagedError
from sonorarium.score.formats.mei import read_mei
from sonorarium.score.score import Score

HEADER = (
    "<meiHead><fileDesc><titleStmt><title>Air</title><respStmt><persName role='encoder'>A clerk</persName></respStmt>"
    "</titleStmt><pubStmt><availability><useRestrict>Free</useRestrict></availability></pubStmt></fileDesc><workList>"
    "<work><composer>Anon.</composer></work></workList></meiHead>"
)


def mei(*bars: str, staves: str = '<staffDef n="1"/>', meter: str = 'meter.count="2" meter.unit="4"') -> Score:
    """Read bars, each the inside of layer 1 of staff 1, or whole ``<measure>`` elements."""
    whole = "".join(
        bar if bar.startswith(("<measure", "<scoreDef", "<ending", "<staffDef"))
        else f'<measure n="{number}"><staff n="1"><layer n="1">{bar}</layer></staff></measure>'
        for number, bar in enumerate(bars, start=1)
    )  # fmt: skip
    return read_mei(
        f"<mei>{HEADER}<music><body><mdiv><score><scoreDef {meter}><staffGrp>{staves}</staffGrp></scoreDef>"
        f"<section>{whole}</section></score></mdiv></body></music></mei>".encode()
    )


def note(name: str, dur: str = "4", more: str = "") -> str:
    """``note("fs5", "8")``: letter, an accidental that sounds, octave."""
    ges = f'accid.ges="{name[1:-1] or "n"}"'
    return f'<note pname="{name[0]}" oct="{name[-1]}" dur="{dur}" {ges} {more}/>'


def rows(score: Score) -> list[tuple[str, int, str]]:
    quarter = score.ticks_per_quarter
    return [
        (str(Fraction(onset, quarter)), pitch, str(Fraction(duration, quarter)))
        for onset, pitch, duration in score.notes[["onset", "pitch", "duration"]].tolist()
    ]


def whats(score: Score) -> list[str]:
    return [remark.what for remark in score.remarks]


def test_letters_accidentals_and_octaves() -> None:
    score = mei(note("fs5") + note("bf3"))
    assert score.notes[["pitch", "step", "alter", "octave"]].tolist() == [(78, 3, 1, 5), (58, 6, -1, 3)]
    assert (score.title, score.composer, score.rights, score.encoder) == ("Air", "Anon.", "Free", "A clerk")
    assert whats(score) == []


def test_tuplets_inside_tuplets_are_exact() -> None:
    inner = f'<tuplet num="5" numbase="4">{"".join(note("c4", "32") for _ in range(5))}</tuplet>'
    score = mei(f'<tuplet num="3" numbase="2">{inner}{note("d4", "8")}{note("e4", "8")}</tuplet>{note("f4")}')
    assert [row[0] for row in rows(score)] == ["0", "1/15", "2/15", "1/5", "4/15", "1/3", "2/3", "1"]
    assert score.ticks_per_quarter == 15


def test_dots_breves_and_chords() -> None:
    score = mei(
        f'<chord dur="2" dots="1">{note("c4")}{note("e4")}</chord><beam>{note("d4", "breve")}</beam>',
        meter="",
    )
    assert rows(score) == [("0", 60, "3"), ("0", 64, "3"), ("3", 62, "8")]
    assert whats(score) == ["No metre is stated at the beginning."]


def test_ties_by_element_by_attribute_and_by_chord() -> None:
    first = '<chord xml:id="a" dur="2"><note pname="c" oct="4" accid.ges="n"/><note pname="e" oct="4"/></chord>'
    second = '<chord xml:id="b" dur="4"><note pname="c" oct="4"/><note pname="e" oct="4"/></chord>'
    third = note("f4", more='tie="i"')
    fourth = note("f4", "2", more='tie="t"')
    score = mei(
        f'<measure n="1"><staff n="1"><layer n="1">{first}</layer></staff><tie startid="#a" endid="#b"/></measure>',
        second + third,
        fourth,
    )
    assert rows(score) == [("0", 60, "3"), ("0", 64, "3"), ("3", 65, "3")]
    assert score.element_note.tolist() == [0, 1, 0, 1, 2, 2]


def test_grace_cue_and_hidden_notes_are_marked() -> None:
    score = mei(
        f"<graceGrp>{note('d4', '16')}</graceGrp>{note('c4')}"
        + note("e4", "8", 'visible="false"')
        + note("f4", "8", 'cue="true"')
    )
    marks = score.notes[["pitch", "duration", "grace", "cue", "hidden"]].tolist()
    assert marks == [
        (60, 2, False, False, False),
        (62, 0, True, False, False),
        (64, 1, False, False, True),
        (65, 1, False, True, False),
    ]
    assert score.notes["pitch"][score.sounding].tolist() == [60]


def test_a_transposing_part_sounds_elsewhere_and_keeps_its_page() -> None:
    score = mei(note("d4", "2"), staves='<staffDef n="1" trans.semi="-2"><label>Clarinet in Bb</label></staffDef>')
    assert score.notes[["pitch", "step", "octave"]].tolist() == [(60, 1, 4)]
    assert (score.parts[0].name, score.parts[0].transposition) == ("Clarinet in Bb", -2)


def test_a_brace_makes_one_part_of_two_staves_unless_they_have_names() -> None:
    staves = '<staffGrp symbol="brace"><label>Piano</label><staffDef n="1"/><staffDef n="2"/></staffGrp>'
    bar = (
        f'<measure n="1"><staff n="1"><layer>{note("c5", "2")}</layer></staff>'
        f'<staff n="2"><layer>{note("c3")}' + note("e4", "4", 'staff="1"') + "</layer></staff></measure>"
    )
    score = mei(bar, staves=staves)
    assert [(part.name, part.staves, part.voices) for part in score.parts] == [("Piano", 2, ("1.1", "2.1"))]
    assert score.notes[["pitch", "staff", "voice"]].tolist() == [(72, 1, 0), (48, 2, 1), (64, 1, 1)]
    named = staves.replace('n="1"/', 'n="1" label="Flute"/').replace('n="2"/', 'n="2" label="Oboe"/')
    assert [part.name for part in mei(bar, staves=named).parts] == ["Flute", "Oboe"]


def test_key_and_accidentals_are_applied_where_the_file_leaves_that_to_the_reader() -> None:
    plain = '<note pname="f" oct="4" dur="8"/>'
    natural = '<note pname="f" oct="4" dur="8" accid="n"/>'
    high = '<note pname="f" oct="5" dur="8"/>'
    score = mei(plain + natural + plain + high, plain * 4, meter='meter.count="2" meter.unit="4" keysig="1s"')
    assert score.notes["pitch"].tolist() == [66, 65, 65, 78, 66, 66, 66, 66]
    assert whats(score) == [
        "The file does not say which notes sound altered: key signature and accidentals of the bar were applied."
    ]


def test_quarter_tones_are_rounded_and_said() -> None:
    score = mei('<note pname="c" oct="4" dur="2" accid="1qs" accid.ges="su"/>')
    assert score.notes["pitch"].tolist() == [61]
    assert whats(score) == ["An accidental finer than a semitone was rounded."]


def test_unpitched_notes_and_notes_that_cannot_be_read() -> None:
    drums = mei('<note loc="4" dur="4"/><note dur="4"/>')
    assert drums.notes["pitch"].tolist() == [-1]
    assert whats(drums) == ["A note without a pitch that can be understood was left out."]
    perc = '<staffDef n="1"><clef shape="perc"/></staffDef>'
    assert mei('<note pname="c" oct="5" dur="2"/>', staves=perc).notes["pitch"].tolist() == [-1]


def test_signs_that_stand_for_music_are_silence_and_said() -> None:
    score = mei(note("c4", "2"), "<mRpt/>", note("c4") + "<beatRpt/>")
    assert [row[0] for row in rows(score)] == ["0", "4"]
    assert score.bars["duration"].tolist() == [2, 2, 2]
    assert whats(score) == [
        "A sign repeats a beat or a bar: what it repeats is not written out and was left empty. (2 places: bars 2, 3)"
    ]


def test_variants_choices_and_repairs() -> None:
    score = mei(
        f"<app><lem>{note('c4')}</lem><rdg>{note('d4')}{note('d4')}</rdg></app>"
        f"<choice><sic>{note('e4')}</sic><corr>{note('f4')}</corr></choice>"
    )
    assert score.notes["pitch"].tolist() == [60, 64]
    assert score.element_note.tolist() == [0, -1, -1, 1, -1]


def test_metre_changes_upbeats_and_bars_without_numbers() -> None:
    def bar(inside: str, number: str = "") -> str:
        return f'<measure {number}><staff n="1"><layer>{inside}</layer></staff></measure>'

    score = mei(
        bar(note("c4")),
        bar(note("d4", "2"), 'n="1"'),
        bar(note("e4"), 'n="2"'),
        bar(note("f4")),
        '<scoreDef><meterSig count="3+2" unit="8"/></scoreDef>',
        bar(f"{note('g4', '2')}{note('a4', '8')}", 'n="3"'),
        bar('<multiRest num="3"/>', 'n="4"'),
    )
    assert score.bars[["label", "beats", "beat_type", "lead"]].tolist() == [
        ("0", 2, 4, 2),
        ("1", 2, 4, 0),
        ("2", 2, 4, 0),
        ("2", 2, 4, 2),
        ("3", 5, 8, 0),
        ("4", 5, 8, 0),
    ]
    assert score.bars["duration"].tolist() == [2, 4, 2, 2, 5, 15]


def test_movements_stand_one_after_another() -> None:
    def piece(pitch: str) -> str:
        return (
            '<mdiv><score><scoreDef meter.count="1" meter.unit="4"><staffGrp><staffDef n="1"/></staffGrp></scoreDef>'
            f'<section><measure n="1"><staff n="1"><layer>{note(pitch)}</layer></staff></measure></section></score>'
            "</mdiv>"
        )

    score = read_mei(f"<mei><music><body>{piece('c4')}{piece('d4')}</body></music></mei>".encode())
    assert score.bars[["label", "onset"]].tolist() == [("1:1", 0), ("2:1", 1)]
    assert score.notes["onset"].tolist() == [0, 1]
    assert whats(score) == [
        "The file holds 2 pieces: they stand one after another, bar 1 of the first being labelled 1:1."
    ]


@pytest.mark.parametrize(
    ("document", "what"),
    [
        (b"<mei>", r"^The XML is damaged at line 1\."),
        (b"<mei/>", r"^There are no bars in it\."),
        (b"<mei><score><section><measure/></section></score></mei>", r"no <scoreDef>"),
        (b'<!DOCTYPE mei [<!ENTITY a "b">]><mei>&a;</mei>', r"declares XML entities"),
    ],
)
def test_damage_is_said(document: bytes, what: str) -> None:
    with pytest.raises(DamagedError, match=what):
        read_mei(document)
