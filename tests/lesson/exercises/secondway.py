"""Every answer a second way: plain Python from the definitions, and music21 for labels; nothing of Sonorarium.

The prime form by Rahn (Basic Atonal Theory, 1980) is the form whose intervals lie most to the left, which is the one
whose pitch classes, read as binary digits, make the smallest number (from memory; checked against music21's labels).
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from itertools import combinations, permutations, product

from music21 import chord

NATURALS = {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}
SIGNS = {"♭": -1, "𝄫": -2, "♯": 1, "𝄪": 2}


def heights(text: str) -> list[int]:
    """Notes by name as numbers: MIDI with octaves, else pitch classes."""
    found = []
    for letter, signs, octave in re.findall(r"([A-G])([♭𝄫♯𝄪]*)(\d?)", text):
        height = NATURALS[letter] + sum(SIGNS[sign] for sign in signs)
        found.append(height + 12 * (int(octave) + 1) if octave else height % 12)
    return found


def pcs(text: str) -> frozenset[int]:
    return frozenset(height % 12 for height in heights(text))


def forms(notes: Iterable[int]) -> set[frozenset[int]]:
    held = list(notes)
    return {frozenset((sign * pc + n) % 12 for pc in held) for sign in (1, -1) for n in range(12)}


def prime(notes: Iterable[int]) -> tuple[int, ...]:
    return tuple(sorted(min(forms(notes), key=lambda form: sum(1 << pc for pc in form))))


def prime_of_text(text: str) -> tuple[int, ...]:
    """The prime form written in a choice: ``4-19 (0148)``."""
    found = re.search(r"\(([0-9te]+)\)", text)
    assert found, text
    return tuple("0123456789te".index(digit) for digit in found[1])


def label(notes: Iterable[int]) -> str:
    """Forte's number by music21, without Z and letter."""
    return str(chord.Chord(sorted(notes)).forteClassTnI)


def bare(text: str) -> str:
    """A label without Z and letter."""
    found = re.search(r"\d+-Z?\d+", text)
    assert found, text
    return found[0].replace("Z", "")


def vector(notes: Iterable[int]) -> tuple[int, ...]:
    classes = [min((a - b) % 12, (b - a) % 12) for a, b in combinations(sorted(notes), 2)]
    return tuple(classes.count(size) for size in range(1, 7))


def asim(one: Iterable[int], other: Iterable[int]) -> float:
    """Morris (1979-80): the differences of the vectors, over all their entries."""
    a, b = vector(one), vector(other)
    return sum(abs(x - y) for x, y in zip(a, b, strict=True)) / (sum(a) + sum(b))


def semitones(one: Iterable[int], other: Iterable[int]) -> int:
    """Least voice leading between sets of one size: every way to pair them."""
    start, end = list(one), list(other)
    return min(
        sum(min((a - b) % 12, (b - a) % 12) for a, b in zip(start, order, strict=True)) for order in permutations(end)
    )


def least_chords(start: list[int], goal: Iterable[int]) -> tuple[int, set[tuple[int, ...]]]:
    """The least sum of moves from pitches to a set, and every chord that is reached by it; crossings allowed."""
    reach = [list(range(low - 12, low + 13)) for low in start]
    best, found = 10**6, set[tuple[int, ...]]()
    for order in permutations(list(goal)):
        for ends in product(
            *([p for p in near if p % 12 == pc] for near, pc in zip(reach, order, strict=True)),
        ):
            size = sum(abs(a - b) for a, b in zip(start, ends, strict=True))
            if size < best:
                best, found = size, set()
            if size == best:
                found.add(tuple(sorted(ends)))
    return best, found
