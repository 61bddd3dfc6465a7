"""Examples go out as MusicXML that the schema holds and that reads back as the same notes."""

from __future__ import annotations

from importlib.util import find_spec
from pathlib import Path

import pytest
from lxml import etree
from music21 import converter

from sonorarium.errors import InputError
from sonorarium.lesson.illustrations.examples import Bars, bars_of, example_musicxml, sheet_of_columns
from sonorarium.lesson.illustrations.sheets import scale_columns
from sonorarium.pcs.subject import subject
from sonorarium.render.notation import Column
from sonorarium.score.reading import read_score

PIECES = Path(__file__).parents[3] / "demo" / "pieces"


def test_a_scale_reads_back_in_its_spelling(tmp_path: Path) -> None:
    data = example_musicxml(sheet_of_columns(scale_columns(subject("D double harmonic")), "D double harmonic"))
    read = converter.parseData(data.decode(), format="musicxml")
    names = [note.nameWithOctave for note in read.recurse().notes]
    assert names == ["D4", "E-4", "F#4", "G4", "A4", "B-4", "C#5", "D5"]


def test_a_wide_chord_parts_at_middle_c(tmp_path: Path) -> None:
    column = Column(((0, 0, 3), (4, 0, 3), (2, -1, 4), (6, -1, 4)), below="i7")
    place = tmp_path / "chord.musicxml"
    place.write_bytes(example_musicxml(sheet_of_columns([column])))
    score = read_score(place)
    assert sorted(score.notes["pitch"].tolist()) == [48, 55, 63, 70]
    assert sorted(set(score.notes["staff"].tolist())) in ([0, 1], [1, 2])


@pytest.mark.parametrize("piece", sorted(PIECES.glob("*.musicxml")), ids=lambda path: path.stem)
def test_a_cut_passage_has_the_notes_of_its_bars(piece: Path, tmp_path: Path) -> None:
    score = read_score(piece)
    first, last = len(score.bars) // 3, len(score.bars) // 3 + 3
    bars = bars_of(score, (first, last))
    assert bars is not None
    place = tmp_path / "cut.musicxml"
    place.write_bytes(example_musicxml(bars))
    cut = read_score(place)
    begin, end = int(score.bars["onset"][first]), int(score.bars["onset"][last] + score.bars["duration"][last])
    there = score.notes[(score.notes["onset"] >= begin) & (score.notes["onset"] < end)]
    assert len(cut.bars) == 4
    assert cut.bars["label"].tolist() == score.bars["label"].tolist()[first : last + 1]
    here = cut.notes["onset"] * score.ticks_per_quarter // cut.ticks_per_quarter + begin
    whole = set(zip(there["onset"].tolist(), there["pitch"].tolist(), there["part"].tolist(), strict=True))
    found = set(zip(here.tolist(), cut.notes["pitch"].tolist(), cut.notes["part"].tolist(), strict=True))
    assert whole <= found  # a note tied over from the bar before is in the cut too
    assert {onset for onset, _, _ in found - whole} <= {begin}
    assert cut.composer == score.composer
    assert score.title in cut.title


def test_a_cut_passage_holds_to_the_schema(tmp_path: Path) -> None:
    piece = PIECES / "1-saffron-evening.musicxml"
    score = read_score(piece)
    root = etree.fromstring(example_musicxml(Bars(piece, score.digest, 10, 13)))
    schema(tmp_path).assertValid(root)


def schema(folder: Path) -> etree.XMLSchema:
    """The schema of MusicXML 4.0 that a package carries; what it imports from elsewhere is put in its place."""
    spec = find_spec("musicxml")
    assert spec is not None
    assert spec.origin is not None
    (source,) = Path(spec.origin).parent.rglob("musicxml_4_0.xsd")
    text = source.read_text(encoding="utf-8")
    for name, (space, attributes) in {
        "xml.xsd": ("http://www.w3.org/XML/1998/namespace", "lang space"),
        "xlink.xsd": ("http://www.w3.org/1999/xlink", "href type role title show actuate"),
    }.items():
        declared = "".join(f'<xs:attribute name="{one}"/>' for one in attributes.split())
        (folder / name).write_text(
            f'<xs:schema xmlns:xs="http://www.w3.org/2001/XMLSchema" targetNamespace="{space}">{declared}</xs:schema>'
        )
        text = text.replace(f"http://www.musicxml.org/xsd/{name}", name)
    (folder / "musicxml.xsd").write_text(text, encoding="utf-8")
    return etree.XMLSchema(etree.parse(folder / "musicxml.xsd"))


def test_a_file_that_changed_is_refused(tmp_path: Path) -> None:
    piece = tmp_path / "piece.musicxml"
    piece.write_bytes((PIECES / "1-saffron-evening.musicxml").read_bytes())
    digest = read_score(piece).digest
    piece.write_bytes(piece.read_bytes() + b"\n")
    with pytest.raises(InputError, match="has changed since it was read"):
        example_musicxml(Bars(piece, digest, 0, 1))


def test_nothing_is_refused() -> None:
    with pytest.raises(InputError, match="no notes to write down"):
        sheet_of_columns([Column(())])
