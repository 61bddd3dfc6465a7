"""Sets kept with words and tags: one card a set, however it was typed."""

from __future__ import annotations

import datetime
from pathlib import Path

import pytest

from sonorarium.errors import InputError
from sonorarium.pcs.pcset import PcSet
from sonorarium.pcs.subject import subject
from sonorarium.study.folder import Study, new_study
from sonorarium.study.remarks import canonical, keep_set, kept_sets, remarks_on


@pytest.fixture
def study(tmp_path: Path) -> Study:
    return new_study(tmp_path / "study", "Remarks")


def test_a_set_is_kept_on_a_card_that_can_be_read(study: Study) -> None:
    day = datetime.date(2026, 3, 14)
    keep_set(study, "d Double Harmonic", words="Two leading tones.", tags=["leading tones", " ritual "], kept=day)
    card = study.folder / "sets" / "d-double-harmonic.md"
    assert card.read_text(encoding="utf-8") == (
        "---\nformat: 1\nset: D double harmonic\nkept: 2026-03-14\ntag: leading tones\ntag: ritual\n---\n\n"
        "Two leading tones.\n"
    )


def test_ways_of_typing_one_thing_meet_on_one_card(study: Study) -> None:
    keep_set(study, "[0148]", words="One.", tags=["cold"])
    keep_set(study, "4-19", words="Two.", tags=["Cold", "glass"], kept=datetime.date(2026, 3, 14))
    (one,) = kept_sets(study).sets
    assert (one.what, one.words, one.tags, one.kept) == ("4-19", "One.\n\nTwo.", ("cold", "glass"), "")


def test_a_card_written_by_hand_under_any_name_is_found(study: Study) -> None:
    card = study.folder / "sets" / "My Own Name.md"
    card.write_text("---\nset: [0148]\nmood: uneasy\n---\nHand.\n", encoding="utf-8")
    keep_set(study, "4-19", words="More.")
    assert card.read_text(encoding="utf-8") == "---\nset: [0148]\nmood: uneasy\n---\n\nHand.\n\nMore.\n"
    assert len(list(card.parent.iterdir())) == 1


def test_remarks_on_a_set_its_notes_and_its_class(study: Study) -> None:
    for what in ("4-19", "Ebmaj7#5", "Eb G B D", "C E Ab B", "5-15", "F# A C#"):
        keep_set(study, what)
    assert [one.what for one in remarks_on(study, "Eb G B D")] == ["Eb G B D", "Ebmaj7#5", "4-19", "C E Ab B"]
    assert next(iter(remarks_on(study, "4-19"))).what == "4-19"
    assert remarks_on(study, "3-1") == ()


def test_tags_are_searched_whatever_their_capitals(study: Study) -> None:
    keep_set(study, "5-15", tags=["Glass"])
    keep_set(study, "5-16", tags=["cold"])
    kept = kept_sets(study)
    assert [one.what for one in kept.tagged("glass")] == ["5-15"]
    assert kept.sets[0].pcset.set_class.label == "5-15"


def test_a_card_whose_set_means_nothing_stays_and_is_listed(study: Study) -> None:
    (study.folder / "sets" / "x.md").write_text("---\nset: my theme\n---\n", encoding="utf-8")
    keep_set(study, "5-15")
    assert [one.what for one in kept_sets(study).sets] == ["5-15", "my theme"]
    assert [one.what for one in remarks_on(study, "5-15")] == ["5-15"]
    with pytest.raises(InputError):
        keep_set(study, "my theme")


@pytest.mark.parametrize(
    "what",
    ["Ab over C7", "C3 G3 E4", "Bb blues", "F## dorian", "2 4 of D dorian", "Eb7#9", "E/C", "7 0 3", "3-12 on Bb"],
)
def test_what_stands_on_a_card_means_what_was_typed(what: str) -> None:
    assert subject(canonical(what)).pcset == subject(what).pcset
    assert canonical(canonical(what)) == canonical(what)
    assert isinstance(subject(what).pcset, PcSet)
