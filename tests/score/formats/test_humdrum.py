"""Humdrum through the importer: spines that split, and a count of what came through."""

from __future__ import annotations

import pytest

from sonorarium.errors import DamagedError, InputError
from sonorarium.score.formats.humdrum import read_humdrum, written_notes
from sonorarium.score.remarks import Findings
from sonorarium.score.score import Score

SPLITTING = """!!!COM: Haydn, Joseph
!!!OPR: Quartet
!!!OTL: First part
!!!OMV: 2
!!!ODT: 1793
!!!YEC: Free
!!!ENC: A clerk
**kern\t**dynam\t**kern
*I"Cello\t*\t*I"Clarinet in Bb
*\t*\t*ITrd1c2
*M3/4\t*\t*M3/4
4r\t.\t4cc
=1\t=1\t=1
*^\t*\t*
4F\t2.C\tp\t12dd
.\t.\t.\t12ee-
.\t.\t.\t12ff#
4G\t.\t.\t[4cc
4A\t.\t.\t4cc] 4ee
*v\t*v\t*\t*
=2\t=2\t=2
2.E\t.\tqgg
.\t.\t2.aa
==\t==\t==
*-\t*-\t*-
"""


def read(text: str) -> Score:
    return read_humdrum(text, Findings())


def test_no_note_is_lost_where_spines_split_and_join() -> None:
    plain = "**kern\n*M4/4\n=1\n*^\n4c\t2e\n4d\t.\n"
    plain += "*\t*^\n4e\t4g\t4b\n4f\t4a\t4cc\n*\t*v\t*v\n*v\t*v\n=2\n1c\n==\n*-\n"
    score = read(plain)
    assert written_notes(plain) == len(score.notes) == 10
    assert sorted(score.notes["pitch"].tolist()) == [60, 60, 62, 64, 64, 65, 67, 69, 71, 72]
    assert [remark.what for remark in score.remarks] == []


def test_parts_transposition_tuplets_ties_and_graces() -> None:
    score = read(SPLITTING)
    assert [(part.name, part.transposition) for part in score.parts] == [("Clarinet in Bb", -2), ("Cello", 0)]
    upper = score.notes[score.notes["part"] == 0]
    assert upper[["pitch", "step", "alter", "grace"]].tolist()[:4] == [
        (72, 1, 0, False),
        (74, 2, 0, False),
        (75, 3, 0, False),
        (78, 4, 1, False),
    ]
    assert sorted(upper["grace"].tolist()) == [False] * 7 + [True]
    tied = upper[upper["pitch"] == 70 + 2][-1]
    assert tied["duration"] == 2 * score.ticks_per_quarter
    assert score.bars["label"].tolist() == ["0", "1", "2"]
    assert score.bars["lead"].tolist()[0] == 2 * score.ticks_per_quarter
    assert (score.title, score.composer, score.date) == ("Quartet: First part: 2", "Haydn, Joseph", "1793")
    assert (score.rights, score.encoder) == ("Free", "A clerk")
    assert score.remarks[0].what == "Only **kern was read; spines of other kinds were left out: **dynam (1)."


def test_notes_are_counted_along_the_spines() -> None:
    text = "**kern\t**text\t**kern\n4c 4e\tc\t4r\n*+\t*\t*\n"
    text += "*\t**kern\t*\t*\n4c\t4d\tla\t4e\n*x\t*x\t*\t*\n.\t4d\te\t4f\n"
    assert written_notes(text) == 2 + 3 + 2


def test_files_without_notes() -> None:
    with pytest.raises(InputError, match=r"no \*\*kern spine"):
        read("**text\nla\n*-\n")
    with pytest.raises(DamagedError, match="cannot be understood"):
        read("**kern\n4c\t4d\n*-\n")
