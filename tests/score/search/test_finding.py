"""Passages against their definitions: little scores, plain loops over random and real scores, and known pieces."""

from dataclasses import astuple, replace
from fractions import Fraction
from pathlib import Path

import music21
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sonorarium.errors import InputError
from sonorarium.pcs.pcset import PcSet
from sonorarium.pcs.reading import read_set
from sonorarium.pcs.setclass import SetClass
from sonorarium.score.reading import read_score
from sonorarium.score.score import Score
from sonorarium.score.search.finding import find, find_best
from sonorarium.score.search.limits import Limits
from sonorarium.score.search.nearness import Near
from sonorarium.score.search.passage import Passage
from sonorarium.score.search.query import Query
from tests.score.little_scores import TICKS, little_score
from tests.score.random_scores import scores
from tests.score.search.definitions import Asked, Seen, seen

CORPUS = Path(music21.__file__).parent / "corpus"


def quarters(passages: list[Passage]) -> list[tuple[float, float]]:
    """Where passages lie, in quarters, in order of place."""
    return sorted((p.onset / TICKS, p.end / TICKS) for p in passages)


# Chords


def test_a_chord_has_exactly_the_set() -> None:
    score = little_score({"Piano": ["C4+E4+G4:1 C4+E4:1 C4+E4+G4+B4:1 E3+G4+C5:1"]})
    assert quarters(find(score, "C E G", kind="chord")) == [(0, 1), (3, 4)]


def test_neighbouring_slices_of_one_set_are_one_chord() -> None:
    score = little_score({"Flute": ["C5:1 E5:1 r:1 G4:1"], "Piano": ["C4+E4+G4:2 r:1 C4+E4:1"]})
    assert quarters(find(score, "C E G", kind="chord")) == [(0, 2), (3, 4)]


def test_a_held_note_completes_a_chord() -> None:
    score = little_score({"Flute": ["r:1 G5:1 r:2"], "Piano": ["C4+E4:3 r:1"]})
    (chord,) = find(score, "C E G", kind="chord")
    assert (chord.onset / TICKS, chord.end / TICKS, chord.notes) == (1, 2, ("C4", "E4", "G5"))


# Lines


def test_a_line_is_as_long_as_it_can_be() -> None:
    score = little_score({"Flute": ["F4:1 E4:1 C4:1 E4:1 G4:1 C5:1 D5:1 G4:1"]})
    (line,) = find(score, "C E G", kind="line")
    assert line.notes == ("E4", "C4", "E4", "G4", "C5")


def test_a_line_needs_all_of_the_set() -> None:
    assert not find(little_score({"Flute": ["C4:1 E4:1 C4:1 E4:1"]}), "C E G", kind="line")


def test_a_line_stays_in_one_voice_of_one_part() -> None:
    parts = {"Flute": ["C4:1 r:1 C4:1 r:1", "r:1 E3:1 r:1 E3:1"], "Viola": ["G3:4"]}
    assert not find(little_score(parts), "C E G", kind="line")
    assert find(little_score(parts), "C E G", kind="texture")


def test_notes_struck_together_are_taken_low_to_high() -> None:
    score = little_score({"Piano": ["C4+D5+E4:1 G4:1 r:2"]})
    (line,) = find(score, "E G D", kind="line")
    assert line.notes == ("E4", "D5", "G4")
    assert not find(score, "C D G", kind="line")


def test_a_rest_longer_than_a_bar_ends_a_line() -> None:
    lasting = "C4:1 E4:1 {} G4:1"
    for rest, count in (("r:4", 1), ("r:4 r:1/4", 0)):
        assert len(find(little_score({"Flute": [lasting.format(rest)]}), "C E G", kind="line")) == count


def test_the_bar_of_a_rest_is_that_of_its_metre() -> None:
    for rest, count in (("r:3", 1), ("r:4", 0)):
        score = little_score({"Flute": [f"C4:1 E4:1 {rest} G4:1"]}, metre=(6, 8))
        assert len(find(score, "C E G", kind="line")) == count


