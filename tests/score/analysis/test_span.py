"""What a span says of itself."""

from __future__ import annotations

import json
from dataclasses import replace
from fractions import Fraction

from sonorarium.pcs.families import default_family
from sonorarium.pcs.pcset import PcSet
from sonorarium.score.analysis.span import Span, SpanReading

FAMILY = default_family()
C, G, HEXATONIC = (FAMILY.member(name) for name in ("C diatonic", "G diatonic", "C hexatonic"))
DECIDED = Span(
    onset=0,
    end=64,
    bar_indices=(0, 3),
    bars=("1", "4"),
    beats=(Fraction(1), Fraction(5)),
    verdict="decided",
    heard=C.pcset,
    foreign=PcSet((6,)),
    inside=0.97,
    posterior=0.9,
    readings=(SpanReading(C, 0.0, 0.97), SpanReading(G, -3.5, 0.91), SpanReading(None, -9.0, 1.0)),
    centre=None,
)


def test_a_decided_span() -> None:
    assert DECIDED.collection == C
    assert DECIDED.nearest == C
    assert DECIDED.candidates == (C,)
    assert DECIDED.lead == 3.5
    assert str(DECIDED) == "bars 1–4: C diatonic (7-35 heard, 97 % inside)."


def test_an_undecided_span_names_those_in_question() -> None:
    readings = (SpanReading(C, 0.0, 1.0), SpanReading(G, -0.2, 1.0), SpanReading(None, -2.0, 1.0))
    span = replace(DECIDED, verdict="undecided", readings=readings)
    assert span.collection is None
    assert span.candidates == (C, G)
    assert "undecided between C diatonic, G diatonic, none of these" in span.sentence


def test_a_span_with_too_few_notes_says_so() -> None:
    readings = (SpanReading(HEXATONIC, 0.0, 1.0, missing=(3, 7, 11)), SpanReading(C, -5.0, 1.0))
    span = replace(DECIDED, verdict="undecided", heard=PcSet((0, 4, 8)), readings=readings, bars=("2", "2"))
    assert span.sentence == "bar 2: undecided, too little is heard; nearest C hexatonic (3-12 heard, 97 % inside)."


def test_none_of_these_names_the_nearest() -> None:
    span = replace(
        DECIDED, verdict="none of these", readings=(SpanReading(None, 0.0, 1.0), SpanReading(G, -20.0, 0.8))
    )
    assert (span.collection, span.nearest, span.candidates) == (None, G, ())
    assert "none of these, nearest G diatonic" in span.sentence


def test_plain_values_can_be_written_as_json() -> None:
    plain = json.loads(json.dumps(DECIDED.as_dict()))
    assert plain["collection"] == "C diatonic"
    assert plain["spelling"] == ["C", "D", "E", "F", "G", "A", "B"]
    assert plain["beats"] == ["1", "5"]
    assert plain["readings"][2] == {"name": "none of these", "log_odds": -9.0, "inside": 1.0}
