"""What is kept is what was made; anything else is made anew, and the folder stays small."""

from __future__ import annotations

import os
import stat
from pathlib import Path

import pytest

from sonorarium.lesson import cache as cache_module
from sonorarium.lesson.cache import PARTS, VARIABLE, Cache, cache, kept_clip, kept_drawing, program_state
from sonorarium.render.engraving import engrave_notes, scale
from sonorarium.render.performance import struck
from sonorarium.render.sound import Clip, to_audio


class Maker:
    """Counts how often it is asked."""

    def __init__(self, content: bytes = b"made") -> None:
        self.content, self.times = content, 0

    def __call__(self) -> bytes:
        self.times += 1
        return self.content


def entries(folder: Path) -> list[Path]:
    return [path for path in folder.rglob("*") if path.is_file()]


def test_the_second_time_nothing_is_made(tmp_path: Path) -> None:
    maker, kept = Maker(), Cache(tmp_path)
    assert [kept.kept("clip", "C", maker) for _ in range(3)] == [b"made"] * 3
    assert maker.times == 1


def test_another_kind_recipe_or_program_is_another_entry(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    maker, kept = Maker(), Cache(tmp_path)
    kept.kept("clip", "C", maker)
    kept.kept("drawing", "C", maker)
    kept.kept("clip", "D", maker)
    monkeypatch.setattr(cache_module, "program_state", lambda: "a later version")
    kept.kept("clip", "C", maker)
    assert maker.times == 4


@pytest.mark.parametrize(
    "damage",
    [
        lambda data: b"",
        lambda data: data[:-1],
        lambda data: data[:-1] + bytes([data[-1] ^ 1]),
        lambda data: data + b"more",
        lambda data: data.replace(b"sonorarium-cache-1", b"sonorarium-cache-0"),
        lambda data: b"\n\n\n\n",
    ],
    ids=["empty", "cut", "one bit", "longer", "other mark", "no content"],
)
def test_a_damaged_entry_is_made_anew(tmp_path: Path, damage) -> None:  # type: ignore[no-untyped-def]
    maker, kept = Maker(), Cache(tmp_path)
    kept.kept("clip", "C", maker)
    (entry,) = entries(tmp_path)
    entry.write_bytes(damage(entry.read_bytes()))
    assert kept.kept("clip", "C", maker) == b"made"
    assert kept.kept("clip", "C", maker) == b"made"
    assert maker.times == 2


def test_an_entry_moved_to_anothers_place_is_not_taken(tmp_path: Path) -> None:
    kept = Cache(tmp_path)
    kept.kept("clip", "C", Maker(b"the sound of C"))
    (one,) = entries(tmp_path)
    kept.kept("clip", "D", Maker(b"the sound of D"))
    (other,) = (path for path in entries(tmp_path) if path != one)
    other.write_bytes(one.read_bytes())
    assert kept.kept("clip", "D", Maker(b"the sound of D")) == b"the sound of D"


def test_the_folder_stays_small_and_keeps_what_was_used_last(tmp_path: Path) -> None:
    kept = Cache(tmp_path, most_bytes=PARTS * 4000)
    kept.kept("clip", "0", Maker(bytes(1000)))
    for number in range(1, 150):
        kept.kept("clip", str(number), Maker(bytes(1000)))
        for entry in entries(tmp_path):  # coarse clocks: put a distance between the ages
            os.utime(entry, ns=(entry.stat().st_atime_ns, entry.stat().st_mtime_ns - 10**9))
        kept.kept("clip", "0", (still := Maker(bytes(1000))))
        assert still.times == 0
    assert sum(path.stat().st_size for path in entries(tmp_path)) <= PARTS * 4000


def test_what_is_larger_than_its_part_is_not_kept(tmp_path: Path) -> None:
    maker = Maker(bytes(5000))
    kept = Cache(tmp_path, most_bytes=PARTS * 4000)
    assert kept.kept("picture", "large", maker) == kept.kept("picture", "large", maker)
    assert maker.times == 2
    assert entries(tmp_path) == []


def test_a_folder_that_cannot_be_written_costs_only_time(tmp_path: Path) -> None:
    place = tmp_path / "a file"
    place.write_text("not a folder")
    maker = Maker()
    assert [Cache(place).kept("clip", "C", maker) for _ in range(2)] == [b"made"] * 2
    assert place.read_text() == "not a folder"


def test_the_environment_names_the_folder_or_none(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(VARIABLE, str(tmp_path / "here"))
    assert cache().folder == tmp_path / "here"
    monkeypatch.setenv(VARIABLE, "none")
    assert cache().folder is None
    monkeypatch.delenv(VARIABLE)
    usual = cache().folder
    assert usual is not None
    assert "sonorarium" in usual.parts


def test_clips_and_drawings_come_back_equal(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(VARIABLE, str(tmp_path))

    def never() -> Clip:
        raise AssertionError("it was kept")

    clip = to_audio(struck((60, 64, 67)), format="opus")
    assert kept_clip("a triad", lambda: clip) == clip
    assert kept_clip("a triad", never) == clip
    drawing = engrave_notes(scale([(0, 0, 4), (1, -1, 4)], ["1", "♭2"]))
    assert kept_drawing("two notes", lambda: drawing) == drawing
    assert kept_drawing("two notes", lambda: drawing) == drawing
    assert len(entries(tmp_path)) == 2
    assert not any(entry.stat().st_mode & stat.S_IXUSR for entry in entries(tmp_path))


def test_the_program_states_itself_and_its_libraries() -> None:
    told = program_state()
    assert "sonorarium=" in told
    assert "verovio=" in told
    assert "=none" not in told