def test_a_rest_begins_where_the_longest_note_ends() -> None:
    held = little_score({"Organ": ["C3:1 r:7 G3:1", "r:1 E3:1"]})
    assert not find(held, "C G", kind="line")
    notes = held.notes.copy()
    notes["voice"], notes["duration"][0] = 0, 6 * TICKS
    overlapping = Score(notes, held.bars, held.parts, held.ticks_per_quarter)
    assert [p.notes for p in find(overlapping, "C E G", kind="line")] == [("C3", "E3", "G3")]


# Textures


def test_a_texture_pools_all_parts() -> None:
    score = little_score({"Flute": ["D5:1 C5:1 E5:1 F5:1"], "Viola": ["r:1 G3:2 r:1"]})
    assert quarters(find(score, "C E G", kind="texture")) == [(1, 3)]
    assert not find(score, "C E G", kind="texture", parts=["Flute"])


def test_silence_does_not_end_a_texture_but_is_trimmed() -> None:
    score = little_score({"Flute": ["r:1 C5:1 r:1 E5:1 r:8 G5:1 r:3"]})
    assert quarters(find(score, "C E G", kind="texture")) == [(1, 13)]


def test_a_foreign_note_anywhere_ends_a_texture() -> None:
    score = little_score({"Flute": ["C5:1 E5:1 G5:1 C5:1 G5:1 E5:1 C5:1 r:1"], "Viola": ["r:3 F#3:1 r:4"]})
    assert quarters(find(score, "C E G", kind="texture")) == [(0, 3), (4, 7)]


def test_each_form_of_a_class_is_searched_for_itself() -> None:
    score = little_score({"Piano": ["C4+E4+G4:1 C4+Eb4+G4:1 C4+E4+G4:1 D4+F#4+A4:1"]})
    chords = sorted(find(score, "3-11", kind="chord"), key=lambda p: p.onset)
    assert [(p.label, p.transposition) for p in chords] == [
        ("3-11B", "T7I"),
        ("3-11A", "T0"),
        ("3-11B", "T7I"),
        ("3-11B", "T9I"),
    ]
    assert [p.label for p in find(score, "3-11A", kind="chord")] == ["3-11A"]


def test_one_stretch_is_reported_once_for_each_kind() -> None:
    score = little_score({"Piano": ["C4+E4+G4:4"]})
    assert [p.kind for p in find(score, "C E G")] == ["chord", "line", "texture"]


def test_a_score_without_notes_has_no_passages() -> None:
    score = little_score({"Flute": ["C4:4"]})
    empty = Score(score.notes[:0], score.bars, score.parts, score.ticks_per_quarter)
    assert find(empty, "C E") == []
    assert find(Score(score.notes[:0], score.bars[:0], (), 1), "C E") == []


# The tightest statement


def test_the_tightest_statement_is_the_shortest_stretch() -> None:
    score = little_score({"Flute": ["C4:1 C4:1 E4:1 G4:1/2 E4:1/2 C4:1/2 G4:1/2 r:3"]})
    for passage in find(score, "C E G", kind=["line", "texture"]):
        assert (passage.onset / TICKS, passage.end / TICKS) == (0, 5)
        assert (passage.tightest.onset / TICKS, passage.tightest.end / TICKS) == (3, 4.5)
        assert passage.tightest.bars == ("1", "2")


def test_of_equally_tight_statements_the_earliest_is_told() -> None:
    score = little_score({"Flute": ["C4:1 E4:1 C4:1 E4:1"]})
    assert [p.tightest.onset for p in find(score, "C E", kind=["line", "texture"])] == [0, 0]


# Tolerance


def test_a_tolerance_lets_passing_notes_through() -> None:
    score = little_score({"Flute": ["B4:1 C5:1 D5:1/2 E5:1 F5:1/2 G5:1 A5:3"]})
    assert not find(score, "C E G", kind=["line", "texture"])
    for kind in ("line", "texture"):
        (passage,) = find(score, "C E G", kind=kind, tolerance=0.25)
        assert (passage.onset / TICKS, passage.end / TICKS, passage.foreign) == (1, 5, Fraction(1, 4))
        assert not find(score, "C E G", kind=kind, tolerance=0.249)


