"""What shall be played: from pitches and from scores."""

from __future__ import annotations

import itertools
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sonorarium.errors import InputError, NothingFoundError
from sonorarium.render.performance import (
    Performance,
    Player,
    Tone,
    arpeggiated,
    as_scale,
    from_score,
    in_order,
    struck,
    times_played,
)
from sonorarium.score.reading import read_score
from sonorarium.score.score import Score

DOUBLE_HARMONIC_ON_C = (60, 61, 64, 65, 67, 68, 71)


def rows(performance: Performance) -> list[tuple[int, int, int]]:
    return [(tone.onset_ticks, tone.duration_ticks, tone.pitch) for tone in performance.tones]


def test_struck_begins_and_ends_together() -> None:
    assert rows(struck((60, 64, 68), quarters=2)) == [(0, 960, 60), (0, 960, 64), (0, 960, 68)]


def test_in_order_follows_without_a_gap() -> None:
    assert rows(in_order([(60,), (62, 65)], quarters=1)) == [(0, 480, 60), (480, 480, 62), (480, 480, 65)]


def test_arpeggio_ends_in_the_chord() -> None:
    played = arpeggiated((48, 55, 64), each_quarters=1, held_quarters=3)
    assert rows(played)[:3] == [(0, 480, 48), (480, 480, 55), (960, 480, 64)]
    assert rows(played)[3:] == [(1440, 1440, p) for p in (48, 55, 64)]


def test_scale_goes_up_to_the_octave() -> None:
    played = as_scale(DOUBLE_HARMONIC_ON_C, each_quarters=1)
    assert [tone.pitch for tone in played.tones] == [*DOUBLE_HARMONIC_ON_C, 72]
    assert [tone.duration_ticks for tone in played.tones] == [480] * 7 + [960]


def test_scale_comes_down_the_way_it_went_up() -> None:
    pitches = [tone.pitch for tone in as_scale(DOUBLE_HARMONIC_ON_C, descend=True).tones]
    assert pitches == [*DOUBLE_HARMONIC_ON_C, 72, *reversed(DOUBLE_HARMONIC_ON_C)]


@given(st.sets(st.integers(0, 100), min_size=1).map(sorted))
def test_scale_always_reaches_a_tonic_and_adds_no_other_note(pitches: list[int]) -> None:
    heard = [tone.pitch for tone in as_scale(pitches).tones]
    assert heard[: len(pitches)] == pitches
    assert heard[-1] > heard[0]
    assert (heard[-1] - heard[0]) % 12 == 0
    assert len(heard) - len(pitches) <= 1
    assert all(a < b for a, b in itertools.pairwise(heard))
    assert heard[-1] - pitches[-1] <= 12


def test_octave_that_is_there_is_not_added() -> None:
    assert [tone.pitch for tone in as_scale((60, 66, 72)).tones] == [60, 66, 72]


def test_numpy_pitches_are_taken_as_they_are() -> None:
    assert struck(list(np.array([60, 67], np.int16))) == struck((60, 67))


def test_a_quarter_at_sixty_is_a_second() -> None:
    assert struck((60,), quarters=Fraction(5, 2), tempo_qpm=60).duration_s == 2.5
    assert struck((60,), quarters=1, tempo_qpm=120).duration_s == 0.5


def test_repr_evaluates_back() -> None:
    played = Performance((Tone(0, 7, 60, 33, 1),), (Player(), Player("Oboe", 68)), 71.5, 21)
    assert eval(repr(played)) == played
    assert hash(played) == hash(eval(repr(played)))


@pytest.mark.parametrize(
    ("tempo", "message"),
    [(0, "tempo of 0 is"), (-84, "tempo of -84"), (float("nan"), "tempo of nan"), (5000, "5000")],
)
def test_absurd_tempo(tempo: float, message: str) -> None:
    with pytest.raises(InputError, match=message):
        struck((60,), tempo_qpm=tempo)


@pytest.mark.parametrize("pitch", [-1, 128])
def test_pitch_beyond_midi(pitch: int) -> None:
    with pytest.raises(InputError, match=f"Pitch {pitch} is out of range.*0 to 127"):
        struck((60, pitch))


