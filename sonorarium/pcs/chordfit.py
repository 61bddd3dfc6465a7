"""Which chord symbols say exactly these notes: chords laid over a set from its root.

Each base chord of ``chords.csv``, suspended or not, is laid over the set as a template. What it has and the set has
not must be accounted for as an altered member or an omission; what the set has besides, as an altered or an added
member. What cannot be accounted for rules the template out. So a symbol never requires a note that is missing.

Cost
----
* **quality**: how far the basic chord is from what everybody knows, 0 to 4 (the table), and 1 more for sus4, 2 for
  sus2, 3 for both;
* **alterations**: 1 each; 2 each for an altered ninth over anything but a dominant seventh, or an altered fifth over
  a minor third or a suspension;
* **additions**: 2 each, 3 where the added note is altered;
* **omissions**: nothing for the eleventh over a major third, which players leave out as a rule; 1 for the fifth of a
  seventh chord, 2 for a ninth or another eleventh, 3 for the fifth of a triad, 4 for the third;
* **bass**: only where a bass is given: 2 for another member of the chord than the root, 3 for a note foreign to it.

The costs are this program's own choice; the vocabulary is common practice.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, fields
from functools import cache, cached_property

import numpy as np

from sonorarium.pcs.chordquality import Quality, bases, degree_height, degree_number


@dataclass(frozen=True, order=True)
class Cost:
    """What a reading costs, in parts."""

    quality: int = 0
    alterations: int = 0
    additions: int = 0
    omissions: int = 0
    bass: int = 0

    @property
    def total(self) -> int:
        """All parts together."""
        return sum(getattr(self, f.name) for f in fields(self))

    def __str__(self) -> str:
        parts = [f"{f.name} {getattr(self, f.name)}" for f in fields(self) if getattr(self, f.name)]
        return f"{self.total} ({', '.join(parts)})" if parts else "0"


@cache
def quality_cost(quality: Quality) -> Cost:
    """What a quality costs, apart from its bass."""
    base = bases()[quality.base]
    dominant = {"3", "b7"} <= set(base.degrees)
    hollow = quality.sus != "" or "b3" in base.degrees
    altered = sum(
        2 if (degree_number(d) == 9 and not dominant) or (degree_number(d) == 5 and hollow) else 1
        for d in quality.altered
    )
    return Cost(
        base.simplicity + {"": 0, "sus4": 1, "sus2": 2}.get(quality.sus, 3),
        altered,
        sum(2 + (not d.isdigit()) for d in quality.added),
        sum(_omission_cost(n, base.degrees) for n in quality.omitted),
    )


def _omission_cost(number: str, degrees: tuple[str, ...]) -> int:
    seventh = any(degree_number(d) == 7 for d in degrees)
    return {"5": 1 if seventh else 3, "11": 0 if "3" in degrees else 2, "9": 2}.get(number, 4)


@dataclass(frozen=True)
class _Template:
    """A base chord, suspended or not, to be laid over a set."""

    base: str
    sus: str
    heights: dict[int, str]

    @cached_property
    def mask(self) -> int:
        return sum(1 << h for h in self.heights)

    @cached_property
    def numbers(self) -> frozenset[str]:
        return frozenset(str(degree_number(d)) for d in self.heights.values())

    @property
    def third(self) -> str:
        return self.heights.get(3) or self.heights.get(4, "")

    @property
    def has_seventh(self) -> bool:
        return "7" in self.numbers

    @property
    def is_dominant(self) -> bool:
        return {4: "3", 10: "b7"}.items() <= self.heights.items()


_SUSPENDED = {
    "sus4": ("", "7", "maj7", "9", "maj9", "13", "6"),
    "sus2": ("", "7", "maj7", "6"),
    "sus2sus4": ("",),
}
_TENSIONS = {1: "b9", 2: "9", 3: "#9", 5: "11", 6: "#11", 8: "b13", 9: "13"}


@cache
def _templates() -> tuple[_Template, ...]:
    plain = [(base, "") for base in bases() if base != "5"]
    suspended = [(base, sus) for sus, allowed in _SUSPENDED.items() for base in allowed]
    return tuple(
        _Template(base, sus, {degree_height(d): d for d in Quality(base, sus).degrees})
        for base, sus in plain + suspended
    )


@cache
def _fits() -> tuple[tuple[int, ...], ...]:
    """For each set that holds 0 the templates close enough to be worth laying over it: index by mask."""
    masks = np.arange(4096)[:, None]
    laid = np.array([t.mask for t in _templates()])[None, :]
    bits = np.array([m.bit_count() for m in range(4096)])
    close = (bits[laid & ~masks] <= 3) & (bits[masks & ~laid] <= 3) & (masks & 1 == 1)
    return tuple(tuple(np.flatnonzero(row).tolist()) for row in close)


@cache
def qualities_of(mask: int) -> tuple[Quality, ...]:
    """Every quality of the vocabulary that says exactly a set above its root.

    Parameters
    ----------
    mask : int
        The set as a 12-bit integer, with the root at bit 0.

    Returns
    -------
    tuple of Quality
        The cheapest first; at most four.

    Examples
    --------
    >>> [q.text() for q in qualities_of(0b010100010001)]
    ['7#5', '7b13no5']
    """
    laid = (quality for at in _fits()[mask] for quality in _lay(_templates()[at], mask))
    ranked = sorted((q for q in laid if q.mask == mask), key=lambda q: (quality_cost(q).total, len(q.text())))
    once: dict[frozenset[str], Quality] = {}  # a ninth is a second: one quality for one way to hear the notes
    for quality in ranked:
        once.setdefault(frozenset(map(_simple, quality.degrees)), quality)
    return tuple(once.values())[:4]


def _simple(degree: str) -> str:
    number = degree_number(degree)
    return degree.rstrip("0123456789") + str(number - 7 if number > 7 else number)


def _lay(template: _Template, mask: int) -> Iterator[Quality]:
    """Say a set as this template with changes, in one or two ways; nothing where the changes would be too many."""
    own = template.mask
    missing = {template.heights[h] for h in range(12) if own & ~mask & 1 << h}
    extra = [h for h in range(12) if mask & ~own & 1 << h]
    for fifth in _fifths(missing, extra, template):
        taken = {degree_height(d) for d in fifth}
        quality = _place(template, missing - ({"5"} if fifth else set()), [h for h in extra if h not in taken], fifth)
        if quality:
            yield quality


def _fifths(missing: set[str], extra: list[int], template: _Template) -> list[tuple[str, ...]]:
    """Ways to account for a missing perfect fifth: an altered one, or, in dominant chords also then, none."""
    if "5" not in missing:
        return [()]
    altered = tuple(name for height, name in ((6, "b5"), (8, "#5")) if height in extra)
    if not altered:
        return [()]
    return [altered, ()] if template.is_dominant else [altered]


def _place(template: _Template, missing: set[str], extra: list[int], fifth: tuple[str, ...]) -> Quality | None:
    """Give the notes left over their degrees; None where one has no place or a member may not be left out."""
    altered, added, lost = list(fifth), [], set(missing)
    for height in extra:
        degree = _tension(height, template, lost)
        if degree is None:
            return None
        natural = str(degree_number(degree))
        if template.has_seventh and degree != natural and (natural in lost or natural not in template.numbers):
            altered.append(degree)
            lost.discard(natural)
        else:
            added.append(degree)
    omitted = tuple(sorted({str(degree_number(d)) for d in lost}, key=int))
    if not all(_may_leave_out(d, template) for d in lost) or {"3", "5"} <= lost:
        return None
    return Quality(template.base, template.sus, tuple(altered), tuple(added), omitted).canonical


def _tension(height: int, template: _Template, lost: set[str]) -> str | None:
    """Degree of a note besides the base chord, or None where such a chord is written otherwise."""
    clumsy = (
        (height == 3 and (template.third != "3" or "3" in lost))  # it is the third itself
        or (height == 2 and template.has_seventh)  # it is a ninth chord
        or (height == 9 and template.base in ("dim", "dimMaj7", "", "m") and not template.sus)  # a sixth, or dim7
        or (height in (3, 5) and template.sus)
    )
    return None if clumsy else _TENSIONS.get(height)


def _may_leave_out(degree: str, template: _Template) -> bool:
    """Whether a symbol may say that it has not this member: never its seventh, nor what gives it its name."""
    if degree == "5":
        return True
    if degree == "3":
        return template.base in ("7", "maj7", "9", "maj9", "13")
    named_for = re.sub(r"\D", "", template.base)
    return degree in ("9", "11") and degree != named_for and "6" not in named_for
