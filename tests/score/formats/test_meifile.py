"""MEI files: older versions through the importer, headers as they are."""

from __future__ import annotations

from pathlib import Path

import pytest

from sonorarium.errors import DamagedError
from sonorarium.score.reading import read_score

OLD = """<?xml version="1.0" encoding="UTF-8"?>
<mei xmlns="http://www.music-encoding.org/ns/mei" meiversion="3.0.0"><meiHead><fileDesc><titleStmt><title>Air</title>
<respStmt><persName role="composer">Anon.</persName></respStmt></titleStmt><pubStmt/></fileDesc></meiHead>
<music><body><mdiv><score><scoreDef meter.count="2" meter.unit="4" key.sig="1s"><staffGrp><staffDef n="1" lines="5"
clef.shape="G" clef.line="2" label="Flute"/></staffGrp></scoreDef><section><measure n="1"><staff n="1"><layer n="1">
<note xml:id="a" pname="f" oct="5" dur="4" accid.ges="s"/><note pname="g" oct="5" dur="4" accid="s" tie="i"/></layer>
</staff></measure><measure n="2"><staff n="1"><layer n="1"><note pname="g" oct="5" dur="2" tie="t" accid.ges="s"/>
</layer></staff></measure></section></score></mdiv></body></music></mei>"""


def test_an_older_version_under_a_strange_name(tmp_path: Path) -> None:
    path = tmp_path / "song.krn"
    path.write_text(OLD)
    score = read_score(path)
    assert score.notes[["onset", "duration", "pitch"]].tolist() == [(0, 1, 78), (1, 3, 80)]
    assert (score.format, score.title, score.composer) == ("MEI", "Air", "Anon.")
    assert [part.name for part in score.parts] == ["Flute"]
    assert score.bars[["label", "beats", "beat_type"]].tolist() == [("1", 2, 4), ("2", 2, 4)]
    assert score.remarks == ()


@pytest.mark.parametrize(
    ("text", "what"),
    [
        (OLD[:-30], r"^song\.mei: The XML is damaged at line 8"),
        (
            OLD.replace("<measure", "<pb/><!--<measure", 1).replace("</section>", "--></section>", 1),
            "no bars",
        ),
        ("<!DOCTYPE mei [<!ENTITY a 'b'>]>" + OLD.partition("?>")[2].strip(), "declares XML entities"),
    ],
)
def test_damage_is_said(tmp_path: Path, text: str, what: str) -> None:
    path = tmp_path / "song.mei"
    path.write_text(text)
    with pytest.raises(DamagedError, match=what):
        read_score(path)
