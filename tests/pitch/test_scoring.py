"""Chords given to ensembles: every note played, in range, uncrossed, and what is added is said."""

from __future__ import annotations

from itertools import pairwise

import pytest

from sonorarium.errors import InputError, NothingFoundError
from sonorarium.pitch.limits import Hands
from sonorarium.pitch.scoring import ENSEMBLES, Scoring, ensemble, score_out
from sonorarium.pitch.voicing import Voicing
from sonorarium.pitch.voicings import voicings

CHORDS = [Voicing((43, 55, 62, 71)), Voicing((45, 57, 60, 64)), Voicing((48, 55, 64))]


def check(scored: Scoring) -> None:
    doubled = sum(len(line.chords[at]) for line in scored.lines for at in range(len(scored.chords)))
    doubled -= sum(len(chord.pitches) for chord in scored.chords)
    assert doubled == len(scored.doublings)
    for at, chord in enumerate(scored.chords):
        played = [pitch for line in scored.lines for pitch in line.chords[at]]
        assert set(chord.pitches) <= set(played)
        assert {pitch % 12 for pitch in played} == set(chord.pcset)
        for line in scored.lines:
            assert all(line.seat.instrument.can_play(pitch) for pitch in line.chords[at])


@pytest.mark.parametrize("name", [name for name in ENSEMBLES if name != "two hands"])
def test_every_ensemble_plays_every_note_uncrossed(name: str) -> None:
    scored = score_out([Voicing((48, 55, 64, 72)), Voicing((50, 57, 65))], name)
    check(scored)
    for at in range(len(scored.chords)):
        for upper, lower in pairwise(scored.lines):
            if upper.seat.section == lower.seat.section and upper.chords[at] and lower.chords[at]:
                assert upper.chords[at] >= lower.chords[at]


def test_as_many_voices_as_seats_go_from_the_top_down() -> None:
    scored = score_out(CHORDS[:2], "string quartet")
    assert [line.chords for line in scored.lines] == [((71,), (64,)), ((62,), (60,)), ((55,), (57,)), ((43,), (45,))]
    assert (scored.doublings, scored.rests) == ((), ())


def test_doublings_are_said_and_may_be_kept_to_unisons() -> None:
    scored = score_out(CHORDS, "choir")
    assert len(scored.doublings) == 1
    assert scored.doublings[0].startswith("chord 3: ")
    unison = score_out(CHORDS, "choir", octaves=False)
    assert "in unison" in unison.doublings[0]
    assert {pitch for line in unison.lines for pitch in line.chords[2]} == {48, 55, 64}


def test_voices_cross_only_when_asked() -> None:
    # The viola cannot go as low as the cello's string here, so a low second note has no seat without crossing.
    chord = [Voicing((48, 50, 72, 76))]
    with pytest.raises(NothingFoundError, match=r"Chord 1 .* does not lie for violin, cello, viola, violin"):
        score_out(chord, "violin, cello, viola, violin")
    crossed = score_out(chord, "violin, cello, viola, violin", crossing=True)
    assert {line.chords[0][0] for line in crossed.lines} == {48, 50, 72, 76}


def test_strains_are_said() -> None:
    scored = score_out([Voicing((40, 55, 66, 80))], "choir")
    assert scored.strains == ("chord 1: A♭5 is high for soprano",)


def test_a_seat_for_which_nothing_lies_rests() -> None:
    scored = score_out([Voicing((40, 44))], "glockenspiel; cello, cello", octaves=False)
    assert scored.rests == ("chord 1: glockenspiel rests",)
    assert scored.lines[0].chords == ((),)


def test_two_hands_part_a_chord_or_refuse_it() -> None:
    scored = score_out([Voicing((36, 48, 64, 67, 72))], "two hands")
    assert [line.chords[0] for line in scored.lines] == [(64, 67, 72), (36, 48)]
    with pytest.raises(NothingFoundError, match="Two hands cannot hold chord 1"):
        score_out([Voicing((36, 52, 60, 76))], "two hands")
    assert score_out([Voicing((36, 52, 60, 76))], "two hands", hands=Hands(16)).lines[0].chords == ((60, 76),)


@pytest.mark.parametrize(
    ("chords", "sentence"),
    [
        ([], "There is nothing to give to the players"),
        ([Voicing(())], "There is nothing to give to the players"),
        ([Voicing((48, 52, 55, 60, 64))], "Chord 1 has 5 notes; choir has 4 seats, one note each. Leave out 1"),
    ],
)
def test_what_cannot_be_given_out_is_refused(chords: list[Voicing], sentence: str) -> None:
    with pytest.raises(InputError) as refused:
        score_out(chords, "choir")
    assert str(refused.value).startswith(sentence)


def test_a_chord_beyond_every_range_is_refused() -> None:
    with pytest.raises(NothingFoundError, match=r"no seat reaches \[20\]"):
        score_out([Voicing((20, 60))], "choir")


def test_ensembles_by_name_and_by_list() -> None:
    assert ensemble("SATB") == ensemble("choir")
    mine = ensemble("flute, clarinet; viola, viola, cello")
    assert [(seat.name, seat.section) for seat in mine.seats] == [
        ("flute", 0), ("clarinet in Bb", 0), ("viola 1", 1), ("viola 2", 1), ("cello", 1),
    ]  # fmt: skip
    with pytest.raises(InputError, match="There is no instrument 'kazoo'"):
        ensemble("flute, kazoo")


def test_found_voicings_go_to_a_small_orchestra() -> None:
    found = voicings("D double harmonic", low=40, limit=3)
    check(score_out([voiced.voicing for voiced in found], "small orchestra"))
