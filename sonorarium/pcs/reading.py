"""What a person types for a set, and what it means.

Forms that are read, everywhere the same:

=====================  =====================================  ===================================================
form                   example                                gives
=====================  =====================================  ===================================================
scale with a root      ``F# mixolydian b6``, ``dorian on D``  `Collection`
degrees of a scale     ``1 3 5 7 of D double harmonic``       `Degrees`
chord symbol           ``Ebmaj7#5``, ``G7alt``, ``E/C``       `Chord`
two chords             ``Ab over C7``, ``Ab|C7``              `Stacked`
stack of intervals     ``fourths 4-#4-4 on C``                `IntervalStack`
notes                  ``C E Ab B``, ``C-E-Ab-B``, ``{C}``    `PcSet`
notes with octaves     ``C3 G3 E4``, ``{C7}``                 `Pitches`
numbers                ``0 4 8 11``, ``{0,4,8,t}``, ``0148``  `PcSet`; t and e, or a and b, are ten and eleven
class label            ``6-Z10``, ``6-Z10B``                  `SetClass`
prime form             ``[0148]``, ``(0148)``                 `SetClass`
either in place        ``6-Z10B on G``                        `PcSet`: best-packed form with its first note there
step pattern           ``1-3-1-2-1-3-1 on D``, ``W W H on C``  `Collection` where it has a name, else `PcSet`
degrees                ``1 b3 5 7 on C``                      the same; without a place, both give a `SetClass`
mode by Messiaen       ``Messiaen mode 3 transposition 2``    `Collection`
number of a set        ``mask 2321``, ``0b100100010001``      `PcSet`
=====================  =====================================  ===================================================

Accidentals may be typed as b and # or ♭ and ♯, doubled as bb, ## or x. German names (H, Es, Fis) are an option.

Where a text can mean several things, `readings` gives them all, the likeliest first, by these rules:

* letter case matters for ``M7`` and ``m7``, and for a ``b`` that stands alone: small beside capitals it is a flat
  (``C A b``), among small letters the note (``a b c``);
* a lone letter is a chord (``C``, ``Ab``) before it is a note; a lone letter and number is a chord for 5, 6, 7, 9
  (``C7``) and a note with its octave for the others (``C4``); two or more of them are notes (``C4 G4``), and so is
  whatever stands in braces (``{C}``, ``{C7}``);
* a root and a name are a scale before a chord (``a minor``), save "diminished", "augmented" and "half-diminished";
* a dash after a root is a minor chord (``Bb-7``) unless notes follow (``C-E-G``);
* ``X/Y`` is a bass where Y is a bare note, else two chords;
* numbers that repeat are steps (``2 2 1 2 2 2 1``); two with a dash are a class (``4-19``).

What cannot be read raises `InputError`, which says which part was not understood and offers the nearest readings.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from difflib import get_close_matches
from functools import cache
from itertools import pairwise, product

from sonorarium.errors import InputError
from sonorarium.pcs.chordquality import Quality, bases, degree_height
from sonorarium.pcs.chordsymbol import Chord, chord
from sonorarium.pcs.collection import Collection, Degrees, degrees, limited_transposition
from sonorarium.pcs.german import from_german
from sonorarium.pcs.pcset import PcSet
from sonorarium.pcs.pitches import PITCH_PATTERN, Pitches, read_pitches
from sonorarium.pcs.scales import kind_of, known_kind, nearest_names
from sonorarium.pcs.setclass import SetClass
from sonorarium.pcs.spelling import NOTE_PATTERN, read_note
from sonorarium.pcs.stacks import IntervalStack, Stacked, interval_stack, stacked

Readable = PcSet | SetClass | Collection | Degrees | Chord | Stacked | IntervalStack | Pitches
"""What a typed text can mean."""

_DIGITS = {str(n): n for n in range(12)} | {"t": 10, "e": 11, "a": 10, "b": 11}
_ON = rf"(?:\s+on\s+(?P<root>{NOTE_PATTERN}))"
_HINT = "Try a scale (D double harmonic), a chord (Ebmaj7#5), notes (C E Ab B), numbers (0 4 8 11) or a class (4-19)."


def read_set(text: str, *, german: bool = False) -> Readable:
    """Read what a person typed.

    Parameters
    ----------
    text : str
        Any of the forms above.
    german : bool
        Whether note names are German.

    Returns
    -------
    Readable
        The likeliest of its `readings`.

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
    >>> read_set("E/C"), read_set("Ab over C7"), read_set("1-3-1-2-1-3-1 on D")
    (chord('E/C'), stacked('Ab over C7'), collection('D double harmonic'))
    """
    found, error = _try_all(text, german=german)
    if not found:
        raise error or _diagnosis(_tidy(text, german=german), text.strip())
    return found[0]


def readings(text: str, *, german: bool = False) -> tuple[Readable, ...]:
    """Give everything that a text can sensibly mean, the likeliest first; nothing where it means nothing.

    >>> readings("a minor"), readings("C")
    ((collection('A minor'), chord('Am')), (chord('C'), PcSet((0,))))
    """
    return _try_all(text, german=german)[0]


def set_of(meant: Readable) -> PcSet:
    """The set that is meant: for a class its best-packed form from C, for anything else its notes.

    >>> set_of(SetClass("4-19")), set_of(chord("E/C"))
    (PcSet((0, 1, 4, 8)), PcSet((0, 4, 8, 11)))
    """
    return meant.representative if isinstance(meant, SetClass) else meant.pcset


def _tidy(text: str, *, german: bool) -> str:
    plain = " ".join(text.replace("−", "-").replace("–", "-").split())
    return from_german(plain) if german else plain


def _try_all(text: str, *, german: bool) -> tuple[tuple[Readable, ...], InputError | None]:
    """Ask every reader; collect what they found, and the first complaint of one that knew the form."""
    plain = _tidy(text, german=german)
    if not plain:
        return (), InputError("Nothing was typed.", value=text, suggestion=_HINT)
    found: dict[Readable, None] = {}
    complaint = None
    for reader in _READERS:
        try:
            found |= dict.fromkeys(reader(plain))
        except InputError as error:
            complaint = complaint or error
    return tuple(found), complaint


# --- numbers and classes ------------------------------------------------------------------------------------------


def _bitmask(text: str) -> Iterator[Readable]:
    found = re.fullmatch(r"mask (\d+)|0b([01]{1,12})", text, re.IGNORECASE)
    if found:
        yield PcSet.of_mask(int(found[1]) if found[1] else int(found[2], 2))


def _label(text: str) -> Iterator[Readable]:
    found = re.fullmatch(rf"(\d{{1,2}}-z?\d{{1,2}}[ab]?){_ON}?", text, re.IGNORECASE)
    if found:
        yield from _placed(SetClass(found[1]), found["root"])


def _prime_form(text: str) -> Iterator[Readable]:
    found = re.fullmatch(rf"[\[(]([0-9teab]+)[\])]{_ON}?", text, re.IGNORECASE)
    if found:
        yield from _placed(PcSet(_DIGITS[d] for d in found[1].lower()).set_class, found["root"])


def _placed(named: SetClass, root: str | None) -> Iterator[Readable]:
    yield named.representative.transposed(read_note(root).pc) if root else named


def _numbers(text: str) -> Iterator[Readable]:
    bare = re.sub(r"^[\[({<]|[\])}>]$", "", text)
    if re.fullmatch(r"0[1-9tea-b]{2,}", bare, re.IGNORECASE):
        bare = " ".join(bare)
    words = [w for w in re.split(r"[\s,;]+" if not bare.startswith("0-") else "-", bare.lower()) if w]
    if not any(w.isdigit() or w == "t" for w in words) or not all(w.isdigit() or w in _DIGITS for w in words):
        return
    unknown = [w for w in words if w not in _DIGITS]
    if unknown:
        raise InputError(
            f"{unknown[0]} is not a pitch class.", value=text, suggestion="Pitch classes run from 0 (C) to 11 (B)."
        )
    meant = PcSet(_DIGITS[w] for w in words)
    if len(set(words)) < len(words) and all(w != "0" for w in words):
        yield from _steps(text)
    yield meant
    if words[0] == "0" and (text.startswith("(") or text == bare.replace(" ", "")):
        yield meant.set_class


# --- steps and degrees --------------------------------------------------------------------------------------------


def _steps_and_degrees(text: str) -> Iterator[Readable]:
    """Both forms look alike; which goes first depends on the dashes and on how the numbers run."""
    found = re.fullmatch(rf"(.+?){_ON}?", text, re.IGNORECASE)
    words = [w for w in re.split(r"[\s,-]+", found[1]) if w] if found else []
    if found is None or len(words) < 2 or _is_label(text):
        return
    if words[0] == "0" and found["root"] and all(w in _DIGITS for w in words):
        yield PcSet(_DIGITS[w] for w in words).transposed(read_note(found["root"]).pc)
        return
    signed = any(w[0] in "b#" for w in words)
    rising = words[0] == "1" and all(a < b for a, b in pairwise(map(_number, words)))
    if not found["root"] and not signed and "-" not in text:
        return  # bare numbers are pitch classes
    forms = [_steps, _scale_degrees] if "-" in text or not (signed or rising) else [_scale_degrees, _steps]
    for form in forms:
        yield from form(text)


def _is_label(text: str) -> bool:
    return bool(re.match(r"\d{1,2}-z?\d{1,2}[ab]?(?: on|$)", text, re.IGNORECASE))


def _number(word: str) -> int:
    return int(re.sub(r"\D", "", word) or 0)


_LETTER_STEPS = {"w": 2, "h": 1}, {"t": 2, "s": 1}


def _steps(text: str) -> Iterator[Readable]:
    found = re.fullmatch(rf"((?:\d{{1,2}}|[WHTS])(?:[\s,-]+(?:\d{{1,2}}|[WHTS]))+){_ON}?", text, re.IGNORECASE)
    if not found:
        return
    words = re.split(r"[\s,-]+", found[1].lower())
    tables = [t for t in ({str(n): n for n in range(1, 12)}, *_LETTER_STEPS) if all(w in t for w in words)]
    if not tables:
        return
    heights = [0]
    for word in words:
        heights.append(heights[-1] + tables[0][word])
    yield _from_root({h % 12 for h in heights}, found["root"])


def _scale_degrees(text: str) -> Iterator[Readable]:
    one = r"[b#♭♯]{0,2}(?:1[0-4]|[1-9])"
    found = re.fullmatch(rf"({one}(?:[\s,-]+{one})+){_ON}?", text, re.IGNORECASE)
    words = re.split(r"[\s,-]+", found[1].lower().replace("♭", "b").replace("♯", "#")) if found else []
    if found and len(set(words)) == len(words):
        yield _from_root({degree_height(w) for w in words}, found["root"])


def _from_root(heights: set[int], root: str | None) -> Readable:
    pcset = PcSet(heights)
    if root is None:
        return pcset.tn_class
    kind = kind_of(pcset)
    return Collection(read_note(root), kind) if kind else pcset.transposed(read_note(root).pc)


def _degrees_of(text: str) -> Iterator[Readable]:
    if re.match(r"\d[\d\s,-]* (?:of|in) ", text):
        yield degrees(text)


# --- scales -------------------------------------------------------------------------------------------------------


def _scale(text: str) -> Iterator[Readable]:
    for root, name in _root_and_name(text):
        kind = known_kind(name)
        if kind and not re.fullmatch(r"(half[\s-]*)?diminished|augmented", name, re.IGNORECASE):
            yield Collection(read_note(root), kind)


def _scale_after_all(text: str) -> Iterator[Readable]:
    for root, name in _root_and_name(text):
        kind = known_kind(name)
        if kind:
            yield Collection(read_note(root), kind)


def _root_and_name(text: str) -> Iterator[tuple[str, str]]:
    first = re.fullmatch(rf"({NOTE_PATTERN})[\s-]+(\S.*)", text)
    if first:
        yield first[1], first[2]
    last = re.fullmatch(rf"(.+?)\s+(?:on|in)\s+({NOTE_PATTERN})", text)
    if last:
        yield last[2], last[1]


def _messiaen(text: str) -> Iterator[Readable]:
    found = re.fullmatch(
        r"(?:messiaen(?:'s)? )?mode (\d+)(?:,? (?:transposition |t)(\d+))?(?: by messiaen)?", text, re.IGNORECASE
    )
    if found:
        yield limited_transposition(int(found[1]), int(found[2] or 1))


# --- chords, notes ------------------------------------------------------------------------------------------------


def _stack(text: str) -> Iterator[Readable]:
    if re.search(r"\b(seconds|thirds|fourths|fifths)\b", text, re.IGNORECASE):
        yield interval_stack(text)


def _two_chords(text: str) -> Iterator[Readable]:
    if re.search(r"\||\sover\s", text, re.IGNORECASE):
        meant = stacked(text)
        yield meant
        if meant.lower.quality == Quality() and meant.upper.bass is None:
            yield chord(f"{meant.upper.symbol}/{meant.lower.root.text}")
        return
    upper, slash, lower = text.rpartition("/")
    if slash and re.match(NOTE_PATTERN, lower.strip()) and not re.fullmatch(NOTE_PATTERN, lower.strip()):
        yield from _quietly(lambda: stacked(f"{upper} over {lower}"))


def _pitches_first(text: str) -> Iterator[Readable]:
    braced = re.fullmatch(r"\{(.+)\}", text)
    bare = braced[1].strip() if braced else text
    chordlike = not braced and re.fullmatch(rf"{NOTE_PATTERN}[5679]", bare)
    if not chordlike and re.match(rf"{PITCH_PATTERN}(?:[\s,;]|$)", bare):
        yield from _quietly(lambda: read_pitches(bare))


def _chord(text: str) -> Iterator[Readable]:
    yield from _quietly(lambda: chord(text))
    upper, slash, lower = text.partition("/")
    if slash and re.fullmatch(NOTE_PATTERN, lower.strip()):
        yield from _quietly(lambda: stacked(f"{upper} over {lower}"))


def _notes(text: str) -> Iterator[Readable]:
    words = note_words(text)
    if not words or not all(re.fullmatch(NOTE_PATTERN, w) for w in words):
        return
    as_typed = PcSet(read_note(w).pc for w in words)
    with_flats = PcSet(read_note(w).pc for w in with_flats_joined(words))
    small = any(w == "b" and before.isupper() for before, w in pairwise(words))
    yield from (with_flats, as_typed) if small else (as_typed, with_flats)


def note_words(text: str) -> list[str]:
    """The words of a text, as it would be cut if it were nothing but note names."""
    return [w for w in re.split(r"[\s,;-]+", text.strip("{}[]()<>")) if w]


def with_flats_joined(words: list[str]) -> list[str]:
    """Note names, each lone b joined to the lone letter before it, as a flat sign.

    >>> with_flats_joined(["C", "A", "b"]), with_flats_joined(["b"]), with_flats_joined(["b", "c"])
    (['C', 'Ab'], ['b'], ['b', 'c'])
    """
    joined: list[str] = []
    for word in words:
        if word == "b" and joined and len(joined[-1]) == 1:
            joined[-1] += "b"
        else:
            joined.append(word)
    return joined


def _late(text: str) -> Iterator[Readable]:
    """Readings that come to mind last."""
    if re.fullmatch(PITCH_PATTERN, text):
        yield from _quietly(lambda: read_pitches(text))
    if re.fullmatch(NOTE_PATTERN, text) and text.islower():
        yield chord(text + "m")
    lone = re.fullmatch(r"([A-Ga-g]) b", text)
    if lone:
        yield chord(lone[1] + "b")
    wide = re.fullmatch(r"([A-Ga-g])([b#]+)((?:5|9|11|13)\b.*)", text)
    if wide:
        yield from _quietly(lambda: chord(f"{wide[1]}({wide[2]}{wide[3]})"))


def _quietly(read: Callable[[], Readable]) -> Iterator[Readable]:
    """Try a form that others share; where it does not fit, say nothing."""
    try:
        yield read()
    except InputError:
        return


_READERS: tuple[Callable[[str], Iterator[Readable]], ...] = (
    _bitmask,
    _label,
    _prime_form,
    _numbers,
    _stack,
    _degrees_of,
    _steps_and_degrees,
    _messiaen,
    _two_chords,
    _pitches_first,
    _scale,
    _chord,
    _notes,
    _late,
    _scale_after_all,
)


# --- what was not understood ----------------------------------------------------------------------------------------


def _diagnosis(plain: str, typed: str) -> InputError:
    """Say which part of a text was not understood, and offer the nearest readings."""
    if known_kind(plain):
        return InputError(f"{typed!r} has no root.", value=typed, suggestion=f"Try: C {plain}.", near=(f"C {plain}",))
    if re.match(r"[Hh](?![A-Za-z]{2})", plain):
        hint = f"In English that note is B: try B{plain[1:]}, or ask for German note names."
        return InputError(
            f"{plain[0]!r} in {typed!r} is not a note name.", value=typed, suggestion=hint, near=(f"B{plain[1:]}",)
        )
    found = re.match(NOTE_PATTERN, plain)
    first = found[0] if found else ""
    rest = plain[len(first) :].strip(" -")
    if found and rest and (plain[len(first)] in " -" or not rest[:1].islower()):
        words = note_words(plain)
        strange = [w for w in words if not re.fullmatch(NOTE_PATTERN, w)]
        if len(words) > len(strange) + 1 or (len(words) > 1 and len(rest) == 1):
            return InputError(
                f"{strange[0]!r} in {typed!r} is not a note name.",
                value=typed,
                suggestion="Note names look like C, F#, Eb, Bbb.",
            )
    if found and rest and re.search(r"[A-Za-z]{4}", rest):
        return _unknown(rest, typed, "is no scale or chord that is known here", _near_scales(first, rest))
    if found and rest:
        near = [first + suffix for suffix in get_close_matches(rest, _suffixes(), n=3, cutoff=0.4)]
        try:
            chord(plain)
        except InputError as error:
            return InputError(error.sentence, value=typed, suggestion=_offered(near) or _HINT, near=tuple(near))
    near = _near_scales("C", plain) if plain[0].isalpha() else []
    return _unknown(plain, typed, "was not understood", near)


def _unknown(part: str, typed: str, complaint: str, near: list[str]) -> InputError:
    sentence = f"{part!r} in {typed!r} {complaint}." if part != typed else f"{typed!r} {complaint}."
    return InputError(sentence, value=typed, suggestion=_offered(near) or _HINT, near=tuple(near))


def _near_scales(root: str, name: str) -> list[str]:
    return [f"{root[:1].upper()}{root[1:]} {near}" for near in nearest_names(name)]


def _offered(near: list[str]) -> str:
    return f"The nearest are: {'; '.join(near)}." if near else ""


@cache
def _suffixes() -> tuple[str, ...]:
    """Chord symbols without roots, to compare what was mistyped with."""
    heads = [text for base in bases().values() for text in (base.symbol, base.style_m)]
    tails = ("", "b5", "#5", "b9", "#9", "#11", "b13", "sus4", "sus2", "add9", "no5", "no3")
    return tuple(dict.fromkeys(head + tail for head, tail in product(heads, tails) if head + tail))
