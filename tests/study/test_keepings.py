"""Passages kept: what stands on the card leads back to the very notes."""

from __future__ import annotations

import shutil
from fractions import Fraction
from pathlib import Path

import pytest

from sonorarium.errors import InputError, NothingFoundError
from sonorarium.score.reading import read_score
from sonorarium.score.score import Score
from sonorarium.score.search.finding import find
from sonorarium.score.search.passage import Passage
from sonorarium.study.folder import Study, new_study
from sonorarium.study.keepings import keep_passage, kept_passages, refind, standing

PIECE = Path(__file__).parents[2] / "demo" / "pieces" / "1-saffron-evening.musicxml"


@pytest.fixture
def study(tmp_path: Path) -> Study:
    made = new_study(tmp_path / "study", "Passages")
    shutil.copy2(PIECE, made.folder / "pieces")
    return made


def best(path: Path) -> tuple[Score, Passage]:
    score = read_score(path)
    return score, find(score, "5-15", kind="texture")[0]


def test_a_passage_is_kept_and_found_again(study: Study) -> None:
    score, passage = best(study.folder / "pieces" / PIECE.name)
    keep_passage(study, score, passage, why="It glitters.", tags=["cadence"])
    (kept,) = kept_passages(study).passages
    assert kept.filed.path.name == "1-saffron-evening-26-29-5-15.md"
    assert (kept.score, kept.what, kept.bars) == (f"pieces/{PIECE.name}", "5-15", ("26", "29"))
    assert kept.onset_quarters == Fraction(passage.onset, score.ticks_per_quarter)
    assert (kept.place, kept.why, kept.tags) == ("Saffron Evening, bars 26–29", "It glitters.", ("cadence",))
    assert kept.digest == score.digest
    assert refind(study, kept)[1] == passage
    assert standing(study, kept) == "as kept"


def test_keeping_twice_adds_words_and_no_card(study: Study) -> None:
    score, passage = best(study.folder / "pieces" / PIECE.name)
    keep_passage(study, score, passage, why="One.", tags=["a"])
    keep_passage(study, score, passage, why="Two.", tags=["a", "b"])
    (kept,) = kept_passages(study).passages
    assert (kept.why, kept.tags) == ("One.\n\nTwo.", ("a", "b"))


def test_a_piece_changed_or_gone_is_noticed(study: Study) -> None:
    path = study.folder / "pieces" / PIECE.name
    kept = keep_passage(study, *best(path))
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace("<step>G</step>", "<step>F</step>"), encoding="utf-8")
    assert standing(study, kept) == "changed"
    with pytest.raises(NothingFoundError, match="bars 26–29: the passage is not there any more"):
        refind(study, kept)
    path.unlink()
    assert standing(study, kept) == "missing"


def test_a_piece_outside_the_study_is_kept_by_its_full_path(study: Study) -> None:
    kept = keep_passage(study, *best(PIECE))
    assert kept.score == str(PIECE)
    assert standing(study, kept) == "as kept"


def test_a_card_cannot_reach_out_of_the_study(study: Study) -> None:
    kept = keep_passage(study, *best(study.folder / "pieces" / PIECE.name))
    card = kept.filed.path
    card.write_text(card.read_text(encoding="utf-8").replace("score: pieces", "score: ../pieces"), encoding="utf-8")
    (moved,) = kept_passages(study).passages
    assert standing(study, moved) == "missing"
    with pytest.raises(InputError, match="outside the study"):
        refind(study, moved)


def test_cards_that_say_nothing_are_named(study: Study) -> None:
    kept = keep_passage(study, *best(study.folder / "pieces" / PIECE.name))
    card = kept.filed.path
    card.write_text(card.read_text(encoding="utf-8").replace("onset: ", "onset: soon "), encoding="utf-8")
    found = kept_passages(study)
    assert found.passages == ()
    assert "pcs, onset or end is not understood" in found.unread[0].reason
