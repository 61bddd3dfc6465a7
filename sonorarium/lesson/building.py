"""Building a lesson: from its Markdown file to a page, a handout, slides, figures, clips, examples and captions.

Everything is computed first; files are written only when the whole lesson could be made, each one whole. Building
twice gives identical files.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path

from sonorarium.errors import InputError
from sonorarium.files import write_whole
from sonorarium.lesson.checks.checking import Checked, check_text, refuse_false
from sonorarium.lesson.directives import make
from sonorarium.lesson.forms.exports import captions, clip_files, example_files, figure_files, labelled
from sonorarium.lesson.forms.printed import typst_source
from sonorarium.lesson.forms.slides import slides_html, slides_typst
from sonorarium.lesson.forms.theme import USUAL, Theme
from sonorarium.lesson.forms.webpage import html_page
from sonorarium.lesson.illustrations.blocks import Figure, Made, Table
from sonorarium.lesson.markdown import Page, read_page
from sonorarium.lesson.roles import set_roles
from sonorarium.render.typesetting import typeset
from sonorarium.study.folder import Study, study_around

USUAL_FORMS = ("html", "pdf")
"""What a lesson becomes where nothing else is asked for."""


@dataclass(frozen=True)
class Choices:
    """How the forms of a lesson are made.

    Parameters
    ----------
    paper : str
        Of the handout: ``a4`` or ``us-letter``.
    theme : Theme
    picture_px : int
        Width of PNG pictures, 1 to 3840 pixels.
    ground : str
        Of pictures: ``transparent`` or ``paper``.
    sound : str
        Of clips: ``opus`` or ``wav``.
    """

    paper: str = "a4"
    theme: Theme = USUAL
    picture_px: int = 1920
    ground: str = "transparent"
    sound: str = "opus"


@dataclass(frozen=True)
class Lesson:
    """A lesson with everything made that its directives ask for.

    Parameters
    ----------
    path : Path
        Its Markdown file.
    page : Page
    made : mapping of int to Made
        What each directive became, by its line.
    checked : tuple of Checked
        Every statement of its text.
    """

    path: Path
    page: Page
    made: Mapping[int, Made]
    checked: tuple[Checked, ...] = ()

    @property
    def remarks(self) -> tuple[str, ...]:
        """What was cut or guessed, and what is not proved, with its line."""
        cut = [(line, remark) for line, made in self.made.items() for remark in made.remarks]
        unproved = [(one.line, one.sentence) for one in self.checked if one.standing != "true"]
        return tuple(f"line {line}: {remark}" for line, remark in sorted((*cut, *unproved), key=lambda one: one[0]))

    def count(self) -> dict[str, int]:
        """How many figures, tables and sounds the lesson has."""
        blocks = [block for made in self.made.values() for block in made.blocks]
        figures = [block for block in blocks if isinstance(block, Figure)]
        return {
            "figures": sum(bool(f.svg) for f in figures),
            "sounds": sum(f.clip is not None for f in figures),
            "tables": sum(isinstance(block, Table) for block in blocks),
        }


def read_lesson(path: Path, study: Study | None = None, *, allow_false: bool = False) -> Lesson:
    """Read a lesson and make all that its directives ask for.

    Parameters
    ----------
    path : Path
        A Markdown file.
    study : Study, optional
        Where its pieces are; by default the study that the file lies in.
    allow_false : bool
        Make the lesson although it states something false; it is then remarked on.

    Raises
    ------
    ClaimError
        Where a statement of the text is false; the sentence names the line and what is true.
    InputError
        Where the file cannot be read, or a directive is not understood; the sentence names the line.
    """
    try:
        text = path.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as error:
        reason = error.strerror if isinstance(error, OSError) else "it is not UTF-8 text"
        raise InputError(f"The lesson {path} could not be read: {reason}.", value=path) from error
    page = set_roles(read_page(text))
    home = study or study_around(path)
    checked = check_text(text, home)
    if not allow_false:
        refuse_false(checked)
    made = {directive.line: make(directive, home) for directive in page.directives}
    return Lesson(path, page, labelled(page.directives, made), checked)


def build_lesson(
    lesson: Lesson,
    folder: Path,
    *,
    forms: tuple[str, ...] = USUAL_FORMS,
    paper: str = "a4",
    choices: Choices | None = None,
) -> list[Path]:
    """Write a lesson into a folder.

    Parameters
    ----------
    lesson : Lesson
    folder : Path
        Made where it is missing.
    forms : tuple of str
        Any of `FORMS`.
    paper : str
        ``a4`` or ``us-letter``; for more than this, ``choices``.
    choices : Choices, optional
        All that can be chosen; ``paper`` then counts for nothing and may not be given besides.

    Returns
    -------
    list of Path
        The files written, in the order of ``forms``. Files of an earlier build are never removed.

    Raises
    ------
    InputError
        Where there is no such form, a choice cannot be met, or the folder cannot be written to.
    """
    if choices and paper != "a4":
        raise InputError("The paper is told twice.", value=paper, suggestion="Tell it among the choices alone.")
    if unknown := [form for form in forms if form not in FORMS]:
        raise InputError(
            f"A lesson has no form {unknown[0]!r}.", value=unknown[0], suggestion=f"It has {', '.join(FORMS)}."
        )
    chosen = choices or Choices(paper)
    ready: dict[Path, bytes] = {}
    for form in forms:
        made = _MAKERS[form](lesson, chosen)
        ready |= {folder / f"{lesson.path.stem}{name}": data for name, data in made.items()}
    for place, data in ready.items():
        write_whole(place, data)
    return list(ready)


def _html(lesson: Lesson, choices: Choices) -> dict[str, bytes]:
    return {".html": html_page(lesson.page, lesson.made, theme=choices.theme).encode()}


def _pdf(lesson: Lesson, choices: Choices) -> dict[str, bytes]:
    source, drawings = typst_source(lesson.page, lesson.made, paper=choices.paper, theme=choices.theme)
    return {".pdf": typeset(source, drawings)}


def _slides(lesson: Lesson, choices: Choices) -> dict[str, bytes]:
    source, drawings = slides_typst(lesson.page, lesson.made, theme=choices.theme)
    page = slides_html(lesson.page, lesson.made, theme=choices.theme)
    return {"-slides.html": page.encode(), "-slides.pdf": typeset(source, drawings)}


def _figures(lesson: Lesson, choices: Choices) -> dict[str, bytes]:
    files = figure_files(lesson.made, choices.theme.colours, width_px=choices.picture_px, ground=choices.ground)
    return {f"-figures/{name}": data for name, data in files.items()}


def _clips(lesson: Lesson, choices: Choices) -> dict[str, bytes]:
    return {f"-clips/{name}": data for name, data in clip_files(lesson.made, sound=choices.sound).items()}


def _examples(lesson: Lesson, choices: Choices) -> dict[str, bytes]:
    return {f"-musicxml/{name}": data for name, data in example_files(lesson.made).items()}


def _captions(lesson: Lesson, choices: Choices) -> dict[str, bytes]:
    return {"-captions.txt": captions(lesson.made).encode()}


_MAKERS: Mapping[str, Callable[[Lesson, Choices], dict[str, bytes]]] = {
    "html": _html,
    "pdf": _pdf,
    "slides": _slides,
    "figures": _figures,
    "clips": _clips,
    "musicxml": _examples,
    "captions": _captions,
}
"""From each form to its maker; a file's name follows the lesson's."""

FORMS = tuple(_MAKERS)
"""What a lesson can become."""
