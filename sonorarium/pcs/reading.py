"""What a person types for a set, and what it means.

Forms that are read, everywhere the same:

=====================  ==========================  ==================================================
form                   example                     gives
=====================  ==========================  ==================================================
scale with a root      ``F# mixolydian b6``        `Collection`
note names             ``C E Ab B``                `PcSet`
numbers                ``0 4 8 11``, ``{0,4,8,t}``  `PcSet`; t and e are ten and eleven
class label            ``6-Z10``, ``6-Z10B``        `SetClass`
class label in place   ``6-Z10B on G``             `PcSet`: best-packed form with its first note there
prime form             ``[0148]``, ``(0148)``       `SetClass`
=====================  ==========================  ==================================================

Letter case matters nowhere in these forms. What cannot be read raises `InputError`, which says which part was not
understood and offers the nearest readings.
"""

from __future__ import annotations

import re
from collections.abc import Callable

from sonorarium.errors import InputError
from sonorarium.pcs.collection import Collection
from sonorarium.pcs.pcset import PcSet
from sonorarium.pcs.scales import find_kind
from sonorarium.pcs.setclass import SetClass
from sonorarium.pcs.spelling import NOTE_PATTERN, read_note

Readable = PcSet | SetClass | Collection
"""What a typed text can mean."""

_DIGITS = {str(n): n for n in range(12)} | {"t": 10, "e": 11, "a": 10, "b": 11}


def read_set(text: str) -> Readable:
    """Read what a person typed.

    Parameters
    ----------
    text : str
        Any of the forms above.

    Returns
    -------
    PcSet, SetClass or Collection

    Raises
    ------
    InputError
        Where no form fits.

    Examples
    --------
    >>> read_set("D double harmonic"), read_set("C E Ab B"), read_set("{0,4,8,e}")
    (collection('D double harmonic'), PcSet((0, 4, 8, 11)), PcSet((0, 4, 8, 11)))
    >>> read_set("4-19b"), read_set("[0148]"), read_set("4-19A on C")
    (SetClass('4-19B'), SetClass('4-19'), PcSet((0, 1, 4, 8)))
    """
    plain = " ".join(text.split())
    if not plain:
        raise InputError("Nothing was typed.", value=text, suggestion="Try: D double harmonic, or C E Ab B, or 4-19.")
    for reader in _READERS:
        found = reader(plain)
        if found is not None:
            return found
    raise InputError(
        f"{text.strip()!r} was not understood.",
        value=text,
        suggestion="Try a scale (D double harmonic), notes (C E Ab B), numbers (0 4 8 11) or a class (4-19).",
    )


def _read_label(text: str) -> Readable | None:
    found = re.fullmatch(rf"(\d{{1,2}}-z?\d{{1,2}}[ab]?)(?: on ({NOTE_PATTERN}))?", text, re.IGNORECASE)
    if not found:
        return None
    named = SetClass(found[1])
    if not found[2]:
        return named
    return named.representative.transposed(read_note(found[2]).pc)


def _read_prime_form(text: str) -> Readable | None:
    found = re.fullmatch(r"[\[(]([0-9te]+)[\])]", text, re.IGNORECASE)
    return PcSet(_DIGITS[d] for d in found[1].lower()).set_class if found else None


def _read_numbers(text: str) -> Readable | None:
    bare = re.sub(r"^[\[({]|[\])}]$", "", text)
    words = [w for w in re.split(r"[\s,;]+", bare.lower()) if w]
    if not words or not any(w.isdigit() for w in words) or not all(w.isdigit() or w in "te" for w in words):
        return None
    unknown = [w for w in words if w not in _DIGITS]
    if unknown:
        raise InputError(
            f"{unknown[0]} is not a pitch class.", value=text, suggestion="Pitch classes run from 0 (C) to 11 (B)."
        )
    return PcSet(_DIGITS[w] for w in words)


def _read_collection(text: str) -> Readable | None:
    root, _, name = text.partition(" ")
    if not re.fullmatch(NOTE_PATTERN, root) or not re.search(r"[a-z]{3}", name.lower()):
        return None
    return Collection(read_note(root), find_kind(name))


def _read_notes(text: str) -> Readable | None:
    words = [w for w in re.split(r"[\s,;-]+", text.strip("{}[]()")) if w]
    if not words or not re.fullmatch(NOTE_PATTERN, words[0]):
        return None
    strange = [w for w in words if not re.fullmatch(NOTE_PATTERN, w)]
    if strange:
        raise InputError(
            f"{strange[0]!r} in {text!r} is not a note name.",
            value=text,
            suggestion="Note names look like C, F#, Eb, Bbb.",
        )
    return PcSet(read_note(w).pc for w in words)


_READERS: tuple[Callable[[str], Readable | None], ...] = (
    _read_label,
    _read_prime_form,
    _read_numbers,
    _read_collection,
    _read_notes,
)
