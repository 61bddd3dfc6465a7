"""MIDI files: what is written is what others read."""

from __future__ import annotations

import io
from collections import defaultdict

import mido
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sonorarium.errors import InputError
from sonorarium.render.midi import Performance, Player, Tone, in_order, struck, to_midi

Read = tuple[int, int, int, int, int]  # channel, onset, end, pitch, velocity


def read_back(data: bytes) -> tuple[mido.MidiFile, list[Read]]:
    """Notes of a MIDI file, all tracks together; a second onset or a release without onset is a failure."""
    file = mido.MidiFile(file=io.BytesIO(data))
    found: list[Read] = []
    sounding: dict[tuple[int, int], tuple[int, int]] = {}
    now = 0
    for message in mido.merge_tracks(file.tracks):
        now += message.time
        if message.type == "note_on" and message.velocity:
            assert (message.channel, message.note) not in sounding
            sounding[message.channel, message.note] = (now, message.velocity)
        elif message.type in ("note_on", "note_off"):
            onset, velocity = sounding.pop((message.channel, message.note))
            found.append((message.channel, onset, now, message.note, velocity))
    assert not sounding
    return file, sorted(found)


tones = st.builds(
    Tone,
    onset_ticks=st.integers(0, 3000),
    duration_ticks=st.integers(1, 2000),
    pitch=st.integers(0, 127),
    velocity=st.integers(1, 127),
    player=st.integers(0, 2),
)
performances = st.builds(
    Performance,
    tones=st.lists(tones, min_size=1, max_size=40).map(tuple),
    players=st.just((Player("Flute", 73), Player("Erste Geige ♭", 40), Player("", 0))),
    tempo_qpm=st.floats(10, 600),
    ticks_per_quarter=st.integers(1, 32767),
)


def apart(performance: Performance) -> bool:
    """Whether no player sounds a pitch that is sounding already."""
    last: dict[tuple[int, int], int] = defaultdict(int)
    for tone in sorted(performance.tones):
        key = (tone.player, tone.pitch)
        if key in last and tone.onset_ticks < last[key]:
            return False
        last[key] = tone.end_ticks
    return True


@given(performances.filter(apart))
def test_reader_finds_the_same_notes(performance: Performance) -> None:
    file, found = read_back(to_midi(performance))
    assert file.type == 1
    assert file.ticks_per_beat == performance.ticks_per_quarter
    assert found == sorted((t.player, t.onset_ticks, t.end_ticks, t.pitch, t.velocity) for t in performance.tones)


@given(performances)
def test_overlapping_unisons_sound_at_the_same_moments(performance: Performance) -> None:
    """Cutting at a new onset changes neither the onsets nor what sounds when, save that a tone struck anew may end
    earlier than the one it cut.
    """
    _, found = read_back(to_midi(performance))
    assert {f[:2] + f[3:4] for f in found} == {(t.player, t.onset_ticks, t.pitch) for t in performance.tones}
    for channel, onset, end, pitch, velocity in found:
        struck_here = [t for t in performance.tones if (t.player, t.onset_ticks, t.pitch) == (channel, onset, pitch)]
        assert velocity == max(t.velocity for t in struck_here)
        assert end <= max(t.end_ticks for t in struck_here)


@given(performances)
def test_same_performance_same_bytes(performance: Performance) -> None:
    assert to_midi(performance) == to_midi(performance)
    assert to_midi(performance) == to_midi(
        Performance(
            tuple(reversed(performance.tones)),
            performance.players,
            performance.tempo_qpm,
            performance.ticks_per_quarter,
        )
    )


def test_repeated_pitch_is_struck_again() -> None:
    _, found = read_back(to_midi(in_order([(60, 64), (60, 65)], quarters=1)))
    assert [(on, off, pitch) for _, on, off, pitch, _ in found] == [
        (0, 480, 60),
        (0, 480, 64),
        (480, 960, 60),
        (480, 960, 65),
    ]


@given(st.floats(10, 600))
def test_tempo_is_kept_to_a_microsecond(tempo_qpm: float) -> None:
    file = mido.MidiFile(file=io.BytesIO(to_midi(struck((60,), tempo_qpm=tempo_qpm))))
    [tempo] = [m.tempo for m in file.tracks[0] if m.type == "set_tempo"]
    assert abs(tempo - 60e6 / tempo_qpm) <= 0.5


