"""A drill on paper: the exercises with room to write, alone or with the key, under the same numbers.

All text goes to Typst as string literals, as in `sonorarium.lesson.forms.printed`, whose page this shares. No
exercise breaks across pages.
"""

from __future__ import annotations

from collections.abc import Iterator

from sonorarium.lesson.assets import asset
from sonorarium.lesson.exercises.drillfigures import drawing_of, empty_staff, question_drawing, question_sound
from sonorarium.lesson.exercises.drills import KINDS, LEVELS, Drill, Section
from sonorarium.lesson.exercises.exercise import LETTERS, Choice, Exercise
from sonorarium.lesson.forms.printed import literal
from sonorarium.render.plate import Engraving
from sonorarium.render.typesetting import typeset

_SHORT, _MIDDLING = 13, 34
"""Signs that a choice may have to stand four, or two, in a row."""

_KEY_SCALE = 0.78
"""Drawings of the key are so much smaller."""

_CHOICE_SCALE = 0.72
_EMPTY_MM = {
    "mode": (("treble",), 120.0),
    "voicing": (("treble", "bass"), 62.0),
    "leading": (("treble", "bass"), 62.0),
}
"""The staves that are left empty for what has to be written, and how wide they are."""


def sheet(drill: Drill, *, key: bool, paper: str = "a4") -> bytes:
    """Set a drill as PDF.

    Parameters
    ----------
    drill : Drill
    key : bool
        Whether the key follows the exercises, on a page of its own.
    paper : str
        ``a4`` or ``us-letter``.

    Returns
    -------
    bytes
        The PDF, the same for the same drill.
    """
    source, drawings = sheet_source(drill, key=key, paper=paper)
    return typeset(source, drawings)


def sheet_source(drill: Drill, *, key: bool, paper: str = "a4") -> tuple[str, dict[str, bytes]]:
    """Write a drill as Typst source, with the drawings it names."""
    writer = _Writer()
    template = "\n".join(map(asset, ("page.typ", "drillsheet.typ")))
    title = f"Drill: {drill.title}"
    under = subtitle(drill) + (" With key." if key else "")
    parts = [
        template,
        f"#show: lesson.with(title: {literal(title)}, subtitle: {literal(under)}, paper: {literal(paper)})",
        *(text for section in drill.sections for text in writer.section(section)),
    ]
    if key:
        parts += [
            "#pagebreak()",
            '#block(below: 1.4em, text(size: 20pt, weight: 500, "Key"))',
            "#columns(2, gutter: 11mm)[",
            *(writer.answer(number, exercise) for number, exercise in drill.exercises),
            "]",
        ]
    return "\n".join(parts), writer.files


def subtitle(drill: Drill) -> str:
    """Level, seed and number of exercises in a line.

    >>> from sonorarium.lesson.exercises.drills import Request, make_drill
    >>> subtitle(make_drill("C major", Request(("mode",), count=3, level=1, seed=4)))
    'Level 1 of 5, seed 4, 3 exercises.'
    """
    count = len(drill.exercises)
    return f"Level {drill.request.level} of {LEVELS}, seed {drill.request.seed}, {count} exercise{'s' * (count > 1)}."


class _Writer:
    """Writes sections and answers, and collects the drawings they name."""

    def __init__(self) -> None:
        self.files: dict[str, bytes] = {}

    def section(self, section: Section) -> Iterator[str]:
        kind = KINDS[section.kind]
        yield f"#part({literal(kind.title)}, {literal(kind.instruction)})"
        for number, exercise in section.numbered:
            yield f'#exercise("{number}", {literal(exercise.prompt)}, [{self.body(exercise)}])'

    def body(self, exercise: Exercise) -> str:
        parts = []
        drawn, sound = question_drawing(exercise), question_sound(exercise)
        if exercise.heard and not exercise.shown and sound:
            parts.append(f"#heard({sound.duration_s:.0f})")
        if drawn and exercise.written:
            return f"#beside({self.picture(drawn)}, {self.room(exercise)})"
        if drawn:
            parts.append(f"#figure({self.drawing(drawn)})")
        if exercise.excerpt:
            parts.append(f"#source({literal(exercise.excerpt.source)})")
        parts.append(self.choices(exercise) if exercise.choices else f"#{self.room(exercise)}")
        return "\n".join(parts)

    def file(self, svg: str) -> str:
        name = f"drawing-{len(self.files) + 1}.svg"
        self.files[name] = svg.encode()
        return literal(name)

    def drawing(self, drawn: Engraving, scale: float = 1.0) -> str:
        """The arguments of a figure."""
        return f"{self.file(drawn.svg)}, {drawn.width_mm * scale:.1f}mm, {literal(drawn.description)}"

    def picture(self, drawn: Engraving) -> str:
        return f"picture({self.drawing(drawn)})"

    def choices(self, exercise: Exercise) -> str:
        longest = max(len(choice.text) for choice in exercise.choices)
        columns = 4 if longest <= _SHORT else 2 if longest <= _MIDDLING else 1
        items = [self.choice(LETTERS[at], choice) for at, choice in enumerate(exercise.choices)]
        return f"#choices({columns}, {', '.join(items)})"

    def choice(self, letter: str, choice: Choice) -> str:
        if not choice.shown:
            return f'choice("{letter}", {literal(choice.text)})'
        drawn = drawing_of(choice.shown)
        picture = f"drawing: {self.file(drawn.svg)}, width: {drawn.width_mm * _CHOICE_SCALE:.1f}mm"
        return f'choice("{letter}", {literal(choice.text)}, {picture}, alt: {literal(drawn.description)})'

    def room(self, exercise: Exercise) -> str:
        """Empty staves to write on."""
        clefs, width = _EMPTY_MM[exercise.kind]
        name = self.file(empty_staff(clefs, width))
        return f'picture({name}, {width:g}mm, "empty staff to write on")'

    def answer(self, number: int, exercise: Exercise) -> str:
        bare = f"{exercise.right_letter}" if exercise.choices else ""
        drawn = ""
        if exercise.key_shown:
            drawn = f"#figure({self.drawing(drawing_of(exercise.key_shown), _KEY_SCALE)})"
        measure = f"difficulty {exercise.difficulty:g}"
        words = f"{literal(bare)}, {literal(exercise.key)}, {literal(measure)}"
        return f'#answer("{number}", {words}, [{drawn}])'
