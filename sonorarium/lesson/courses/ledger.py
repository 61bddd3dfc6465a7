"""The ledger of a course: which sets each lesson covers, and what a new scale would bring that is new.

Nothing is written down by hand: the ledger is read off the lessons' own directives and roles.

Conventions
-----------
* A set is **shown** where a lesson engraves it, lets it be heard, searches a score for it, names it under a role or
  makes a statement on it. It is **listed** where it only stands in a row of a table or figure: the subset classes of
  a survey's insides, the kin of strips.
* A class is **held** where it lies in a collection that was shown, without having been shown or listed itself: who
  knows the collection has met it, but nobody has pointed it out.
* Classes are counted under transposition and inversion, of three notes or more, as in `sonorarium.pcs.sisters`;
  collections under transposition alone, so that the harmonic minor and the harmonic major are two.
* Lessons count in the order of their names.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from sonorarium.errors import InputError
from sonorarium.lesson.checks.labels import stated_labels
from sonorarium.lesson.markdown import Directive, Page, read_page
from sonorarium.lesson.roles import named
from sonorarium.pcs import catalogue, tables
from sonorarium.pcs.collection import Collection
from sonorarium.pcs.insides import Source, settle
from sonorarium.pcs.kin import neighbours
from sonorarium.pcs.pcset import PcSet, SetFacts
from sonorarium.pcs.reading import read_set
from sonorarium.pcs.setclass import SetClass
from sonorarium.pcs.subject import Subject, subject
from sonorarium.study.folder import SCORE_SUFFIXES, Study

Depth = Literal["shown", "listed", "held", "new"]
"""How well a class is known, best first."""

LEAST = 3
"""Classes of fewer notes are in nearly every scale, and are not counted."""

_SET_OPTIONS = ("set", "sets", "with", "from", "to")
_KIN = ("strips", "network")


@dataclass(frozen=True)
class Meeting:
    """One place in a lesson where a set is met.

    Parameters
    ----------
    lesson : str
        The lesson's place in the study.
    line : int
        Line of its file.
    title : str
        The set, as it is headed.
    pcset : PcSet
        For a class, its best-packed form.
    way : str
        Name of the directive or role.
    depth : {"shown", "listed"}
    collection : bool
        Whether it is a scale on a root.
    piece : str
        The piece that was searched for it, by its place in the study, or empty.
    root : int or None
        Pitch class of its root, where it has one.
    """

    lesson: str
    line: int
    title: str
    pcset: PcSet
    way: str
    depth: Depth
    collection: bool = False
    piece: str = ""
    root: int | None = None

    @property
    def set_class(self) -> SetClass:
        """Its class under transposition and inversion."""
        return self.pcset.set_class


@dataclass(frozen=True)
class Entry:
    """One lesson.

    Parameters
    ----------
    lesson : str
        Its place in the study.
    title : str
        From its head, else its file's name.
    meetings : tuple of Meeting
        In the order of the text.
    pieces : tuple of (str, int)
        Pieces that it uses, by their place in the study, with the line.
    """

    lesson: str
    title: str
    meetings: tuple[Meeting, ...]
    pieces: tuple[tuple[str, int], ...]

    @property
    def collections(self) -> tuple[Meeting, ...]:
        """The scales that it shows, each kind once, as first met."""
        return _first_of_each_kind(self.meetings)

    def classes(self, *depths: Depth) -> tuple[SetClass, ...]:
        """The classes that it shows or lists, in catalogue order."""
        wanted = depths or ("shown", "listed")
        return tuple(sorted({m.set_class for m in self.meetings if m.depth in wanted and _counts(m.pcset)}))


@dataclass(frozen=True)
class Ledger:
    """What a course covers.

    Parameters
    ----------
    entries : tuple of Entry
        In the order of the lessons.
    """

    entries: tuple[Entry, ...]

    @cached_property
    def meetings(self) -> tuple[Meeting, ...]:
        """Every meeting of the course, in order."""
        return tuple(meeting for entry in self.entries for meeting in entry.meetings)

    @cached_property
    def by_class(self) -> dict[SetClass, tuple[Meeting, ...]]:
        """Meetings by class, in catalogue order; within a class, in the order of the course."""
        found: dict[SetClass, list[Meeting]] = {}
        for meeting in self.meetings:
            found.setdefault(meeting.set_class, []).append(meeting)
        return {one: tuple(found[one]) for one in sorted(found)}

    @cached_property
    def collections(self) -> tuple[Meeting, ...]:
        """Every kind of scale that is shown, where it is first met."""
        return _first_of_each_kind(self.meetings)

    def before(self, lesson: str) -> Ledger:
        """The ledger of the lessons before one; raises `InputError` where the course has no such lesson."""
        names = [entry.lesson for entry in self.entries]
        if lesson not in names:
            raise InputError(
                f"The course has no lesson {lesson}.", value=lesson, suggestion=f"It has: {', '.join(names)}."
            )
        return Ledger(self.entries[: names.index(lesson)])

    def known(self, set_class: SetClass) -> tuple[Depth, tuple[str, ...]]:
        """How well a class is known, and from which lessons (for one that is held: in which collections).

        A class under transposition alone is looked up as the class that it is half of.
        """
        met = self.by_class.get(set_class.tni, ())
        depths: tuple[Depth, ...] = ("shown", "listed")
        for depth in depths:
            if where := tuple(dict.fromkeys(m.lesson for m in met if m.depth == depth)):
                return depth, where
        held = [m for m in self.collections if set_class.tni.count_in(m.pcset)]
        return ("held", tuple(f"{m.title} ({m.lesson})" for m in held)) if held else ("new", ())

    def overlap(self) -> tuple[tuple[int, ...], ...]:
        """How many classes each two lessons both show or list; on the diagonal, how many each does."""
        classes = [set(entry.classes()) for entry in self.entries]
        return tuple(tuple(len(one & other) for other in classes) for one in classes)


# --- reading lessons ----------------------------------------------------------------------------------------------


def read_ledger(study: Study) -> Ledger:
    """Read the ledger off the lessons of a study.

    Raises
    ------
    InputError
        Where a lesson cannot be read; the sentence names it.
    """
    return Ledger(tuple(read_entry(path, study) for path in study.lessons()))


def read_entry(path: Path, study: Study) -> Entry:
    """Read what one lesson covers; raises `InputError`, with its name, where it cannot be read."""
    name = path.resolve().relative_to(study.folder).as_posix()
    try:
        page = read_page(path.read_text(encoding="utf-8"))
    except (OSError, UnicodeDecodeError) as error:
        raise InputError(f"The lesson {name} could not be read: {error}.", value=path) from error
    except InputError as error:
        error.sentence = f"{name}: {error.sentence}"
        raise
    met = sorted((*_directives(page, name), *_roles(page, name)), key=lambda meeting: meeting.line)
    pieces = ((d.argument, d.line) for d in page.directives if _is_piece(d.argument))
    return Entry(name, page.head.get("title", path.stem), tuple(met), tuple(pieces))


def _directives(page: Page, lesson: str) -> Iterator[Meeting]:
    for directive in page.directives:
        piece = directive.argument if _is_piece(directive.argument) else ""
        for text in _texts(directive, piece):
            shown = _settled(text)
            if shown is None:
                continue
            where = lesson, directive.line
            yield _met(where, shown, directive.name, "shown", piece=piece, scale=_is_collection(text))
            for title, pcset in _listed(directive, shown):
                yield Meeting(*where, title, pcset, directive.name, "listed")


def _is_piece(argument: str) -> bool:
    return argument.lower().endswith(SCORE_SUFFIXES)


def _texts(directive: Directive, piece: str) -> Iterator[str]:
    """Texts of a directive that may name sets: its argument, or where it names several, each of them."""
    given = [] if piece else [directive.argument]
    given += [directive.options[option] for option in _SET_OPTIONS if option in directive.options]
    for text in given:
        whole = _settled(text) is not None
        yield from [text] if whole else filter(None, map(str.strip, re.split(r"[;,|]|->", text)))


def _settled(text: str) -> Subject | None:
    """What is meant, or None for a text that is no set: some directives take other things."""
    try:
        found = subject(text)
    except InputError:
        return None
    return found if found.notes else None


def _is_collection(text: str) -> bool:
    return isinstance(read_set(text), Collection)


def _met(
    where: tuple[str, int], shown: Subject, way: str, depth: Depth, *, piece: str = "", scale: bool = False
) -> Meeting:
    root = shown.root.pc if shown.root else None
    return Meeting(*where, shown.title, shown.pcset, way, depth, scale, piece, root)


def _listed(directive: Directive, shown: Subject) -> Iterator[tuple[str, PcSet]]:
    """Sets that stand in rows of what a directive makes."""
    parts = directive.words("parts", "facts") if directive.name == "survey" else ()
    if "insides" in parts:
        sizes = [int(size) for size in directive.words("size", "") if size.isdecimal()]
        for one in classes_in(shown.pcset, sizes or range(2, shown.pcset.cardinality)):
            yield one.label, one.representative
    if "kin" in parts or (directive.name in _KIN and ";" not in directive.argument):
        for near in neighbours(shown, kinds=("move",)):
            yield near.scale or near.label, near.pcset


def _roles(page: Page, lesson: str) -> Iterator[Meeting]:
    for token in page.tokens:
        line = token.map[0] + 1 if token.map else 0
        for child in token.children or ():
            if child.type != "myst_role":
                continue
            way = str(child.meta["name"])
            whole = named(child.content)
            texts = [whole] if _settled(whole) else [typed for typed, _ in stated_labels(child.content)]
            for text in texts:
                shown = _settled(text)
                if shown is not None:
                    yield _met((lesson, line), shown, way, "shown", scale=_is_collection(text))


# --- what is new --------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Newness:
    """One subset class of a new scale, held against the ledger.

    Parameters
    ----------
    set_class : SetClass
    times : int
        How often the scale holds it.
    depth : {"shown", "listed", "held", "new"}
        How well it is known.
    where : tuple of str
        Lessons in which it was met; for a class that is held, the collections with their lessons.
    """

    set_class: SetClass
    times: int
    depth: Depth
    where: tuple[str, ...]


def newness(source: Source, ledger: Ledger, *, sizes: Iterable[int] | None = None) -> tuple[Newness, ...]:
    """Which subset classes of a scale are new after a course, which were met before, and where.

    Parameters
    ----------
    source : str, PcSet, SetClass, Collection or Subject
        The new scale.
    ledger : Ledger
        Of the lessons that come before it.
    sizes : iterable of int, optional
        Numbers of notes; by default 3 to one less than the scale has.

    Returns
    -------
    tuple of Newness
        In catalogue order.

    Raises
    ------
    InputError
        Where the scale is not understood.

    Examples
    --------
    >>> rows = newness("D double harmonic", Ledger(()), sizes=[5])
    >>> len(rows), {row.depth for row in rows}
    (12, {'new'})
    """
    scale = settle(source).pcset
    wanted = range(LEAST, scale.cardinality) if sizes is None else sizes
    return tuple(Newness(one, one.count_in(scale), *ledger.known(one)) for one in classes_in(scale, wanted))


def classes_in(notes: SetFacts, sizes: Iterable[int]) -> tuple[SetClass, ...]:
    """The TnI classes of some sizes that lie in a set, in catalogue order.

    >>> [str(one) for one in classes_in(PcSet((0, 4, 7, 11)), [3])]
    ['3-4', '3-11']
    """
    at = np.flatnonzero(held_classes(notes, sizes)).tolist()
    return tuple(SetClass(catalogue.tni_labels()[i]) for i in at)


def held_classes(notes: SetFacts, sizes: Iterable[int], *, tn: bool = False) -> NDArray[np.bool_]:
    """Which TnI classes (or Tn classes) of some sizes lie in a set: shape (classes,)."""
    masks = catalogue.tn_masks() if tn else catalogue.tni_masks()
    counts = catalogue.tn_counts() if tn else catalogue.tni_counts()
    held: NDArray[np.bool_] = (counts[notes.mask] > 0) & np.isin(tables.size()[masks], list(sizes))
    return held


def _first_of_each_kind(meetings: Iterable[Meeting]) -> tuple[Meeting, ...]:
    found: dict[str, Meeting] = {}
    for meeting in meetings:
        if meeting.collection:
            found.setdefault(meeting.pcset.label, meeting)
    return tuple(found.values())


def _counts(pcset: PcSet) -> bool:
    return pcset.cardinality >= LEAST
