"""Building a lesson: from its Markdown file to one HTML page and one PDF.

Everything is computed first; files are written only when the whole lesson could be made, each one whole. Building
twice gives identical files.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from sonorarium.errors import InputError
from sonorarium.files import write_whole
from sonorarium.lesson.blocks import Figure, Made, Table
from sonorarium.lesson.checking import Checked, check_text, refuse_false
from sonorarium.lesson.directives import make
from sonorarium.lesson.markdown import Page, read_page
from sonorarium.lesson.printed import typst_source
from sonorarium.lesson.roles import set_roles
from sonorarium.lesson.webpage import html_page
from sonorarium.render.typesetting import typeset
from sonorarium.study.folder import Study, study_around

FORMS = ("html", "pdf")
"""What a lesson can become."""


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
    return Lesson(path, page, {directive.line: make(directive, home) for directive in page.directives}, checked)


def build_lesson(lesson: Lesson, folder: Path, *, forms: tuple[str, ...] = FORMS, paper: str = "a4") -> list[Path]:
    """Write a lesson into a folder.

    Parameters
    ----------
    lesson : Lesson
    folder : Path
        Made where it is missing.
    forms : tuple of str
        Any of `FORMS`.
    paper : str
        ``a4`` or ``us-letter``.

    Returns
    -------
    list of Path
        The files written, in the order of ``forms``.
    """
    ready: dict[Path, bytes] = {}
    for form in forms:
        place = folder / f"{lesson.path.stem}.{form}"
        ready[place] = html_page(lesson.page, lesson.made).encode() if form == "html" else _pdf(lesson, paper)
    for place, data in ready.items():
        write_whole(place, data)
    return list(ready)


def _pdf(lesson: Lesson, paper: str) -> bytes:
    source, drawings = typst_source(lesson.page, lesson.made, paper=paper)
    return typeset(source, drawings)
