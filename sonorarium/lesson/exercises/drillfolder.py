"""A drill as files: the sheet, the sheet with its key, the page and plain data, under one numbering."""

from __future__ import annotations

import json
from pathlib import Path

from sonorarium.errors import InputError
from sonorarium.files import write_whole
from sonorarium.lesson.exercises.drillpage import drill_page
from sonorarium.lesson.exercises.drills import Drill, as_data
from sonorarium.lesson.exercises.drillsheet import sheet

FORMS = ("pdf", "html", "json")
"""What a drill can become; ``pdf`` is two files, without and with the key."""


def write_drill(
    drill: Drill, folder: Path, *, name: str = "drill", forms: tuple[str, ...] = FORMS, paper: str = "a4"
) -> list[Path]:
    """Write a drill into a folder.

    Everything is made first; files are written only when all could be made, each one whole.

    Parameters
    ----------
    drill : Drill
    folder : Path
        Made where it is missing.
    name : str
        The files are called ``drill.pdf``, ``drill-key.pdf``, ``drill.html`` and ``drill.json`` after it.
    forms : tuple of str
        Any of `FORMS`.
    paper : str
        ``a4`` or ``us-letter``.

    Returns
    -------
    list of Path
        The files written.

    Raises
    ------
    InputError
        Where there is no such form, or the folder cannot be written to.
    """
    unknown = [form for form in forms if form not in FORMS]
    if unknown:
        raise InputError(
            f"A drill has no form {unknown[0]!r}.", value=unknown[0], suggestion=f"It has {', '.join(FORMS)}."
        )
    ready: dict[Path, bytes] = {}
    if "pdf" in forms:
        ready[folder / f"{name}.pdf"] = sheet(drill, key=False, paper=paper)
        ready[folder / f"{name}-key.pdf"] = sheet(drill, key=True, paper=paper)
    if "html" in forms:
        ready[folder / f"{name}.html"] = drill_page(drill).encode()
    if "json" in forms:
        ready[folder / f"{name}.json"] = data_text(drill).encode()
    for place, data in ready.items():
        write_whole(place, data)
    return list(ready)


def data_text(drill: Drill) -> str:
    """A drill as one JSON document, keys sorted."""
    return json.dumps(as_data(drill), ensure_ascii=False, sort_keys=True, indent=2) + "\n"
