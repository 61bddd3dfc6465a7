"""Small scores as text, and the open scores that come with a registry package."""

from __future__ import annotations

from pathlib import Path

import music21

CORPUS = Path(music21.__file__).parent / "corpus"
"""Folder of the open scores."""

LONGS = {1: "quarter", 2: "half", 3: "half", 4: "whole"}


def note(name: str, long: int, extra: str = "", *, tie: str = "", chord: bool = False) -> str:
    """One note: "F#4" for F sharp 4, so many quarters long; ``tie`` "start", "stop" or "start stop"."""
    alter = {"#": 1, "b": -1}.get(name[1], 0)
    kinds = tie.split()
    ties = "".join(f'<tie type="{kind}"/>' for kind in kinds)
    tied = "".join(f'<tied type="{kind}"/>' for kind in kinds)
    notations = f"<notations>{tied}{extra}</notations>" if tied or extra else ""
    return (
        f"<note>{'<chord/>' if chord else ''}<pitch><step>{name[0]}</step>"
        f"{f'<alter>{alter}</alter>' if alter else ''}<octave>{name[-1]}</octave></pitch>"
        f"<duration>{long}</duration>{ties}<voice>1</voice><type>{LONGS[long]}</type>{notations}</note>"
    )


def attributes(*, fifths: int = 0, beats: int = 4, clef: str = "G2", extra: str = "") -> str:
    """The attributes of a first bar, in quarters."""
    return (
        f"<attributes><divisions>1</divisions><key><fifths>{fifths}</fifths></key>"
        f"<time><beats>{beats}</beats><beat-type>4</beat-type></time>"
        f"<clef><sign>{clef[0]}</sign><line>{clef[1]}</line></clef>{extra}</attributes>"
    )


def direction(inner: str, *, placement: str = "above") -> str:
    """A direction."""
    return f'<direction placement="{placement}"><direction-type>{inner}</direction-type></direction>'


def part(*bars: str, first: int = 1, name: str = "P1") -> str:
    """A part from the content of its bars."""
    measures = "".join(f'<measure number="{number}">{bar}</measure>' for number, bar in enumerate(bars, first))
    return f'<part id="{name}">{measures}</part>'


def document(*parts: str, names: tuple[str, ...] = ("Flute",)) -> bytes:
    """A whole score; its parts are called P1, P2 …"""
    listed = "".join(
        f'<score-part id="P{n}"><part-name>{text}</part-name></score-part>' for n, text in enumerate(names, 1)
    )
    body = "".join(parts)
    return f"<score-partwise><part-list>{listed}</part-list>{body}</score-partwise>".encode()
