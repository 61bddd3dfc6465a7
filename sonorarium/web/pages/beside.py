"""Side by side: several sets, or a family on one root: what they share, whose own is what, and the moves between.

The columns are pitch classes from a chosen note upward, or degrees where each set is taken from its own root, so that
what sets have in common stands in one column. *Only here* speaks of the sets compared and of no others.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Annotated, Literal

import numpy as np
from fastapi import Query, Request, Response
from pydantic import StringConstraints

from sonorarium.errors import InputError
from sonorarium.lesson.roles import signed
from sonorarium.pcs import catalogue, tables
from sonorarium.pcs.commontones import shared
from sonorarium.pcs.families import families
from sonorarium.pcs.family import Family
from sonorarium.pcs.network import Edge, Network, family_network, network
from sonorarium.pcs.spelling import read_note, spell_in
from sonorarium.pcs.subject import Subject
from sonorarium.render.netfigure import MOST_NODES, draw_network
from sonorarium.web.answers import address, answer, wants_json
from sonorarium.web.facts.drawings import strip_of
from sonorarium.web.jobs import JobState
from sonorarium.web.pages.asking import Here, new_router, shown
from sonorarium.web.room import Room
from sonorarium.web.soon import soon

router = new_router("Side by side")

MOST = 16
"""More sets than this do not stand under one another on a page."""

MOST_WORDED = 30
"""So many moves of a network carry their words in the drawing; the list beside it has them in any case."""

DEGREES = ("1", "♭2", "2", "♭3", "3", "4", "♯4", "5", "♭6", "6", "♭7", "7")

Align = Literal["notes", "roots"]
Show = Literal["all", "shared", "own"]
Compared = tuple[tuple[str, Subject], ...]
"""Each set as it was typed, and as it is shown."""


@dataclass(frozen=True)
class RowFacts:
    """One set: as typed, as headed, its class, its notes, and the column of each note, of its root and of its own."""

    text: str
    title: str
    label: str
    notes: list[str]
    columns: list[int]
    root: int | None
    own: list[int]


@dataclass(frozen=True)
class ColumnFacts:
    """One column: what stands over it, its pitch class where columns are notes, and how many sets have it."""

    name: str
    note: str
    holders: int
    in_all: bool


@dataclass(frozen=True)
class ClassFacts:
    """A subset class: how often each set holds it, and in words which do."""

    label: str
    times: list[int]
    where: str
    only_here: bool


@dataclass(frozen=True)
class SizeFacts:
    """The subset classes of one size: how many, how many in every set, and how many each has for itself."""

    size: int
    classes: int
    shared: int
    own: list[int]


@dataclass(frozen=True)
class MoveFacts:
    """A small move from one set to another: the notes that go, the notes that come, and both in words."""

    start: str
    end: str
    kind: str
    leaving: str
    arriving: str
    words: str


@dataclass(frozen=True)
class NetFacts:
    """Sets joined by small moves; groups are sets that hang together; ``capped`` says why none is drawn."""

    nodes: list[str]
    titles: list[str]
    moves: list[MoveFacts]
    groups: list[list[str]]
    capped: str


@dataclass(frozen=True)
class KindFacts:
    """A kind of a family."""

    name: str
    label: str
    members: int


@dataclass(frozen=True)
class FamilyFacts:
    """A family: its rule, its kinds, and how many members it has altogether."""

    name: str
    rule: str
    source: str
    kinds: list[KindFacts]
    members: int


@dataclass(frozen=True)
class Beside:
    """Sets side by side.

    Parameters
    ----------
    rows : list of RowFacts
    columns : list of ColumnFacts
        Twelve of them, or none where there is no set.
    align, reference : str
        What columns are, and the note of the first.
    common : list of list of int
        Notes that every two sets share.
    sizes : list of SizeFacts
    size : int
        The size whose classes are listed; 0 for all.
    show : str
    classes : list of ClassFacts
    network : NetFacts
    family : FamilyFacts or None
    note : str
        What there is to say: too few to compare, or some left out.
    """

    rows: list[RowFacts]
    columns: list[ColumnFacts]
    align: str
    reference: str
    common: list[list[int]]
    sizes: list[SizeFacts]
    size: int
    show: str
    classes: list[ClassFacts]
    network: NetFacts
    family: FamilyFacts | None
    note: str


# --- what is compared ---------------------------------------------------------------------------------------------


def compared_of(texts: Sequence[str], family: Family | None, root: str, room: Room) -> tuple[Compared, str]:
    """The sets asked for, each once, and what is to be said of them; raises `InputError` where there are too many."""
    asked = [text.strip() for text in texts if text.strip()]
    if len(asked) > MOST:
        raise InputError(
            f"{len(asked)} sets do not stand side by side on a page.",
            value=len(asked),
            suggestion=f"Take 2 to {MOST}, or a family.",
        )
    found: dict[str, Subject] = {}
    if family:
        pc = read_note(root).pc
        found = {member.name: member.subject for member in (kind.on(pc) for kind in family.kinds)}
    for text in asked:
        found.setdefault(text, shown(text, room))
        if not found[text].notes:
            raise InputError("The empty set has no notes to be compared.", value=text)
    kept = tuple(found.items())[:MOST]
    left_out = len(found) - len(kept)
    return kept, f"{left_out} more are left out: a page holds {MOST}." if left_out else ""


def family_facts(family: Family) -> FamilyFacts:
    """A family, kind by kind."""
    kinds = [KindFacts(kind.name, kind.label, kind.transpositions) for kind in family.kinds]
    return FamilyFacts(family.name, family.rule, family.source, kinds, len(family))


# --- strips -------------------------------------------------------------------------------------------------------


def rows_of(compared: Compared, first: int, align: Align) -> list[RowFacts]:
    """Each set with the columns of its notes, from a pitch class upward or from its own first note."""
    places = [[(pc - (s.rising[0] if align == "roots" else first)) % 12 for pc in s.rising] for _, s in compared]
    rows = []
    for i, ((text, s), columns) in enumerate(zip(compared, places, strict=True)):
        others = {k for j, other in enumerate(places) if j != i for k in other}
        root = columns[s.notes.index(s.root)] if s.root in s.notes else None
        own = [k for k in columns if k not in others] if len(places) > 1 else []
        rows.append(RowFacts(text, signed(s.title), s.pcset.label, [n.sign for n in s.notes], columns, root, own))
    return rows


def columns_of(compared: Compared, rows: Sequence[RowFacts], first: int, align: Align) -> list[ColumnFacts]:
    """The twelve columns under every name that a set gives the note, or the name nearest to the first set's."""
    found = []
    for k in range(12):
        pc = (first + k) % 12
        nearest = spell_in(compared[0][1].notes, [pc])[0]
        named = dict.fromkeys(note.sign for _, s in compared for note in s.notes if note.pc == pc)
        name = DEGREES[k] if align == "roots" else "/".join(named) or nearest.sign
        holders = sum(k in row.columns for row in rows)
        found.append(ColumnFacts(name, nearest.text, holders, len(rows) > 1 and holders == len(rows)))
    return found


