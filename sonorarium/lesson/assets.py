"""Templates, style sheets and scripts of what lessons are turned into: one folder, read by name."""

from __future__ import annotations

from pathlib import Path

import jinja2

FOLDER = Path(__file__).with_name("templates")


def asset(name: str) -> str:
    """The text of a file of the folder.

    >>> asset("page.css")[:5], asset("course/course.css")[:7]
    (':root', '.course')
    """
    return (FOLDER / name).read_text(encoding="utf-8")


def environment(folder: str = "", *, lstrip_blocks: bool = False) -> jinja2.Environment:
    """Where templates are found and how they are filled in: what they are given is escaped, what is missing is told.

    Parameters
    ----------
    folder : str
        A folder inside the folder.
    lstrip_blocks : bool
        Whether blanks before a block are left out.
    """
    return jinja2.Environment(
        loader=jinja2.FileSystemLoader(FOLDER / folder),
        autoescape=True,
        undefined=jinja2.StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=lstrip_blocks,
    )