def test_chords_stay_exact_with_a_tolerance() -> None:
    score = little_score({"Piano": ["C4+E4+G4:7/2 C4+E4+F4:1/2"]})
    (chord,) = [p for p in find(score, "C E G", tolerance=0.2) if p.kind == "chord"]
    assert chord.end / TICKS == 3.5
    assert chord.foreign == 0


# Order, options


@given(scores(), st.sampled_from(["3-1", "2-2", "1-1", "3-11"]), st.integers(1, 4))
def test_a_limit_keeps_the_best_and_tells_how_many_there_were(score: Score, label: str, limit: int) -> None:
    query = Query.of(label)
    every = find(score, query)
    best = find_best(score, query, limit)
    assert best.passages == tuple(every[:limit])
    assert best.count == len(every)
    assert [p.rank for p in every] == sorted(p.rank for p in every)


def test_options_beside_a_query_are_refused() -> None:
    with pytest.raises(InputError, match="A query has its own options"):
        find(little_score({"Flute": ["C4:4"]}), Query.of("C E G"), kind="chord")


def test_what_is_looked_for_may_be_any_set() -> None:
    score = little_score({"Piano": ["C4+E4+G4:4"]})
    expected = find(score, "C E G")
    assert len(expected) == 3
    for what in (PcSet((0, 4, 7)), read_set("1 3 5 of C major"), "{0,4,7}"):
        assert find(score, what) == expected
    assert len(find(score, SetClass("3-11"))) == 3


# The definitions as plain loops


def as_seen(p: Passage) -> Seen:
    tight = (p.tightest.onset, p.tightest.end)
    return Seen(p.kind, p.onset, p.end, p.pcs.mask, p.rows, tight, p.foreign, astuple(p.salience))


def assert_same(found: list[Passage], expected: list[Seen]) -> None:
    fast, slow = sorted(map(as_seen, found)), sorted(expected)
    assert [astuple(one)[:-1] for one in fast] == [astuple(one)[:-1] for one in slow]
    for one, other in zip(fast, slow, strict=True):
        assert one.salience == pytest.approx(other.salience, abs=6e-5)


LITERALS = st.integers(1, 4095).map(PcSet.of_mask).filter(lambda s: len(s) <= 4)
CLASSES = st.sampled_from(["1-1", "2-1", "2-3", "2-6", "3-1", "3-2A", "3-11", "3-11B", "4-1", "5-35"]).map(SetClass)


@settings(max_examples=150)
@given(scores(), st.one_of(LITERALS, CLASSES), st.sampled_from([None, (0,), (1,)]))
def test_the_search_agrees_with_the_definitions(
    score: Score, what: PcSet | SetClass, parts: tuple[int, ...] | None
) -> None:
    assert_same(find(score, what, parts=parts), seen(score, Query.of(what).forms.tolist(), parts=parts))


@settings(max_examples=150)
@given(scores(), st.one_of(LITERALS, CLASSES), st.integers(1, 999))
def test_the_search_with_a_tolerance_agrees_with_the_definitions(
    score: Score, what: PcSet | SetClass, thousandths: int
) -> None:
    tolerance = Fraction(thousandths, 1000)
    found = find(score, what, tolerance=tolerance)
    assert_same(found, seen(score, Query.of(what).forms.tolist(), tolerance=tolerance))


@settings(max_examples=400)
@given(scores(), st.data())
def test_sets_made_of_what_sounds_agree_with_the_definitions(score: Score, data: st.DataObject) -> None:
    sounding = sorted({p % 12 for p in score.notes["pitch"][score.sounding].tolist()}) or [0]
    subset = PcSet(data.draw(st.lists(st.sampled_from(sounding), min_size=1, max_size=4)))
    choices: list[PcSet | SetClass] = [subset, subset, subset.set_class, subset.tn_class]
    what = data.draw(st.sampled_from(choices))
    tolerance = data.draw(st.sampled_from([Fraction(0), Fraction(0), Fraction(1, 10), Fraction(1, 2)]))
    expected = seen(score, Query.of(what).forms.tolist(), tolerance=tolerance)
    assert_same(find(score, what, tolerance=tolerance), expected)


def sounding_pcs(score: Score) -> list[int]:
    return sorted({p % 12 for p in score.notes["pitch"][score.sounding].tolist()}) or [0]


