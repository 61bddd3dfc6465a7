"""Lesson: its text on one side, its page on the other, every statement checked while it is written."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Any, Literal

from fastapi import Form, Query, Request, Response
from fastapi.responses import FileResponse, HTMLResponse
from pydantic import BaseModel

from sonorarium.errors import InputError, SonorariumError
from sonorarium.lesson.building import build_lesson, read_lesson
from sonorarium.lesson.courses.course import build_course
from sonorarium.lesson.exercises.drillblocks import pieces_of
from sonorarium.lesson.exercises.drillfolder import write_drill
from sonorarium.lesson.exercises.drills import KINDS, make_drill
from sonorarium.lesson.exercises.drills import Request as DrillRequest
from sonorarium.pcs.subject import subject
from sonorarium.study.folder import SCORE_SUFFIXES, Study
from sonorarium.study.keepings import kept_passages
from sonorarium.study.pieces import places
from sonorarium.study.remarks import KeptSet, kept_sets
from sonorarium.study.sketches import sketches
from sonorarium.web.answers import address, answer, wants_json
from sonorarium.web.facts.lessons import (
    MADE,
    MADE_KINDS,
    Draft,
    Fault,
    draft_of,
    earlier,
    find_lesson,
    made_file,
    made_files,
    movable,
    new_lesson,
    policy_of,
    read_text,
    save_lesson,
)
from sonorarium.web.jobs import JobState, Report
from sonorarium.web.pages.asking import Here, new_router
from sonorarium.web.pages.keepings import Covered, covered_by, line_of
from sonorarium.web.room import KEY_LENGTH

router = new_router("Lessons")

MOST_TEXT = 400_000
LARGEST_CHORD = 6
FILE: dict[int | str, dict[str, Any]] = {200: {"content": {"text/html": {}, "application/pdf": {}}}}
PDF_POLICY = "default-src 'none'; style-src 'unsafe-inline'; object-src 'self'; frame-ancestors 'none'"
Form_ = Literal["html", "pdf", "slides", "drill", "course"]
Name = Annotated[str, Form(max_length=200, description="A lesson, by its file's name without the suffix.")]
Text = Annotated[str, Form(max_length=MOST_TEXT, description="Markdown.")]


@dataclass(frozen=True)
class Statement:
    """One statement of a text and what computation says of it."""

    line: int
    statement: str
    standing: str
    kind: str
    understood: str
    truth: str
    marked: bool


@dataclass(frozen=True)
class DraftFacts:
    """A draft: the key of its page (empty where it could not be drawn), its statements and its faults."""

    draft: str
    statements: list[Statement]
    faults: list[Fault]


@dataclass(frozen=True)
class Insert:
    """Something kept, as the Markdown that puts it into a lesson; without any, the note says why.

    ``piece`` is the key of a piece that has to be copied into the study before.
    """

    kind: str
    title: str
    markdown: str
    note: str = ""
    piece: str = ""


@dataclass(frozen=True)
class Met:
    """A class that the lesson covers, how well it was known before, and from where."""

    label: str
    depth: str
    where: list[str]


@dataclass(frozen=True)
class MadeFile:
    """A file that was made of the lesson."""

    name: str
    kilobytes: int


@dataclass(frozen=True)
class LessonList:
    """The lessons of the study, and sentences on those that cannot be read."""

    lessons: list[Covered]
    unread: list[str]
    made: list[MadeFile]


@dataclass(frozen=True)
class LessonFacts:
    """One lesson. Statements and faults are told in the JSON form; the page asks for them as it is written."""

    name: str
    title: str
    text: str
    digest: str
    statements: list[Statement]
    faults: list[Fault]
    keepings: list[Insert]
    scales: list[str]
    classes: list[Met]
    made: list[MadeFile]


class Saved(BaseModel):
    """A lesson that was written: its name, and the digest of its file."""

    name: str
    digest: str
    link: str


def statements_of(draft: Draft) -> list[Statement]:
    """The statements of a draft, as plain values."""
    return [Statement(**one.as_dict()) for one in draft.checked]  # type: ignore[arg-type]


def fenced(name: str, argument: str, options: dict[str, str], caption: str = "") -> str:
    """A directive as it is written in a lesson.

    >>> print(fenced("scale", "D dorian", {"below": "names"}))
    ```{scale} D dorian
    :below: names
    ```
    """
    words = caption.strip().replace("```", "'''")
    lines = [f"```{{{name}}} {argument}", *(f":{key}: {value}" for key, value in options.items())]
    return "\n".join([*lines, *([words.lstrip(":")] if words else []), "```"])


def inserts_of(study: Study) -> list[Insert]:
    """Everything kept in the study, as it can be put into a lesson."""
    found, own = [], places(study)
    for one in kept_sets(study).sets:
        found.append(_set_insert(one))
    for kept in kept_passages(study).passages:
        title = f"{kept.place}: {kept.what}"
        options = {"set": kept.what, "kind": kept.kind, "bars": "-".join(dict.fromkeys(kept.bars))}
        place = own.get(kept.digest, "") if Path(kept.score).is_absolute() else kept.score
        if place:
            found.append(Insert("passage", title, fenced("passage", place, options, kept.why)))
        else:
            note = "The piece lies outside the study."
            found.append(Insert("passage", title, "", note, kept.digest[:KEY_LENGTH]))
    for sketch in sketches(study)[0]:
        line, caption = line_of(sketch.words), sketch.title
        if line:
            found.append(Insert("sketch", sketch.title, fenced("progression", line, {}, caption)))
        elif sketch.music.endswith(SCORE_SUFFIXES):
            place = f"{study.sketches_name}/{sketch.music}"
            found.append(Insert("sketch", sketch.title, fenced("passage", place, {}, caption)))
        else:
            found.append(Insert("sketch", sketch.title, "", "It holds no row of chords and no score."))
    return found


def _set_insert(one: KeptSet) -> Insert:
    try:
        size = subject(one.what).pcset.cardinality
    except SonorariumError as error:
        return Insert("set", one.what, "", str(error))  # a card that was changed by hand
    return Insert("set", one.what, fenced("scale" if size > LARGEST_CHORD else "chord", one.what, {}, one.words))


def files_of(study: Study, stem: str = "") -> list[MadeFile]:
    """What was made of a lesson, with its size."""
    return [MadeFile(path.name, -(-path.stat().st_size // 1024)) for path in made_files(study, stem)]


def lesson_of(study: Study, name: str, *, check: bool) -> LessonFacts:
    """Everything on one lesson."""
    path = find_lesson(study, name)
    text, digest = read_text(path)
    draft = draft_of(text, study) if check else Draft("")
    scales: list[str] = []
    classes: list[Met] = []
    title = name
    try:
        entry, before = earlier(study, path)
        title = entry.title
        scales = [one.title for one in entry.collections]
        known = [(one.label, *before.known(one)) for one in entry.classes()]
        classes = [Met(label, depth, list(where)) for label, depth, where in known]
    except SonorariumError:
        pass  # a lesson that cannot be read covers nothing yet; its fault is told beside the text
    faults, told = list(draft.faults), statements_of(draft)
    return LessonFacts(
        name, title, text, digest, told, faults, inserts_of(study), scales, classes, files_of(study, name)
    )


@router.get("/lesson", response_model=LessonFacts | LessonList)
def lesson(
    request: Request,
    room: Here,
    name: Annotated[str, Query(max_length=200, description="A lesson; without one, the list of them.")] = "",
) -> Response:
    """The lessons of the study, or one of them to be written."""
    if name:
        facts = lesson_of(room.study, name, check=wants_json(request))
        return answer(request, "lesson.html", facts, most=MOST_TEXT)
    found, faults = covered_by(room.study)
    return answer(request, "lessons.html", LessonList(found, faults, files_of(room.study, "index")))


@router.post("/lesson/preview", response_model=DraftFacts)
def preview(request: Request, room: Here, text: Text = "") -> Response:
    """Draw and check a text; nothing is stored."""
    draft = draft_of(text, room.study)
    key = room.drafts.add(movable(draft.page)) if draft.page else ""
    facts = DraftFacts(key, statements_of(draft), list(draft.faults))
    return answer(request, "lesson_checked.html", facts)


@router.get("/lesson/page", response_class=HTMLResponse)
def drawn(request: Request, room: Here, draft: Annotated[str, Query(pattern="^[0-9a-f]{16}$")]) -> Response:
    """The page of a draft."""
    found = room.drafts.page(draft)
    return HTMLResponse(found, headers={"Content-Security-Policy": policy_of(found, ancestors="'self'")})


@router.post("/lesson/save", response_model=Saved)
def save(
    request: Request, room: Here, name: Name, digest: Annotated[str, Form(max_length=64)], text: Text = ""
) -> Saved:
    """Write a lesson, unless its file has been changed since it was loaded."""
    return Saved(name=name, digest=save_lesson(room.study, name, text, digest), link=address("/lesson", name=name))


@router.post("/lesson/new", response_model=Saved)
def begin(request: Request, room: Here, title: Annotated[str, Form(max_length=200)]) -> Response:
    """Begin a lesson."""
    path = new_lesson(room.study, title)
    link = address("/lesson", name=path.stem)
    made = Saved(name=path.stem, digest=read_text(path)[1], link=link)
    return Response(made.model_dump_json(), media_type="application/json", headers={"HX-Redirect": link})


@router.post("/lesson/build", response_model=JobState)
def build(
    request: Request,
    room: Here,
    form: Annotated[Form_, Form()],
    name: Name = "",
    what: Annotated[str, Form(alias="set", max_length=300, description="What a drill asks about.")] = "",
) -> Response:
    """Make something of a lesson as it is saved, or the course of all lessons."""
    study = room.study
    if form == "course":
        result, work = "index.html", _course(study)
        title = "The course"
    elif form == "drill":
        stem = f"{find_lesson(study, name).stem}-drill"
        result, work, title = f"{stem}.html", _drill(study, stem, what), f"A drill on {what}"
    else:
        stem = find_lesson(study, name).stem
        result = {"html": f"{stem}.html", "pdf": f"{stem}.pdf", "slides": f"{stem}-slides.html"}[form]
        work, title = _lesson(study, name, form), f"{name}: {form}"
    key = hashlib.sha256(f"lesson {form} {name}".encode()).hexdigest()[:16]
    job = room.jobs.start(title, work, link=address(f"/lesson/made/{result}"), key=key, joins=False)
    return answer(request, "job_part.html", job.now())


def _lesson(study: Study, name: str, form: str) -> Callable[[Report], str]:
    def work(report: Report) -> str:
        report.say(0, 2, "Reading and checking.")
        read = read_lesson(find_lesson(study, name), study)
        report.say(1, 2, "Drawing.")
        made = build_lesson(read, study.folder / MADE, forms=(form,))
        report.say(2, 2)
        return _told(made)

    return work


def _drill(study: Study, stem: str, what: str) -> Callable[[Report], str]:
    if not what.strip():
        raise InputError("A drill needs a set to ask about.", value=what, suggestion="Try D double harmonic.")
    subject(what)

    def work(report: Report) -> str:
        report.say(0, 2, "Making the questions.")
        drill = make_drill(what, DrillRequest(tuple(KINDS), count=len(KINDS), level=2, seed=1), pieces_of(study))
        report.say(1, 2, "Setting the sheets.")
        made = write_drill(drill, study.folder / MADE, name=stem)
        report.say(2, 2)
        return _told(made)

    return work


def _course(study: Study) -> Callable[[Report], str]:
    def work(report: Report) -> str:
        report.say(0, 0, "Building every lesson and the indexes.")
        return _told(list(build_course(study, study.folder / MADE).files))

    return work


def _told(files: list[Path]) -> str:
    return f"Made: {', '.join(path.name for path in files)}."


@router.get("/lesson/files", response_model=list[MadeFile])
def files(request: Request, room: Here, name: Annotated[str, Query(max_length=200)] = "") -> Response:
    """What was made of a lesson."""
    return answer(request, "lesson_files.html", files_of(room.study, name))


@router.get("/lesson/made/{name}", response_class=FileResponse, responses=FILE)
def made(request: Request, room: Here, name: str) -> Response:
    """A file that was made; pages of the course lead to one another under this address."""
    path = made_file(room.study, name)
    kind = MADE_KINDS[path.suffix]
    policy = PDF_POLICY if path.suffix == ".pdf" else policy_of(path.read_text(encoding="utf-8", errors="replace"))
    headers = {"Content-Security-Policy": policy}
    return FileResponse(path, media_type=kind, filename=path.name, content_disposition_type="inline", headers=headers)


@router.get("/lesson/made", response_class=FileResponse, responses=FILE)
def made_by_name(request: Request, room: Here, name: Annotated[str, Query(max_length=250)]) -> Response:
    """A file that was made, by its name."""
    return made(request, room, name)