@pytest.mark.parametrize("quarters", [0, -1, 1e-9, float("inf"), float("nan")])
def test_length_that_is_none(quarters: float) -> None:
    with pytest.raises(InputError, match="cannot last"):
        struck((60,), quarters=quarters)


def test_tone_without_length() -> None:
    with pytest.raises(InputError, match="Duration 0 is out of range"):
        Tone(0, 0, 60)


@pytest.mark.parametrize("velocity", [0, 128])
def test_velocity_beyond_midi(velocity: int) -> None:
    with pytest.raises(InputError, match=f"Velocity {velocity}"):
        struck((60,), velocity=velocity)


def test_program_beyond_midi() -> None:
    with pytest.raises(InputError, match="Program 128 is out of range"):
        struck((60,), program=128)


@pytest.mark.parametrize("chords", [[], [()], [(60,), ()]])
def test_nothing_to_play(chords: list[tuple[int, ...]]) -> None:
    with pytest.raises(InputError, match="nothing to play"):
        in_order(chords)


def test_no_pitches() -> None:
    with pytest.raises(InputError, match="nothing to play"):
        struck(())
    with pytest.raises(InputError, match="nothing to play"):
        arpeggiated(())
    with pytest.raises(InputError, match="nothing to play"):
        as_scale(())
    with pytest.raises(InputError, match="nothing to play"):
        Performance(())


def test_pitches_that_are_not_whole_numbers() -> None:
    with pytest.raises(InputError, match="not MIDI numbers"):
        struck((60.5,))  # type: ignore[arg-type]


def test_scale_that_does_not_rise() -> None:
    with pytest.raises(InputError, match="does not rise"):
        as_scale((60, 64, 62))


def test_tone_without_a_player() -> None:
    with pytest.raises(InputError, match="no player 1: there are 1"):
        Performance((Tone(0, 1, 60, player=1),))


# Two bars of 2/4, four divisions a quarter. Bar 1: c' half, under it in the second part a half rest. Bar 2: two grace
# notes a' b', then c'' tied within the bar; in the second part a cue note e, a hidden note f,
# two grace notes of which one is hidden and one a cue, then g.
TWO_BARS = """<?xml version="1.0"?>
<score-partwise version="4.0">
 <part-list>
  <score-part id="P1"><part-name>Flute</part-name></score-part>
  <score-part id="P2"><part-name>Viola</part-name></score-part>
 </part-list>
 <part id="P1">
  <measure number="1">
   <attributes><divisions>4</divisions><time><beats>2</beats><beat-type>4</beat-type></time></attributes>
   <note><pitch><step>C</step><octave>4</octave></pitch><duration>8</duration></note>
  </measure>
  <measure number="2">
   <note><grace/><pitch><step>A</step><octave>4</octave></pitch></note>
   <note><grace/><pitch><step>B</step><octave>4</octave></pitch></note>
   <note><pitch><step>C</step><octave>5</octave></pitch><duration>4</duration><tie type="start"/></note>
   <note><pitch><step>C</step><octave>5</octave></pitch><duration>4</duration><tie type="stop"/></note>
  </measure>
 </part>
 <part id="P2">
  <measure number="1">
   <attributes><divisions>4</divisions></attributes>
   <note><rest/><duration>8</duration></note>
  </measure>
  <measure number="2">
   <note><cue/><pitch><step>E</step><octave>3</octave></pitch><duration>2</duration></note>
   <note print-object="no"><pitch><step>F</step><octave>3</octave></pitch><duration>2</duration></note>
   <note print-object="no"><grace/><pitch><step>A</step><octave>3</octave></pitch></note>
   <note><grace/><cue/><pitch><step>B</step><octave>3</octave></pitch></note>
   <note><pitch><step>G</step><octave>3</octave></pitch><duration>4</duration></note>
  </measure>
 </part>
</score-partwise>
"""


@pytest.fixture
def two_bars(tmp_path: Path) -> Score:
    path = tmp_path / "two-bars.musicxml"
    path.write_text(TWO_BARS, encoding="utf-8")
    return read_score(path)


