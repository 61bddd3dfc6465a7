"""Comparisons in a lesson: several collections side by side, and which subset classes they share.

Conventions
-----------
* Collections are parted by semicolons, or a family is named and all of its kinds are set on one root.
* Columns of the strips are pitch classes from the first collection's root, so that common tones line up; or degrees,
  each collection from its own root.
* Subset classes are counted under transposition and inversion unless mirrors are kept apart, as everywhere
  (`sonorarium.pcs.sisters`). *Own* to a collection is what none of the others compared here holds; that is no
  statement about scales that were not named.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from sonorarium.errors import InputError
from sonorarium.lesson.illustrations.blocks import Block, Cell, Figure, Made, Table
from sonorarium.lesson.illustrations.sounds import clip_of
from sonorarium.lesson.illustrations.surveys import strip_of
from sonorarium.lesson.markdown import Directive
from sonorarium.lesson.roles import signed
from sonorarium.pcs import catalogue, tables
from sonorarium.pcs.families import find_family
from sonorarium.pcs.setclass import SetClass
from sonorarium.pcs.spelling import read_note, spell_in
from sonorarium.pcs.subject import Subject, subject
from sonorarium.pitch.voicing import close_position
from sonorarium.render.alignment import Row, draw_alignment
from sonorarium.render.performance import in_order
from sonorarium.study.folder import Study

PARTS = ("strips", "classes")
SHOWN = ("all", "shared", "own")
MOST = 12
"""More collections than this do not stand side by side on a page."""

_DEGREES = ("1", "♭2", "2", "♭3", "3", "4", "♯4", "5", "♭6", "6", "♭7", "7")


def make_comparison(directive: Directive, study: Study) -> Made:
    """The compare directive: strips of several collections aligned, and the table of shared and own classes."""
    compared = collections(directive)
    parts = directive.words("parts", ", ".join(PARTS))
    unknown = [part for part in parts if part not in PARTS]
    if unknown:
        raise InputError(
            f"a comparison has no part {unknown[0]!r}.",
            value=unknown[0],
            suggestion=f"Its parts: {', '.join(PARTS)}.",
        )
    blocks: list[Block] = []
    if "strips" in parts:
        blocks.append(strips(compared, directive))
    if "classes" in parts:
        blocks.append(classes(compared, directive))
    return Made(tuple(blocks))


def collections(directive: Directive) -> tuple[Subject, ...]:
    """The collections that a directive names: one by one, or as a family on a root."""
    text = directive.argument
    if ";" in text:
        if "on" in directive.options:
            raise InputError("the option 'on' is for a family; collections have their own roots.", value=text)
        found = tuple(subject(part) for part in text.split(";") if part.strip())
    else:
        root = read_note(directive.options.get("on", "C"))
        found = tuple(kind.on(root.pc).subject for kind in find_family(text).kinds)
    if not 2 <= len(found) <= MOST or not all(one.notes for one in found):
        raise InputError(
            f"{len(found)} collections cannot be compared side by side.",
            value=text,
            suggestion=f"Name 2 to {MOST}, parted by semicolons: D harmonic minor; D double harmonic.",
        )
    return found


# --- strips -------------------------------------------------------------------------------------------------------


def strips(compared: Sequence[Subject], directive: Directive) -> Figure:
    """The strips of the collections under one another."""
    by_roots = directive.choice("align", ("notes", "roots")) == "roots"
    first = compared[0].rising[0]
    rows = [_row(one, one.rising[0] if by_roots else first) for one in compared]
    drawing = draw_alignment(rows, _DEGREES if by_roots else _heads(compared, first))
    clip = None
    if directive.choice("sound", ("no", "yes")) == "yes":
        clip = clip_of(in_order([[pitch] for one in compared for pitch in _up(one)], quarters=0.5))
    words = _in_words(compared, rows, by_roots=by_roots)
    caption = directive.body or f"{_list([signed(one.title) for one in compared])}, {words}"
    shown = "; ".join(row.description for row in rows)
    return Figure(drawing, f"{shown}. {words[:1].upper()}{words[1:]}", caption, clip=clip, width_mm=160.0)


def _row(one: Subject, first: int) -> Row:
    columns = tuple((pc - first) % 12 for pc in one.rising)
    notes = " ".join(note.sign for note in one.notes)
    root = None if one.root is None else (one.root.pc - first) % 12
    return Row(columns, root, one.pcset.label, signed(one.title), f"{signed(one.title)} ({one.pcset.label}): {notes}")


def _heads(compared: Sequence[Subject], first: int) -> list[str]:
    """Names of the columns: every name that a collection gives the note, or the name nearest to the first."""
    heads = []
    for pc in ((first + k) % 12 for k in range(12)):
        names = dict.fromkeys(note.sign for one in compared for note in one.notes if note.pc == pc)
        heads.append("/".join(names) or spell_in(compared[0].notes, [pc])[0].sign)
    return heads


def _in_words(compared: Sequence[Subject], rows: Sequence[Row], *, by_roots: bool) -> str:
    shared = set.intersection(*(set(row.columns) for row in rows))
    if by_roots:
        names = [_DEGREES[k] for k in sorted(shared)]
        return f"each from its own root; degrees of all of them: {', '.join(names) or 'none'}."
    first = compared[0].rising[0]
    notes = [note.sign for note in compared[0].notes if (note.pc - first) % 12 in shared]
    return f"common tones in columns; common to all of them: {', '.join(notes) or 'none'}."


def _up(one: Subject) -> tuple[int, ...]:
    pitches = close_position(one.rising, lowest=57).pitches
    return (*pitches, pitches[0] + 12)


def _list(names: Sequence[str]) -> str:
    return f"{', '.join(names[:-1])} and {names[-1]}" if len(names) > 1 else names[0]


# --- classes ------------------------------------------------------------------------------------------------------


def classes(compared: Sequence[Subject], directive: Directive) -> Table:
    """How often each collection holds each subset class of one size, and whose own it is."""
    least = min(one.pcset.cardinality for one in compared)
    size = directive.number("size", max(2, least - 2), least=2, most=11)
    apart = directive.choice("mirrors", ("together", "apart")) == "apart"
    shown = directive.choice("show", SHOWN)
    masks = catalogue.tn_masks() if apart else catalogue.tni_masks()
    counts = (catalogue.tn_counts() if apart else catalogue.tni_counts())[[one.pcset.mask for one in compared]]
    there = np.flatnonzero((tables.size()[masks] == size) & counts.any(axis=0)).tolist()
    labels = catalogue.tn_labels() if apart else catalogue.tni_labels()
    names = [signed(one.title) for one in compared]
    rows, holders = [], []
    for at in there:
        times = counts[:, at].tolist()
        holders.append(sum(map(bool, times)))
        if shown == "all" or (shown == "own") == (holders[-1] == 1):
            rows.append(_class_row(SetClass(labels[at]), times, names))
    note = _note(names, [counts[:, at].tolist() for at in there], size)
    title = {
        "all": "Subset classes",
        "shared": "Shared subset classes",
        "own": "Subset classes of one alone",
    }[shown]
    heads = ("shape", "class", *names, "where")
    return Table(f"{title} of {size} notes: {_list(names)}", heads, tuple(rows), note)


def _class_row(one: SetClass, times: list[int], names: Sequence[str]) -> tuple[Cell, ...]:
    holding = [name for name, count in zip(names, times, strict=True) if count]
    missing = [name for name in names if name not in holding]
    if len(holding) == 1:
        where = Cell(f"only {holding[0]}", strong=True)
    elif len(missing) > 1:
        where = Cell(_list(holding))
    else:
        where = Cell(f"all but {missing[0]}" if missing else "in all")
    shape = strip_of(one.representative.pcs, f"{one}: {' '.join(map(str, one.representative.pcs))}", root=None)
    return (
        Cell("", svg=shape),
        Cell(str(one), strong=True),
        *(Cell(str(n) if n else "–") for n in times),
        where,
    )


def _note(names: Sequence[str], times: Sequence[list[int]], size: int) -> str:
    """How many classes there are, how many are shared by all, and how many each has for itself."""
    everywhere = sum(all(row) for row in times)
    own = [sum(bool(row[i]) and sum(map(bool, row)) == 1 for row in times) for i in range(len(names))]
    alone = "; ".join(f"{name} alone {count}" for name, count in zip(names, own, strict=True))
    head = f"{len(times)} classes of {size} notes in all, {everywhere} of them in every one; {alone}."
    return f"{head} Figures: how often. Shapes stand in prime form."