@st.composite
def asked(draw: st.DrawFn, bounds: list[int]) -> Asked:
    """Options of every kind, some of them set; bass and top from some pitch classes."""
    halves = st.integers(1, 8).map(lambda n: Fraction(n, 2))
    first = draw(st.integers(0, 3))
    return Asked(
        tolerance=draw(st.sampled_from([Fraction(0), Fraction(0), Fraction(1, 10), Fraction(1, 2)])),
        extra=draw(st.sampled_from([0, 0, 1, 2, 12])),
        struck=draw(st.booleans()),
        bars=draw(st.sampled_from([None, None, (first, first), (first, first + 1)])),
        bass=draw(st.sampled_from([None, None, None, *bounds])),
        top=draw(st.sampled_from([None, None, None, *bounds])),
        least_bars=draw(st.sampled_from([Fraction(0)] * 4 + [Fraction(1, 2), Fraction(1, 3)])),
        most_bars=draw(st.sampled_from([None] * 4 + [Fraction(1, 2), Fraction(2)])),
        most_quarters=draw(st.one_of(st.none(), st.none(), st.none(), halves)),
    )


def query_of(what: PcSet | SetClass, score: Score, asked: Asked) -> Query:
    labels = score.bars["label"]
    bars = "-".join(str(labels[index]) for index in asked.bars) if asked.bars else ""
    limits = Limits(asked.least_bars, asked.most_quarters, asked.most_bars, bars, asked.bass, asked.top)
    return Query(what, tolerance=asked.tolerance, extra=asked.extra, struck=asked.struck, limits=limits)


@settings(max_examples=600, deadline=None)
@given(scores(least=12), st.data(), st.sampled_from([None, None, 1, 2]))
def test_every_option_agrees_with_the_definitions(score: Score, data: st.DataObject, semitones: int | None) -> None:
    subset = PcSet(data.draw(st.lists(st.sampled_from(sounding_pcs(score)), min_size=1, max_size=3)))
    choices: list[PcSet | SetClass] = [subset, subset, subset.set_class, subset.tn_class]
    what = data.draw(st.sampled_from(choices))
    options = data.draw(asked(sounding_pcs(score)))
    query = query_of(what, score, options)
    if semitones and isinstance(what, PcSet):
        query = replace(query, near=Near(semitones))
    assert_same(find(score, query), seen(score, query.forms.tolist(), asked=options))


@pytest.mark.parametrize(
    "options",
    [
        Asked(struck=True),
        Asked(extra=12),
        Asked(extra=1, struck=True, bass=2),
        Asked(bars=(4, 9), top=1, tolerance=Fraction(1, 20)),
        Asked(bars=(2, 8), struck=True, least_bars=Fraction(1, 2), most_bars=Fraction(2)),
    ],
)
def test_real_pieces_agree_with_the_definitions_under_every_option(options: Asked) -> None:
    for piece in ("bach/bwv66.6.mxl", "schoenberg/opus19/movement6.mxl"):
        score = read_score(CORPUS / piece)
        for what in (SetClass("3-11"), SetClass("4-Z15"), PcSet((1, 6, 9))):
            query = query_of(what, score, options)
            assert_same(find(score, query), seen(score, query.forms.tolist(), asked=options))


PIECES = (
    "bach/bwv66.6.mxl",
    "bach/bwv60.5.mxl",
    "bach/bwv846.mxl",
    "bach/bwv248.42-4.mxl",
    "schoenberg/opus19/movement2.mxl",
    "schoenberg/opus19/movement6.mxl",
    "beethoven/opus18no1/movement3.mxl",
    "haydn/opus74no1/movement3.mxl",
    "mozart/k80/movement1.mxl",
    "monteverdi/madrigal.3.1.mxl",
    "mozart/k155/movement2.mxl",
    "joplin/maple_leaf_rag.mxl",
)


@pytest.mark.parametrize("piece", PIECES)
def test_real_pieces_agree_with_the_definitions(piece: str) -> None:
    score = read_score(CORPUS / piece)
    for what in ("3-11", "5-26", "7-35", "C E G", "A B C# D#"):
        assert_same(find(score, what), seen(score, Query.of(what).forms.tolist()))


