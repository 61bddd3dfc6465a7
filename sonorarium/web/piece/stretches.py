"""What is here? The readings of some bars in plain values, each as a text by which it is heard, kept and opened."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass

from sonorarium.pcs.family import Family
from sonorarium.pcs.naming import Naming
from sonorarium.pcs.spelling import read_note
from sonorarium.score.analysis.stretch import Holder, Readings, Vertical, VoiceLine, read_stretch
from sonorarium.score.notenames import sounding_names
from sonorarium.score.score import Score
from sonorarium.web.facts.passages import mixed

MOST_NAMES = 4
MOST_SCALES = 6
MOST_VERTICALS = 48


@dataclass(frozen=True)
class WholeFacts:
    """All that sounds: its notes as a text, its class, its names as a chord, and each note's share of the time."""

    set: str
    pcs: list[int]
    label: str
    names: list[str]
    shares: dict[str, float]


@dataclass(frozen=True)
class ScaleFacts:
    """A scale of the catalogue that holds the bars, and which of its degrees they are."""

    set: str
    degrees: str


@dataclass(frozen=True)
class HolderFacts:
    """A collection of the family: how much of the time lies in it, and which of its notes are not heard."""

    set: str
    inside: float
    missing: list[str]
    foreign: list[int]


@dataclass(frozen=True)
class LineFacts:
    """The notes of one voice."""

    part: str
    voice: str
    notes: list[str]
    label: str
    set: str


@dataclass(frozen=True)
class VerticalFacts:
    """What sounds together: where it begins, its notes low to high, its class, and its first name as a chord."""

    bar: str
    beat: str
    notes: list[str]
    pitches: list[int]
    label: str
    name: str
    set: str


@dataclass(frozen=True)
class HereFacts:
    """All readings of some bars.

    Parameters
    ----------
    piece : str
    first, last : int
        Indices of the bars.
    where : str
        The bars in words.
    whole : WholeFacts or None
        None where nothing sounds.
    scales : list of ScaleFacts
        Scales of the catalogue that hold every note, the smallest and plainest first.
    family : str
    collections : list of HolderFacts
        Collections of the family that hold the bars or most of them.
    lines : list of LineFacts
    verticals : list of VerticalFacts
        The first so many of them.
    more : int
        How many verticals are not listed.
    """

    piece: str
    first: int
    last: int
    where: str
    whole: WholeFacts | None
    scales: list[ScaleFacts]
    family: str
    collections: list[HolderFacts]
    lines: list[LineFacts]
    verticals: list[VerticalFacts]
    more: int


def here_facts(score: Score, key: str, bars: tuple[int, int], family: Family) -> HereFacts:
    """What is in some bars; raises `InputError` where the piece has no such bars."""
    found = read_stretch(score, bars, family=family)
    names = _names(found)
    verticals = found.verticals
    return HereFacts(
        key,
        *bars,
        found.where,
        _whole(found, names) if found.whole.mask else None,
        [
            ScaleFacts(one.collection.name, " ".join(map(str, sorted(one.numbers))))
            for one in found.scales[:MOST_SCALES]
        ],
        family.name,
        [_holder(one) for one in found.collections],
        [_line(one) for one in found.lines],
        [_vertical(one) for one in verticals[:MOST_VERTICALS]],
        max(0, len(verticals) - MOST_VERTICALS),
    )


def _names(found: Readings) -> dict[int, str]:
    """For each pitch class that sounds the name that the page gives it most often."""
    notes = found.score.notes[found.rows]
    counted = Counter(zip((notes["pitch"] % 12).tolist(), map(_letter, sounding_names(notes)), strict=True))
    return {pc: name for (pc, name), _ in reversed(counted.most_common())}


def _letter(name: str) -> str:
    """A note's name without its octave.

    >>> _letter("Bb3"), _letter("C-1")
    ('Bb', 'C')
    """
    return name.rstrip("-0123456789")


def _whole(found: Readings, names: dict[int, str]) -> WholeFacts:
    pcs = list(found.whole.pcs)
    shares = {names[pc]: round(float(found.shares[pc]), 3) for pc in sorted(pcs, key=lambda pc: -found.shares[pc])}
    return WholeFacts(as_set(names[pc] for pc in pcs), pcs, found.whole.label, _chords(found.naming), shares)


def _chords(naming: Naming | None) -> list[str]:
    return [reading.symbol for reading in naming.readings[:MOST_NAMES]] if naming else []


def _holder(one: Holder) -> HolderFacts:
    missing = [note.sign for note in one.member.spelling if note.pc in one.missing]
    return HolderFacts(one.member.name, round(one.inside, 4), missing, list(one.foreign))


def _line(one: VoiceLine) -> LineFacts:
    return LineFacts(one.part, one.voice, list(one.notes), one.label, _once(map(_letter, one.notes)))


def _vertical(one: Vertical) -> VerticalFacts:
    return VerticalFacts(
        str(one.place.bar),
        mixed(one.place.beat),
        list(one.notes),
        list(one.pitches),
        one.label,
        one.symbol,
        _once(map(_letter, one.notes)),
    )


def as_set(names: Iterable[str]) -> str:
    """Names of notes as a set is typed; one alone in braces, or it would be read as a chord.

    >>> as_set(["F", "A"]), as_set(["F"])
    ('F A', '{F}')
    """
    text = " ".join(names)
    return text if " " in text else f"{{{text}}}"


def _once(names: Iterable[str]) -> str:
    """Names as a set, each pitch class once, in the order of their coming.

    >>> _once(["F", "C#", "F", "Db"])
    'F C#'
    """
    found: dict[int, str] = {}
    for name in names:
        found.setdefault(read_note(name).pc, name)
    return as_set(found.values())
