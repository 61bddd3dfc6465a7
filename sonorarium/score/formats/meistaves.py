"""The staves of an MEI score, and what holds on them: part, metre, key signature, transposition.

Conventions
-----------
* A part is one staff, unless staves are joined by a brace and have no names of their own (a piano, an organ, a harp):
  these are one part of several staves.
* A statement in a ``<scoreDef>`` holds for all staves, one in a ``<staffDef>`` for its own, from the next bar on.
* Metres that are sums (3+2 over 8) are added up; of a group of metres that are mixed the sum, of another the first.
* On a staff with a percussion clef notes are unpitched.

Source: Music Encoding Initiative, *Guidelines, Version 5*, chapters "Common Music Notation" and "Elements".
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from fractions import Fraction
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from lxml.etree import _Element

NO_METRE = (0, 4)
_SHARPS = (3, 0, 4, 1, 5, 2, 6)  # steps of F C G D A E B
_SYMBOLS = {"common": (4, 4), "cut": (2, 2)}
_SIGNATURE_ALTERS = {"s": 1, "ss": 2, "x": 2, "f": -1, "ff": -2, "n": 0}
MOST_STAVES_OF_ONE_PART = 4
_ACCIDENTALS = {0xE260: "b", 0xE261: None, 0xE262: "#"}
"""Signs of the music font (SMuFL) that verovio writes into names for the plain letters of the file."""


@dataclass(slots=True)
class Staff:
    """One staff and what holds on it at the moment.

    Parameters
    ----------
    number : str
        ``n`` in the document.
    part : int
        Index of its part.
    place : int
        1, 2 … within the part.
    metre : (int, int)
        Beats and beat type.
    key : dict of int to int
        Alteration of each altered step.
    semitones : int
        From written to sounding pitch.
    is_percussion : bool
    """

    number: str
    part: int
    place: int
    metre: tuple[int, int] = NO_METRE
    key: dict[int, int] = field(default_factory=dict)
    semitones: int = 0
    is_percussion: bool = False

    @property
    def bar_length(self) -> Fraction:
        """Length of a bar by the metre, in quarters; 0 without metre."""
        return Fraction(4 * self.metre[0], self.metre[1])

    def take(self, statement: _Element) -> None:
        """Take up what a ``<scoreDef>``, a ``<staffDef>`` or something inside them states."""
        metre = _metre(statement)
        key = _key(statement)
        self.metre = self.metre if metre is None else metre
        self.key = self.key if key is None else key
        shift = statement.get("trans.semi", "")
        if shift.lstrip("+-").isdecimal() and abs(int(shift)) < 128:
            self.semitones = int(shift)
        for clef in _stated(statement, "clef"):
            self.is_percussion = clef.get("shape") == "perc"


@dataclass(frozen=True)
class PartNames:
    """What a document says of one part: identifier, printed name, number of staves."""

    id: str
    name: str
    staves: int


def read_staves(score_def: _Element) -> tuple[dict[str, Staff], list[PartNames]]:
    """Return the staves of a piece by their numbers, and the parts that they make up.

    Parameters
    ----------
    score_def : lxml element
        The first ``<scoreDef>`` of the piece.
    """
    staves: dict[str, Staff] = {}
    parts: list[PartNames] = []
    for group, staff_defs in _parts(score_def):
        first = staff_defs[0]
        name = _label(first) or (_label(group) if group is not None else "")
        for place, staff_def in enumerate(staff_defs, start=1):
            number = staff_def.get("n", "")
            staves[number] = staff = Staff(number, len(parts), place)
            staff.take(score_def)
            staff.take(staff_def)
        parts.append(PartNames(first.get("n", ""), name, len(staff_defs)))
    return staves, parts


def change_staves(statement: _Element, staves: dict[str, Staff]) -> None:
    """Take up a later ``<scoreDef>`` or ``<staffDef>``."""
    if statement.tag == "staffDef":
        targets = [staves[number] for number in [statement.get("n", "")] if number in staves]
    else:
        targets = list(staves.values())
    for staff in targets:
        staff.take(statement)
    for inner in statement.iter("staffDef"):
        if inner is not statement and inner.get("n", "") in staves:
            staves[inner.get("n", "")].take(inner)


def _parts(score_def: _Element) -> Iterator[tuple[_Element | None, list[_Element]]]:
    """Return the staves of each part, and the group that joins them."""
    joined: set[_Element] = set()
    for staff_def in score_def.iter("staffDef"):
        if staff_def in joined:
            continue
        group = staff_def.getparent()
        together = _braced(group)
        joined.update(together)
        yield (group, together) if together else (None, [staff_def])


def _braced(group: _Element | None) -> list[_Element]:
    """Return the staves of a group that is one part, none where it is not."""
    if group is None or group.tag != "staffGrp":
        return []
    symbol = group.find("grpSym")
    staff_defs = group.findall("staffDef")
    is_brace = "brace" in (group.get("symbol"), symbol.get("symbol") if symbol is not None else None)
    named = sum(bool(_label(staff_def)) for staff_def in staff_defs)
    one = is_brace and 1 < len(staff_defs) <= MOST_STAVES_OF_ONE_PART and named < 2
    return staff_defs if one and group.find("staffGrp") is None else []


def _label(element: _Element) -> str:
    label = element.find("label")
    text = "".join(map(str, label.itertext())) if label is not None else element.get("label", "")
    return " ".join(text.translate(_ACCIDENTALS).split())


def _stated(statement: _Element, tag: str) -> list[_Element]:
    return [statement] if statement.tag == tag else statement.findall(tag)


def _metre(statement: _Element) -> tuple[int, int] | None:
    group = statement.find("meterSigGrp")
    if group is not None:
        metres = [metre for sign in group.findall("meterSig") if (metre := _one_metre(sign, "")) is not None]
        return _sum(metres) if metres and group.get("func") == "mixed" else metres[0] if metres else None
    signs = _stated(statement, "meterSig")
    return _one_metre(signs[0], "") if signs else _one_metre(statement, "meter.")


def _sum(metres: list[tuple[int, int]]) -> tuple[int, int]:
    unit = max(unit for _, unit in metres)
    total = sum(Fraction(beats * unit, own) for beats, own in metres)
    return (int(total), unit) if total.denominator == 1 else metres[0]


def _one_metre(sign: _Element, prefix: str) -> tuple[int, int] | None:
    count, unit = sign.get(f"{prefix}count", ""), sign.get(f"{prefix}unit", "")
    terms = count.replace(" ", "").split("+")
    if not count or not all(term.isascii() and term.isdecimal() for term in terms):
        return _SYMBOLS.get(sign.get(f"{prefix}sym", "")) or (
            NO_METRE if sign.get("form") == "invis" and count else None
        )
    beats = sum(map(int, terms))
    beat_type = int(unit) if unit.isascii() and unit.isdecimal() else 4
    return (beats, beat_type) if 0 < beats <= 1_000 and 0 < beat_type <= 1_024 else None


def _key(statement: _Element) -> dict[int, int] | None:
    """Return the alterations of a key signature, None where none is stated."""
    signs = _stated(statement, "keySig")
    stated = signs[0].get("sig") if signs else statement.get("keysig") or statement.get("key.sig")
    if signs and (own := signs[0].findall("keyAccid")):
        pairs = (("cdefgab".find(one.get("pname", "?")), one.get("accid", "")) for one in own)
        return {step: _SIGNATURE_ALTERS.get(accid, 0) for step, accid in pairs if step >= 0}
    if stated is None:
        return None
    count, kind = stated[:-1], stated[-1:]
    if kind not in ("s", "f") or not count.isdecimal() or int(count) > 7:
        return {}
    steps = _SHARPS[: int(count)] if kind == "s" else _SHARPS[::-1][: int(count)]
    return dict.fromkeys(steps, 1 if kind == "s" else -1)