def test_tracks_have_names_programs_and_levels() -> None:
    players = (Player("Flûte ♯", 73), Player("Viola", 41))
    data = to_midi(Performance((Tone(0, 1, 60), Tone(0, 1, 50, player=1)), players), volume=90)
    file = mido.MidiFile(file=io.BytesIO(data), charset="utf-8")
    assert [track.name for track in file.tracks] == ["", "Flûte ♯", "Viola"]
    assert [m.program for t in file.tracks for m in t if m.type == "program_change"] == [73, 41]
    levels = [(m.channel, m.control, m.value) for t in file.tracks for m in t if m.type == "control_change"]
    assert levels == [(0, 7, 90), (0, 11, 127), (1, 7, 90), (1, 11, 127)]


def test_length_with_a_tail() -> None:
    played = struck((60,), quarters=2, tempo_qpm=60)
    assert mido.MidiFile(file=io.BytesIO(to_midi(played))).length == pytest.approx(2.0)
    assert mido.MidiFile(file=io.BytesIO(to_midi(played, tail_s=1.5))).length == pytest.approx(3.5)


def orchestra(size: int, programs: int) -> Performance:
    players = tuple(Player(f"Part {k}", k % programs) for k in range(size))
    return Performance(tuple(Tone(0, 480, 40 + k, player=k) for k in range(size)), players)


def test_drum_channel_stays_free() -> None:
    _, found = read_back(to_midi(orchestra(15, 15)))
    assert {channel for channel, *_ in found} == set(range(16)) - {9}


def test_large_scores_share_channels_by_program() -> None:
    file, found = read_back(to_midi(orchestra(40, 3)))
    assert {channel for channel, *_ in found} == {0, 1, 2}
    assert [pitch for *_, pitch, _ in sorted(found, key=lambda f: f[3])] == list(range(40, 80))
    programs = {m.channel: m.program for t in file.tracks for m in t if m.type == "program_change"}
    assert all(programs[channel] == (pitch - 40) % 3 for channel, _, _, pitch, _ in found)


def test_too_many_programs() -> None:
    with pytest.raises(InputError, match="no room for 16 programs"):
        to_midi(orchestra(16, 16))


def test_finer_ticks_than_the_format_holds_are_rounded() -> None:
    exact = 2**4 * 3**2 * 5 * 7 * 11 * 13  # 720720 a quarter
    third, half = exact // 3, exact // 2
    played = Performance((Tone(0, third, 60), Tone(third, half, 62), Tone(exact, 1, 64)), ticks_per_quarter=exact)
    file, found = read_back(to_midi(played))
    q = file.ticks_per_beat
    assert q <= 0x7FFF
    assert [(on, off) for _, on, off, *_ in found] == [(0, q // 3), (q // 3, q // 3 + q // 2), (q, q + 1)]


def test_too_long_for_the_format() -> None:
    with pytest.raises(InputError, match="too long for a MIDI file"):
        to_midi(Performance((Tone(0x0FFFFFFF, 1, 60),)))


@pytest.mark.parametrize(("volume", "tail_s"), [(128, 0.0), (-1, 0.0), (100, -1.0), (100, float("nan"))])
def test_options_out_of_range(volume: int, tail_s: float) -> None:
    with pytest.raises(InputError, match="out of range"):
        to_midi(struck((60,)), volume=volume, tail_s=tail_s)


def test_a_second_reader_agrees() -> None:
    """The general-purpose library music21 reads the same pitches at the same times."""
    from music21 import converter

    read = converter.parse(to_midi(in_order([(60, 64, 68, 71), (61, 65, 68)], quarters=2)), format="midi")
    heard = sorted(
        (float(e.getOffsetInHierarchy(read)), float(e.quarterLength), p.midi)
        for e in read.recurse().notes
        for p in e.pitches
    )
    assert heard == [(0.0, 2.0, p) for p in (60, 64, 68, 71)] + [(2.0, 2.0, p) for p in (61, 65, 68)]
