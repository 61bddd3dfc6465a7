"""The lattice of fifths and thirds: a net in which triads are triangles.

A step to the right is a perfect fifth, a step up and to the right a major third, a step down and to the right a
minor third. So a triangle that stands on a side is a major triad, one that stands on its tip a minor triad, and the
notes of a triad lie next to one another. Every place has the name that the way to it spells: four fifths up from C is
E, and so is a major third; three major thirds up is B♯.

* a heavy ring and a bold name: the set has the note; heavy lines join neighbours, triangles of the set are shaded;
* a ring of dashes: the same note of the set, come by another way or under another name;
* a triangle points to the root;
* a second set: its notes are ringed in the accent colour, a second ring where the first set has them too; its
  triangles are shaded darker, lines that are not the first set's are broken.

The set is laid out as compactly as it goes from its first note (`lay_out`).

Source: Leonhard Euler, Tentamen novae theoriae musicae (1739), and Hugo Riemann, Ideen zu einer "Lehre von den
Tonvorstellungen", Jahrbuch der Musikbibliothek Peters 21 (1914/15); from memory. Which way the axes run differs from
book to book.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from functools import cache, partial
from itertools import combinations

from sonorarium.errors import InputError
from sonorarium.pcs.spelling import Spelled
from sonorarium.render.pen import ACCENT, LINE, Point, Stroke, figure, num, path, ring, root_mark, text

STEP, RISE, RING = 74, 64, 21
Place = tuple[int, int]
"""Fifths to the right and major thirds upward."""

NEIGHBOURS: tuple[Place, ...] = ((1, 0), (0, 1), (1, -1), (-1, 0), (0, -1), (-1, 1))
_LETTERS_BY_FIFTHS = (3, 0, 4, 1, 5, 2, 6)  # F C G D A E B


@dataclass(frozen=True)
class Net:
    """What is on a lattice.

    Parameters
    ----------
    notes : tuple of Spelled
        The set, by name, at least one note.
    root : Spelled, optional
        Marked where it is given.
    others : tuple of Spelled
        A second set, drawn into the first.
    description : str
        The same in words.
    """

    notes: tuple[Spelled, ...]
    root: Spelled | None = None
    others: tuple[Spelled, ...] = ()
    description: str = ""


def name_at(place: Place) -> Spelled:
    """The note at a place, C lying at (0, 0).

    >>> name_at((1, 0)).text, name_at((0, 1)).text, name_at((1, -1)).text, name_at((0, 3)).text
    ('G', 'E', 'Eb', 'B#')
    """
    fifths = place[0] + 4 * place[1] + 1
    return Spelled(_LETTERS_BY_FIFTHS[fifths % 7], fifths // 7)


def apart(one: Place, other: Place) -> int:
    """Fewest steps from one place to another.

    >>> apart((0, 0), (1, 0)), apart((0, 0), (1, 1)), apart((0, 1), (1, 0))
    (1, 2, 1)
    """
    x, y = other[0] - one[0], other[1] - one[1]
    return max(abs(x), abs(y), abs(x + y))


@cache
def lay_out(notes: tuple[Spelled, ...]) -> tuple[Place, ...]:
    """A place for each note, all of them as close together as they go.

    The first note lies in the row of C. The others are put down one by one, each time the one that comes to lie next
    to most of those that are there; then each is moved, as long as that brings it nearer to the rest. A place that
    spells the note's own name goes before one that spells another.

    >>> [name_at(place).text for place in lay_out((Spelled(0), Spelled(2), Spelled(4)))]
    ['C', 'E', 'G']
    >>> lay_out((Spelled(0), Spelled(2), Spelled(4)))
    ((0, 0), (0, 1), (1, 0))
    """
    options = {note: _options(note) for note in notes}
    laid = {notes[0]: (notes[0].fifths, 0)}
    while len(laid) < len(notes):
        left = [(note, place) for note in notes if note not in laid for place in options[note]]
        note, place = min(left, key=lambda one: _looseness(one[1], one[0], laid.values()))
        laid[note] = place
    for _ in range(len(notes)):
        for note in notes[1:]:
            others = [place for other, place in laid.items() if other != note]
            here = min(options[note], key=lambda place: _looseness(place, note, others))
            if _looseness(here, note, others) < _looseness(laid[note], note, others):
                laid[note] = here
    return tuple(laid[note] for note in notes)


def _options(note: Spelled) -> list[Place]:
    """Places of a note, under its own name and under those a comma away, seven rows high."""
    return [(note.fifths + by - 4 * y, y) for by in (0, 12, -12) for y in range(-3, 4)]


def _looseness(place: Place, note: Spelled, others: Iterable[Place]) -> tuple[int, int, int, int]:
    """How loosely a place hangs: renamed, without neighbours, far from the rest, far from the middle row."""
    steps = [apart(place, other) for other in others]
    renamed = name_at(place) != note
    return -steps.count(1) + 2 * renamed, sum(steps), renamed, abs(place[1])


def draw_lattice(net: Net) -> str:
    """Draw a lattice as one SVG.

    Parameters
    ----------
    net : Net

    Returns
    -------
    str
        A stand-alone SVG element.

    Raises
    ------
    InputError
        Where the set is empty.

    Examples
    --------
    >>> drawing = draw_lattice(Net((Spelled(0), Spelled(2), Spelled(4)), description="C, E and G"))
    >>> 'aria-label="C, E and G"' in drawing, ">E<" in drawing
    (True, True)
    """
    if not net.notes:
        raise InputError("A lattice needs a note.", value=net)
    laid = dict(zip(lay_out(net.notes), net.notes, strict=True))
    second = _second(net.others, laid)
    window = _window([*laid, *second])
    at = _points(window)
    parts = _threads(window, at)
    parts += _fields(list(laid), at, RING, "currentColor")
    parts += [path(_between(at[a], at[b], RING), Stroke(2.2)) for a, b in _next_to(laid)]
    parts += _fields(second, at, RING + 5, ACCENT)
    joined = [pair for pair in _next_to(second) if not laid.keys() >= set(pair)]
    parts += [path(_between(at[a], at[b], RING + 5), Stroke(2.4, ACCENT, "6 3.5")) for a, b in joined]
    held = {note.pc for note in net.notes}
    for place in window:
        parts += _node(place, at[place], laid=laid, second=second, again=name_at(place).pc in held)
    root = next((place for place, note in laid.items() if net.root and note.pc == net.root.pc), None)
    if root is not None:
        parts.append(root_mark((at[root][0], at[root][1] - RING - (8 if root in second else 4))))
    xs, ys = zip(*at.values(), strict=True)
    return figure("lattice", (max(xs) + RING + 14, max(ys) + RING + 14), net.description, parts)


def _second(others: Sequence[Spelled], laid: dict[Place, Spelled]) -> list[Place]:
    """Places of a second set: those of the first where it has the note, else the nearest to these."""
    where = {note.pc: place for place, note in laid.items()}
    found: list[Place] = []
    for note in others:
        loose = partial(_looseness, note=note, others=[*laid, *found])
        found.append(where.get(note.pc) or min(_options(note), key=loose))
    return found


def _window(places: Sequence[Place]) -> list[Place]:
    """The places that are drawn: about half a step more than the set to every side, in rows of equal width."""
    rows = [y for _, y in places]
    lefts = [x + y / 2 for x, y in places]
    low, high = min(lefts) - 1, max(lefts) + 1
    shown = range(max(rows) + (max(rows) == min(rows)), min(rows) - 1 - (max(rows) == min(rows)), -1)
    return [(x, y) for y in shown for x in range(-60, 61) if low <= x + y / 2 <= high]


def _points(window: Sequence[Place]) -> dict[Place, Point]:
    left, top = min(x + y / 2 for x, y in window), max(y for _, y in window)
    edge = RING + 14
    return {(x, y): (edge + STEP * (x + y / 2 - left), edge + RISE * (top - y)) for x, y in window}


def _between(one: Point, other: Point, room: float = RING) -> list[Point]:
    """The line between two nodes, without what lies inside their rings."""
    (a, b), (c, d) = one, other
    share = room / ((c - a) ** 2 + (d - b) ** 2) ** 0.5
    return [(a + (c - a) * share, b + (d - b) * share), (c - (c - a) * share, d - (d - b) * share)]


def _threads(window: Sequence[Place], at: dict[Place, Point]) -> list[str]:
    """The thin lines of the net."""
    shown = set(window)
    pairs = [
        (place, (place[0] + x, place[1] + y))
        for place in window
        for x, y in NEIGHBOURS[:3]
        if (place[0] + x, place[1] + y) in shown
    ]
    return [path(_between(at[a], at[b], RING - 1), Stroke(1, LINE)) for a, b in pairs]


def _next_to(places: Iterable[Place]) -> list[tuple[Place, Place]]:
    return [(a, b) for a, b in combinations(places, 2) if apart(a, b) == 1]


def _fields(places: Sequence[Place], at: dict[Place, Point], room: float, colour: str) -> list[str]:
    """The triangles of a set, shaded but for what lies inside the rings of their corners."""
    corners = [t for t in combinations(places, 3) if all(apart(a, b) == 1 for a, b in combinations(t, 2))]
    return [_field([at[place] for place in t], room, colour) for t in corners]


def _field(corners: list[Point], room: float, colour: str) -> str:
    a, b, c = corners
    if (b[0] - a[0]) * (c[1] - a[1]) < (b[1] - a[1]) * (c[0] - a[0]):
        b, c = c, b  # clockwise on the page, so that every arc bends the same way
    sides = [_between(one, other, room) for one, other in ((a, b), (b, c), (c, a))]
    arc = f"A{num(room)} {num(room)} 0 0 0 "
    way = arc.join(f"{num(x)} {num(y)}L{num(u)} {num(v)}" for (x, y), (u, v) in sides)
    back = f"{arc}{num(sides[0][0][0])} {num(sides[0][0][1])}z"
    return f'<path d="M{way}{back}" fill="{colour}" fill-opacity="{0.12 if colour == "currentColor" else 0.3}"/>'


def _node(place: Place, at: Point, *, laid: Collection[Place], second: Collection[Place], again: bool) -> list[str]:
    drawn = []
    if place in laid:
        drawn.append(ring(at, RING, Stroke(2.6)))
    elif again:
        drawn.append(ring(at, RING, Stroke(dash="3 3", opacity=0.8)))
    if place in second:
        drawn.append(ring(at, RING + 4.5 if place in laid else RING, Stroke(2.4, ACCENT)))
    strong = place in laid or place in second
    size = 18 if strong else 15
    return [*drawn, text((at[0], at[1] + 6), name_at(place).sign, size, bold=strong, faint=not strong)]
