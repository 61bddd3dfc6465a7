"""The shelf: the scores that are on it, and everything that puts scores on it or takes them off.

Folders are named by the number of a place that the user named at the start and a name inside it, and folders on the
shelf by a digest: no address carries a path of this computer, and none leads out of those places.
"""

from __future__ import annotations

import hashlib
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Literal

from fastapi import File, Form, Query, Request, Response, UploadFile

from sonorarium.errors import InputError, NothingFoundError
from sonorarium.shelf.atlas import Atlas, draw_atlas
from sonorarium.shelf.indexing import Added, Progress, add_folders, drop_folder
from sonorarium.shelf.planning import is_in
from sonorarium.shelf.sifting import year_of
from sonorarium.shelf.snapshot import Snapshot
from sonorarium.web.answers import answer, page, said, wants_json
from sonorarium.web.facts.drawings import strip_of_class
from sonorarium.web.facts.uploads import MOST_FILES, Refused, Upload, check_count, take
from sonorarium.web.jobs import JobState, Report
from sonorarium.web.pages.asking import Here, new_router
from sonorarium.web.room import KEY_LENGTH, Room

router = new_router("Shelf")

JOB = "indexing"
PAGE = 100
MOST_FOLDERS = 300
Sort = Literal["composer", "title", "date", "bars", "notes"]


@dataclass(frozen=True)
class ScoreFacts:
    """One file on the shelf; ``key`` names it in addresses."""

    key: str
    title: str
    composer: str
    date: str
    bars: int
    notes: int
    file: str


@dataclass(frozen=True)
class FolderFacts:
    """A folder on the shelf: a digest that names it, its files that were read and not, and whether it is there."""

    folder: str
    name: str
    scores: int
    unread: int
    is_there: bool


@dataclass(frozen=True)
class PlaceFacts:
    """A folder that may be put on the shelf: the number of its place, its name inside it, and whether it is on it."""

    place: int
    inside: str
    name: str
    is_on: bool


@dataclass(frozen=True)
class ShelfFacts:
    """What is on the shelf.

    Parameters
    ----------
    files, scores, notes : int
        On the whole shelf; files of equal content are one score.
    found, first, last, pages : int
        How many files the question lets through, which of them are listed, and how many pages there are.
    rows : list of ScoreFacts
    composers : dict of str to int
    folders : list of FolderFacts
    unread : list of Refused
        Files that could not be read, and why.
    refused : list of Refused
        Files that were sent last and not taken.
    places : list of PlaceFacts
    not_on : int
        Pieces of the study that are not on the shelf.
    job : JobState or None
        Putting scores on the shelf, where that is under way or has ended.
    """

    files: int
    scores: int
    notes: int
    found: int
    first: int
    last: int
    pages: int
    rows: list[ScoreFacts]
    composers: dict[str, int]
    folders: list[FolderFacts]
    unread: list[Refused]
    refused: list[Refused]
    places: list[PlaceFacts]
    not_on: int
    job: JobState | None


@dataclass(frozen=True)
class Sieve:
    """What is asked of the list."""

    composer: str = ""
    since: str = ""
    until: str = ""
    text: str = ""
    sort: Sort = "composer"
    page: int = 1

    def lets(self, one: ScoreFacts) -> bool:
        """Whether a score is let through; one without a year is not, where a year is asked for."""
        year = year_of(one.date)
        card = f"{one.title} {one.composer} {one.date} {one.file}".casefold()
        return (
            (not self.composer or one.composer == self.composer)
            and (not self.since or (year != 0 and year >= int(self.since)))
            and (not self.until or (year != 0 and year <= int(self.until)))
            and all(word in card for word in self.text.casefold().split())
        )


@dataclass(frozen=True)
class Sent:
    """The result of putting files into the study: names taken, and files refused."""

    names: list[str]
    refused: list[Refused]