# --- subset classes -----------------------------------------------------------------------------------------------


def classes_of(compared: Compared) -> tuple[list[SizeFacts], dict[int, list[ClassFacts]]]:
    """Every proper subset class that one of the sets holds, by size: totals, and how often each set holds it."""
    counts = catalogue.tni_counts()[[s.pcset.mask for _, s in compared]]
    sizes = tables.size()[catalogue.tni_masks()]
    labels, titles = catalogue.tni_labels(), [signed(s.title) for _, s in compared]
    totals, found = [], {}
    for size in range(2, max(s.pcset.cardinality for _, s in compared)):
        there = np.flatnonzero((sizes == size) & counts.any(axis=0))
        held = counts[:, there] > 0
        alone = held.sum(axis=0) == 1 if len(titles) > 1 else np.zeros(len(there), bool)
        totals.append(SizeFacts(size, len(there), int(held.all(axis=0).sum()), (held & alone).sum(axis=1).tolist()))
        found[size] = [_class(labels[at], counts[:, at].tolist(), titles) for at in there.tolist()]
    return totals, found


def _class(label: str, times: list[int], titles: Sequence[str]) -> ClassFacts:
    holding = [title for title, count in zip(titles, times, strict=True) if count]
    missing = [title for title, count in zip(titles, times, strict=True) if not count]
    if len(titles) > 1 and len(holding) == 1:
        return ClassFacts(label, times, f"only here: {holding[0]}", only_here=True)
    where = "in all" if not missing else f"all but {missing[0]}" if len(missing) == 1 else ", ".join(holding)
    return ClassFacts(label, times, where, only_here=False)


