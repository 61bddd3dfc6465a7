"""A course: all lessons of a study as a small site that opens from disk, with indexes of sets, pieces and terms.

``index.html`` lists the lessons with what each covers; ``sets.html``, ``pieces.html`` and ``terms.html`` lead to the
very section of a lesson in which a thing stands; each lesson is its own page, as it is built alone, with the way to
its neighbours, and a PDF. What the indexes say is read off the lessons themselves
(`sonorarium.lesson.courses.ledger`, `sonorarium.lesson.courses.glossary`). Every page is one file with its fonts
inside; nothing is fetched and nothing runs. Building twice gives identical files; files of an earlier build that are
no longer made are named, not deleted.
"""

from __future__ import annotations

import re
from collections.abc import Container, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import groupby, pairwise
from pathlib import Path

import jinja2
from markdown_it.token import Token
from markupsafe import Markup

from sonorarium.errors import InputError, NothingFoundError, SonorariumError
from sonorarium.files import write_whole
from sonorarium.lesson.assets import asset, environment
from sonorarium.lesson.building import Lesson, build_lesson, read_lesson
from sonorarium.lesson.courses.gaps import gaps
from sonorarium.lesson.courses.glossary import glossary, terms_used
from sonorarium.lesson.courses.ledger import LEAST, Ledger, Meeting, read_ledger
from sonorarium.lesson.forms.webpage import fonts_inside
from sonorarium.lesson.illustrations.blocks import Figure
from sonorarium.lesson.illustrations.surveys import strip_of
from sonorarium.lesson.roles import signed
from sonorarium.pcs.pcset import PcSet
from sonorarium.study.card import stem_of
from sonorarium.study.folder import Study

INDEXES = (("index.html", "Lessons"), ("sets.html", "Sets"), ("pieces.html", "Pieces"), ("terms.html", "Terms"))
"""The pages besides the lessons, and what they are called."""


@dataclass(frozen=True)
class Place:
    """Where something stands in a course: a link, its words, and a note.

    Parameters
    ----------
    href, words, note : str
    """

    href: str
    words: str
    note: str = ""


@dataclass(frozen=True, eq=False)
class Chapter:
    """One lesson of a course.

    Parameters
    ----------
    number : int
        From 1.
    name : str
        Its place in the study.
    lesson : Lesson
    """

    number: int
    name: str
    lesson: Lesson

    @property
    def page(self) -> str:
        """Its page in the site."""
        return f"{self.lesson.path.stem}.html"

    @property
    def title(self) -> str:
        """Its title."""
        return str(self.lesson.page.head.get("title", self.lesson.path.stem))

    @cached_property
    def sections(self) -> tuple[tuple[int, str, str], ...]:
        """Line, anchor and title of each heading, in order."""
        tokens, taken, found = self.lesson.page.tokens, set[str](), []
        for heading, words in pairwise(tokens):
            if heading.type == "heading_open" and heading.map:
                title = _words(words)
                anchor = _free(stem_of(title), taken)
                found.append((heading.map[0] + 1, anchor, title))
        return tuple(found)

    def with_links(self, indexed: Container[str] = ()) -> Lesson:
        """The lesson, its headings marked so that they can be linked to, its roles linked to the index of sets.

        Parameters
        ----------
        indexed : container of str
            Names in the index of sets.
        """
        of_line = {line: anchor for line, anchor, _ in self.sections}
        for token in self.lesson.page.tokens:
            if token.type == "heading_open" and token.map:
                token.attrSet("id", of_line[token.map[0] + 1])
            for child in token.children or ():
                if child.meta.get("title") in indexed:
                    child.meta["href"] = f"sets.html#{stem_of(child.meta['title'])}"
        return self.lesson

    def place(self, line: int, note: str = "") -> Place:
        """The section that a line stands in."""
        above = [(anchor, title) for at, anchor, title in self.sections if at <= line]
        if not above:
            return Place(self.page, f"{self.number} {self.title}", note)
        anchor, title = above[-1]
        return Place(f"{self.page}#{anchor}", f"{self.number} {title}", note)


@dataclass(frozen=True)
class Course:
    """A course as it was built.

    Parameters
    ----------
    files : tuple of Path
        What was written.
    remarks : tuple of str
        What was cut, guessed or not proved, with the lesson and its line; and what was left in the folder.
    """

    files: tuple[Path, ...]
    remarks: tuple[str, ...]


