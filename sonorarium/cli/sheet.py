"""The sheet of a set, printed for a terminal of 80 columns: one function for each chapter, shared by the commands."""

from __future__ import annotations

import textwrap
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from sonorarium.cli.output import console, plain_table, remarks
from sonorarium.errors import InputError

if TYPE_CHECKING:
    from sonorarium.pcs.family import Family
    from sonorarium.pcs.pcset import PcSet
    from sonorarium.pcs.spelling import Spelled
    from sonorarium.pcs.subject import Subject
    from sonorarium.render.sound import Clip
    from sonorarium.settings import Settings

What = Annotated[
    str, typer.Argument(metavar="SET", help="A scale, a chord, notes, numbers, a class: as you type it.")
]
German = Annotated[bool, typer.Option("--german", help="Note names are typed in German: H, B, Es, Fis.")]
ON, OFF = "■", "·"


def strip(heights: tuple[int, ...]) -> str:
    """The strip of a set in letters: twelve cells, filled where it has a note."""
    return "".join(ON if k in heights else OFF for k in range(12))


def shown(what: str, *, german: bool, readable: bool = False) -> Subject:
    """The set that was typed, in the order and spelling in which it is shown."""
    from sonorarium.pcs.spelling import readable as plain
    from sonorarium.pcs.subject import subject

    found = subject(what, german=german)
    return replace(found, notes=plain(found.notes)) if readable else found


def family_named(name: str) -> Family:
    """A family at hand by its name, or the one that a person has written in a TOML file."""
    from sonorarium.pcs.families import find_family, read_family

    if not name.endswith(".toml"):
        return find_family(name)
    try:
        return read_family(Path(name).read_text(encoding="utf-8"))
    except (OSError, UnicodeDecodeError) as error:
        raise InputError(f"The family {name} could not be read: {error}.", value=name) from error


def print_title(s: Subject) -> None:
    """Title, label, strip and notes."""
    notes = " ".join(note.sign for note in s.notes)
    console().print(f"{s.title}   {s.pcset.label}\n{strip(s.heights) if s.notes else ''}   {notes}")


def shown_set(notes: PcSet) -> str:
    """A set by its notes and its label: ``C E G (3-11B)``."""
    from sonorarium.pcs.subject import subject

    return f"{subject(notes).title} ({notes.label})"


def pitch_text(pitches: tuple[int, ...], names: tuple[Spelled, ...]) -> str:
    """Pitches as they are read, by given names where there are any: ``C3 G3 E♭4``."""
    from sonorarium.pcs.spelling import spell_freely, spell_in
    from sonorarium.pitch.movement import note_name

    pcs = tuple(dict.fromkeys(pitch % 12 for pitch in pitches))
    by_pc = {name.pc: name for name in (spell_in(names, pcs) if names else spell_freely(pcs))}
    return " ".join(note_name(pitch, by_pc[pitch % 12], pitched=True) for pitch in pitches)


def say_written(out: Path, clip: Clip | None) -> None:
    """Name a file that was written; where it is sound, with the usual caution."""
    print(out)
    if clip:
        from sonorarium.render.sound import CAUTION

        remarks().print(f"{clip.duration_s:.1f} s, {clip.soundfont}. {CAUTION}")


def print_rows(rows: dict[str, str]) -> None:
    """Terms and what they are for this set."""
    out, width = console(), max(map(len, rows)) + 2
    for term, value in rows.items():
        head, hang = f"  {term:<{width}}", " " * (width + 2)
        out.print(textwrap.fill(value, out.width, initial_indent=head, subsequent_indent=hang), soft_wrap=True)


def _digits(pcs: tuple[int, ...]) -> str:
    return "".join("0123456789te"[pc] for pc in pcs)


def print_identity(s: Subject) -> None:
    """What the set is."""
    from sonorarium.pcs import symmetry
    from sonorarium.pcs.pcset import step_pattern

    p = s.pcset
    forte = "" if p.prime_form == p.prime_form_forte else f" (Forte: {_digits(p.prime_form_forte)})"
    print_rows(
        {
            "steps": "-".join(map(str, step_pattern(s.rising))),
            "normal order": " ".join(map(str, p.normal_order)),
            "prime form": _digits(p.prime_form) + forte,
            "interval classes 1 to 6": " ".join(map(str, p.interval_vector)),
            "onto itself": ", ".join(str(op) for op in symmetry.symmetries(p)[1:]) or "only T0",
            "different forms": str(p.distinct_forms),
            "M5, M7": f"{p.multiplied(5).set_class}, {p.multiplied(7).set_class}",
            "chromatic trichords": str(p.chromatic_trichords),
        }
    )


def print_relatives(s: Subject) -> None:
    """Mirror, complement and partner."""
    from sonorarium.pcs.survey import mirror

    p = s.pcset
    turned: dict[str, Any] = mirror(s)
    scale = f", {turned['scale']}" if turned["scale"] else ""
    print_rows(
        {
            "mirror": f"{turned['label']} ({' '.join(turned['notes'])}){scale}",
            "complement": f"{(~p).label} ({_digits((~p).pcs)})",
            "partner": p.partner.label if p.partner else "none",
        }
    )