@pytest.mark.parametrize("what", ["3-3", "3-9", "A B C# D#"])
def test_a_real_piece_with_a_tolerance_agrees_with_the_definitions(what: str) -> None:
    score = read_score(CORPUS / "schoenberg/opus19/movement6.mxl")
    tolerance = Fraction(1, 4)
    assert_same(
        find(score, what, tolerance=tolerance), seen(score, Query.of(what).forms.tolist(), tolerance=tolerance)
    )


# Known pieces


def test_schoenberg_op_19_no_6_opens_with_6_z12() -> None:
    """A-F sharp-B (3-7) answered by G-C-F (3-9), together 6-Z12; analyses since Forte 1973 and Lewin 1983."""
    score = read_score(CORPUS / "schoenberg/opus19/movement6.mxl")
    opening = min(find(score, "6-Z12", kind="texture"), key=lambda p: p.onset)
    assert opening.pcs == PcSet((6, 9, 11)) | PcSet((0, 5, 7))
    assert opening.notes[:6] == ("A4", "F#5", "B5", "G3", "C4", "F4")
    assert (opening.onset, opening.bars) == (0, ("1", "4"))
    chords = sorted(find(score, "F# A B", kind="chord"), key=lambda p: p.onset)
    assert (chords[0].onset, chords[0].label) == (0, "3-7B")
    answer = PcSet((0, 5, 7))
    assert answer.label == "3-9"
    (second,) = [p for p in find(score, answer, kind="line") if p.bar_indices == (1, 2)]
    assert second.notes == ("G3", "C4", "F4")


def test_schoenberg_op_19_no_2_ends_on_8_19() -> None:
    """Thirds C-E and G-B under E flat-F sharp-B flat-D: 8-19, complement of 4-19 (common practice)."""
    score = read_score(CORPUS / "schoenberg/opus19/movement2.mxl")
    last = max(find(score, "8-19"), key=lambda p: p.end)
    assert last.pcs == PcSet((0, 2, 3, 4, 6, 7, 10, 11))
    assert (last.end, last.bars[1], str(last.pcs.complement.set_class)) == (score.end, "9", "4-19")


def test_bach_bwv_60_5_begins_with_four_whole_tones() -> None:
    """Es ist genug: A-B-C sharp-D sharp, 4-21, as quoted in Berg's Violin Concerto."""
    score = read_score(CORPUS / "bach/bwv60.5.mxl")
    first = min(find(score, "4-21", kind="line", parts=["Soprano"]), key=lambda p: p.onset)
    assert (first.onset, first.notes[:4], first.parts) == (0, ("A4", "B4", "C#5", "D#5"), ("Soprano",))


def test_bach_bwv_66_6_ends_on_f_sharp_major() -> None:
    """A chorale in F sharp minor with a major ending (common practice)."""
    score = read_score(CORPUS / "bach/bwv66.6.mxl")
    last = max(find(score, "3-11", kind="chord"), key=lambda p: p.end)
    assert last.end == (score.notes["onset"] + score.notes["duration"]).max()
    assert (last.pcs, last.label) == (PcSet((1, 6, 10)), "3-11B")
    assert last.notes[-1] == "F#3"


def test_beethoven_op_59_no_3_opens_on_a_diminished_seventh() -> None:
    """F sharp-C-E flat-A, 4-28 (standard analyses)."""
    score = read_score(CORPUS / "beethoven/opus59no3/movement1.mxl")
    first = min(find(score, "4-28", kind="chord"), key=lambda p: p.onset)
    assert (first.onset, first.pcs.pcs, first.first.bar) == (0, (0, 3, 6, 9), "1")
    assert set(first.notes) == {"F#3", "C4", "Eb4", "A4"}


def test_beethoven_op_132_keeps_to_white_keys_for_thirty_bars() -> None:
    """Heiliger Dankgesang, in the Lydian mode: B natural and never B flat (common practice)."""
    score = read_score(CORPUS / "beethoven/opus132.mxl")
    found = find(score, "C D E F G A B", kind="texture")
    labels = score.bars["label"].tolist()
    first, last = labels.index("511"), labels.index("540")
    assert any(p.bar_indices[0] <= first and p.bar_indices[1] >= last for p in found)
