"""The directives of a lesson: what each is called, what it takes, and the blocks it makes.

One table, `DIRECTIVES`, declares them all; reading, building, the manual and the tests go by it. Each directive is
one plain function from a `Directive` and the study to `Made`. An option that a directive does not declare is refused.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from sonorarium.errors import InputError, SonorariumError
from sonorarium.lesson import drillblocks, drills, excerpts, sheets, sounds, surveys
from sonorarium.lesson.blocks import Made
from sonorarium.lesson.markdown import Directive
from sonorarium.study.folder import Study


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
            "sound",
            "a set, or a piece by its place in the study",
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
