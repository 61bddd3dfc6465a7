"""What was done lately, and how the shelf stands: the margin of the desk.

What was kept carries its day; what was only looked at is remembered while the workbench runs, and no longer.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from sonorarium.errors import InputError, SonorariumError
from sonorarium.lesson.markdown import read_page
from sonorarium.pcs.subject import subject
from sonorarium.shelf.snapshot import Snapshot
from sonorarium.study.drawer import Filed
from sonorarium.study.keepings import kept_passages
from sonorarium.study.remarks import kept_sets
from sonorarium.study.sketches import sketches
from sonorarium.web.answers import address
from sonorarium.web.room import KEY_LENGTH, Room

MOST = 6


@dataclass(frozen=True)
class RecentFacts:
    """One thing: what it is headed by, its kind, the day it was kept (or empty), and where it is shown."""

    title: str
    kind: str
    day: str
    link: str


@dataclass(frozen=True)
class ShelfState:
    """How the shelf stands.

    Parameters
    ----------
    scores : int
        That can be searched.
    unread : int
        Files that could not be read.
    missing, changed : int
        Pieces of the study that are not on it, and those that were changed since they were read.
    is_current : bool
        Whether nothing is missing and nothing changed.
    """

    scores: int
    unread: int
    missing: int
    changed: int
    is_current: bool


@dataclass(frozen=True)
class Recent:
    """What was looked at in this run, what was kept, the lessons written last, and the shelf."""

    study: str
    looked: list[RecentFacts]
    kept: list[RecentFacts]
    lessons: list[RecentFacts]
    shelf: ShelfState


def recent_of(room: Room, most: int = MOST) -> Recent:
    """The latest of each kind, at most so many of each."""
    looked = [RecentFacts(_title(text), "set", "", address("/sheet", set=text)) for text in room.looked.latest()]
    return Recent(room.study.title, looked[:most], _kept(room, most), _lessons(room, most), shelf_state(room))


def shelf_state(room: Room) -> ShelfState:
    """How the shelf stands."""
    scores, unread, missing, changed = (
        room.shelf.ask(lambda snapshot: _counted(room, snapshot))
        if room.shelf.exists
        else (0, 0, len(room.study.pieces()), 0)
    )
    return ShelfState(scores, unread, missing, changed, not missing and not changed)


def _counted(room: Room, snapshot: Snapshot) -> tuple[int, int, int, int]:
    missing = changed = 0
    for path in room.study.pieces():
        row = snapshot.files.get(str(path.absolute()))
        if row is None:
            missing += 1
        elif not snapshot.is_settled(row) or _changed(path, row.mtime_ns, row.size):
            changed += 1
    unread = sum(row.status == "damaged" for row in snapshot.files.values())
    return len(snapshot.scores), unread, missing, changed


def _changed(path: Path, mtime_ns: int, size: int) -> bool:
    try:
        found = path.stat()
    except OSError:
        return True
    return (found.st_mtime_ns, found.st_size) != (mtime_ns, size)


def _title(text: str) -> str:
    try:
        return subject(text).title
    except InputError:
        return text


def _kept(room: Room, most: int) -> list[RecentFacts]:
    study = room.study

    cards: list[tuple[Filed, str, str, str]] = [
        *((one.filed, one.what, "set", address("/sheet", set=one.what)) for one in kept_sets(study).sets),
        *(
            (one.filed, one.place, "passage", _score_link(one.digest, one.what, one.place))
            for one in kept_passages(study).passages
        ),
        *((one.filed, one.title, "sketch", _sketch_link(one.words, one.title)) for one in sketches(study)[0]),
    ]
    cards.sort(key=lambda card: (card[0].card.value("kept"), _changed_at(card[0].path)), reverse=True)
    return [RecentFacts(title, kind, filed.card.value("kept"), link) for filed, title, kind, link in cards[:most]]


def _score_link(digest: str, what: str, place: str) -> str:
    if not digest:
        return address("/keepings", kind="passage", text=place)
    return address("/score", piece=digest[:KEY_LENGTH], set=what)


def _sketch_link(words: str, title: str) -> str:
    """A sketch that begins with its row of chords is opened; any other is found among the keepings."""
    first = words.strip().split("\n")[0].strip()
    if len(first) > 2 and first[0] == first[-1] == "`":
        return address("/sketch", line=first[1:-1])
    return address("/keepings", kind="sketch", text=title)


def _lessons(room: Room, most: int) -> list[RecentFacts]:
    latest = sorted(room.study.lessons(), key=_changed_at, reverse=True)
    return [RecentFacts(_heading(path), "lesson", "", address("/lesson", name=path.stem)) for path in latest[:most]]


def _heading(path: Path) -> str:
    try:
        return read_page(path.read_text(encoding="utf-8")).head.get("title", path.stem)
    except (OSError, UnicodeDecodeError, SonorariumError):
        return path.stem


def _changed_at(path: Path) -> int:
    try:
        return path.stat().st_mtime_ns
    except OSError:
        return 0
