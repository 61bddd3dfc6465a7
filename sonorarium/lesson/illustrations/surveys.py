"""Surveys in a lesson: tables of what a set is, its modes, its insides, its kin; and its strip above theirs."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from sonorarium.errors import InputError
from sonorarium.lesson.illustrations.blocks import Block, Cell, Facts, Figure, Made, Table
from sonorarium.lesson.markdown import Directive
from sonorarium.lesson.roles import signed
from sonorarium.pcs import evenness, symmetry
from sonorarium.pcs.families import default_family, find_family
from sonorarium.pcs.family import Family
from sonorarium.pcs.kin import neighbours
from sonorarium.pcs.modes import shades
from sonorarium.pcs.pcset import step_pattern
from sonorarium.pcs.sisters import SisterRow, sisters
from sonorarium.pcs.spelling import spell_in
from sonorarium.pcs.subject import Subject, subject
from sonorarium.render.strips import Strip, draw_strips
from sonorarium.study.folder import Study

PARTS = ("facts", "modes", "insides", "kin")


def make_survey(directive: Directive, study: Study) -> Made:
    """The survey directive: tables of what a set is and what is inside it."""
    shown = subject(directive.argument)
    parts = directive.words("parts", "facts")
    unknown = [part for part in parts if part not in PARTS]
    if unknown:
        raise InputError(
            f"the survey has no part {unknown[0]!r}.", value=unknown[0], suggestion=f"Its parts: {', '.join(PARTS)}."
        )
    return Made(tuple(block for part in parts for block in _part(part, shown, directive)))


def _part(part: str, shown: Subject, directive: Directive) -> tuple[Block, ...]:
    match part:
        case "facts":
            return (facts(shown),)
        case "modes":
            return (modes(shown),)
        case "kin":
            return (kin_table(shown),)
    sizes = [_size(word) for word in directive.words("size", "")] or None
    family = find_family(directive.options["family"]) if "family" in directive.options else default_family()
    return tuple(insides(shown, family, sizes))


def _size(word: str) -> int:
    if not word.isdecimal() or not 1 <= int(word) <= 12:
        raise InputError(
            f"{word!r} is no number of notes.", value=word, suggestion="Write, for example, ':size: 4, 5'."
        )
    return int(word)


def facts(shown: Subject) -> Facts:
    """What a set is, in a few lines."""
    notes = shown.pcset
    axes = symmetry.axes(notes)
    partner = notes.partner
    even = evenness.evenness(notes)[0]
    items = [
        ("notes", " ".join(note.sign for note in shown.notes)),
        ("steps", "-".join(map(str, step_pattern(shown.rising)))),
        ("class", notes.label),
        ("prime form", "".join("0123456789te"[pc] for pc in notes.prime_form)),
        ("interval classes 1 to 6", " ".join(map(str, notes.interval_vector))),
        ("its own mirror", _axes_in_words(axes, shown) if axes else "no"),
        ("partner", partner.label if partner else "none"),
        ("complement", (~notes).label),
        ("evenness (sum of chords)", f"{even.rank} of {even.classes}" + (", tied" if even.tied > 1 else "")),
    ]
    return Facts(f"{signed(shown.title)} in short", tuple(items))


def _axes_in_words(axes: tuple[tuple[Fraction, Fraction], ...], shown: Subject) -> str:
    names = {note.pc: note.sign for note in spell_in(shown.notes, range(12))}

    def point(at: Fraction) -> str:
        if at.denominator == 1:
            return names[int(at) % 12]
        return f"{names[int(at - Fraction(1, 2)) % 12]}/{names[int(at + Fraction(1, 2)) % 12]}"

    return "yes, around " + "; ".join(f"{point(a)} and {point(b)}" for a, b in axes)


def modes(shown: Subject) -> Table:
    """The modes of a set from the brightest to the darkest."""
    names = {note.pc: note.sign for note in shown.notes}
    rows = tuple(
        (
            Cell("", svg=strip_of(mode.heights, f"{names[mode.tonics[0]]} {mode.name}")),
            Cell(", ".join(names[pc] for pc in mode.tonics), strong=True),
            Cell("-".join(map(str, mode.steps))),
            Cell(str(shade.brightness) + (" (tied)" if shade.is_tied else "")),
            Cell(signed(mode.kind.name) if mode.kind else "no name in the catalogue"),
        )
        for shade in shades(shown.pcset)
        for mode in shade.modes
    )
    title = f"Modes of {signed(shown.title)}, from the brightest to the darkest"
    note = "Brightness: the sum of the notes' heights above the mode's first note, in semitones (common practice)."
    return Table(title, ("shape", "from", "steps", "brightness", "name"), rows, note)


def insides(shown: Subject, family: Family, sizes: list[int] | None) -> Iterator[Table]:
    """One table for each size: classes inside a set, how often, and which sister scales hold them too."""
    table = sisters(shown, family, sizes=sizes)
    for total in table.totals:
        rows = tuple(_inside(row, shown) for row in table.rows if row.set_class.cardinality == total.size)
        note = (
            f"{total.subsets} subsets of {total.classes} classes; {total.only_here} found in no sister. "
            f"Sisters: {family.name}. Shapes stand on the scale's own cells, from {shown.notes[0].sign} upward."
        )
        yield Table(
            f"Inside {signed(shown.title)}: {_NUMBERS[total.size]} notes",
            ("shape", "class", "times", "begins on", "also in"),
            rows,
            note,
        )


_NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")


def _inside(row: SisterRow, shown: Subject) -> tuple[Cell, ...]:
    first = row.inside.places[0]
    heights = tuple(sorted((note.pc - shown.rising[0]) % 12 for note in first.notes))
    words = f"{row.set_class}: {', '.join(note.sign for note in first.notes)}"
    also = Cell("only here", strong=True) if row.only_here else Cell(", ".join(row.also_in))
    return (
        Cell("", svg=strip_of(heights, words, root=None)),
        Cell(str(row.set_class), strong=True),
        Cell(str(row.times)),
        Cell(" ".join(str(degree) for degree in row.inside.degrees)),
        also,
    )


def strip_of(heights: tuple[int, ...], words: str, *, root: int | None = 0) -> str:
    """One strip as a drawing, for a cell of a table."""
    return draw_strips([Strip(heights, root=root, description=words)])


def make_strips(directive: Directive, study: Study) -> Made:
    """The strips directive: a set's strip above the strips of its kin one semitone away."""
    shown = subject(directive.argument)
    drawing = draw_strips(kin_strips(shown), label_width=330)
    words = "; ".join(f"{n.sentence}: {n.label}" for n in neighbours(shown, kinds=("move",)))
    caption = directive.body or f"{signed(shown.title)} and its kin one semitone away."
    return Made((Figure(drawing, f"{signed(shown.title)}; {words}", caption, width_mm=150.0),))


