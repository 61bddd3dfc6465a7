"""In a notebook every value shows itself, without scripts, and falls back where it cannot."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from IPython.core.interactiveshell import InteractiveShell

import sonorarium as so
from sonorarium.pcs.families import default_family
from sonorarium.pcs.subject import subject
from sonorarium.pitch.progression import realise
from sonorarium.pitch.voicing import Voicing
from sonorarium.render.notebook import DISPLAYS, register
from sonorarium.render.performance import struck
from sonorarium.render.sheet import sheet_of_voicings
from sonorarium.render.sound import to_audio
from sonorarium.score.search.passage import Passage

SONG = Path(__file__).parents[2] / "demo" / "pieces" / "1-saffron-evening.musicxml"


@pytest.fixture(scope="module")
def shell() -> Any:
    running = InteractiveShell.instance()
    register()
    yield running
    InteractiveShell.clear_instance()


def best_passage() -> Passage:
    return so.find(so.read_score(SONG), "5-15", kind="texture")[0]


VALUES: dict[str, Callable[[], object]] = {
    "PcSet": lambda: so.PcSet((0, 4, 8, 11)),
    "SetClass": lambda: so.SetClass("4-19"),
    "Collection": lambda: so.read_set("D double harmonic"),
    "Degrees": lambda: so.read_set("1 3 5 7 of D double harmonic"),
    "Chord": lambda: so.read_set("Ebmaj7#5"),
    "Stacked": lambda: so.read_set("Ab over C7"),
    "IntervalStack": lambda: so.read_set("fourths 4-#4-4 on C"),
    "Pitches": lambda: so.read_set("C3 G3 E4"),
    "Family": default_family,
    "Voicing": lambda: Voicing((48, 55, 64, 71)),
    "Voicings": lambda: so.voicings("C E Ab B", limit=4),
    "Realisation": lambda: realise("Dm7; G7; C", limit=1).found[0],
    "Leadings": lambda: so.lead("C E G", "C# E A"),
    "Sheet": lambda: sheet_of_voicings([Voicing((48, 55, 64))], subject("C").notes),
    "Score": lambda: so.read_score(SONG),
    "Passage": best_passage,
    "Clip": lambda: to_audio(struck((60, 64, 67))),
}


def test_every_type_has_an_example_here() -> None:
    assert set(VALUES) == {name for _, name in DISPLAYS}


@pytest.mark.parametrize("name", VALUES)
def test_a_value_shows_itself(shell: Any, name: str) -> None:
    value = VALUES[name]()
    assert type(value).__name__ == name
    data, _ = shell.display_formatter.format(value)
    page = data["text/html"]
    assert page.startswith("<div>")
    assert "<script" not in page
    assert "<svg" in page or "<audio" in page or "<li>" in page
    assert data["text/plain"]


def test_what_cannot_be_drawn_falls_back(shell: Any) -> None:
    lost = best_passage()
    gone = Passage(**{**vars(lost), "source": type(lost.source)("nowhere.musicxml")})
    data, _ = shell.display_formatter.format(gone)
    assert "text/html" not in data
    assert data["text/plain"].startswith("Passage(")


def test_a_score_title_is_foreign_text(shell: Any) -> None:
    score = so.read_score(SONG)
    object.__setattr__(score, "title", "<img src=x>")
    data, _ = shell.display_formatter.format(score)
    assert "<img" not in data["text/html"]
