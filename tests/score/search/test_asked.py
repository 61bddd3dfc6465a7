import json
from dataclasses import fields, replace
from fractions import Fraction

import pytest

from sonorarium.score.search.asked import in_words, options
from sonorarium.score.search.chain import Chain
from sonorarium.score.search.limits import Limits
from sonorarium.score.search.listing import Listing
from sonorarium.score.search.nearness import Near
from sonorarium.score.search.query import ANY_EXTRA, Query

PLAIN = "as chord, line or texture; chords exact; sounding notes; all parts; no foreign notes"


def test_the_defaults_are_said_too() -> None:
    assert in_words(Query.of("5-26")) == f"class 5-26 under transposition and inversion; {PLAIN}"
    assert in_words(Query.of("4-19A")) == f"class 4-19A under transposition; {PLAIN}"
    assert in_words(Query.of("C E Ab B")) == f"the set G♯ B C E as it stands; {PLAIN}"


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({"extra": 1}, "chords may hold 1 other pitch class besides"),
        ({"extra": ANY_EXTRA}, "chords may hold any others besides"),
        ({"struck": True}, "struck notes (lines as ever)"),
        ({"parts": ("Flute", 1)}, "parts: Flute, number 2"),
        ({"tolerance": Fraction(1, 20)}, "up to 5 % of the time foreign in lines and textures"),
        ({"near": Near(1)}, "class 4-19 under transposition and inversion, and sets up to 1 semitone away"),
        ({"near": Near.alike(0.9)}, "and classes of likeness 0.9 or more (1 − ASIM)"),
        ({"least_notes": 5}, "at least 5 notes"),
        ({"least_quarters": Fraction(3, 2)}, "at least 3/2 quarters long"),
        ({"limits": Limits.of(shortest="1 bar", longest="4 bars")}, "at least 1 bar long; at most 4 bars long"),
        ({"limits": Limits.of(longest="1")}, "at most 1 quarter long"),
        ({"limits": Limits(bars="9-12")}, "only what is printed as bar 9-12"),
        ({"limits": Limits(bass=3, top=7)}, "D♯ or E♭ lowest; G highest"),
        ({"listing": Listing("place", True)}, "listed by place; repeats folded"),
        ({"kinds": ("chord", "line")}, "as chord or line"),
    ],
)
def test_every_option_is_said(changed: dict[str, object], words: str) -> None:
    query = replace(Query.of("4-19"), **changed)  # type: ignore[arg-type]
    assert words in in_words(query)
    assert words not in in_words(Query.of("4-19"))
    assert options(query) != options(Query.of("4-19"))


def test_chords_alone_have_no_foreign_notes_to_speak_of() -> None:
    assert "foreign" not in in_words(Query.of("4-19", kind="chord"))


def test_a_row_of_sets_is_said_in_order() -> None:
    said = in_words(Chain.of("3-11 then 3-12 within two bars then C E G", kind="chord"))
    assert said.startswith(
        "class 3-11 under transposition and inversion, then class 3-12 under transposition and inversion, beginning "
        "at most 2 bars after the end of that, then the set C E G as it stands, beginning at most 1 bar after"
    )


def test_the_json_form_has_every_option() -> None:
    plain = options(Query.of("4-19"))
    assert json.loads(json.dumps(plain)) == plain
    told = {"subject": "sets", "near": "near_semitones", "limits": "most_bars", "listing": "by"}
    assert {told.get(f.name, f.name) for f in fields(Query)} <= set(plain)
    assert {f.name for f in fields(Limits)} <= set(plain)
    row = options(Chain.of("3-11 then C E G"))
    assert set(row) == set(plain)
    assert (row["sets"], row["under"]) == (["3-11", "0 4 7"], ["TnI", "literal"])
    assert row["within"] == [{"amount": 1.0, "unit": "bars"}]
