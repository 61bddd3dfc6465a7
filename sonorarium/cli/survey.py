"""``sonorarium survey``, ``name`` and ``near``: what is known of a set, printed for a terminal of 80 columns."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from sonorarium.cli.output import Json, console, plain_table, print_json
from sonorarium.errors import NothingFoundError

if TYPE_CHECKING:
    from sonorarium.pcs.family import Family
    from sonorarium.pcs.subject import Subject

What = Annotated[
    str, typer.Argument(metavar="SET", help="A scale, a chord, notes, numbers, a class: as you type it.")
]
FamilyName = Annotated[str, typer.Option("--family", "-f", help="The sister scales, by the name of their family.")]
ON, OFF = "■", "·"


def survey_command(
    what: What,
    family: FamilyName = "",
    size: Annotated[list[int] | None, typer.Option(help="Only insides of so many notes; may be repeated.")] = None,
    as_json: Json = False,
) -> None:
    """Everything about a set: what it is, its modes, its insides beside its sisters, its kin and its names."""
    from sonorarium.pcs.subject import subject
    from sonorarium.pcs.survey import survey

    among = _family(family)
    if as_json:
        print_json("survey", survey(what, among, sizes=size))
        return
    shown = subject(what)
    _print_identity(shown)
    _print_character(shown)
    _print_modes(shown)
    _print_insides(shown, among, size)
    _print_neighbours(shown, ("move",))
    _print_names(shown)


def name_command(
    what: What,
    bass: Annotated[str, typer.Option(help="The lowest note.")] = "",
    as_json: Json = False,
) -> None:
    """What a set may be called: chord symbols with reasons, two chords, interval stacks, scales that hold it."""
    from sonorarium.pcs import survey
    from sonorarium.pcs.spelling import read_note
    from sonorarium.pcs.subject import subject

    shown = subject(what)
    lowest = read_note(bass).pc if bass else None
    if as_json:
        print_json(
            "name", {"title": shown.title, "label": shown.pcset.label, **survey.names(shown.pcset, bass=lowest)}
        )
        return
    _print_title(shown)
    _print_names(shown, lowest)


def near_command(
    what: What,
    alike: Annotated[int, typer.Option(help="So many classes that are most like it.")] = 8,
    as_json: Json = False,
) -> None:
    """What lies near a set: one small move away, its complement and partner, and the classes most like it."""
    from sonorarium.pcs import survey
    from sonorarium.pcs.kin import KINDS
    from sonorarium.pcs.similarity import most_alike
    from sonorarium.pcs.subject import subject

    shown = subject(what)
    if as_json:
        found = survey.relations(shown, alike=alike)
        same = survey.identity(shown)
        print_json("near", found | {key: same[key] for key in ("title", "label", "complement", "partner", "mirror")})
        return
    _print_title(shown)
    _print_neighbours(shown, KINDS)
    out = console()
    table = plain_table("class", "semitones", "IcVSIM", "ASIM", "why", title="\nMost alike")
    for one in most_alike(shown, limit=alike):
        numbers = f"{one.icvsim:.2f}", f"{one.asim:.2f}"
        table.add_row(one.set_class.label, str(one.semitones), *numbers, "; ".join(one.reasons))
    out.print(table)


def _family(name: str) -> Family:
    from sonorarium.pcs.families import default_family, find_family

    return find_family(name) if name else default_family()


def strip(heights: tuple[int, ...]) -> str:
    """The strip of a set in letters: twelve cells, filled where it has a note."""
    return "".join(ON if k in heights else OFF for k in range(12))


def _print_title(shown: Subject) -> None:
    notes = " ".join(note.sign for note in shown.notes)
    out = console()
    out.print(f"{shown.title}   {shown.pcset.label}")
    out.print(f"{strip(shown.heights) if shown.notes else ''}   {notes}")


def _digits(pcs: tuple[int, ...]) -> str:
    return "".join("0123456789te"[pc] for pc in pcs)


def _print_identity(shown: Subject) -> None:
    from sonorarium.pcs import symmetry
    from sonorarium.pcs.pcset import step_pattern

    s = shown.pcset
    _print_title(shown)
    forte = "" if s.prime_form == s.prime_form_forte else f" (Forte: {_digits(s.prime_form_forte)})"
    mirror = ", ".join(str(op) for op in symmetry.symmetries(s)[1:]) or "only T0"
    rows = {
        "steps": "-".join(map(str, step_pattern(shown.rising))),
        "normal order": " ".join(map(str, s.normal_order)),
        "prime form": _digits(s.prime_form) + forte,
        "interval classes 1 to 6": " ".join(map(str, s.interval_vector)),
        "onto itself": mirror,
        "different forms": str(s.distinct_forms),
        "partner": s.partner.label if s.partner else "none",
        "complement": f"{(~s).label} ({_digits((~s).pcs)})" if len(s) < 12 else "0-1",
        "M5, M7": f"{s.multiplied(5).set_class.label}, {s.multiplied(7).set_class.label}",
        "chromatic trichords": str(s.chromatic_trichords),
    }
    _print_rows(rows)


def _print_rows(rows: dict[str, str]) -> None:
    width = max(map(len, rows)) + 2
    for term, value in rows.items():
        console().print(f"  {term:<{width}}{value}", soft_wrap=True)


def _print_character(shown: Subject) -> None:
    from sonorarium.pcs.survey import character

    found = character(shown.pcset)
    if not found:
        return
    made = [name.replace("_", " ") for name in ("well_formed", "maximally_even", "myhill", "deep") if found[name]]
    even = [f"{e['measure']} {e['rank']} of {e['classes']}" for e in found["evenness"]]  # type: ignore[attr-defined]
    waves = [f"{c['magnitude']:.2f}" for c in found["fourier"]]  # type: ignore[attr-defined]
    generators = found["generators"]
    rows = {
        "generated by": ", ".join(map(str, generators)) if generators else "no one interval",  # type: ignore[call-overload]
        "properties": ", ".join(made) or "not well-formed, maximally even, Myhill or deep",
        "propriety": str(found["propriety"]["kind"]),  # type: ignore[index]
        "evenness rank": "; ".join(even),
        "Fourier magnitudes": " ".join(waves),
        "roughness, closest": f"{found['roughness_closest']:.2f}",
    }
    _print_rows(rows)


def _print_modes(shown: Subject) -> None:
    from sonorarium.pcs.modes import shades

    if len(shown.notes) < 2:
        return
    names = {note.pc: note.sign for note in shown.notes}
    table = plain_table("", "from", "brightness", "name", title="\nModes, from the brightest to the darkest")
    for shade in shades(shown.pcset):
        for mode in shade.modes:
            tied = " (tied)" if shade.is_tied else ""
            on = ", ".join(names[pc] for pc in mode.tonics)
            table.add_row(strip(mode.heights), on, f"{shade.brightness}{tied}", mode.name)
    console().print(table)


def _print_insides(shown: Subject, family: Family, sizes: list[int] | None) -> None:
    from sonorarium.pcs.sisters import sisters

    if len(shown.notes) < 3:
        return
    found = sisters(shown, family, sizes=sizes)
    table = plain_table(
        "class", "times", "begins on", "also in", title=f"\nInside, beside its sisters ({family.name})"
    )
    for row in found.rows:
        also = "ONLY HERE" if row.only_here else ", ".join(row.also_in)
        degrees = " ".join(map(str, row.inside.degrees))
        table.add_row(row.set_class.label, str(row.times), degrees, also)
    console().print(table)
    for total in found.totals:
        console().print(f"  {total.size} notes: {total.classes} classes, {total.only_here} only here")


def _print_neighbours(shown: Subject, kinds: tuple[str, ...]) -> None:
    from sonorarium.pcs.kin import neighbours

    if not shown.notes:
        return
    first = shown.rising[0]
    table = plain_table("", "class", "what happens", "scale", title="\nKin, one small move away")
    for near in neighbours(shown, kinds=kinds):
        cells = strip(tuple((pc - first) % 12 for pc in near.pcset))
        table.add_row(cells, near.label, near.sentence, near.scale)
    console().print(table)


def _print_names(shown: Subject, bass: int | None = None) -> None:
    from sonorarium.pcs.naming import name_set

    if not 3 <= len(shown.notes) <= 8:
        if bass is not None:
            raise NothingFoundError("Chords are named for 3 to 8 notes.", suggestion="Choose a set of that size.")
        return
    found = name_set(shown.pcset, bass=bass)
    table = plain_table("symbol", "notes in it", "cost", title="\nNames")
    for reading in found.readings:
        members = " ".join(f"{note.sign}={degree}" for note, degree in reading.members)
        table.add_row(reading.symbol, members, str(reading.cost))
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
