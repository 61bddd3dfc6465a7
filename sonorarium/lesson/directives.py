"""The directives of a lesson: what each is called, what it takes, and the blocks it makes.

One table, `DIRECTIVES`, declares them all; reading, building, the manual and the tests go by it. Each directive is
one plain function from a `Directive` and the study to `Made`. An option that a directive does not declare is refused.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from sonorarium.errors import InputError, SonorariumError
from sonorarium.lesson.exercises import drillblocks, drills
from sonorarium.lesson.illustrations import (
    comparisons,
    excerpts,
    figures,
    progressions,
    readings,
    sheets,
    sounds,
    surveys,
)
from sonorarium.lesson.illustrations.blocks import Made
from sonorarium.lesson.markdown import Directive
from sonorarium.pitch import spacing
from sonorarium.pitch.terms import ORDERS
from sonorarium.study.folder import Study

_ORDERS = tuple(order for order in ORDERS if order not in ("near", "alike"))  # these need a model


@dataclass(frozen=True)
class Kind:
    """One kind of directive.

    Parameters
    ----------
    name : str
    argument : str
        What stands after the name, in words.
    help : str
        What the directive shows, in one sentence.
    options : mapping of str to str
        Each option and what it means.
    make : callable
        From the directive and the study to what it becomes.
    """

    name: str
    argument: str
    help: str
    options: Mapping[str, str]
    make: Callable[[Directive, Study], Made]


DIRECTIVES: Mapping[str, Kind] = {
    kind.name: kind
    for kind in (
        Kind(
            "scale",
            "a set, as it may be typed anywhere",
            "Engraves a scale or set as a row of notes, with its sound.",
            {
                "below": "degrees (default), names, or none: what stands under the notes",
                "sound": "yes (default) or no",
            },
            sheets.make_scale,
        ),
        Kind(
            "chord",
            "a set, as it may be typed anywhere",
            "Engraves a set as a chord in close position, with its sound.",
            {"sound": "yes (default) or no"},
            sheets.make_chord,
        ),
        Kind(
            "survey",
            "a set, as it may be typed anywhere",
            "Tables of what a set is and what is inside it.",
            {
                "parts": "any of facts, modes, insides, kin, separated by commas (default facts)",
                "size": "for insides: the numbers of notes, separated by commas (default all)",
                "family": "for insides: the sister scales (default the scales without consecutive semitones)",
            },
            surveys.make_survey,
        ),
        Kind(
            "strips",
            "a set, as it may be typed anywhere",
            "The strip of a set above the strips of its kin one semitone away.",
            {},
            surveys.make_strips,
        ),
        Kind(
            "compare",
            "collections parted by semicolons, or a family by name",
            "Strips of several collections, aligned on common tones, and the subset classes that they share or own.",
            {
                "parts": "strips, classes, or both (default)",
                "align": "notes (default): common tones in columns; roots: each collection from its own root",
                "on": "for a family: the root of all its kinds (default C)",
                "size": "number of notes of the subset classes (default two fewer than the smallest has)",
                "show": "all (default); shared: classes that two or more hold; own: classes of one alone",
                "mirrors": "together (default) or apart: how a class and its mirror count",
                "sound": "no (default) or yes: the collections one after another",
            },
            comparisons.make_comparison,
        ),
        Kind(
            "circle",
            "one set or several, parted by semicolons",
            "Sets on the circle of semitones or of fifths.",
            {
                "order": "semitones (default) or fifths",
                "with": "a second set, drawn into the first: a chord in a scale, say",
                "axes": "no (default) or yes: axes of symmetry",
                "sound": "no (default), scale, chord or arpeggio: of the first set",
            },
            figures.make_circle,
        ),
        Kind(
            "keyboard",
            "a set; notes with octaves stay where they are",
            "A set or voicing on piano keys.",
            {
                "names": "notes (default) or degrees: what stands at the keys",
                "octaves": "1 (default), 2 or 3",
                "with": "a second set, ringed",
                "sound": "no (default), scale, chord or arpeggio",
            },
            figures.make_keyboard,
        ),
        Kind(
            "lattice",
            "a set, as it may be typed anywhere",
            "A set in the net of fifths and thirds, in which triads are triangles.",
            {"with": "a second set, ringed", "sound": "no (default), scale, chord or arpeggio"},
            figures.make_lattice,
        ),
        Kind(
            "network",
            "sets parted by semicolons; or one set, for it and its kin; or a family by name",
            "Sets joined by moves of one semitone, and a way through them.",
            {
                "kinds": "for a family: which of its kinds, separated by commas (default all)",
                "splits": "no (default) or yes: join by splits and fuses too",
                "labels": "names (default) or classes: what stands in the frames",
                "moves": "yes or no: whether each line says which note moves (default yes up to 30 lines)",
                "from": "a set of the network: where a way begins",
                "to": "where it ends; the way with the fewest moves is marked",
                "sound": "no (default) or yes: the sets along the way as chords",
            },
            figures.make_network,
        ),
        Kind(
            "voicing",
            "a set; notes with octaves stay as they are",
            "Engraves the best voicings of a set within limits, with their sound.",
            {
                "count": "how many (default 3)",
                "low": "lowest pitch (default C2)",
                "high": "highest pitch (default C6)",
                "bass": "the lowest note: a name, or a pitch with its octave",
                "top": "the highest note",
                "notes": "how many notes; more than the set has mean doublings",
                "kinds": f"kinds of spacing, separated by commas: {', '.join(spacing.KINDS)}",
                "order": f"what ranks, separated by commas (default smooth, even): {', '.join(_ORDERS)}",
                "below": "none (default) or class: what stands under a single chord",
                "table": "no (default) or yes: notes and figures of each",
                "sound": "yes (default) or no",
                "tempo": "quarters a minute (default 84)",
            },
            progressions.make_voicing,
        ),
        Kind(
            "progression",
            "a line of chords, parted by semicolons, arrows, bar lines or spaces",
            "Engraves a line of chords in its smoothest voicings, with its sound.",
            {
                "voices": "how many voices sound (default as many as the largest chord has notes)",
                "low": "lowest pitch (default C3)",
                "high": "highest pitch (default G5)",
                "labels": "both (default), names (above), classes (below) or none",
                "moves": "no (default) or yes: a table of how the voices move",
                "sound": "yes (default) or no",
                "tempo": "quarters a minute (default 84)",
            },
            progressions.make_progression,
        ),
        Kind(
            "passage",
            "a piece, by its place in the study",
            "Engraves a passage from a score with the notes of a set marked, with its sound and its source.",
            {
                "set": "the set searched for; its notes are marked",
                "kind": "chord, line or texture (default texture)",
                "rank": "which of the passages found, 1 for the best (default 1)",
                "bars": "show these printed bars, for example 9-12 (default: the bars of the passage)",
                "sound": "yes (default) or no",
            },
            excerpts.make_passage,
        ),
        Kind(
            "trace",
            "a piece, by its place in the study",
            "The ribbon of a piece: the collections that it goes through, bar by bar.",
            {
                "family": "the collections (default the scales without consecutive semitones)",
                "bars": "show what touches these printed bars, for example 9-12 (default the whole piece)",
                "parts": "read only these parts, by printed name, separated by commas",
                "lowest": "the note of the lowest row (default C)",
                "table": "no (default) or yes: what is read where, and what comes next",
                "sound": "no (default) or yes: the bars as written",
            },
            readings.make_trace,
        ),
        Kind(
            "landscape",
            "a piece, by its place in the study",
            "Every segment of a piece at every length: by collection, or by its likeness to a set.",
            {
                "set": "a set or class: show how like each segment is to it",
                "family": "show the member of this family (default the scales without consecutive semitones)",
                "parts": "read only these parts, by printed name, separated by commas",
                "sound": "no (default) or yes: the piece as written",
            },
            readings.make_landscape,
        ),
        Kind(
            "sound",
            "a set, a line of chords, or a piece by its place in the study",
            "A sound alone.",
            {
                "as": "for a set: scale (default), chord or arpeggio",
                "bars": "for a piece: printed bars, for example 9-12 (default: the whole piece)",
                "tempo": "quarters a minute (default 84)",
            },
            sounds.make_sound,
        ),
        Kind(
            "drill",
            "a set of 3 to 9 notes",
            "Seeded exercises on a set, numbered, with their sounds, and a key in the same numbers.",
            {
                "kinds": f"any of {', '.join(drills.KINDS)}, separated by commas (default all)",
                "count": "how many exercises in all (default one of each kind)",
                "level": "1, the easiest, to 5 (default 2)",
                "seed": "a whole number; the same seed gives the same exercises (default 1)",
                "key": "yes (default) or no: whether the key follows",
            },
            drillblocks.make_drill_blocks,
        ),
    )
}
"""Every directive, by name."""


def make(directive: Directive, study: Study) -> Made:
    """Make one directive.

    Raises
    ------
    SonorariumError
        Whatever the directive raises, with the line of the lesson before the sentence; `InputError` where there is no
        such directive, or it has no such option.
    """
    try:
        return _declared(directive).make(directive, study)
    except SonorariumError as error:
        error.sentence = f"Line {directive.line}: {error.sentence}"
        raise


def _declared(directive: Directive) -> Kind:
    kind = DIRECTIVES.get(directive.name)
    if kind is None:
        raise InputError(
            f"there is no directive {directive.name!r}.",
            value=directive.name,
            suggestion=f"There are: {', '.join(DIRECTIVES)}.",
        )
    unknown = sorted(set(directive.options) - set(kind.options))
    if unknown:
        known = ", ".join(kind.options) or "none"
        raise InputError(
            f"the directive {directive.name!r} has no option {unknown[0]!r}.",
            value=unknown[0],
            suggestion=f"Its options are: {known}.",
        )
    if not directive.argument:
        raise InputError(
            f"the directive {directive.name!r} needs {kind.argument} after its name.", value=directive.name
        )
    return kind
