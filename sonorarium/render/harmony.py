"""Chord symbols as MusicXML says them: root, kind, degrees, bass.

MusicXML has a fixed list of kinds. A chord is written by the kind from which it differs least, and by what has to be
added, altered or left out; the symbol in the house style goes along as text, so that a program that prints the text
prints exactly that.

An added degree is counted against a dominant chord: its seventh is minor, everything else major or perfect (MusicXML
4.0, W3C Community Group report, element ``degree-alter``).
"""

from __future__ import annotations

from functools import cache
from types import MappingProxyType
from typing import NamedTuple

from sonorarium.pcs.chordquality import Quality, degree_number
from sonorarium.pcs.chordsymbol import Chord

KINDS = MappingProxyType(
    {
        "": "major",
        "m": "minor",
        "aug": "augmented",
        "dim": "diminished",
        "7": "dominant",
        "maj7": "major-seventh",
        "m7": "minor-seventh",
        "dim7": "diminished-seventh",
        "m7b5": "half-diminished",
        "mMaj7": "major-minor",
        "6": "major-sixth",
        "m6": "minor-sixth",
        "9": "dominant-ninth",
        "maj9": "major-ninth",
        "m9": "minor-ninth",
        "11": "dominant-11th",
        "maj11": "major-11th",
        "m11": "minor-11th",
        "13": "dominant-13th",
        "maj13": "major-13th",
        "m13": "minor-13th",
        "5": "power",
    }
)
"""Kind of each base of ``chords.csv`` that MusicXML has a name for."""

_SUSPENDED = MappingProxyType({"sus2": ("1", "2", "5"), "sus4": ("1", "4", "5")})
_SUSPENDED_KIND = MappingProxyType({"sus2": "suspended-second", "sus4": "suspended-fourth"})


class Degree(NamedTuple):
    """A difference from the kind.

    Parameters
    ----------
    number : int
    alter : int
        Semitones.
    way : str
        ``add``, ``alter`` or ``subtract``.
    """

    number: int
    alter: int
    way: str


def kind_and_degrees(quality: Quality) -> tuple[str, tuple[Degree, ...]]:
    """The MusicXML kind nearest to a chord quality, and what differs.

    Parameters
    ----------
    quality : Quality

    Returns
    -------
    tuple of (str, tuple of Degree)

    Examples
    --------
    >>> kind_and_degrees(Quality("7", altered=("#9",)))
    ('dominant', (Degree(number=9, alter=1, way='add'),))
    >>> kind_and_degrees(Quality("maj7", altered=("#5",)))
    ('major-seventh', (Degree(number=5, alter=1, way='alter'),))
    """
    if quality.base in KINDS and not quality.sus:
        kind, members = KINDS[quality.base], Quality(quality.base).degrees
    else:
        kind, members = min(_candidates(), key=lambda one: len(set(one[1]) ^ set(quality.degrees)))
    return kind, _differences(members, quality.degrees)


@cache
def _candidates() -> tuple[tuple[str, tuple[str, ...]], ...]:
    suspended = ((_SUSPENDED_KIND[sus], members) for sus, members in _SUSPENDED.items())
    return (*((kind, Quality(base).degrees) for base, kind in KINDS.items()), *suspended)


def _differences(members: tuple[str, ...], wanted: tuple[str, ...]) -> tuple[Degree, ...]:
    extra = [degree for degree in wanted if degree not in members]
    missing = [degree for degree in members if degree not in wanted]
    found = []
    for degree in missing:
        same = [other for other in extra if degree_number(other) == degree_number(degree)]
        if same:
            extra.remove(same[0])
            found.append(Degree(degree_number(degree), _alter(same[0]) - _alter(degree), "alter"))
        else:
            found.append(Degree(degree_number(degree), 0, "subtract"))
    for degree in extra:
        natural = -1 if degree_number(degree) == 7 else 0
        found.append(Degree(degree_number(degree), _alter(degree) - natural, "add"))
    return tuple(sorted(found))


def _alter(degree: str) -> int:
    return degree.count("#") - degree.count("b")


def kind_text(chord: Chord) -> str:
    """What is printed after the root.

    >>> from sonorarium.pcs.chordsymbol import chord
    >>> kind_text(chord("F#m7b5/E"))
    'm7♭5'
    """
    return Chord(chord.root, chord.quality).sign()[len(chord.root.sign) :]
