"""A tiny writer of MusicXML for the tests: short enough to be read beside the claim."""

from __future__ import annotations

import re

from sonorarium.score.formats.musicxml import read_musicxml
from sonorarium.score.score import Score

FOUR_FOUR = "<time><beats>4</beats><beat-type>4</beat-type></time>"
_PITCH = re.compile(r"([A-G])(#+|b+|)(-?\d)")


def time(beats: str, beat_type: int) -> str:
    return f"<time><beats>{beats}</beats><beat-type>{beat_type}</beat-type></time>"


def attributes(divisions: int | str = 1, inside: str = FOUR_FOUR) -> str:
    return f"<attributes><divisions>{divisions}</divisions>{inside}</attributes>"


def pitch(name: str) -> str:
    """`"F#4"` as <pitch>."""
    match = _PITCH.fullmatch(name)
    if match is None:
        raise ValueError(name)
    step, sign, octave = match.groups()
    alter = f"<alter>{len(sign) * (1 if '#' in sign else -1)}</alter>" if sign else ""
    return f"<pitch><step>{step}</step>{alter}<octave>{octave}</octave></pitch>"


def note(name: str, duration: int | str, before: str = "", after: str = "") -> str:
    """A note, or a rest for the name `"R"`; `before` goes before the pitch, `after` behind the duration."""
    head = "<rest/>" if name == "R" else pitch(name)
    return f"<note>{before}{head}<duration>{duration}</duration>{after}</note>"


def grace(name: str, after: str = "") -> str:
    return f"<note><grace/>{pitch(name)}{after}</note>"


def chord(name: str, duration: int, after: str = "") -> str:
    return note(name, duration, "<chord/>", after)


def voice(label: str, staff: int | None = None) -> str:
    return f"<voice>{label}</voice>" + (f"<staff>{staff}</staff>" if staff else "")


def backup(duration: int | str) -> str:
    return f"<backup><duration>{duration}</duration></backup>"


def forward(duration: int | str) -> str:
    return f"<forward><duration>{duration}</duration></forward>"


TIE = '<tie type="start"/>'
TIED = '<tie type="stop"/>'


def tuplet(actual: int, normal: int, kind: str, dots: int = 0) -> str:
    return (
        f"<type>{kind}</type>{'<dot/>' * dots}<time-modification><actual-notes>{actual}</actual-notes>"
        f"<normal-notes>{normal}</normal-notes></time-modification>"
    )


def measure(inside: str, number: str | None = "1", *, implicit: bool = False) -> str:
    numbered = "" if number is None else f' number="{number}"'
    marked = ' implicit="yes"' if implicit else ""
    return f"<measure{numbered}{marked}>{inside}</measure>"


def page(*parts: str, head: str = "") -> str:
    """A part-wise score; each part is the text of its measures."""
    ids = [f"P{index}" for index in range(1, len(parts) + 1)]
    listed = "".join(f'<score-part id="{i}"><part-name>Part {i[1:]}</part-name></score-part>' for i in ids)
    music = "".join(f'<part id="{i}">{part}</part>' for i, part in zip(ids, parts, strict=True))
    return f"<score-partwise>{head}<part-list>{listed}</part-list>{music}</score-partwise>"


def read(*parts: str, head: str = "") -> Score:
    return read_musicxml(page(*parts, head=head).encode())


def quarters(score: Score) -> list[tuple[float, int, float]]:
    """(onset, pitch, duration) of every row, times in quarters."""
    ticks = score.ticks_per_quarter
    rows = zip(*(score.notes[name].tolist() for name in ("onset", "pitch", "duration")), strict=True)
    return [(onset / ticks, sounding, duration / ticks) for onset, sounding, duration in rows]


def said(score: Score) -> str:
    """All remarks as one text."""
    return " | ".join(remark.what for remark in score.remarks)
