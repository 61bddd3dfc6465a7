"""Standard MIDI Files: a performance as the bytes that every sequencer and synthesizer reads.

What can be played, and how it is made from pitches or from a score, is in `sonorarium.render.performance`; its names
are offered here too.

Conventions
-----------
* **Format 1**: a track with the tempo, then a track for each channel in use.
* **Players** get one channel each, all but channel 10, which General MIDI keeps for drums. With more than fifteen
  players, those of one program share a channel.
* **Unisons.** A channel cannot sound one pitch twice at a time. Where two tones of one pitch overlap in a channel,
  the earlier one ends where the later one begins; where they begin together, they are one tone, as long as the
  longer and as strong as the stronger.
* **Ticks** are kept exactly up to 32767 a quarter, the finest that the format can say; finer ones are rounded.

Sources: *Standard MIDI Files 1.0* and *General MIDI System Level 1* (MIDI Manufacturers Association).
"""

from __future__ import annotations

import io
import math
from collections.abc import Iterable, Sequence
from fractions import Fraction
from typing import Any

from sonorarium.errors import InputError
from sonorarium.render.performance import (
    LATEST_TICK,
    TEMPO_QPM,
    Performance,
    Player,
    Tone,
    arpeggiated,
    as_scale,
    from_score,
    in_order,
    struck,
)

__all__ = [
    "TEMPO_QPM",
    "Performance",
    "Player",
    "Tone",
    "arpeggiated",
    "as_scale",
    "from_score",
    "in_order",
    "struck",
    "to_midi",
]

_CHANNELS = (0, 1, 2, 3, 4, 5, 6, 7, 8, 10, 11, 12, 13, 14, 15)
_FINEST_DIVISION = 0x7FFF  # ticks a quarter that the file's 15 bits can hold
_FALLBACK_DIVISION = 20160  # 2⁶ · 3² · 5 · 7: exact for the tuplets that occur, rounded for the rest


def to_midi(performance: Performance, *, volume: int = 100, tail_s: float = 0.0) -> bytes:
    """Write a performance as a Standard MIDI File, format 1: a tempo track, then a track for each channel.

    Parameters
    ----------
    performance : Performance
    volume : int
        Channel volume (controller 7), 0 to 127; 100 is the General MIDI default.
    tail_s : float
        Seconds from the last release to the end of the tracks, 0 or more.

    Returns
    -------
    bytes
        The same for the same performance.

    Raises
    ------
    InputError
        Where volume or tail are out of range, more than fifteen programs are wanted, or the performance is too long
        for the format.

    Examples
    --------
    >>> to_midi(struck((60, 64, 67)))[:4]
    b'MThd'
    """
    import mido

    if not (0 <= volume <= 127 and tail_s >= 0):
        raise InputError(f"A volume of {volume} with a tail of {tail_s} s is out of range.", value=(volume, tail_s))
    exact = performance.ticks_per_quarter
    division = exact if exact <= _FINEST_DIVISION else _FALLBACK_DIVISION
    scale = Fraction(division, exact)
    tail_ticks = math.ceil(tail_s * performance.tempo_qpm / 60 * division)
    end = round(performance.end_ticks * scale) + tail_ticks
    if end > LATEST_TICK:
        raise InputError(
            "The performance is too long for a MIDI file.", value=end, suggestion="Choose a shorter one."
        )
    tempo = mido.MetaMessage("set_tempo", tempo=round(60_000_000 / performance.tempo_qpm))
    tracks = [mido.MidiTrack([tempo, mido.MetaMessage("end_of_track", time=end)])]
    for channel, members in _channels(performance.players).items():
        head = _track_head(channel, [performance.players[m] for m in members], volume)
        events = _events([t for t in performance.tones if t.player in members], scale)
        tracks.append(mido.MidiTrack([*head, *_messages(events, channel, end)]))
    file = mido.MidiFile(type=1, ticks_per_beat=division, tracks=tracks, charset="utf-8")
    file.save(file=(buffer := io.BytesIO()))
    return buffer.getvalue()


def _channels(players: Sequence[Player]) -> dict[int, list[int]]:
    """Channels and the players that sound on each."""
    if len(players) <= len(_CHANNELS):
        return {channel: [k] for k, channel in zip(range(len(players)), _CHANNELS, strict=False)}
    programs = sorted({player.program for player in players})
    if len(programs) > len(_CHANNELS):
        raise InputError(
            f"A MIDI file has no room for {len(programs)} programs.",
            value=programs,
            suggestion="Use fifteen at most.",
        )
    of = {program: [k for k, player in enumerate(players) if player.program == program] for program in programs}
    return {channel: of[program] for channel, program in zip(_CHANNELS, programs, strict=False)}


_Event = tuple[int, bool, int, int]  # tick, whether it begins a tone, pitch, velocity; releases sort before onsets


def _events(tones: Iterable[Tone], scale: Fraction) -> list[_Event]:
    """Onsets and releases of one channel in order, no pitch sounding twice at a time."""
    seated: dict[int, list[list[int]]] = {}
    for tone in sorted(tones):
        onset = round(tone.onset_ticks * scale)
        end = max(onset + 1, round(tone.end_ticks * scale))
        column = seated.setdefault(tone.pitch, [])
        if column and column[-1][0] == onset:
            column[-1][1:] = max(column[-1][1], end), max(column[-1][2], tone.velocity)
            continue
        if column:
            column[-1][1] = min(column[-1][1], onset)
        column.append([onset, end, tone.velocity])
    began = [(onset, True, p, v) for p, column in seated.items() for onset, _, v in column]
    ended = [(end, False, p, 0) for p, column in seated.items() for _, end, _ in column]
    return sorted(began + ended)


def _track_head(channel: int, players: Sequence[Player], volume: int) -> list[Any]:
    import mido

    name = ", ".join(player.name for player in players if player.name)
    named = [mido.MetaMessage("track_name", name=name)] if name else []
    levels = {7: volume, 11: 127}  # channel volume and expression
    return [
        *named,
        mido.Message("program_change", channel=channel, program=players[0].program),
        *(mido.Message("control_change", channel=channel, control=c, value=v) for c, v in levels.items()),
    ]


def _messages(events: Sequence[_Event], channel: int, end: int) -> list[Any]:
    """MIDI messages with the ticks since the one before."""
    import mido

    messages, now = [], 0
    for tick, begins, pitch, velocity in events:
        kind = "note_on" if begins else "note_off"
        messages.append(mido.Message(kind, channel=channel, note=pitch, velocity=velocity, time=tick - now))
        now = tick
    # A shortest tone at the very end may reach a rounded tick beyond the performance.
    return [*messages, mido.MetaMessage("end_of_track", time=max(end - now, 0))]
