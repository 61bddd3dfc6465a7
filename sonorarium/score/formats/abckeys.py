"""Key signatures of ABC: what a ``K:`` field alters.

Conventions
-----------
* A tonic and a mode give the signature of that mode; a tonic alone is major, ``m`` minor. Accidentals after it change
  it (``K:D phr ^f``); after ``exp`` they are all there is.
* ``none`` and an empty field alter nothing. ``Hp`` and ``HP``, the scale of the Highland pipes, sound F sharp and C
  sharp.
* The case of a mode plays no part: ``K:EM`` is E minor.
* ``transpose=``, ``octave=`` and the 8 of an octave clef (``treble-8``) move what sounds.

Source: *The abc music standard 2.1* (December 2011), sections 3.1.14 and 4.6.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field

LETTERS = "CDEFGAB"
ALTERS = {"": 0, "=": 0, "^": 1, "^^": 2, "_": -1, "__": -2}
_SHARPS = "FCGDAEB"
_MODES = {
    "": 0,
    "maj": 0,
    "ion": 0,
    "mix": -1,
    "dor": -2,
    "m": -3,
    "min": -3,
    "aeo": -3,
    "phr": -4,
    "loc": -5,
    "lyd": 1,
}
"""Places on the line of fifths from the major key of the same tonic."""

_TONIC = re.compile(r"([A-G])([#b]?)\s*([A-Za-z]*)")
_ACCIDENTAL = re.compile(r"(?<![a-z])(\^\^|__|[_^=])([A-Ga-g])(?![a-z])")
_PROPERTY = re.compile(r"\b(transpose|octave)\s*=\s*(-?\d+)")
_EIGHT = re.compile(r"([+-])8(?:va)?(?=\s|$)")


@dataclass(frozen=True)
class Key:
    """What a key field says.

    Parameters
    ----------
    alters : dict of int to int
        Alteration of each altered step, 0 C to 6 B.
    semitones : int
        What is added to every pitch.
    """

    alters: dict[int, int] = field(default_factory=dict)
    semitones: int = 0


def read_key(content: str) -> Key | None:
    """Return what a ``K:`` field says; None where it names no key that is known (a clef alone, say).

    Examples
    --------
    >>> read_key("Bb"), read_key("A dorian ^g").alters
    (Key(alters={6: -1, 2: -1}, semitones=0), {3: 1, 4: 1})
    >>> read_key("D exp _b"), read_key("clef=bass")
    (Key(alters={6: -1}, semitones=0), None)
    """
    text = content.partition("%")[0].strip()
    moved = shift_of(text)
    own = {LETTERS.index(letter.upper()): ALTERS[sign] for sign, letter in _ACCIDENTAL.findall(text)}
    if text[:2].lower() == "hp":
        return Key({3: 1, 0: 1}, moved)
    if not text or text.lower().startswith("none"):
        return Key(own, moved)
    found = _TONIC.match(text)
    if found is None:
        return Key(own, moved) if own or text.startswith("exp") else None
    tonic, sign, mode = found.groups()
    if mode.lower() == "exp":
        return Key(own, moved)
    name = mode[:3].lower()
    fifths = _SHARPS.index(tonic) - 1 + {"#": 7, "b": -7, "": 0}[sign] + _MODES.get(name, 0)
    return Key(_signature(fifths) | own, moved)


def shift_of(text: str) -> int:
    """Return by how many semitones a key or voice field moves what sounds.

    >>> shift_of("treble octave=-1 transpose=-2"), shift_of("G clef=treble-8")
    (-14, -12)
    """
    eight = _EIGHT.search(text)
    moved = int(f"{eight[1]}12") if eight else 0
    return moved + sum(int(value) * (12 if name == "octave" else 1) for name, value in _PROPERTY.findall(text))


def _signature(fifths: int) -> dict[int, int]:
    """Return the alterations of a signature; beyond seven signs the first are doubled."""
    order = _SHARPS if fifths > 0 else _SHARPS[::-1]
    alters: dict[int, int] = {}
    for place in range(min(abs(fifths), 14)):
        step = LETTERS.index(order[place % 7])
        alters[step] = alters.get(step, 0) + (1 if fifths > 0 else -1)
    return alters
