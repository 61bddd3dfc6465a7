"""A chord that was played: what it is, what it may be called, where it stands.

It takes its names from the best chord reading, so that what is written under the keyboard is what a reader of chord
symbols expects; where no symbol fits, notes are spelled freely. Its text is what may be typed for it anywhere.
"""

from __future__ import annotations

from dataclasses import asdict, dataclass

from sonorarium.errors import InputError
from sonorarium.pcs.collection import scales_containing
from sonorarium.pcs.meanings import in_typed_signs
from sonorarium.pcs.naming import Naming, Reading, name_set
from sonorarium.pcs.pcset import PcSet
from sonorarium.pcs.spelling import Spelled, interval_name, spell_freely
from sonorarium.pitch.movement import note_name
from sonorarium.render.strips import Strip, draw_strips
from sonorarium.settings import Settings

HIGHEST = 127
MOST_NAMES = 5
MOST_SCALES = 4
MOST_STACKED = 3


@dataclass(frozen=True)
class NameFacts:
    """One chord symbol: its notes as members of the chord, what it leaves out, and what it costs, part by part."""

    symbol: str
    root: str
    members: dict[str, str]
    omitted: list[str]
    cost: int
    parts: dict[str, int]


@dataclass(frozen=True)
class Played:
    """A chord as it was played.

    Parameters
    ----------
    pitches : list of int
        MIDI numbers, rising, each once.
    text : str
        Its notes with their octaves, as they may be typed for it.
    title : str
        Its best name, or its notes.
    bass : str
        Its lowest note.
    standing : str
        What the bass is in the best reading: ``in root position``, ``with its 3 in the bass``; empty without names.
    label : str
        Of its class.
    intervals : list of int
        Interval classes 1 to 6.
    names : list of NameFacts
        Chord readings, the best first.
    why : str
        Why the first is first, or why there is none.
    stacked : list of str
        The same as two chords.
    scales : list of str
        Some scales that hold it, the plainest first, it as their degrees.
    """

    pitches: list[int]
    text: str
    title: str
    bass: str
    standing: str
    label: str
    intervals: list[int]
    names: list[NameFacts]
    why: str
    stacked: list[str]
    scales: list[str]


def pitches_in(text: str) -> tuple[int, ...]:
    """The MIDI numbers of a text, rising, each once; raises `InputError` where one cannot sound.

    >>> pitches_in("60 48 60")
    (48, 60)
    """
    found = tuple(sorted(set(map(int, text.split()))))
    if not found or found[-1] > HIGHEST:
        raise InputError(
            "Pitches run from 0 to 127; middle C is 60.", value=text, suggestion="Try: 48 55 64, which is C3 G3 E4."
        )
    return found


def played(pitches: tuple[int, ...], settings: Settings) -> tuple[Played, tuple[Spelled, ...]]:
    """Describe a chord.

    Parameters
    ----------
    pitches : tuple of int
        MIDI numbers, rising, at least one.
    settings : Settings
        House style of the symbols, names that go first, and the language of note names.

    Returns
    -------
    Played
    tuple of Spelled
        A name for each pitch class.
    """
    notes = PcSet(pitch % 12 for pitch in pitches)
    bass = pitches[0] % 12
    naming = _naming(notes, bass, settings)
    best = naming.readings[0] if naming and naming.readings else None
    names = tuple(name for name, _ in best.members) if best else spell_freely(notes.normal_order)
    sign = {name.pc: name for name in names}
    heights = in_typed_signs(" ".join(note_name(pitch, sign[pitch % 12], pitched=True) for pitch in pitches))
    facts = Played(
        list(pitches),
        typed(heights),
        best.chord.sign(settings.chord_style) if best else " ".join(name.sign for name in names),
        sign[bass].sign,
        _standing(best, bass),
        notes.label,
        list(notes.interval_vector),
        [_name(one, settings) for one in naming.readings[:MOST_NAMES]] if naming else [],
        naming.why if naming else _few_or_many(pitches, sign),
        [f"{two.name} ({two.interval})" for two in naming.stacked[:MOST_STACKED]] if naming else [],
        [one.name for one in scales_containing(notes, limit=MOST_SCALES)],
    )
    return facts, names


def strip_from_bass(facts: Played, names: tuple[Spelled, ...]) -> str:
    """The strip of a chord from its lowest note upward, the root of its best reading marked."""
    bass = facts.pitches[0] % 12
    heights = tuple(sorted({(pitch - bass) % 12 for pitch in facts.pitches}))
    root = next((name.pc for name in names if facts.names and name.sign == facts.names[0].root), None)
    words = f"{facts.title}: semitones {', '.join(map(str, heights))} above {facts.bass}"
    return draw_strips([Strip(heights, root=None if root is None else (root - bass) % 12, description=words)])


def typed(text: str) -> str:
    """Notes with octaves as they are typed for just these: one alone stands in braces.

    >>> typed("C3 B3"), typed("C7")
    ('C3 B3', '{C7}')
    """
    return text if " " in text else f"{{{text}}}"


def _naming(notes: PcSet, bass: int, settings: Settings) -> Naming | None:
    if not 3 <= notes.cardinality <= 8:
        return None
    return name_set(notes, bass=bass, pinned=settings.pinned, style=settings.chord_style)


def _name(one: Reading, settings: Settings) -> NameFacts:
    parts = {part: cost for part, cost in asdict(one.cost).items() if cost}
    members = {name.sign: in_signs(degree) for name, degree in one.members}
    symbol = one.chord.sign(settings.chord_style)
    return NameFacts(symbol, one.root.sign, members, list(one.omitted), one.cost.total, parts)


def in_signs(degree: str) -> str:
    """A degree with the signs of notation.

    >>> in_signs("b3"), in_signs("#11"), in_signs("bass")
    ('♭3', '♯11', 'bass')
    """
    return degree if degree.isalpha() else degree.replace("b", "♭").replace("#", "♯")


def _standing(best: Reading | None, bass: int) -> str:
    if best is None:
        return ""
    degree = next(degree for name, degree in best.members if name.pc == bass)
    if degree == "1":
        return "in root position"
    return "over a foreign bass" if degree == "bass" else f"with its {in_signs(degree)} in the bass"


def _few_or_many(pitches: tuple[int, ...], sign: dict[int, Spelled]) -> str:
    if len(sign) > 2:
        return "Chords are named for 3 to 8 notes."
    if len(pitches) == 1:
        return "One note."
    if len(sign) == 1:
        return "One note in octaves."
    low = sign[pitches[0] % 12]
    high = next(name for name in sign.values() if name != low)
    return f"Two notes: {interval_name(low, high)}."
