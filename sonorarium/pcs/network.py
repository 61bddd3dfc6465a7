"""Networks of sets joined by small moves: which scales or chords lie next to each other, and by what way.

Moves
-----
* A **move** takes one note by a semitone onto a free place; sizes are equal, one semitone in all. C major and C
  acoustic are joined by F to F♯.
* A **split** takes one note to its two chromatic neighbours, a **fuse** two notes a whole tone apart to the note
  between them; sizes differ by one, two semitones in all (Callender 1998). A whole-tone scale and an acoustic scale
  are so joined.
* A network is drawn once for each pair of nodes: the edge runs from the earlier node to the later, and a fuse is a
  split seen from the other end.

Sources: Clifton Callender, on split and fuse, Journal of Music Theory 42 (1998); Jack Douthett and Peter Steinbach,
Parsimonious graphs, ibid.; Dmitri Tymoczko, Scale networks and Debussy, ibid. 48 (2004); all from memory.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from sonorarium.errors import InputError
from sonorarium.pcs import tables
from sonorarium.pcs.family import Family
from sonorarium.pcs.pcset import PcSet, SetFacts

Edges = NDArray[np.bool_]


@dataclass(frozen=True)
class Edge:
    """One small move between two nodes of a network.

    Parameters
    ----------
    start, end : int
        Places of the nodes in the network, the earlier first.
    kind : str
        ``move``, ``split`` or ``fuse``.
    leaving, arriving : tuple of int
        Pitch classes that only the first node has, and that only the second has.
    """

    start: int
    end: int
    kind: str
    leaving: tuple[int, ...]
    arriving: tuple[int, ...]


@dataclass(frozen=True)
class Network:
    """Sets joined by small moves.

    Parameters
    ----------
    names : tuple of str
        One for each node.
    sets : tuple of PcSet
        The nodes.
    edges : tuple of Edge
        By first node, then by second.

    Examples
    --------
    >>> from sonorarium.pcs.families import default_family
    >>> diatonic = [m for m in default_family() if m.kind.name == "diatonic"]
    >>> ring = network(diatonic, names=[m.name for m in diatonic])
    >>> len(ring.edges), set(ring.degrees), ring.is_connected
    (12, {2}, True)
    >>> [ring.names[i] for i in ring.neighbours(0)]
    ['F diatonic', 'G diatonic']
    """

    names: tuple[str, ...]
    sets: tuple[PcSet, ...]
    edges: tuple[Edge, ...]

    @cached_property
    def _next_to(self) -> tuple[tuple[int, ...], ...]:
        found: list[list[int]] = [[] for _ in self.sets]
        for edge in self.edges:
            found[edge.start].append(edge.end)
            found[edge.end].append(edge.start)
        return tuple(tuple(sorted(row)) for row in found)

    def neighbours(self, node: int) -> tuple[int, ...]:
        """Places of the nodes next to a node; raises `InputError` where there is no such node."""
        self._known(node)
        return self._next_to[node]

    @property
    def degrees(self) -> tuple[int, ...]:
        """How many neighbours each node has."""
        return tuple(map(len, self._next_to))

    def node(self, of: SetFacts) -> int:
        """Place of a set among the nodes; raises `InputError` where it is none."""
        for i, pcset in enumerate(self.sets):
            if pcset.mask == of.mask:
                return i
        raise InputError(f"{of} is not in the network.", value=of, suggestion=f"It has {len(self.sets)} nodes.")

    def steps_from(self, node: int) -> tuple[int | None, ...]:
        """Fewest moves from a node to every node, None where there is no way.

        Raises `InputError` where there is no such node.
        """
        self._known(node)
        found: dict[int, int] = {node: 0}
        queue = [node]
        for at in queue:
            for to in self._next_to[at]:
                if to not in found:
                    found[to] = found[at] + 1
                    queue.append(to)
        return tuple(found.get(i) for i in range(len(self.sets)))

    def path(self, start: int, end: int) -> tuple[int, ...]:
        """Nodes along a shortest way, both ends included; empty where there is none.

        Of several shortest ways the one through the earliest nodes; raises `InputError` where there is no such node.

        >>> triads = [PcSet((n, (n + third) % 12, (n + 7) % 12)) for n in range(12) for third in (3, 4)]
        >>> net = network(triads)
        >>> [net.names[i] for i in net.path(net.node(PcSet((0, 4, 7))), net.node(PcSet((8, 0, 3))))]
        ['0 4 7', '0 3 7', '0 3 8']
        """
        left = self.steps_from(end)
        self._known(start)
        if left[start] is None:
            return ()
        way = [start]
        while way[-1] != end:
            here = left[way[-1]] or 0
            way.append(next(to for to in self._next_to[way[-1]] if left[to] == here - 1))
        return tuple(way)

    @property
    def components(self) -> tuple[tuple[int, ...], ...]:
        """Nodes that hang together, group by group."""
        groups: dict[int, tuple[int, ...]] = {}
        for node in range(len(self.sets)):
            if not any(node in group for group in groups.values()):
                steps = self.steps_from(node)
                groups[node] = tuple(i for i, step in enumerate(steps) if step is not None)
        return tuple(groups.values())

    @property
    def is_connected(self) -> bool:
        """Whether there is a way between any two nodes."""
        return len(self.components) == 1

    def _known(self, node: int) -> None:
        if not 0 <= node < len(self.sets):
            raise InputError(
                f"There is no node {node}.",
                value=node,
                suggestion=f"Nodes run from 0 to {len(self.sets) - 1}.",
            )


def network(nodes: Iterable[SetFacts], *, names: Sequence[str] = (), splits: bool = False) -> Network:
    """Join sets that lie one small move apart.

    Parameters
    ----------
    nodes : iterable of PcSet, Collection or Member
        Different sets.
    names : sequence of str, optional
        One for each; the pitch classes otherwise.
    splits : bool
        Join by splits and fuses too.

    Raises
    ------
    InputError
        Where a set is given twice, or the names are not as many as the sets.

    Examples
    --------
    >>> cube = network([PcSet((0, 4, 7)), PcSet((0, 4, 8)), PcSet((0, 3, 7))])
    >>> [(cube.names[e.start], cube.names[e.end], e.leaving, e.arriving) for e in cube.edges]
    [('0 4 7', '0 4 8', (7,), (8,)), ('0 4 7', '0 3 7', (4,), (3,))]
    """
    sets = tuple(node.pcset for node in nodes)
    if len(set(sets)) < len(sets):
        raise InputError("A network holds each set once.", value=sets, suggestion="Leave out the repeats.")
    if names and len(names) != len(sets):
        raise InputError(f"There are {len(sets)} sets and {len(names)} names.", value=tuple(names))
    shown = tuple(names) or tuple(" ".join(map(str, s.pcs)) for s in sets)
    masks = np.array([s.mask for s in sets], np.int64)
    joined = [("move", moves_between(masks))]
    if splits:
        split = splits_between(masks)
        joined += [("split", split), ("fuse", split.T)]
    edges = [_edge(kind, i, j, sets) for kind, table in joined for i, j in np.argwhere(np.triu(table)).tolist()]
    return Network(shown, sets, tuple(sorted(edges, key=lambda e: (e.start, e.end))))


def family_network(family: Family, *, splits: bool = False) -> Network:
    """The members of a family, joined by moves of one semitone.

    >>> from sonorarium.pcs.families import default_family
    >>> len(family_network(default_family()).edges), len(family_network(default_family(), splits=True).edges)
    (96, 120)
    """
    return network(family, names=[member.name for member in family], splits=splits)


def moves_between(masks: NDArray[np.int64]) -> Edges:
    """Whether one note moved by a semitone leads from set i to set j: shape (n, n), symmetrical."""
    differ = masks[:, None] ^ masks
    semitone = np.isin(differ, tables.transposed()[:, 0b11])
    out: Edges = semitone & (tables.size()[masks][:, None] == tables.size()[masks])
    return out


def splits_between(masks: NDArray[np.int64]) -> Edges:
    """Whether set j comes of set i when one note goes to both of its chromatic neighbours: shape (n, n)."""
    differ = masks[:, None] ^ masks
    out = np.zeros(differ.shape, bool)
    for pc in range(12):
        around = int(tables.transposed()[pc, 0b101])
        middle = 1 << (pc + 1) % 12
        out |= (differ == around | middle) & (masks[:, None] & (around | middle) == middle)
    return out


def _edge(kind: str, i: int, j: int, sets: tuple[PcSet, ...]) -> Edge:
    return Edge(i, j, kind, (sets[i] - sets[j]).pcs, (sets[j] - sets[i]).pcs)