def _listed(found: dict[int, list[ClassFacts]], size: int, show: Show) -> list[ClassFacts]:
    """The classes of a size, or of all sizes, that are to be shown."""
    rows = [one for of_size, ones in found.items() if size in (0, of_size) for one in ones]
    return [
        one
        for one in rows
        if show == "all" or (show == "own" and one.only_here) or (show == "shared" and all(one.times))
    ]


# --- the network --------------------------------------------------------------------------------------------------


def net_of(compared: Compared, *, splits: bool) -> tuple[Network, list[tuple[str, Subject]]]:
    """The sets joined by small moves; of sets with the same notes only the first is a node."""
    nodes = list({s.pcset.mask: (text, s) for text, s in reversed(compared)}.values())[::-1]
    return network([s.pcset for _, s in nodes], names=[signed(s.title) for _, s in nodes], splits=splits), nodes


def net_facts(net: Network, nodes: Sequence[tuple[str, Subject]]) -> NetFacts:
    """A network in words."""
    moves = []
    for edge in net.edges:
        gone, come = _move(edge, nodes)
        verb = {"move": "moves to", "split": "splits into", "fuse": "fuse into"}[edge.kind]
        start, end = (nodes[at][0] for at in (edge.start, edge.end))
        moves.append(MoveFacts(start, end, edge.kind, gone, come, f"{gone} {verb} {come}"))
    groups = [[nodes[at][0] for at in group] for group in net.components]
    capped = ""
    if len(nodes) > MOST_NODES:
        capped = f"{len(nodes)} sets cannot be drawn so that they can be read; their moves are listed."
    return NetFacts([text for text, _ in nodes], [signed(s.title) for _, s in nodes], moves, groups, capped)


def _move(edge: Edge, nodes: Sequence[tuple[str, Subject]]) -> tuple[str, str]:
    """The notes that only the first set has, and those that only the second has, each under its own name."""
    gone = spell_in(nodes[edge.start][1].notes, edge.leaving)
    come = spell_in(nodes[edge.end][1].notes, edge.arriving)
    return " and ".join(note.sign for note in gone), " and ".join(note.sign for note in come)


def drawn(net: Network, nodes: Sequence[tuple[str, Subject]]) -> str:
    """The drawing of a network; empty where there is too much or nothing to draw."""
    if not 2 <= len(nodes) <= MOST_NODES:
        return ""
    worded = {edge: _move(edge, nodes) for edge in net.edges} if len(net.edges) <= MOST_WORDED else None
    words = f"{len(nodes)} sets joined by {len(net.edges)} small moves; the list has them in words"
    return _drawing(net, tuple((worded or {}).items()), words)


@lru_cache(64)
def _drawing(net: Network, worded: tuple[tuple[Edge, tuple[str, str]], ...], words: str) -> str:
    """A network as drawn once in a run: a large one takes most of a second."""
    return draw_network(net, words=dict(worded), description=words)