def print_character(s: Subject) -> None:
    """How the set is made."""
    from sonorarium.pcs.survey import character

    found: dict[str, Any] = character(s.pcset)
    if not found:
        return
    made = [name.replace("_", " ") for name in ("well_formed", "maximally_even", "myhill", "deep") if found[name]]
    turns = ["-" if c["phase_degrees"] is None else f"{c['phase_degrees']:.0f}°" for c in found["fourier"]]
    print_rows(
        {
            "generated by": ", ".join(map(str, found["generators"])) or "no one interval",
            "properties": ", ".join(made) or "neither well-formed nor maximally even, Myhill or deep",
            "propriety": found["propriety"]["kind"],
            "evenness rank": "; ".join(f"{e['measure']} {e['rank']} of {e['classes']}" for e in found["evenness"]),
            "Fourier magnitudes": " ".join(f"{c['magnitude']:.2f}" for c in found["fourier"]),
            "Fourier phases": " ".join(turns),
            "roughness, closest": f"{found['roughness_closest']:.2f}",
        }
    )


def print_modes(s: Subject) -> None:
    """Modes from the brightest to the darkest."""
    from sonorarium.pcs.modes import shades

    if len(s.notes) < 2:
        return
    names = {note.pc: note.sign for note in s.notes}
    table = plain_table("", "from", "brightness", "name", title="\nModes, from the brightest to the darkest")
    for shade in shades(s.pcset):
        for mode in shade.modes:
            tied = " (tied)" if shade.is_tied else ""
            on = ", ".join(names[pc] for pc in mode.tonics)
            table.add_row(strip(mode.heights), on, f"{shade.brightness}{tied}", mode.name)
    console().print(table)


def print_insides(s: Subject, family: Family, sizes: list[int] | None, *, tn: bool) -> None:
    """Subset classes beside the sister scales."""
    from sonorarium.pcs.sisters import sisters

    if len(s.notes) < 3:
        return
    found = sisters(s, family, sizes=sizes, tn=tn)
    table = plain_table("class", "times", "begins on", "also in", title=f"\nInside; sisters: {family.name}")
    for row in found.rows:
        also = "ONLY HERE" if row.only_here else ", ".join(row.also_in)
        table.add_row(row.set_class.label, str(row.times), " ".join(map(str, row.inside.degrees)), also)
    console().print(table)
    for total in found.totals:
        console().print(f"  {total.size} notes: {total.classes} classes, {total.only_here} only here")


def print_outsides(s: Subject, *, tn: bool) -> None:
    """Classes that hold the set, by size."""
    from sonorarium.pcs.insides import outsides

    if s.pcset.cardinality < 2:
        return
    by_size: dict[int, list[str]] = {}
    for row in outsides(s, tn=tn):
        by_size.setdefault(row.set_class.cardinality, []).append(f"{row.set_class} ({row.times})")
    if not by_size:
        return
    console().print("\nClasses that hold it, with the number of their forms that do")
    for size, labels in by_size.items():
        console().print(f"  {size} notes: {', '.join(labels)}")


def print_holders(s: Subject, family: Family) -> None:
    """Members of the family that hold the set."""
    if not s.notes:
        return
    found = [one for one in family.holdings(s.pcset) if one.times]
    out = console()
    out.print(f"\nHeld by {sum(one.times for one in found)} of the {len(family)} {family.name}")
    for one in found:
        out.print(f"  {one.kind.name}: on {' '.join(root.sign for root in one.roots)}")


def print_neighbours(s: Subject, kinds: tuple[str, ...]) -> None:
    """Sets one small move away."""
    from sonorarium.pcs.kin import neighbours

    if not s.notes:
        return
    first = s.rising[0]
    table = plain_table("", "class", "what happens", "scale", title="\nKin, one small move away")
    for near in neighbours(s, kinds=kinds):
        cells = strip(tuple((pc - first) % 12 for pc in near.pcset))
        table.add_row(cells, near.label, near.sentence, near.scale)
    console().print(table)


def print_names(s: Subject, bass: int | None, chosen: Settings) -> None:
    """What the set may be called, best first, with reasons; nothing for sets too small or too large for chords."""
    from sonorarium.pcs.naming import name_set
    from sonorarium.pcs.survey import typed_names

    if not 3 <= len(s.notes) <= 8:
        return
    found = name_set(s.pcset, bass=bass, pinned=chosen.pinned, style=chosen.chord_style, within=typed_names(s))
    table = plain_table("symbol", "notes in it", "cost", title="\nNames")
    for reading in found.readings:
        members = " ".join(f"{note.sign}={degree}" for note, degree in reading.members)
        table.add_row(reading.chord.symbol_in(chosen.chord_style), members, str(reading.cost))
    out = console()
    out.print(table)
    out.print(found.why)
    rows = {
        "two chords": "; ".join(f"{two.name} ({two.interval})" for two in found.stacked),
        "stacks": "; ".join(stack.name for stack in found.stacks),
        "scales": "; ".join(inside.name for inside in found.scales),
    }
    for term, value in rows.items():
        if value:
            out.print(f"{term}: {value}")
