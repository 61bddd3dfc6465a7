"""What is written as MusicXML is valid, and three readers find the same notes in it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from importlib.util import find_spec
from pathlib import Path
from typing import Any

import music21
import pytest
from lxml import etree

from sonorarium.errors import InputError
from sonorarium.pcs.chordsymbol import chord
from sonorarium.pcs.collection import collection
from sonorarium.pitch.instruments import instrument, instruments, midi_of
from sonorarium.pitch.scoring import ENSEMBLES, score_out
from sonorarium.pitch.voicing import Voicing
from sonorarium.render.engraving import PassageLook, engrave_passage
from sonorarium.render.midi import from_score, to_midi
from sonorarium.render.musicxml import save_musicxml, to_musicxml
from sonorarium.render.sheet import (
    Event,
    Heading,
    Sheet,
    SheetPart,
    SheetStaff,
    sheet_of_melody,
    sheet_of_scoring,
    sheet_of_voicings,
)
from sonorarium.render.typesetting import paint
from sonorarium.score.reading import read_score
from tests.score.other_readers import Head, grid, joined, music21_heads, partitura_heads

DOUBLE_HARMONIC = collection("D double harmonic").spelling
E_FLAT = collection("Eb major").spelling
CHORDS = [Voicing((50, 57, 66, 73)), Voicing((51, 58, 67, 74)), Voicing(()), Voicing((36, 48, 64, 67))]
TRIPLETS = [62, 63, 66, None, 67, 69, 70, 73, 74]

SHEETS: dict[str, Sheet] = {
    "piano": sheet_of_voicings(
        CHORDS,
        DOUBLE_HARMONIC,
        quarters=[4, Fraction(5, 2), Fraction(3, 2), Fraction(7, 2)],
        heading=Heading(
            title="Four chords",
            composer="Sonorarium",
            tempo_qpm=72,
            labels=("4-20", "", "", ""),
            symbols=(chord("Dmaj7"), chord("Ebmaj7/G"), None, chord("C7#9")),
        ),
    ),
    "clarinet": sheet_of_melody(
        TRIPLETS,
        [
            Fraction(1, 3),
            Fraction(1, 3),
            Fraction(1, 3),
            Fraction(1, 2),
            Fraction(1, 4),
            Fraction(1, 4),
            Fraction(3, 4),
            Fraction(9, 4),
            Fraction(1, 5),
        ],
        DOUBLE_HARMONIC,
        player=instrument("clarinet"),
    ),
    "in keys": sheet_of_scoring(
        score_out([Voicing((48, 55, 63, 70, 75)), Voicing((50, 58, 65, 68, 74))], "wind quintet"),
        E_FLAT,
        quarters=3,
        heading=Heading(metre=(3, 4)),
    ),
    "two voices": Sheet(
        (
            SheetPart(
                "Organ",
                instrument("piano"),
                (
                    SheetStaff(
                        "treble",
                        (
                            (Event(Fraction(3), ((3, 1, 5),)), Event(Fraction(2), ((3, 0, 5),))),
                            (Event(Fraction(1, 2), ((3, 0, 5), (5, 0, 4))), Event(Fraction(6), ((3, 1, 5),))),
                        ),
                    ),
                ),
            ),
        ),
        metre=(6, 8),
    ),
} | {
    name: sheet_of_scoring(score_out([Voicing((43, 55, 62, 71)), Voicing((48, 55, 64))], name), E_FLAT)
    for name in ENSEMBLES
}
NAMED = pytest.mark.parametrize("name", SHEETS)
Found = list[tuple[Fraction, Fraction, int]]


def meant(sheet: Sheet) -> Found:
    """Onset, length and sounding pitch of every note of a sheet."""
    notes: Found = []
    voices = [voice for part in sheet.parts for staff in part.staves for voice in staff.voices]
    for voice in voices:
        at = Fraction(0)
        for event in voice:
            notes += [(at, event.quarters, midi_of(pitch)) for pitch in event.pitches]
            at += event.quarters
    return sorted(notes)


XSD = "http://www.w3.org/2001/XMLSchema"
IMPORTED = {
    "xml.xsd": ("http://www.w3.org/XML/1998/namespace", "lang space"),
    "xlink.xsd": ("http://www.w3.org/1999/xlink", "href type role title show actuate"),
}


@pytest.fixture(scope="module", params=["3.1", "4.0"])
def schema(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> etree.XMLSchema:
    """The W3C schemas that two packages carry; what they import from elsewhere is put in its place."""
    folder = tmp_path_factory.mktemp("schema")
    package, place = {
        "3.1": ("partitura", "assets/musicxml.xsd"),
        "4.0": ("musicxml", "generate_classes/musicxml_4_0.xsd"),
    }[request.param]
    found = find_spec(package)
    assert found is not None
    assert found.origin is not None
    text = (Path(found.origin).parent / place).read_text(encoding="utf-8")
    assert f"Version {request.param}" in text
    for name, (space, attributes) in IMPORTED.items():
        declared = "".join(f'<xs:attribute name="{attribute}" type="xs:string"/>' for attribute in attributes.split())
        (folder / name).write_text(f'<xs:schema xmlns:xs="{XSD}" targetNamespace="{space}">{declared}</xs:schema>')
        text = text.replace(f"http://www.musicxml.org/xsd/{name}", name)
    (folder / "musicxml.xsd").write_text(text, encoding="utf-8")
    return etree.XMLSchema(etree.parse(str(folder / "musicxml.xsd")))


@NAMED
def test_our_own_reader_finds_the_same_notes(name: str, tmp_path: Path) -> None:
    path = tmp_path / "sheet.musicxml"
    save_musicxml(SHEETS[name], path)
    score = read_score(path)
    ticks = score.ticks_per_quarter
    found = [
        (Fraction(int(n["onset"]), ticks), Fraction(int(n["duration"]), ticks), int(n["pitch"])) for n in score.notes
    ]
    assert sorted(found) == meant(SHEETS[name])
    assert score.remarks == ()
    assert score.title == SHEETS[name].title
    whole = SHEETS[name].bar_quarters * ticks
    assert set(score.bars["duration"].tolist()) == {whole}


@pytest.mark.parametrize("heads", [music21_heads, partitura_heads])
@NAMED
def test_two_other_readers_find_the_same_notes(
    name: str, heads: Callable[[Path], list[Head]], tmp_path: Path
) -> None:
    path = tmp_path / "sheet.musicxml"
    save_musicxml(SHEETS[name], path)
    rows = sum(joined(heads(path)).values(), Counter())
    assert rows == Counter((grid(onset), pitch, grid(length)) for onset, length, pitch in meant(SHEETS[name]))


@NAMED
def test_the_schema_is_kept(name: str, schema: etree.XMLSchema) -> None:
    schema.assertValid(etree.fromstring(to_musicxml(SHEETS[name])))


@NAMED
def test_the_same_sheet_gives_the_same_bytes(name: str) -> None:
    first = to_musicxml(SHEETS[name])
    assert first == to_musicxml(SHEETS[name])
    assert first.startswith(b"<?xml")
    assert b'<score-partwise version="4.0">' in first


def tree(sheet: Sheet) -> Any:
    return etree.fromstring(to_musicxml(sheet))


def test_spelling_and_accidentals() -> None:
    sheet = sheet_of_melody([62, 63, 66, 66, 62, 63, 66], [1] * 4 + [2, 1, 1], DOUBLE_HARMONIC)
    notes = tree(sheet).findall(".//note")
    names = [(note.findtext("pitch/step"), note.findtext("pitch/alter")) for note in notes]
    assert names[:3] == [("D", None), ("E", "-1"), ("F", "1")]
    assert [note.findtext("accidental") for note in notes] == [None, "flat", "sharp", None, None, "flat", "sharp"]


def test_a_natural_after_an_accidental_and_none_on_a_tied_note() -> None:
    names = collection("C major").spelling
    notes = tree(sheet_of_melody([66, 65, 66, 66], [1, 1, 3, 1], names)).findall(".//note")
    assert [note.findtext("accidental") for note in notes[:5]] == ["sharp", "natural", "sharp", None, "sharp"]
    assert [[tie.get("type") for tie in note.findall("tie")] for note in notes[2:5]] == [["start"], ["stop"], []]


def test_key_signatures_move_with_the_instrument() -> None:
    fifths = [int(part.findtext(".//fifths")) for part in tree(SHEETS["in keys"]).findall("part")]
    assert fifths == [-3, -3, -1, -2, -3]  # flute, oboe, clarinet in B flat, horn in Fraction, bassoon
    without = [int(key.text) for key in tree(SHEETS["clarinet"]).findall(".//fifths")]
    assert without == [0]


@pytest.mark.parametrize("name", [one.name for one in instruments()])
def test_every_instrument_is_read_back_at_sounding_pitch(name: str, tmp_path: Path) -> None:
    player = instrument(name)
    pitches = [player.low, player.easy[0], player.easy[1], player.high]
    sheet = sheet_of_melody(pitches, 1, E_FLAT, player=player)
    path = tmp_path / "melody.musicxml"
    save_musicxml(sheet, path)
    assert read_score(path).notes["pitch"].tolist() == pitches


def test_beams_and_tuplets_are_marked() -> None:
    first_bar = tree(SHEETS["clarinet"]).find("part/measure")
    beams = [[beam.text for beam in note.findall("beam")] for note in first_bar.findall("note")]
    assert beams[:3] == [["begin"], ["continue"], ["end"]]
    assert beams[3:6] == [[], ["begin", "begin"], ["end", "end"]]
    tuplets = [[t.get("type") for t in note.findall("notations/tuplet")] for note in first_bar.findall("note")]
    assert tuplets[:4] == [["start"], [], ["stop"], []]


def test_chord_symbols_and_labels_stand_over_their_chords() -> None:
    root = tree(SHEETS["piano"])
    harmonies = root.findall(".//harmony")
    assert [h.findtext("root/root-step") for h in harmonies] == ["D", "E", "C"]
    assert [h.find("kind").text for h in harmonies] == ["major-seventh", "major-seventh", "dominant"]
    assert [h.find("kind").get("text") for h in harmonies] == ["maj7", "maj7", "7♯9"]
    assert harmonies[1].findtext("bass/bass-step") == "G"
    assert [words.text for words in root.iter("words")] == ["4-20"]
    read = music21.converter.parseData(to_musicxml(SHEETS["piano"]), format="musicxml")
    symbols = list(read.recurse().getElementsByClass(music21.harmony.ChordSymbol))
    assert [sorted({pitch.pitchClass for pitch in s.pitches}) for s in symbols[:2]] == [[1, 2, 6, 9], [2, 3, 7, 10]]


def test_out_as_drawing_and_as_midi(tmp_path: Path) -> None:
    path = tmp_path / "sheet.musicxml"
    save_musicxml(SHEETS["piano"], path)
    score = read_score(path)
    drawing = engrave_passage(score, 0, len(score.bars) - 1, look=PassageLook(outlined=True))
    assert len(drawing.bars) == 3
    assert paint(drawing.svg, 600).startswith(b"\x89PNG")
    assert to_midi(from_score(score)).startswith(b"MThd")


def test_hidden_degrees_are_not_engraved_twice(tmp_path: Path) -> None:
    path = tmp_path / "sheet.musicxml"
    save_musicxml(SHEETS["piano"], path)
    drawing = engrave_passage(read_score(path), 2, 2)
    assert "(" not in "".join(map(str, etree.fromstring(drawing.svg.encode()).itertext()))


def test_refusals(tmp_path: Path) -> None:
    with pytest.raises(InputError, match=r"sheet.pdf is no name of a MusicXML file. End it in .musicxml or .xml"):
        save_musicxml(SHEETS["piano"], tmp_path / "sheet.pdf")
    with pytest.raises(InputError, match=r"'A\\x00' has a sign that cannot be written"):
        to_musicxml(replace(SHEETS["piano"], title="A\x00"))
    empty = SheetPart("Flute", instrument("flute"), (SheetStaff("treble", ((),)),))
    with pytest.raises(InputError, match="There is nothing to write down"):
        to_musicxml(Sheet((empty,)))
