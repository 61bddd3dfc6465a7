"""The figure of a network: sets as words in frames, joined by the small moves that lead from one to the other.

* a whole line: one note moves by a semitone; a broken line: a split or a fuse (`sonorarium.pcs.network`);
* words on a line, read from left to right, or downward where it is steep: the note that the first set has, then what
  the other has instead;
* a way through the network is drawn heavy in the accent colour, and its sets are numbered in order;
* a doubled frame: the set that the figure is about.

Where the sets stand
--------------------
Distances on the page follow the fewest moves between two sets as closely as they can: least stress (Kamada & Kawai,
Information Processing Letters 31, 1989) by majorisation (Gansner, Koren & North, Graph Drawing 2004; both from
memory), from several fixed beginnings, the best of which is kept. No chance is in it: the same network gives the
same figure. Then the figure is turned so that the first set that is not in the middle stands at the top, and
clockwise of it one that has a note raised; it is made wider where names are long, and frames that touch are pushed
apart. Lines go behind frames. Sets between which there is no way stand in groups of their own, the largest first.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import pairwise
from typing import Any

import numpy as np
from numpy.typing import NDArray

from sonorarium.errors import InputError
from sonorarium.pcs.network import Edge, Network
from sonorarium.render.pen import ACCENT, Point, Stroke, figure, num, path, text, width

MOST_NODES = 64
"""More frames than this cannot be read on a page."""

FRAME = 32
_EDGE, _FONT, _WORD, _PAGE = 16, 16, 13.5, 640
_ROUNDS = 300
_GOLDEN = 2.399963229728653  # the golden angle

Positions = NDArray[np.float64]
Lengths = NDArray[np.floating[Any]]


def draw_network(
    net: Network,
    *,
    words: Mapping[Edge, tuple[str, str]] | None = None,
    way: Sequence[int] = (),
    middle: int | None = None,
    description: str = "",
) -> str:
    """Draw a network as one SVG.

    Parameters
    ----------
    net : Network
        Its names stand in the frames.
    words : mapping of Edge to (str, str), optional
        For an edge, the note that its first node has and what its second has instead.
    way : sequence of int
        Nodes of a way through it, to be marked.
    middle : int, optional
        The node that the figure is about.
    description : str
        What it shows, in words.

    Returns
    -------
    str
        A stand-alone SVG element.

    Raises
    ------
    InputError
        Where there are no nodes, or more than `MOST_NODES`.

    Examples
    --------
    >>> from sonorarium.pcs.network import network
    >>> from sonorarium.pcs.pcset import PcSet
    >>> net = network([PcSet((0, 4, 7)), PcSet((0, 3, 7)), PcSet((0, 4, 8))], names=["C", "Cm", "C+"])
    >>> drawing = draw_network(net, description="three chords")
    >>> drawing.count("<rect"), drawing.count("<path")
    (3, 2)
    """
    if not 1 <= len(net.sets) <= MOST_NODES:
        raise InputError(
            f"A network of {len(net.sets)} sets cannot be drawn so that it can be read.",
            value=len(net.sets),
            suggestion=f"Take 1 to {MOST_NODES}.",
        )
    names = _numbered(net.names, way)
    wide = np.array([max(FRAME, width(name, _FONT, bold=True) + 20) for name in names])
    at = place_nodes(net, wide, worded=bool(words))
    room = wide / 2 + _EDGE
    at = at - [(at[:, 0] - room).min(), at[:, 1].min() - FRAME / 2 - _EDGE]
    steps = {frozenset(pair) for pair in pairwise(way)}
    frames = np.concatenate([at, np.column_stack([wide / 2, np.full(len(at), FRAME / 2)]) + 3], axis=1)
    parts: list[str] = []
    for edge in net.edges:
        drawn, frames = _edge(edge, frames, (words or {}).get(edge), on={edge.start, edge.end} in steps)
        parts += drawn
    for node, name in enumerate(names):
        parts += _frame(name, _point(at[node]), float(wide[node]), on=node in way, doubled=node == middle)
    size = float((at[:, 0] + room).max()), float(at[:, 1].max()) + FRAME / 2 + _EDGE
    return figure("network", size, description, parts)


def _numbered(names: Sequence[str], way: Sequence[int]) -> list[str]:
    """What stands in the frames: the names, numbered along a way."""
    number = {node: f"{i}. " for i, node in enumerate(way, 1)}
    return [number.get(node, "") + name for node, name in enumerate(names)]


# --- drawing ------------------------------------------------------------------------------------------------------


def _frame(name: str, at: Point, wide: float, *, on: bool, doubled: bool) -> list[str]:
    drawn = [_box(at, wide, FRAME, Stroke(2.6, ACCENT) if on else Stroke(1.4))]
    if doubled:
        drawn.append(_box(at, wide + 8, FRAME + 8, Stroke(1.4)))
    return [*drawn, text((at[0], at[1] + 5.5), name, _FONT, bold=on or doubled)]


def _box(at: Point, wide: float, high: float, stroke: Stroke) -> str:
    x, y = at[0] - wide / 2, at[1] - high / 2
    size = f'width="{num(wide)}" height="{num(high)}" rx="{num(min(wide, high) / 3)}"'
    return f'<rect x="{num(x)}" y="{num(y)}" {size} fill="none"{stroke.attributes}/>'


def _edge(edge: Edge, boxes: Positions, words: tuple[str, str] | None, *, on: bool) -> tuple[list[str], Positions]:
    """A line that goes behind all boxes, and its words, whose box is added to these.

    Boxes are middle and half size: shape (boxes, 4), the frames of the nodes first.
    """
    first, last = boxes[edge.start, :2], boxes[edge.end, :2]
    stroke = Stroke(3 if on else 1.3, ACCENT if on else "currentColor", "" if edge.kind == "move" else "5 4")
    drawn = []
    if words:
        said = "–".join(words if _comes_first(first, last) else words[::-1])
        half = np.array([width(said, _WORD) / 2 + 4, 10.0])
        middle = _free_place(first, last, half, boxes)
        boxes = np.vstack([boxes, [*middle, *half]])
        drawn.append(text((float(middle[0]), float(middle[1]) + 4.5), said, _WORD))
    lines = [path([_point(a), _point(b)], stroke) for a, b in _seen(first, last, boxes)]
    return [*lines, *drawn], boxes


def _comes_first(one: Positions, other: Positions) -> bool:
    """Whether one place is read before another: from left to right, or downward where they stand above each other."""
    across = float(other[0] - one[0])
    return across > 0 if abs(across) > FRAME else bool(one[1] < other[1])


def _free_place(first: Positions, last: Positions, half: Positions, boxes: Positions) -> Positions:
    """Where words stand on a line: near its middle, where they touch no box; in its middle where they cannot."""
    places = first + (last - first) * np.array([0.5, 0.45, 0.55, 0.4, 0.6, 0.35, 0.65, 0.3, 0.7])[:, None]
    touch = (np.abs(places[:, None] - boxes[:, :2]) < boxes[:, 2:] + half).all(axis=2).any(axis=1)
    return np.asarray(places[int(touch.argmin())])


def _seen(first: Positions, last: Positions, boxes: Positions) -> list[tuple[Positions, Positions]]:
    """The stretches of a line that no box hides."""
    along = np.where(np.abs(last - first) < 1e-9, 1e-9, last - first)
    ends = np.stack([boxes[:, :2] - boxes[:, 2:] - first, boxes[:, :2] + boxes[:, 2:] - first]) / along
    come, gone = ends.min(axis=0).max(axis=1), ends.max(axis=0).min(axis=1)
    hidden = sorted((float(a), float(b)) for a, b in zip(come, gone, strict=True) if a < b and b > 0 and a < 1)
    found, at = [], 0.0
    for begin, end in [*hidden, (1.0, 1.0)]:
        if begin > at + 0.01:
            found.append((first + along * at, first + along * begin))
        at = max(at, end)
    return found


def _point(at: Positions) -> Point:
    return float(at[0]), float(at[1])


# --- layout -------------------------------------------------------------------------------------------------------


def place_nodes(net: Network, wide: Positions, *, worded: bool = False) -> Positions:
    """Places of the nodes on the page, no frame touching another: shape (nodes, 2), pixels.

    Where lines are worded there is more room between them. Sets that hang together are laid out by themselves; the
    groups stand in rows, the largest first.
    """
    groups = sorted(net.components, key=lambda group: -len(group))
    at = np.zeros((len(net.sets), 2))
    laid = []
    for group in groups:
        part = Network(
            tuple(net.names[i] for i in group),
            tuple(net.sets[i] for i in group),
            tuple(
                Edge(group.index(e.start), group.index(e.end), e.kind, e.leaving, e.arriving)
                for e in net.edges
                if e.start in group
            ),
        )
        laid.append(_spread(_turned(layout(part), part), wide[list(group)], worded=worded))
    for group, points in zip(groups, _in_rows(laid, [wide[list(group)] for group in groups]), strict=True):
        at[list(group)] = points
    return at


def _in_rows(groups: list[Positions], wide: list[Positions]) -> list[Positions]:
    """Groups side by side, in rows as wide as the widest of them, or as a page."""
    boxes = []
    for at, own in zip(groups, wide, strict=True):
        low = np.array([(at[:, 0] - own / 2).min(), at[:, 1].min() - FRAME / 2])
        high = np.array([(at[:, 0] + own / 2).max(), at[:, 1].max() + FRAME / 2])
        boxes.append((low, high - low))
    most = max(_PAGE, *(size[0] for _, size in boxes))
    placed, x, y, tall = [], 0.0, 0.0, 0.0
    for at, (low, size) in zip(groups, boxes, strict=True):
        if x and x + size[0] > most:
            x, y, tall = 0.0, y + tall + FRAME, 0.0
        placed.append(at - low + [x, y])
        x, tall = x + size[0] + FRAME, max(tall, size[1])
    return placed


def layout(net: Network) -> Positions:
    """Places of the nodes, about one unit apart for each move: shape (nodes, 2).

    Examples
    --------
    >>> from sonorarium.pcs.network import network
    >>> from sonorarium.pcs.pcset import PcSet
    >>> line = layout(network([PcSet((0, 4, 7)), PcSet((0, 3, 7)), PcSet((0, 3, 6))]))
    >>> [round(float(np.hypot(*(line[i] - line[j]))), 1) for i, j in ((0, 1), (1, 2), (0, 2))]
    [1.0, 1.0, 2.0]
    """
    count = len(net.sets)
    if count == 1:
        return np.zeros((1, 2))
    wanted = _distances(net)
    found = [_settled(begin, wanted) for begin in _beginnings(net, wanted)]
    return min(found, key=lambda one: round(_stress(one, wanted), 6))


def _distances(net: Network) -> Positions:
    """Fewest moves between any two nodes; a little more than the most of these where there is no way."""
    steps = [net.steps_from(node) for node in range(len(net.sets))]
    most = max(step for row in steps for step in row if step is not None)
    return np.array([[most + 1.5 if step is None else step for step in row] for row in steps], np.float64)


def _beginnings(net: Network, wanted: Positions) -> list[Positions]:
    """Fixed beginnings: on a circle in the order given, and as it is walked; in rings about the middle; a spiral."""
    count = len(net.sets)
    given = np.arange(count)
    walked = np.empty(count, np.intp)
    walked[_walk(net)] = given
    middle = int(wanted.max(axis=1).argmin())
    far = wanted[middle]
    turn = given * _GOLDEN
    spiral = np.sqrt(given + 0.5)
    around = 2 * np.pi / count
    radius = count / (2 * np.pi)
    return [
        _polar(radius, given * around),
        _polar(radius, walked * around),
        _polar(far, walked * around),
        _polar(spiral, turn),
    ]


def _polar(radius: Lengths | float, turn: Lengths) -> Positions:
    return np.column_stack([radius * np.sin(turn), -radius * np.cos(turn)])


def _walk(net: Network) -> list[int]:
    """Nodes in the order of a walk that goes on to a neighbour as long as there is a new one."""
    order: list[int] = []
    waiting = list(range(len(net.sets)))[::-1]
    while waiting:
        node = waiting.pop()
        if node not in order:
            order.append(node)
            waiting += [one for one in net.neighbours(node)[::-1] if one not in order]
    return order


def _settled(at: Positions, wanted: Positions) -> Positions:
    """Least stress from a beginning, by majorisation; near pairs weigh more."""
    weights = 1 / np.maximum(wanted, 1) ** 2
    np.fill_diagonal(weights, 0)
    solver = np.linalg.pinv(np.diag(weights.sum(axis=1)) - weights)
    for _ in range(_ROUNDS):
        gaps = at[:, None] - at
        lengths = np.maximum(np.hypot(gaps[..., 0], gaps[..., 1]), 1e-9)
        pull = weights * wanted / lengths
        moved = solver @ (pull.sum(axis=1)[:, None] * at - pull @ at)
        if np.abs(moved - at).max() < 1e-7:
            return np.asarray(moved)
        at = moved
    return at


def _stress(at: Positions, wanted: Positions) -> float:
    gaps = at[:, None] - at
    lengths = np.hypot(gaps[..., 0], gaps[..., 1])
    return float((((lengths - wanted) / np.maximum(wanted, 1)) ** 2).sum())


def _turned(at: Positions, net: Network) -> Positions:
    """Turned so that the first node off the middle is at the top, and clockwise of it one with a note raised."""
    at = at - at.mean(axis=0)
    far = np.hypot(at[:, 0], at[:, 1])
    off = np.flatnonzero(far > 0.4 * far.max())
    if not len(off) or not far.max():
        return at
    top = int(off[0])
    sin, cos = at[top] / far[top]
    at = at @ np.array([[-cos, -sin], [sin, -cos]])
    raised = sorted(net.neighbours(top), key=lambda node: (not _is_raised(net, top, node), node))
    beside = [node for node in (*raised, *off.tolist()) if abs(at[node, 0]) > 1e-6]
    return np.asarray(at * [-1, 1]) if beside and at[beside[0], 0] < 0 else at


def _is_raised(net: Network, node: int, other: int) -> bool:
    """Whether the other node comes of the first by one note that goes up a semitone."""
    gone, come = (net.sets[node] - net.sets[other]).pcs, (net.sets[other] - net.sets[node]).pcs
    return len(gone) == len(come) == 1 and (come[0] - gone[0]) % 12 == 1


def _spread(at: Positions, wide: Positions, *, worded: bool) -> Positions:
    """On the scale of the page, wider where the names are long, and pushed apart where frames still touch."""
    room, least = (64, 118) if worded else (30, 72)
    unit = least + len(at) // 2
    at = at * [max(unit, room + float(wide.mean())), unit]
    needed = np.stack([(wide[:, None] + wide) / 2 + 18, np.full((len(at), len(at)), FRAME + 18.0)])
    one, other = np.triu_indices(len(at), 1)
    for _ in range(_ROUNDS):
        gaps = at[one] - at[other]
        short = needed[:, one, other].T - np.abs(gaps)
        touch = np.flatnonzero((short > 1e-6).all(axis=1))
        if not len(touch):
            break
        axis = short[touch].argmin(axis=1)
        push = np.zeros((len(touch), 2))
        rows = np.arange(len(touch))
        push[rows, axis] = short[touch][rows, axis] / 2 * np.where(gaps[touch][rows, axis] < 0, -1, 1)
        np.add.at(at, one[touch], push)
        np.add.at(at, other[touch], -push)
    return at
