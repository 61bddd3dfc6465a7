"""What a voicing has to keep to, and by what voicings are ranked.

Notes are named as musicians name them: ``bass="G"`` asks for any G in the bass, ``bass="G2"`` for that one. The
range is given with the question itself, the rest here.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from sonorarium.errors import InputError
from sonorarium.pcs.pitches import read_pitches
from sonorarium.pcs.spelling import NOTE_PATTERN, read_note
from sonorarium.pitch.limits import TWO_HANDS, Hands
from sonorarium.pitch.spacing import KINDS
from sonorarium.pitch.voicing import Voicing

ORDERS: Mapping[str, str] = {
    "smooth": "least roughness first",
    "rough": "greatest roughness first",
    "even": "most equal distances between neighbours first",
    "harmonic": "nearest to one fundamental first",
    "near": "least movement from the model first",
    "alike": "distances most like the model's first",
    "narrow": "smallest span first",
    "wide": "largest span first",
    "low": "lowest bass first",
    "high": "highest top first",
}
"""By what voicings may be ranked."""


@dataclass(frozen=True)
class Terms:
    """What voicings keep to.

    Parameters
    ----------
    notes : int or (int, int), optional
        Number of notes, or least and most; as many as the set has where not given. More notes mean doublings.
    omit : int
        So many pitch classes of the set may be left out.
    keep : str
        Notes that are never left out: ``"E Bb"``.
    double : str, optional
        The only notes that may be doubled, ``""`` for none; any where not given.
    bass, top : str, optional
        The lowest and the highest note: a name for any octave, with an octave for one pitch.
    span : int, optional
        Most semitones from the lowest to the highest note.
    hands : Hands or None
        What two hands can hold; None where nobody plays it on a keyboard.
    kinds : tuple of str
        Kinds of spacing (`sonorarium.pitch.spacing`) of which one at least is wanted; any where empty.
    clear : bool
        Whether the low-interval limits are kept.
    like : Voicing, optional
        A model, for the orders ``near`` and ``alike``.
    order : tuple of str
        What ranks: names of `ORDERS`, of equal weight.
    most : int
        More voicings than this are not listed but refused.

    Raises
    ------
    InputError
        Where a term says nothing sensible.

    Examples
    --------
    >>> Terms(notes=(4, 6), bass="C", kinds=("drop 2", "spread")).sizes(4)
    range(4, 7)
    """

    notes: int | tuple[int, int] | None = None
    omit: int = 0
    keep: str = ""
    double: str | None = None
    bass: str | None = None
    top: str | None = None
    span: int | None = None
    hands: Hands | None = TWO_HANDS
    kinds: tuple[str, ...] = ()
    clear: bool = True
    like: Voicing | None = None
    order: tuple[str, ...] = ("smooth", "even")
    most: int = 2_000_000

    def __post_init__(self) -> None:
        _check_known(self.kinds, KINDS, "kind of spacing")
        _check_known(self.order, ORDERS, "order")
        if not self.order:
            raise InputError("Voicings need an order.", value=self.order, suggestion=f"Use {', '.join(ORDERS)}.")
        if self.like is None and {"near", "alike"} & set(self.order):
            raise InputError("There is no model to be like.", value=self.order, suggestion="Give like=Voicing(…).")
        if self.like is not None and not self.like.pitches:
            raise InputError("A model without notes is like nothing.", value=self.like)
        if self.omit < 0 or (self.span is not None and self.span < 0):
            raise InputError(f"omit={self.omit}, span={self.span} must not be below 0.", value=(self.omit, self.span))
        for notes in (self.keep, self.double or ""):
            pitch_classes(notes)
        for place in (self.bass, self.top):
            if place is not None:
                place_of(place)

    def sizes(self, cardinality: int) -> range:
        """Numbers of notes wanted for a set of some size.

        Raises `InputError` where the least is above the most.
        """
        least, most = self.notes if isinstance(self.notes, tuple) else (self.notes, self.notes)
        usual = cardinality - self.omit if self.notes is None else None
        low, high = (max(1, usual), cardinality) if usual is not None else (least or 0, most or 0)
        if not 1 <= low <= high:
            raise InputError(f"{self.notes} is no number of notes.", value=self.notes, suggestion="Use 4, or (4, 6).")
        return range(low, high + 1)


def _check_known(names: tuple[str, ...], known: Iterable[str], what: str) -> None:
    listed = tuple(known)
    for name in names:
        if name not in listed:
            raise InputError(f"There is no {what} {name!r}.", value=name, suggestion=f"Use {', '.join(listed)}.")


def pitch_classes(names: str) -> tuple[int, ...]:
    """Read note names without octave.

    Raises `InputError` where one is none.

    >>> pitch_classes("E Bb")
    (4, 10)
    """
    return tuple(read_note(word).pc for word in re.split(r"[\s,;]+", names) if word)


def place_of(name: str) -> tuple[int, int | None]:
    """Read a note name with or without octave: pitch class, and MIDI number or None.

    Raises `InputError` where it is none.

    >>> place_of("G"), place_of("Eb2")
    ((7, None), (3, 39))
    """
    if re.fullmatch(NOTE_PATTERN, name):
        return read_note(name).pc, None
    pitches = read_pitches(name).midi
    if len(pitches) != 1:
        raise InputError(f"{name!r} is not one note.", value=name, suggestion="Say G, or G2.")
    return pitches[0] % 12, pitches[0]