def build_course(study: Study, folder: Path, *, paper: str = "a4", allow_false: bool = False) -> Course:
    """Build all lessons of a study into a site.

    Parameters
    ----------
    study : Study
    folder : Path
        Made where it is missing.
    paper : str
        Of the PDF files: ``a4`` or ``us-letter``.
    allow_false : bool
        Build although a lesson states something false.

    Raises
    ------
    NothingFoundError
        Where the study has no lessons.
    InputError
        Where a lesson cannot be read, is called like one of the course's own pages, or, as a `ClaimError`, states
        something false.
    """
    chapters = _chapters(study, allow_false=allow_false)
    ledger = read_ledger(study)
    indexed = {*(signed(m.title) for m in ledger.meetings if m.collection), *(one.label for one in ledger.by_class)}
    files: list[Path] = []
    for at, chapter in enumerate(chapters):
        made = build_lesson(chapter.with_links(indexed), folder, forms=("html", "pdf"), paper=paper)
        _add_navigation(made[0], chapters, at)
        files += made
    for page, text in _indexes(study, chapters, ledger).items():
        write_whole(folder / page, text.encode())
        files.append(folder / page)
    return Course(tuple(files), (*_remarks(chapters), *_left_over(folder, files)))


def _chapters(study: Study, *, allow_false: bool) -> list[Chapter]:
    chapters = []
    for number, path in enumerate(study.lessons(), start=1):
        name = path.relative_to(study.folder).as_posix()
        if f"{path.stem}.html".lower() in dict(INDEXES):
            raise InputError(
                f"The lesson {name} is called like a page of the course.", value=name, suggestion="Rename its file."
            )
        try:
            chapters.append(Chapter(number, name, read_lesson(path, study, allow_false=allow_false)))
        except SonorariumError as error:
            error.sentence = f"{name}: {error.sentence}"
            raise
    if not chapters:
        raise NothingFoundError(
            f"The study {study.folder} has no lessons.",
            value=study.folder,
            suggestion=f"Write one as a Markdown file in {study.lessons_name}.",
        )
    return chapters


def _remarks(chapters: Sequence[Chapter]) -> tuple[str, ...]:
    return tuple(f"{chapter.name}, {remark}" for chapter in chapters for remark in chapter.lesson.remarks)


def _left_over(folder: Path, files: list[Path]) -> tuple[str, ...]:
    there = (path for path in folder.iterdir() if path.suffix in (".html", ".pdf") and path not in files)
    return tuple(f"{path.name} lies in the folder from before and is no part of the course" for path in sorted(there))


# --- pages --------------------------------------------------------------------------------------------------------


def _environment() -> jinja2.Environment:
    return environment("course", lstrip_blocks=True)


def _css() -> str:
    return asset("course/course.css")


def _add_navigation(file: Path, chapters: Sequence[Chapter], at: int) -> None:
    """Put the way through the course into the page of a lesson."""
    templates = _environment()
    around = [chapters[i] if 0 <= i < len(chapters) else None for i in (at - 1, at + 1)]
    above = templates.get_template("nav.html").render(pages=INDEXES, here="")
    below = templates.get_template("turn.html").render(before=around[0], after=around[1])
    text = file.read_text(encoding="utf-8")
    for place, added in (
        ("</style>", f"{_css()}</style>"),
        ("<main>", f"{above}<main>"),
        ("</main>", f"</main>{below}"),
    ):
        before, found, after = text.partition(place)
        text = f"{before}{added}{after}" if found else text
    write_whole(file, text.encode())


def _indexes(study: Study, chapters: Sequence[Chapter], ledger: Ledger) -> dict[str, str]:
    by_name = {chapter.name: chapter for chapter in chapters}
    contents: dict[str, Mapping[str, object]] = {
        "index.html": {
            "author": study.author,
            "lessons": _lesson_rows(chapters, ledger),
            "overlap": ledger.overlap(),
        },
        "sets.html": {"groups": _set_groups(by_name, ledger)},
        "pieces.html": {"pieces": _piece_rows(chapters), "unused": gaps(ledger, study).pieces},
        "terms.html": {"terms": _term_rows(chapters, study)},
    }
    templates = _environment()
    style = Markup(asset("page.css") + _css())
    shared = {"title": study.title or "A course", "fonts": Markup(fonts_inside()), "style": style}
    nav = templates.get_template("nav.html")
    return {
        page: templates.get_template(page).render(
            **shared, **contents[page], nav=Markup(nav.render(pages=INDEXES, here=page))
        )
        for page, _ in INDEXES
    }


