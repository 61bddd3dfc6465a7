"""Figures of sets in a lesson, as a textbook draws them: circle, keyboard, lattice and network.

A second set (``with``), a chord in a scale say, is drawn into the first. The description of each figure says in words
all that is drawn: the notes, the root, the second set, axes of symmetry, every move of a network.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from sonorarium.errors import InputError, NothingFoundError
from sonorarium.lesson.illustrations.blocks import Figure, Made
from sonorarium.lesson.illustrations.sounds import clip_of
from sonorarium.lesson.markdown import Directive
from sonorarium.lesson.roles import signed
from sonorarium.pcs import symmetry
from sonorarium.pcs.families import find_family
from sonorarium.pcs.kin import neighbours
from sonorarium.pcs.network import Edge, Network, network
from sonorarium.pcs.spelling import Spelled, spell_in
from sonorarium.pcs.subject import Subject, degree_name, subject
from sonorarium.pitch.progression import realise
from sonorarium.pitch.voicing import close_position, usual_voicing
from sonorarium.render.circle import Round, draw_circles
from sonorarium.render.hearing import WAYS, hear_set
from sonorarium.render.keyboard import Keys, draw_keyboard, on_keys
from sonorarium.render.lattice import Net, draw_lattice
from sonorarium.render.netfigure import draw_network
from sonorarium.render.pen import natural_mm
from sonorarium.render.performance import in_order
from sonorarium.render.sound import Clip
from sonorarium.study.folder import Study

MOST_CIRCLES = 9
MOST_WORDED = 30
"""So many moves of a network carry their words where nothing else is asked for."""


def make_circle(directive: Directive, study: Study) -> Made:
    """The circle directive: sets on the circle of semitones or of fifths."""
    order = directive.choice("order", ("semitones", "fifths"))
    with_axes = directive.choice("axes", ("no", "yes")) == "yes"
    shown = _several(directive.argument, MOST_CIRCLES)
    other = _second(directive)
    rounds = []
    for one in shown:
        axes = symmetry.axes(one.pcset) if with_axes else ()
        told = f"; {len(axes)} axes of symmetry" if with_axes and len(axes) != 1 else "; 1 axis of symmetry"
        words = _words(one, other) + (told if with_axes else "")
        title = signed(one.title) if len(shown) > 1 else ""
        rounds.append(Round(one.notes, one.root, other.notes if other else (), axes, title, words))
    drawing = draw_circles(rounds, order="fifths" if order == "fifths" else "semitones")
    words = f"On the circle of {order}: {'; '.join(one.description for one in rounds)}"
    caption = directive.body or f"{_titles(shown, other)} on the circle of {order}."
    return Made((Figure(drawing, words, caption, clip=_clip(directive, shown[0]), width_mm=natural_mm(drawing)),))


def make_keyboard(directive: Directive, study: Study) -> Made:
    """The keyboard directive: a set or voicing on piano keys."""
    shown, other = subject(directive.argument), _second(directive)
    octaves = directive.number("octaves", 1, least=1, most=3)
    if shown.pitches and "octaves" in directive.options:
        raise InputError("the option 'octaves' is for sets; notes with octaves stay where they are.")
    pitches = _on_keyboard(shown, octaves)
    others = _beside(other, pitches) if other else ()
    by_degree = directive.choice("names", ("notes", "degrees")) == "degrees"
    names = {note.pc: note for note in (*(other.notes if other else ()), *shown.notes)}
    texts = {pc: degree_name(note, shown.notes[0]) if by_degree else note.sign for pc, note in names.items()}
    sounding = sorted({*pitches, *others})
    words = f"On the keyboard: {_words(shown, other)}"
    root = shown.root.pc if shown.root else None
    keys = Keys(pitches, on_keys(sounding, [texts[p % 12] for p in sounding]), root, others, words)
    drawing = draw_keyboard(keys)
    caption = directive.body or f"{_titles([shown], other)} on the keyboard."
    return Made((Figure(drawing, words, caption, clip=_clip(directive, shown), width_mm=natural_mm(drawing)),))


def _on_keyboard(shown: Subject, octaves: int) -> tuple[int, ...]:
    """Pitches of a set on a keyboard: as typed, else from its first note through so many octaves."""
    if shown.pitches:
        return shown.pitches
    low = usual_voicing(shown).pitches
    scale = len(low) > 4 or octaves > 1
    run = tuple(pitch + 12 * k for k in range(octaves) for pitch in low)
    return (*run, low[0] + 12 * octaves) if scale else run


def _beside(other: Subject, pitches: Sequence[int]) -> tuple[int, ...]:
    """A second set: as typed, else from its first note that the keyboard has."""
    if other.pitches:
        return other.pitches
    lowest = pitches[0]
    return close_position(other.rising, lowest=lowest).pitches


def make_lattice(directive: Directive, study: Study) -> Made:
    """The lattice directive: a set in the net of fifths and thirds."""
    shown, other = subject(directive.argument), _second(directive)
    words = f"In the net of fifths and thirds: {_words(shown, other)}"
    drawing = draw_lattice(Net(shown.notes, shown.root, other.notes if other else (), words))
    way = "To the right a fifth, up to the right a major third, down to the right a minor third."
    caption = directive.body or f"{_titles([shown], other)} in the net of fifths and thirds. {way}"
    return Made((Figure(drawing, words, caption, clip=_clip(directive, shown), width_mm=natural_mm(drawing)),))


def _several(text: str, most: int) -> tuple[Subject, ...]:
    found = tuple(subject(part.strip()) for part in text.split(";") if part.strip())
    if not 1 <= len(found) <= most:
        raise InputError(f"{len(found)} sets cannot be drawn here.", value=text, suggestion=f"Name 1 to {most}.")
    return found


def _second(directive: Directive) -> Subject | None:
    return subject(directive.options["with"]) if "with" in directive.options else None


def _titles(shown: Sequence[Subject], other: Subject | None) -> str:
    names = [signed(one.title) for one in shown]
    whole = f"{', '.join(names[:-1])} and {names[-1]}" if len(names) > 1 else names[0]
    return f"{whole} with {signed(other.title)}" if other else whole


def _words(one: Subject, other: Subject | None) -> str:
    root = f", root {one.root.sign}" if one.root else ""
    notes = f"{signed(one.title)} ({one.pcset.label}): {_notes(one.notes)}{root}"
    return f"{notes}; with {signed(other.title)}: {_notes(other.notes)}" if other else notes


def _notes(notes: Iterable[Spelled]) -> str:
    return ", ".join(note.sign for note in notes)


def _clip(directive: Directive, shown: Subject) -> Clip | None:
    way = directive.choice("sound", ("no", *WAYS))
    return None if way == "no" else clip_of(hear_set(shown, way))


# --- networks -----------------------------------------------------------------------------------------------------


def make_network(directive: Directive, study: Study) -> Made:
    """The network directive: sets joined by moves of one semitone, and a way through them."""
    nodes, middle = _nodes(directive)
    splits = directive.choice("splits", ("no", "yes")) == "yes"
    names = _labels(directive, nodes)
    net = network([node.pcset for node in nodes], names=names, splits=splits)
    way = _way(directive, net)
    usual = "yes" if len(net.edges) <= MOST_WORDED else "no"
    said = directive.choice("moves", (usual, "no" if usual == "yes" else "yes")) == "yes"
    moves = {edge: _move(edge, nodes) for edge in net.edges}
    words = _net_words(net, moves, way)
    drawing = draw_network(net, words=moves if said else None, way=way, middle=middle, description=words)
    clip = _way_clip(directive, nodes, way)
    caption = directive.body or _caption(net, way)
    return Made((Figure(drawing, words, caption, clip=clip, width_mm=natural_mm(drawing)),))


def _nodes(directive: Directive) -> tuple[tuple[Subject, ...], int | None]:
    """Sets parted by semicolons, the members of a family, or one set and its kin."""
    text = directive.argument
    if ";" in text:
        return _several(text, 64), None
    if "kinds" in directive.options or not _reads(text):
        family = find_family(text)
        wanted = directive.words("kinds", "") or tuple(kind.name for kind in family.kinds)
        kinds = [family.kind(name) for name in wanted]
        return tuple(member.subject for member in family if member.kind in kinds), None
    shown = subject(text)
    kin = (Subject(near.scale or near.label, near.pcset, near.notes) for near in neighbours(shown, kinds=("move",)))
    return (shown, *kin), 0


def _reads(text: str) -> bool:
    try:
        return bool(subject(text).notes)
    except InputError:
        return False


def _labels(directive: Directive, nodes: Sequence[Subject]) -> list[str]:
    names = [signed(node.title) for node in nodes]
    if directive.choice("labels", ("names", "classes")) == "names":
        return names
    return [node.pcset.label for node in nodes]


def _move(edge: Edge, nodes: Sequence[Subject]) -> tuple[str, str]:
    """The notes that only the first set has, and those that only the second has, each under its own name."""

    def named(pcs: Iterable[int], one: Subject) -> str:
        return " ".join(note.sign for note in spell_in(one.notes, pcs))

    return named(edge.leaving, nodes[edge.start]), named(edge.arriving, nodes[edge.end])


def _way(directive: Directive, net: Network) -> tuple[int, ...]:
    """The shortest way between two sets of the network, where one is asked for."""
    ends = [directive.options[end] for end in ("from", "to") if end in directive.options]
    if not ends:
        return ()
    if len(ends) == 1:
        raise InputError("a way needs both 'from' and 'to'.", value=ends[0])
    start, end = (net.node(subject(text).pcset) for text in ends)
    way = net.path(start, end)
    if not way:
        raise NothingFoundError(
            f"no way leads from {ends[0]} to {ends[1]} in this network.",
            value=ends,
            suggestion="Add the sets between them, or allow splits.",
        )
    return way


def _way_clip(directive: Directive, nodes: Sequence[Subject], way: Sequence[int]) -> Clip | None:
    """The sets along the way as chords, in their smoothest voicings."""
    if directive.choice("sound", ("no", "yes")) == "no":
        return None
    if not way:
        raise InputError("a network sounds along a way: give 'from' and 'to'.", value=directive.argument)
    sizes = {nodes[node].pcset.cardinality for node in way}
    if len(sizes) > 1 or max(sizes) > 7:
        heard = [close_position(nodes[node].rising).pitches for node in way]
    else:
        heard = [one.pitches for one in realise([nodes[node].pcset for node in way], limit=1)[0].voicings]
    return clip_of(in_order(heard))


def _net_words(net: Network, moves: dict[Edge, tuple[str, str]], way: Sequence[int]) -> str:
    kinds = {"move": "becomes", "split": "splits into", "fuse": "fuse into"}
    told = [
        f"{net.names[edge.start]} to {net.names[edge.end]}: {gone} {kinds[edge.kind]} {come}"
        for edge, (gone, come) in moves.items()
    ]
    alone = [net.names[i] for i, degree in enumerate(net.degrees) if not degree]
    lone = f" Without a neighbour here: {', '.join(alone)}." if alone else ""
    along = f" Marked way: {', '.join(net.names[node] for node in way)}." if way else ""
    joined = "1 move" if len(told) == 1 else f"{len(told)} moves"
    every = f" {'; '.join(told)}." if told else ""
    return f"{len(net.sets)} sets joined by {joined}.{every}{lone}{along}"


def _caption(net: Network, way: Sequence[int]) -> str:
    broken = "; broken lines: splits and fuses" if any(edge.kind != "move" for edge in net.edges) else ""
    along = f" The way from {net.names[way[0]]} to {net.names[way[-1]]} is marked." if way else ""
    return f"{len(net.sets)} sets; lines join those that one semitone parts{broken}.{along}"
