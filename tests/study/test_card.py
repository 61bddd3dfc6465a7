"""A card gives back whatever stands in it; two changes are joined or refused, never lost."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sonorarium.errors import DamagedError, InputError
from sonorarium.study.card import Card, merged, read_card, stem_of

BY_HAND = """---
# my own note
set: 5-15
mood: uneasy
tag: bright

tag: cold
---

First line.

    indented
---
after a rule
"""


def test_what_is_not_known_here_is_written_back_in_its_place() -> None:
    card = read_card(BY_HAND)
    assert card.text == BY_HAND
    changed = card.with_values("tag", ["cold", "glass"]).with_more("More.")
    assert changed.text == BY_HAND.replace("tag: bright\n\ntag: cold\n", "tag: cold\ntag: glass\n\n") + "\nMore.\n"


def test_line_ends_of_the_file_are_kept() -> None:
    text = BY_HAND.replace("\n", "\r\n")
    assert read_card(text).text == text


values = st.text(st.characters(exclude_categories=["Cs", "Cc", "Zl", "Zp"]), max_size=20).map(
    lambda s: " ".join(s.split())
)
words = st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\r"), max_size=60)


@given(st.lists(values.filter(bool), max_size=4), words)
def test_reading_gives_back_what_was_written(tags: list[str], text: str) -> None:
    card = Card().with_values("tag", tags).with_words(text)
    assert read_card(card.text) == card
    assert list(card.values("tag")) == tags


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("set: 5-15\n", "Line 1: a card begins with a line of ---"),
        ("---\nset: 5-15\n", "has no end"),
        ("---\nSet 5-15\n---\n", "Line 2: 'Set 5-15' is no 'key: value' line"),
        (
            "---\nformat: 2\nset: 5-15\n---\n",
            r"format 2; this version reads format 1\. Use the version that wrote it",
        ),
        ("---\nformat: one\n---\n", "format one"),
        ("---\nset: 5-15\nset: 5-16\n---\n", "more than one 'set'"),
    ],
)
def test_what_is_no_card_is_refused(text: str, sentence: str) -> None:
    with pytest.raises(DamagedError, match=sentence):
        read_card(text, once=("set",))


def test_changes_of_different_things_are_joined() -> None:
    base = read_card(BY_HAND)
    mine = base.with_values("tag", ["bright", "cold", "mine"]).with_values("mood", ["calm"])
    theirs = base.with_values("tag", ["cold", "theirs"]).with_more("Theirs.")
    both = merged(base, mine, theirs)
    assert both.values("tag") == ("cold", "theirs", "mine")
    assert both.value("mood") == "calm"
    assert both.words.endswith("Theirs.")
    assert "# my own note" in both.text


@pytest.mark.parametrize("what", ["mood", "words"])
def test_changes_of_one_thing_are_refused(what: str) -> None:
    base = read_card(BY_HAND)
    mine, theirs = (
        base.with_words(f"{who}.") if what == "words" else base.with_values(what, [who]) for who in ("mine", "theirs")
    )
    with pytest.raises(InputError, match=f"changed the {what} of this card") as refused:
        merged(base, mine, theirs)
    assert isinstance(refused.value.value, dict)
    assert merged(base, mine, mine) == mine


@given(values.filter(bool), words, words)
def test_two_added_paragraphs_both_stay(text: str, mine: str, theirs: str) -> None:
    base = Card().with_words(text)
    both = merged(base, base.with_more(mine), base.with_more(theirs))
    for added in (mine, theirs):
        assert Card().with_words(added).words in both.words


@given(st.text(max_size=200))
def test_a_file_name_is_plain(text: str) -> None:
    stem = stem_of(text)
    assert stem
    assert len(stem) <= 80
    assert set(stem) <= set("abcdefghijklmnopqrstuvwxyz0123456789-")
