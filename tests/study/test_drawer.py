"""Cards survive the death of their writers at every instant, and two writers at once."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from sonorarium.errors import DamagedError, InputError
from sonorarium.study.card import MOST_BYTES, Card
from sonorarium.study.drawer import Drawer
from sonorarium.study.folder import Study, new_study

HERE = Path(__file__).parent


@pytest.fixture
def drawer(tmp_path: Path) -> Drawer:
    return Drawer(new_study(tmp_path / "study", "Cards"), "sets", once=("set",), needs=("set",))


def of(what: str) -> Card:
    return Card().with_values("set", [what])


def mortal(*words: str) -> Any:
    command = [sys.executable, str(HERE / "mortal.py"), *words]
    done = subprocess.run(command, capture_output=True, text=True, timeout=300, check=True)
    return json.loads(done.stdout)


def test_a_writer_killed_at_random_loses_nothing_that_it_announced(tmp_path: Path) -> None:
    found = mortal("random", str(tmp_path / "study"), "150")
    assert found["faults"] == []
    assert found["announced"] > 40, "the writers lived long enough to write"
    assert found["left"] == [], "what dead writers left behind is cleared away by the next"


def test_a_writer_killed_at_any_line_leaves_the_old_card_or_the_new(tmp_path: Path) -> None:
    found = mortal("stepwise", str(tmp_path / "study"))
    assert found["faults"] == []
    assert found["rounds"] > 80
    assert found["left"] == []


WRITER = """
import sys
from pathlib import Path
from sonorarium.study.folder import open_study
from sonorarium.study.remarks import keep_set
study = open_study(Path(sys.argv[1]))
for number in range(int(sys.argv[3])):
    keep_set(study, "5-15", words=f"{sys.argv[2]}-{number}.", tags=[f"{sys.argv[2]}-{number}"])
    keep_set(study, f"{3 + number % 6}-{1 + number % 5}", words=f"{sys.argv[2]}-{number}.")
"""


def test_programs_that_write_at_once_all_get_their_words_in(drawer: Drawer) -> None:
    folder, each = str(drawer.study.folder), 25
    writers = [subprocess.Popen([sys.executable, "-c", WRITER, folder, who, str(each)]) for who in "abc"]
    assert [writer.wait(timeout=120) for writer in writers] == [0, 0, 0]
    contents = drawer.contents()
    assert contents.unread == ()
    expected = {f"{who}-{number}" for who in "abc" for number in range(each)}
    (shared,) = [filed.card for filed in contents.filed if filed.card.value("set") == "5-15"]
    assert set(shared.values("tag")) == expected
    assert set(shared.words.split("\n\n")) == {f"{one}." for one in expected}
    others = [filed.card for filed in contents.filed if filed.card.value("set") != "5-15"]
    assert {p for card in others for p in card.words.split("\n\n")} == {f"{one}." for one in expected}
    assert len({card.value("set") for card in others}) == len(others), "no set has two cards"


def test_saving_joins_or_refuses_what_was_changed_outside(drawer: Drawer) -> None:
    seen = drawer.add("one", of("5-15").with_words("Mine."))
    outside = seen.card.text.replace("---\n\n", "colour: green\n---\n\n")
    seen.path.write_text(outside, encoding="utf-8")
    saved = drawer.save(seen, seen.card.with_more("More."))
    assert saved.path.read_text(encoding="utf-8") == outside + "\nMore.\n"
    saved.path.write_text(outside.replace("Mine.", "Theirs."), encoding="utf-8")
    with pytest.raises(InputError, match=r"changed the words of this card.*Nothing was written"):
        drawer.save(saved, saved.card.with_words("Other."))
    assert "Theirs." in saved.path.read_text(encoding="utf-8")
    saved.path.unlink()
    with pytest.raises(InputError, match="has been taken away"):
        drawer.save(saved, saved.card)


def test_a_card_that_cannot_be_read_is_named_and_never_written_to(drawer: Drawer) -> None:
    good = drawer.add("good", of("5-15"))
    later = drawer.folder / "later.md"
    later.write_text("---\nformat: 9\nset: 5-16\n---\n", encoding="utf-8")
    (drawer.folder / "large.md").write_bytes(b"-" * (MOST_BYTES + 1))
    (drawer.folder / "latin.md").write_bytes(b"---\nset: 5-16\n---\n\xe9")
    (drawer.folder / "empty.md").write_text("---\n---\n", encoding="utf-8")
    contents = drawer.contents()
    assert contents.filed == (good,)
    reasons = {one.path.name: one.reason for one in contents.unread}
    assert "format 9" in reasons["later.md"]
    assert "more than 1 MiB" in reasons["large.md"]
    assert "not UTF-8" in reasons["latin.md"]
    assert "has no 'set'" in reasons["empty.md"]
    with pytest.raises(DamagedError):
        drawer.read(later)


def test_names_are_free_whatever_their_capitals(drawer: Drawer) -> None:
    (drawer.folder / "One.MD").write_text("mine", encoding="utf-8")
    names = [drawer.add("one", of("5-15")).path.name for _ in range(2)]
    assert names == ["one-2.md", "one-3.md"]
    assert (drawer.folder / "One.MD").read_text(encoding="utf-8") == "mine"


def test_nothing_is_written_where_nothing_changes(drawer: Drawer) -> None:
    filed = drawer.add("one", of("5-15"))
    before = filed.path.stat().st_mtime_ns
    assert drawer.save(filed, filed.card) == filed
    assert filed.path.stat().st_mtime_ns == before
    with pytest.raises(InputError, match="beyond 1 MiB"):
        drawer.save(filed, filed.card.with_words("x" * MOST_BYTES))


def test_a_study_that_is_not_there_is_refused(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="cannot be written to"):
        Drawer(Study(tmp_path / "nowhere"), "sets").add("one", of("5-15"))