def shelf_of(room: Room, sieve: Sieve) -> ShelfFacts:
    """What is on the shelf, and those of it that a question lets through."""
    every, scores, unread, folders = (
        room.shelf.ask(lambda snapshot: _on_it(room, snapshot)) if room.shelf.exists else ([], Counter(), [], [])
    )
    found = sorted(filter(sieve.lets, every), key=_order(sieve.sort))
    start = (sieve.page - 1) * PAGE
    rows = found[start : start + PAGE]
    job = next((state for state in room.jobs.all() if state.key == JOB), None)
    return ShelfFacts(
        len(every),
        scores["scores"],
        scores["notes"],
        len(found),
        start + 1 if rows else 0,
        start + len(rows) if rows else 0,
        -(-len(found) // PAGE),
        rows,
        dict(sorted(Counter(one.composer for one in every if one.composer).items())),
        folders,
        unread,
        _refused(room),
        places_of(room),
        not_on_shelf(room),
        job,
    )


def _on_it(room: Room, snapshot: Snapshot) -> tuple[list[ScoreFacts], Counter[str], list[Refused], list[FolderFacts]]:
    rows = [
        ScoreFacts(
            snapshot.files[path].digest[:KEY_LENGTH],
            row.title or Path(path).stem,
            row.composer,
            row.date,
            row.bars,
            row.notes,
            shown_path(room, path),
        )
        for row in snapshot.scores.values()
        for path in snapshot.paths[row.score]
    ]
    counted = Counter(scores=len(snapshot.scores), notes=sum(row.notes for row in snapshot.scores.values()))
    files = snapshot.files.values()
    unread = [Refused(shown_path(room, row.path), row.reason) for row in files if row.status == "damaged"]
    return rows, counted, unread, [_folder(room, snapshot, folder) for folder in snapshot.manifest.folders]


def _folder(room: Room, snapshot: Snapshot, folder: str) -> FolderFacts:
    count = Counter(row.status for path, row in snapshot.files.items() if is_in(path, folder))
    name = shown_path(room, folder)
    return FolderFacts(folder_key(folder), name, count["indexed"], count["damaged"], Path(folder).exists())


def _order(sort: Sort) -> Callable[[ScoreFacts], tuple[object, ...]]:
    def key(one: ScoreFacts) -> tuple[object, ...]:
        name = (one.title.casefold(), one.file)
        first: dict[str, tuple[object, ...]] = {
            "composer": (not one.composer, one.composer.casefold()),
            "title": (),
            "date": (not one.date, year_of(one.date), one.date),
            "bars": (-one.bars,),
            "notes": (-one.notes,),
        }
        return (*first[sort], *name)

    return key


def _refused(room: Room) -> list[Refused]:
    try:
        result = room.jobs.find(JOB).result
    except NothingFoundError:
        return []
    return result.refused if isinstance(result, Sent) else []


def folder_key(folder: str) -> str:
    """What names a folder in an address."""
    return hashlib.sha256(folder.encode("utf-8", "surrogateescape")).hexdigest()[:KEY_LENGTH]


def shown_path(room: Room, path: str) -> str:
    """A path as it is shown: from a place downward, or else the last two names of it."""
    for place in room.places:
        if is_in(path, str(place.absolute())):
            return (Path(place.name) / Path(path).relative_to(place.absolute())).as_posix()
    return "/".join(Path(path).parts[-2:])


def places_of(room: Room) -> list[PlaceFacts]:
    """Every folder that may be put on the shelf: the places, and the folders inside them."""
    on = room.shelf.snapshot().manifest.folders if room.shelf.exists else ()
    found: list[PlaceFacts] = []
    for number, place in enumerate(room.places):
        for folder in _folders_in(place.absolute()):
            inside = folder.relative_to(place.absolute()).as_posix()
            name = "the study's pieces" if number == 0 else place.name
            is_on = any(is_in(str(folder), one) for one in on)
            shown = name if inside == "." else f"{name}/{inside}"
            found.append(PlaceFacts(number, "" if inside == "." else inside, shown, is_on))
    return found


def _folders_in(place: Path) -> list[Path]:
    """A place and the folders in it, to a limit; no hidden ones, and no links."""
    found: list[Path] = []
    waiting = [place]
    while waiting and len(found) < MOST_FOLDERS:
        folder = waiting.pop(0)
        found.append(folder)
        try:
            inner = sorted(one for one in folder.iterdir() if one.is_dir() and not one.is_symlink())
        except OSError:
            continue
        waiting += [one for one in inner if not one.name.startswith(".")]
    return found


def chosen_folder(room: Room, place: int, inside: str) -> Path:
    """The folder that was chosen; raises `InputError` where it lies outside the places, or is not there."""
    if place >= len(room.places):
        raise InputError("There is no such place.", value=place, suggestion="Choose one of those that are listed.")
    base = room.places[place].absolute()
    wanted = base / inside
    strange = Path(inside).is_absolute() or any(name.startswith(".") for name in Path(inside).parts)
    try:
        is_inside = not strange and wanted.resolve().is_relative_to(base.resolve())
        is_there = is_inside and wanted.is_dir()
    except (OSError, ValueError):  # a name that no file can have
        is_inside = is_there = False
    if not is_inside:
        raise InputError("That folder lies outside the places that may be looked into.", value=inside)
    if not is_there:
        raise InputError("There is no such folder.", value=inside, suggestion="Choose one of those that are listed.")
    return wanted


def not_on_shelf(room: Room) -> int:
    """How many pieces of the study are not on the shelf."""
    on = room.shelf.snapshot().files if room.shelf.exists else {}
    return sum(str(path) not in on for path in room.study.pieces())


def index(room: Room, folders: list[Path], report: Report) -> str:
    """Put folders on the shelf, or bring it up to date; what is done when it is stopped stays."""

    def told(at: Progress) -> None:
        report.say(at.done, at.total, f"{at.notes:,} notes")

    report.say(0, 0, "Looking for what is new.")
    return _sentence(add_folders(room.shelf, folders, progress=told))


def _sentence(added: Added) -> str:
    gone = f", {len(added.gone)} taken off" if added.gone else ""
    unread = f", {len(added.damaged)} could not be read" if added.damaged else ""
    return f"{added.indexed} read, {added.unchanged} as they were{gone}{unread}."


def send_files(room: Room, uploads: list[Upload], report: Report) -> Sent:
    """Put files into the study and onto the shelf; tells which were refused."""
    pieces = room.places[0]
    taken = take(uploads, pieces, lambda done, name: report.say(done, len(uploads), f"Reading {name}."))
    if taken.names:
        add_folders(room.shelf, [pieces])
    refused = "".join(f" Not taken: {one.name}: {one.reason}" for one in taken.refused[:5])
    report.say(len(uploads), len(uploads), f"{len(taken.names)} of {len(uploads)} put in the study.{refused}")
    return Sent(taken.names, taken.refused)


def _must_be_free(room: Room) -> None:
    if any(state.key == JOB and not state.is_over for state in room.jobs.all()):
        raise InputError("The shelf is being worked on.", suggestion="Wait until that has ended, or stop it.")


def _begun(request: Request, room: Room, title: str, work: Callable[[Report], object]) -> Response:
    state = room.jobs.start(title, work, link="/shelf", key=JOB, joins=False).now()
    if wants_json(request):
        return answer(request, "job_part.html", state)
    return said(f"{title}.", page(request, "job_part.html", facts=state))


@router.get("/shelf", response_model=ShelfFacts)
def shelf(
    request: Request,
    room: Here,
    composer: Annotated[str, Query(max_length=300)] = "",
    since: Annotated[str, Query(alias="from", pattern=r"^([0-9]{1,4})?$", description="First year.")] = "",
    until: Annotated[str, Query(alias="to", pattern=r"^([0-9]{1,4})?$", description="Last year.")] = "",
    text: Annotated[str, Query(max_length=200, description="Words in title, composer, date or file.")] = "",
    sort: Sort = "composer",
    number: Annotated[int, Query(alias="page", ge=1, le=100_000)] = 1,
) -> Response:
    """What is on the shelf, filtered and sorted, a hundred at a time."""
    asked = {"composer": composer, "from": since, "to": until, "text": text, "sort": sort}
    facts = shelf_of(room, Sieve(composer, since, until, text, sort, number))
    return answer(request, "shelf.html", facts, asked=asked, number=number, most_files=MOST_FILES)


@router.post("/shelf/add", response_model=JobState)
def add(
    request: Request,
    room: Here,
    place: Annotated[int, Form(ge=0, le=1000)] = 0,
    inside: Annotated[str, Form(max_length=1000, description="A folder in that place.")] = "",
) -> Response:
    """Put a folder on the shelf."""
    folder = chosen_folder(room, place, inside)
    return _begun(request, room, "Putting scores on the shelf", lambda report: index(room, [folder], report))


@router.post("/shelf/update", response_model=JobState)
def update(request: Request, room: Here) -> Response:
    """Read what is new or changed in the folders on the shelf."""
    if not room.shelf.exists:
        raise NothingFoundError("Nothing is on the shelf yet.", suggestion="Put a folder on it first.")
    return _begun(request, room, "Bringing the shelf up to date", lambda report: index(room, [], report))


@router.post("/shelf/files", response_model=JobState)
def files(request: Request, room: Here, files: Annotated[list[UploadFile], File()]) -> Response:
    """Put files into the study, after a process of its own has read them, and onto the shelf."""
    check_count(len(files))
    _must_be_free(room)
    uploads = [Upload(one.filename or "", one.file.read()) for one in files]
    return _begun(request, room, "Reading your files", lambda report: send_files(room, uploads, report))


@dataclass(frozen=True)
class Dropped:
    """A folder that was taken off, and how many files it had."""

    name: str
    files: int


def _on_shelf(room: Room, key: str) -> str:
    folders = room.shelf.snapshot().manifest.folders if room.shelf.exists else ()
    for folder in folders:
        if folder_key(folder) == key:
            return folder
    raise NothingFoundError("There is no such folder on the shelf.", value=key)


@router.get("/shelf/drop", response_model=FolderFacts)
def drop_page(request: Request, room: Here, folder: Annotated[str, Query(pattern="^[0-9a-f]{16}$")]) -> Response:
    """Ask whether a folder shall be taken off."""
    found = _folder(room, room.shelf.snapshot(), _on_shelf(room, folder))
    return answer(request, "shelf_drop.html", found)


@router.post("/shelf/drop", response_model=Dropped)
def drop(request: Request, room: Here, folder: Annotated[str, Form(pattern="^[0-9a-f]{16}$")]) -> Response:
    """Take a folder off the shelf; its files stay where they are."""
    path = _on_shelf(room, folder)
    _must_be_free(room)
    done = Dropped(shown_path(room, path), drop_folder(room.shelf, path))
    if wants_json(request):
        return answer(request, "shelf_drop.html", done)
    told = said(f"{done.name} is off the shelf.")
    told.headers["HX-Redirect"] = "/shelf"
    return told


@router.get("/shelf/atlas", response_model=Atlas)
def atlas(
    request: Request,
    room: Here,
    size: Annotated[int, Query(ge=0, le=12, description="Only classes of so many notes; 0 for all.")] = 0,
    kind: Literal["slice", "chord", "line", "texture"] = "slice",
) -> Response:
    """What the shelf uses and what it leaves unused."""
    facts = draw_atlas(room.shelf, kind=kind, sizes=[size] if size else [])
    return answer(request, "shelf_atlas.html", facts, size=size, strip_of_class=strip_of_class)