def kin_strips(shown: Subject) -> list[Strip]:
    """The strip of a set, then one for each set that a single semitone move gives, on the same cells."""
    first = shown.rising[0]
    title = signed(shown.title)
    strips = [Strip(shown.heights, label=f"{shown.pcset.label}   {title}", description=title)]
    for near in neighbours(shown, kinds=("move",)):
        left, came = ((note.pc - first) % 12 for note in (near.before[0], near.after[0]))
        name = f", {signed(near.scale)}" if near.scale else ""
        strips.append(
            Strip(
                tuple(sorted((pc - first) % 12 for pc in near.pcset)),
                root=0 if first in near.pcset else None,
                left=left,
                came=came,
                label=f"{near.label}   {near.sentence}{name}",
                description=f"{near.sentence}: {near.label}{name}",
            )
        )
    return strips


def kin_table(shown: Subject) -> Table:
    """Sets one semitone move away, with the moved note."""
    rows = tuple(
        (
            Cell("", svg=draw_strips([strip])),
            Cell(near.label, strong=True),
            Cell(near.sentence),
            Cell(signed(near.scale) or "no name in the catalogue"),
        )
        for strip, near in zip(kin_strips(shown)[1:], neighbours(shown, kinds=("move",)), strict=True)
    )
    return Table(f"Kin of {signed(shown.title)} one semitone away", ("shape", "class", "what moves", "scale"), rows)