def in_quarters(performance: Performance) -> list[tuple[Fraction, Fraction, int, int]]:
    q = performance.ticks_per_quarter
    return sorted(
        (Fraction(t.onset_ticks, q), Fraction(t.duration_ticks, q), t.pitch, t.player) for t in performance.tones
    )


def quarter(score: Score, quarters: int) -> int:
    return quarters * score.ticks_per_quarter


def test_score_as_written_with_graces_before_the_beat(two_bars: Score) -> None:
    eighth_of_a_quarter = Fraction(1, 8)
    assert in_quarters(from_score(two_bars)) == [
        (Fraction(0), Fraction(2), 60, 0),
        (Fraction(2) - 2 * eighth_of_a_quarter, eighth_of_a_quarter, 69, 0),
        (Fraction(2) - eighth_of_a_quarter, eighth_of_a_quarter, 71, 0),
        (Fraction(2), Fraction(2), 72, 0),
        (Fraction(3), Fraction(1), 55, 1),
    ]


def test_notes_are_cut_at_both_ends_of_the_stretch(two_bars: Score) -> None:
    stretch = from_score(two_bars, quarter(two_bars, 1), quarter(two_bars, 3))
    assert in_quarters(stretch) == [
        (Fraction(0), Fraction(1), 60, 0),
        (Fraction(3, 4), Fraction(1, 8), 69, 0),
        (Fraction(7, 8), Fraction(1, 8), 71, 0),
        (Fraction(1), Fraction(1), 72, 0),
    ]


def test_graces_before_the_first_beat_get_room(two_bars: Score) -> None:
    bar_2 = from_score(two_bars, quarter(two_bars, 2))
    assert [(on, pitch) for on, _, pitch, _ in in_quarters(bar_2)] == [
        (Fraction(0), 69),
        (Fraction(1, 8), 71),
        (Fraction(1, 4), 72),
        (Fraction(5, 4), 55),
    ]


def test_the_time_of_each_note_that_is_played(two_bars: Score) -> None:
    lead, times = times_played(two_bars, quarter(two_bars, 2), tempo_qpm=60)
    assert lead == 0.25
    heard = [(int(two_bars.notes["pitch"][row]), begin, end) for row, begin, end in times]
    assert heard == [(69, 0.0, 0.125), (71, 0.125, 0.25), (72, 0.25, 2.25), (55, 1.25, 2.25)]
    assert times_played(two_bars, quarter(two_bars, 1), quarter(two_bars, 2) - 1)[0] == 0
    assert times_played(two_bars, quarter(two_bars, 9)) == (0, [])


def test_chosen_parts_and_their_programs(two_bars: Score) -> None:
    played = from_score(two_bars, parts=[1], programs={1: 41})
    assert played.players == (Player("Viola", 41),)
    assert [tone.pitch for tone in played.tones] == [55]
    assert from_score(two_bars, programs={0: 73}).players == (Player("Flute", 73), Player("Viola", 0))


def test_part_that_is_not_there(two_bars: Score) -> None:
    with pytest.raises(InputError, match="no part 2: the score has 2"):
        from_score(two_bars, parts=[2])
    with pytest.raises(InputError, match="no part 5"):
        from_score(two_bars, programs={5: 0})


def test_empty_stretch_and_silent_stretch(two_bars: Score) -> None:
    with pytest.raises(InputError, match="from tick 3 to tick 3 is empty"):
        from_score(two_bars, 3, 3)
    with pytest.raises(NothingFoundError, match="No note sounds"):
        from_score(two_bars, 0, quarter(two_bars, 2), parts=[1])


def test_published_chorale_note_by_note() -> None:
    """J. S. Bach, BWV 66.6, as the reference library reads the same file, ties joined."""
    from music21 import corpus

    path = Path(str(corpus.getWork("bach/bwv66.6")))
    parsed = corpus.parse("bach/bwv66.6").stripTies()
    expected = sorted(
        (Fraction(note.getOffsetInHierarchy(parsed)), Fraction(note.quarterLength), pitch.midi, index)
        for index, part in enumerate(parsed.parts)
        for note in part.recurse().notes
        for pitch in note.pitches
    )
    assert len(expected) > 150
    assert in_quarters(from_score(read_score(path))) == expected
