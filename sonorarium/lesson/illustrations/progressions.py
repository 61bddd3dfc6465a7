"""Voicings and progressions in a lesson, engraved and heard.

A voicing directive asks `sonorarium.pitch.voicings` and shows the best, or sets what was typed with octaves as it
stands. A progression is realised by `sonorarium.pitch.progression`; what stands over the chords is what was typed,
what stands under them is their class.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from sonorarium.errors import InputError
from sonorarium.lesson.illustrations.blocks import Block, Cell, Figure, Made, Table
from sonorarium.lesson.illustrations.examples import sheet_of_columns
from sonorarium.lesson.illustrations.sheets import STAFF_MM, engraved
from sonorarium.lesson.illustrations.sounds import clip_of
from sonorarium.lesson.markdown import Directive
from sonorarium.lesson.roles import signed
from sonorarium.pcs.chordsymbol import Chord
from sonorarium.pcs.reading import read_set
from sonorarium.pcs.spelling import Spelled, spell_freely, spell_in
from sonorarium.pcs.subject import subject
from sonorarium.pitch.candidates import Compass
from sonorarium.pitch.progression import ROOM, read_progression, realise
from sonorarium.pitch.realising import Realisation
from sonorarium.pitch.terms import Terms, place_of
from sonorarium.pitch.voiced import Voiced
from sonorarium.pitch.voicing import Voicing, written
from sonorarium.pitch.voicings import voicings
from sonorarium.render.engraving import Column, Engraving, engrave_notes
from sonorarium.render.notation import choose_staves
from sonorarium.render.performance import TEMPO_QPM, in_order
from sonorarium.render.sound import Clip
from sonorarium.study.folder import Study

LINE_MM = 165.0
"""A line of music wider than this goes on a second line."""

# --- voicings -----------------------------------------------------------------------------------------------------


def make_voicing(directive: Directive, study: Study) -> Made:
    """The voicing directive: the best voicings of a set, or one that was typed with octaves."""
    shown = subject(directive.argument)
    if shown.pitches:
        _refuse(directive, ("count", "low", "high", "bass", "top", "kinds", "order", "notes"))
        columns = [Column(written(shown.pitches, shown.notes), _class_below(directive, shown.pcset.label))]
        return Made((_figure(directive, columns, [shown.pitches], f"{signed(shown.title)}."),))
    low, high = (_pitch(directive, end, usual) for end, usual in (("low", "C2"), ("high", "C6")))
    count = directive.number("count", 3, least=1, most=12)
    found = voicings(directive.argument, low=low, high=high, limit=count, terms=_terms(directive))
    columns = [
        Column(one.written, str(i) if len(found) > 1 else _class_below(directive, shown.pcset.label))
        for i, one in enumerate(found, 1)
    ]
    told = f"{found.total:,} ways to set it, {found.kept:,} within the limits; shown: {len(found)}."
    figure = _figure(directive, columns, [one.pitches for one in found], f"Voicings of {signed(shown.title)}. {told}")
    table = (_table(found.found, signed(shown.title)),) if directive.choice("table", ("no", "yes")) == "yes" else ()
    return Made((figure, *table))


def _refuse(directive: Directive, options: Sequence[str]) -> None:
    for option in options:
        if option in directive.options:
            raise InputError(
                f"the option {option!r} is for sets; notes with octaves stay as they are.",
                value=directive.options[option],
            )


def _class_below(directive: Directive, label: str) -> str:
    return label if directive.choice("below", ("none", "class")) == "class" else ""


def _pitch(directive: Directive, option: str, usual: str) -> int:
    pitch = place_of(directive.options.get(option, usual))[1]
    if pitch is None:
        raise InputError(
            f"the option {option!r} needs a note with its octave.",
            value=directive.options[option],
            suggestion="Write, for example, C3.",
        )
    return pitch


def _terms(directive: Directive) -> Terms:
    notes = directive.number("notes", 0, least=1, most=10) if "notes" in directive.options else None
    return Terms(
        notes=notes,
        bass=directive.options.get("bass"),
        top=directive.options.get("top"),
        kinds=directive.words("kinds", ""),
        order=directive.words("order", "smooth, even"),
    )


def _table(found: Sequence[Voiced], title: str) -> Table:
    rows = tuple(
        (
            Cell(str(i), strong=True),
            Cell(one.text),
            Cell(f"{one.figures.span}"),
            Cell(f"{one.figures.roughness:.2f}"),
            Cell(f"{one.figures.unevenness:.2f}"),
            Cell(", ".join(one.kinds) or "–"),
        )
        for i, one in enumerate(found, 1)
    )
    note = "Span in semitones; roughness by Sethares (1993); unevenness: deviation of the distances, in semitones."
    return Table(f"Voicings of {title}", ("", "notes", "span", "roughness", "unevenness", "spacing"), rows, note)


# --- progressions -------------------------------------------------------------------------------------------------


def make_progression(directive: Directive, study: Study) -> Made:
    """The progression directive: a line of chords in its smoothest voicings."""
    line = read_progression(directive.argument)
    voices = directive.number("voices", 0, least=1, most=10) if "voices" in directive.options else None
    room = Compass(_pitch(directive, "low", "C3"), _pitch(directive, "high", "G5"), gap=ROOM.gap)
    found = realise(line, voices=voices, compass=room, limit=1)
    best = found[0]
    names = _names(best)
    columns = [
        Column(written(one.pitches, named), *_labels(directive, typed, one))
        for typed, one, named in zip(line, best.voicings, names, strict=True)
    ]
    titles = [_title(typed) for typed in line]
    words = f"{', '.join(titles)}; the voices move {best.movement} semitones in all."
    blocks: list[Block] = list(_lines(directive, columns, best.voicings, f"{words[:1].upper()}{words[1:]}"))
    if directive.choice("moves", ("no", "yes")) == "yes":
        blocks.append(_moves(titles, best))
    cut = f"{found.left_out} candidate voicings were not weighed: there were too many" if found.left_out else ""
    return Made(tuple(blocks), (cut,) if cut else ())


def _names(best: Realisation) -> list[tuple[Spelled, ...]]:
    """A name for every note of every chord; where none was typed, freely spelled."""
    named = best.names or ((),) * len(best.voicings)
    return [
        spell_in(names or spell_freely(one.pcset.pcs), one.pcset.pcs)
        for names, one in zip(named, best.voicings, strict=True)
    ]


def _title(typed: str) -> str:
    """What stands over a chord: a symbol as it is printed, else what was typed, set right."""
    meant = read_set(typed)
    return meant.sign() if isinstance(meant, Chord) else signed(subject(typed).title)


def _labels(directive: Directive, typed: str, one: Voicing) -> tuple[str, str]:
    """Under and over a chord."""
    shown = directive.choice("labels", ("both", "names", "classes", "none"))
    below = one.pcset.label if shown in ("both", "classes") else ""
    return below, _title(typed) if shown in ("both", "names") else ""


def _lines(directive: Directive, columns: Sequence[Column], heard: Sequence[Voicing], words: str) -> list[Figure]:
    """The line as one figure, or as several, on the same staves, where it is longer than the page is wide."""
    clefs, sounding = choose_staves(columns), [one.pitches for one in heard]
    whole = engraved(columns, staff_mm=STAFF_MM)
    last = _placed(directive, whole, columns, sounding, words)
    if whole.width_mm <= LINE_MM:
        return [last]
    lines = int(whole.width_mm // LINE_MM) + 1
    cuts = [round(i * len(columns) / lines) for i in range(lines + 1)]
    drawn = [engrave_notes(columns[a:b], clefs=clefs, staff_mm=STAFF_MM) for a, b in pairwise(cuts)]
    first = [
        Figure(one.svg, one.description, f"Line {i} of {lines}.", width_mm=one.width_mm)
        for i, one in enumerate(drawn[:-1], 1)
    ]
    return [*first, replace(last, svg=drawn[-1].svg, width_mm=drawn[-1].width_mm)]


def _moves(titles: Sequence[str], best: Realisation) -> Table:
    """What each voice does in each step, the highest first."""
    rows = []
    for i, leading in enumerate(best.leadings):
        told = "; ".join(move.text for move in reversed(leading.moves))
        common = len(leading.common_tones)
        step = f"{titles[i]} → {titles[i + 1]}"
        rows.append((Cell(step, strong=True), Cell(f"{leading.size:g}"), Cell(str(common)), Cell(told)))
    heads = ("step", "semitones", "common tones", "voices, the highest first")
    return Table("How the voices move", heads, tuple(rows))


# --- common -------------------------------------------------------------------------------------------------------


def _figure(directive: Directive, columns: Sequence[Column], heard: Sequence[tuple[int, ...]], words: str) -> Figure:
    return _placed(directive, engraved(columns, staff_mm=STAFF_MM), columns, heard, words)


def _placed(
    directive: Directive,
    drawing: Engraving,
    columns: Sequence[Column],
    heard: Sequence[tuple[int, ...]],
    words: str,
) -> Figure:
    """A figure with its sound, and its music for notation software."""
    description = f"{words} {drawing.description}."
    clip, sheet = _clip(directive, heard), sheet_of_columns(columns, signed(directive.argument))
    caption = directive.body or words
    return Figure(drawing.svg, description, caption, clip=clip, width_mm=drawing.width_mm, example=sheet)


def _clip(directive: Directive, heard: Sequence[tuple[int, ...]]) -> Clip | None:
    if directive.choice("sound", ("yes", "no")) == "no":
        return None
    tempo = float(directive.number("tempo", round(TEMPO_QPM), least=20, most=300))
    return clip_of(in_order(heard, quarters=4 if len(heard) == 1 else 2, tempo_qpm=tempo))
