"""Templates by name: each is there, what is missing in it is told, what it is given is escaped."""

from __future__ import annotations

from pathlib import Path

import jinja2
import pytest

from sonorarium.lesson.assets import FOLDER, asset, environment


@pytest.mark.parametrize("path", sorted(FOLDER.rglob("*.html")), ids=lambda path: path.name)
def test_every_template_can_be_read(path: Path) -> None:
    folder = "" if path.parent == FOLDER else path.parent.name
    made = environment(folder)
    made.filters["data"] = str
    assert made.get_template(path.name).name == path.name
    assert asset(path.relative_to(FOLDER).as_posix())


def test_what_is_given_is_escaped_and_what_is_missing_is_told() -> None:
    made = environment()
    assert made.from_string("{{ title }}").render(title="<b>") == "&lt;b&gt;"
    with pytest.raises(jinja2.UndefinedError):
        made.from_string("{{ nothing }}").render()
