"""A drill as one HTML file that opens from disk, sounds, and checks the answers in the page.

The page is that of a lesson (`sonorarium.lesson.forms.webpage`) with one script more. Nothing is fetched, sent or
stored: what a person answers is counted in the page and gone when it is closed. Every exercise is a form that works
from the keyboard alone; what is right is said in words and by a sign, not by colour only, and is read aloud.
"""

from __future__ import annotations

import base64
import hashlib
from collections.abc import Mapping

from markupsafe import Markup

from sonorarium.lesson.assets import asset, environment
from sonorarium.lesson.exercises.drillfigures import drawing_of, question_drawing, question_sound, sound_of
from sonorarium.lesson.exercises.drills import KINDS, Drill
from sonorarium.lesson.exercises.drillsheet import subtitle
from sonorarium.lesson.exercises.exercise import LETTERS, Choice, Exercise
from sonorarium.lesson.forms.webpage import fonts_inside
from sonorarium.render.sound import CAUTION


def drill_page(drill: Drill) -> str:
    """Write a drill as one HTML document.

    Parameters
    ----------
    drill : Drill

    Returns
    -------
    str
        The document, the same for the same drill.
    """
    made = environment()
    made.filters["data"] = lambda raw: base64.b64encode(raw).decode()
    script = asset("page.js") + asset("drillpage.js")
    parts = [
        {"kind": KINDS[section.kind], "items": [_item(number, exercise) for number, exercise in section.numbered]}
        for section in drill.sections
    ]
    return made.get_template("drillpage.html").render(
        drill=drill,
        subtitle=subtitle(drill),
        parts=parts,
        caution=CAUTION if any(e.heard or e.excerpt for _, e in drill.exercises) else "",
        style=Markup(asset("page.css") + asset("drillpage.css")),
        fonts=Markup(fonts_inside()),
        script=Markup(script),
        script_hash=base64.b64encode(hashlib.sha256(script.encode()).digest()).decode(),
    )


def _item(number: int, exercise: Exercise) -> Mapping[str, object]:
    return {
        "number": number,
        "exercise": exercise,
        "drawing": question_drawing(exercise),
        "sound": question_sound(exercise),
        "choices": [_choice(LETTERS[at], choice) for at, choice in enumerate(exercise.choices)],
        "key_drawing": drawing_of(exercise.key_shown) if exercise.key_shown else None,
    }


def _choice(letter: str, choice: Choice) -> Mapping[str, object]:
    return {
        "letter": letter,
        "text": choice.text,
        "why": choice.why,
        "drawing": drawing_of(choice.shown) if choice.shown else None,
        "sound": sound_of(choice.heard) if choice.heard else None,
    }