def _lesson_rows(chapters: Sequence[Chapter], ledger: Ledger) -> list[dict[str, object]]:
    rows: list[dict[str, object]] = []
    met: set[object] = set()
    for chapter, entry in zip(chapters, ledger.entries, strict=True):
        shown, every = set(entry.classes("shown")), set(entry.classes())
        rows.append(
            {
                "page": chapter.page,
                "paper": f"{chapter.lesson.path.stem}.pdf",
                "title": chapter.title,
                "subtitle": chapter.lesson.page.head.get("subtitle", ""),
                "collections": [signed(meeting.title) for meeting in entry.collections],
                "shown": len(shown),
                "listed": len(every - shown),
                "fresh": len(every - met) if met else None,
            }
        )
        met |= every
    return rows


# --- the index of sets --------------------------------------------------------------------------------------------

_SIZES = ("", "", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")


def _set_groups(chapters: Mapping[str, Chapter], ledger: Ledger) -> list[dict[str, object]]:
    scales: dict[str, list[Meeting]] = {}
    for meeting in ledger.meetings:
        if meeting.collection:
            scales.setdefault(meeting.title, []).append(meeting)
    groups: list[dict[str, object]] = []
    if scales:
        rows = [_row(signed(title), scales[title][0].pcset, scales[title], chapters) for title in sorted(scales)]
        groups.append({"title": "Scales", "head": "scale", "rows": rows})
    classes = [one for one in ledger.by_class if one.cardinality >= LEAST]
    for size, of_size in groupby(classes, key=lambda one: one.cardinality):
        rows = [_row(one.label, one.representative, ledger.by_class[one], chapters) for one in of_size]
        groups.append({"title": f"Classes of {_SIZES[size]} notes", "head": "class", "rows": rows})
    return groups


def _row(name: str, pcset: PcSet, met: Iterable[Meeting], chapters: Mapping[str, Chapter]) -> dict[str, object]:
    meetings = list(met)
    shown = {(m.lesson, chapters[m.lesson].place(m.line).href) for m in meetings if m.depth == "shown"}
    places: dict[Place, None] = {}
    for meeting in meetings:
        at = chapters[meeting.lesson].place(meeting.line)
        if meeting.depth == "shown":
            places[at] = None
        elif (meeting.lesson, at.href) not in shown:
            places[Place(at.href, at.words, "listed")] = None
    root = meetings[0].root if meetings[0].collection else None
    first = pcset.pcs[0] if root is None else root
    heights = tuple(sorted((pc - first) % 12 for pc in pcset))
    svg = strip_of(heights, name, root=None if root is None else 0)
    return {"name": name, "anchor": stem_of(name), "svg": Markup(svg), "places": list(places)}


# --- the indexes of pieces and of terms -----------------------------------------------------------------------------


def _piece_rows(chapters: Sequence[Chapter]) -> list[dict[str, object]]:
    """Every piece used, with the bars shown and what the caption says, from what the directives made."""
    places: dict[str, list[Place]] = {}
    rights_of: dict[str, str] = {}
    for chapter in chapters:
        for directive in chapter.lesson.page.directives:
            for block in chapter.lesson.made[directive.line].blocks:
                if not isinstance(block, Figure) or not block.source:
                    continue
                cited = re.fullmatch(r"(.*?), (bars? [^.]*)\. (.*)", block.source, re.DOTALL)
                title, bars, rights = cited.groups() if cited else (block.source, "", "")
                wanted = directive.options.get("set", "")
                note = f"{bars}{f', {signed(wanted)}' if wanted else ''}"
                rights_of.setdefault(title, rights)
                places.setdefault(title, []).append(chapter.place(directive.line, note))
    return [{"title": title, "rights": rights_of[title], "places": places[title]} for title in sorted(places)]


def _term_rows(chapters: Sequence[Chapter], study: Study) -> list[dict[str, object]]:
    entries = glossary(study)
    places: dict[str, dict[Place, None]] = {}
    for chapter in chapters:
        for entry, lines in terms_used(chapter.lesson.page, entries).items():
            places.setdefault(entry.term, {}).update(dict.fromkeys(map(chapter.place, lines)))
    return [
        {"term": entry.term, "says": entry.says, "anchor": stem_of(entry.term), "places": list(places[entry.term])}
        for entry in entries
        if entry.term in places
    ]


def _words(inline: Token) -> str:
    """The plain text of a heading."""
    return "".join(child.content for child in inline.children or ()).strip()


def _free(anchor: str, taken: set[str]) -> str:
    name, number = anchor, 1
    while name in taken:
        number += 1
        name = f"{anchor}-{number}"
    taken.add(name)
    return name