# --- the page -----------------------------------------------------------------------------------------------------


def beside_of(
    compared: Compared, align: Align, reference: str, size: int | None, show: Show, net: NetFacts
) -> Beside:
    """All facts of the page but those of a family."""
    if not compared:
        return Beside(
            [], [], align, "", [], [], size or 0, show, [], net, None, "Put two sets side by side, or more."
        )
    first = read_note(reference) if reference else compared[0][1].notes[0]
    rows = rows_of(compared, first.pc, align)
    columns = columns_of(compared, rows, first.pc, align)
    masks = np.array([s.pcset.mask for _, s in compared])
    totals, found = classes_of(compared)
    if size is None:
        size = max(2, min(s.pcset.cardinality for _, s in compared) - 2)
    note = "One set alone cannot be compared. Add another." if len(compared) == 1 else ""
    common = shared(masks, masks).tolist()
    classes = _listed(found, size, show)
    return Beside(rows, columns, align, first.text, common, totals, size, show, classes, net, None, note)


@router.get("/beside", response_model=Beside)
def beside(
    request: Request,
    room: Here,
    sets: Annotated[
        list[Annotated[str, StringConstraints(max_length=300)]] | None,
        Query(alias="set", max_length=100, description=f"A set; repeated for each, {MOST} at most."),
    ] = None,
    family: Annotated[str, Query(max_length=60, description="All kinds of a family, by its name.")] = "",
    root: Annotated[str, Query(max_length=8, description="The root that the family's kinds are put on.")] = "C",
    align: Annotated[Align, Query(description="Columns are notes, or degrees from each root.")] = "notes",
    reference: Annotated[str, Query(alias="from", max_length=8, description="The note of the first column.")] = "",
    size: Annotated[int | None, Query(ge=0, le=11, description="Size of the subset classes; 0 for all.")] = None,
    show: Annotated[Show, Query(description="Classes in all sets, of one alone, or all.")] = "all",
    splits: Annotated[bool, Query(description="Join by splits and fuses too.")] = False,
) -> Response:
    """Several sets, or a family on a root, side by side."""
    chosen = room.family(family) if family else None
    compared, left_out = compared_of(sets or (), chosen, root or "C", room)
    net, nodes = net_of(compared, splits=splits)
    facts = beside_of(compared, align, reference, size, show, net_facts(net, nodes))
    if chosen or left_out:
        said = " ".join(part for part in (facts.note, left_out) if part)
        facts = Beside(**(vars(facts) | {"note": said, "family": family_facts(chosen) if chosen else None}))
    asked: dict[str, object] = {
        "set": sets or [],
        "family": family,
        "root": root if family else "",
        "align": align,
        "from": reference,
    }
    asked |= {"size": size, "show": show, "splits": splits}
    strips = {one.label: strip_of(shown(one.label, room)) for one in facts.classes}
    return answer(
        request, "beside.html", facts, asked=asked, strips=strips, drawing=drawn(net, nodes), families=families()
    )


@router.get("/beside/network", response_model=NetFacts)
def family_moves(
    request: Request,
    room: Here,
    family: Annotated[str, Query(max_length=60, description="A family by its name.")] = "",
    splits: Annotated[bool, Query(description="Join by splits and fuses too.")] = False,
) -> Response:
    """The members of a family, joined by small moves."""
    members = room.family(family)
    net = family_network(members, splits=splits)
    nodes = [(member.name, member.subject) for member in members]
    facts = net_facts(net, nodes)
    if wants_json(request):
        return answer(request, "network_part.html", facts)
    here = address(request.url.path, family=family, splits=splits)
    drawing = soon(room, f"Drawing the moves of {members.name}", here, here, lambda _: drawn(net, nodes))
    job = drawing if isinstance(drawing, JobState) else None
    return answer(request, "network_part.html", facts, drawing="" if job else drawing, job=job, again=here)
