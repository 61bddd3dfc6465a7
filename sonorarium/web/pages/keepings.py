"""Keepings: everything that was kept, to be looked through; and which sets earlier lessons have covered.

The cards are the study's own files. Nothing is changed here: words and tags are added where a thing is kept, and a
card is corrected or thrown away as the plain file that it is.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Annotated, Literal

from fastapi import Query, Request, Response

from sonorarium.errors import SonorariumError
from sonorarium.lesson.courses.ledger import Entry, read_entry
from sonorarium.pcs.subject import subject
from sonorarium.score.score import Score
from sonorarium.study.drawer import Unread
from sonorarium.study.folder import Study
from sonorarium.study.keepings import KeptPassage, kept_passages, score_of
from sonorarium.study.remarks import KeptSet, kept_sets
from sonorarium.study.sketches import Sketch, sketches
from sonorarium.web.answers import address, answer
from sonorarium.web.facts.drawings import strip_of
from sonorarium.web.pages.asking import Here, new_router
from sonorarium.web.room import KEY_LENGTH, Room

router = new_router("Keepings")

Kind = Literal["set", "passage", "sketch"]


@dataclass(frozen=True)
class KeptFacts:
    """One thing that was kept.

    Parameters
    ----------
    kind : str
        ``set``, ``passage`` or ``sketch``.
    title : str
        What it is headed by.
    sets : list of str
        Sets that it is, shows, or is made of, as they can be typed.
    labels : list of str
        Their classes.
    words : str
    tags : list of str
    kept : str
        The day, or empty.
    standing : str
        Of a passage: ``as kept``, ``changed`` or ``missing``; else empty.
    link, sound : str
        Where it is shown and heard; empty where it is not.
    card : str
        Its file in the study.
    """

    kind: Kind
    title: str
    sets: list[str]
    labels: list[str]
    words: str
    tags: list[str]
    kept: str
    standing: str
    link: str
    sound: str
    card: str


@dataclass(frozen=True)
class Covered:
    """What one lesson has been about."""

    lesson: str
    title: str
    collections: list[str]
    classes: list[str]


@dataclass(frozen=True)
class Keepings:
    """What was kept, and what lessons have covered.

    Parameters
    ----------
    text, tag, kind : str
        What was looked for.
    found : list of KeptFacts
    of : int
        How many there are altogether.
    tags : dict of str to int
        Every tag, and how many things carry it.
    unread : list of str
        Cards that could not be read, and why.
    lessons : list of Covered
    """

    text: str
    tag: str
    kind: str
    found: list[KeptFacts]
    of: int
    tags: dict[str, int]
    unread: list[str]
    lessons: list[Covered]


def keepings_of(room: Room, text: str = "", tag: str = "", kind: str = "") -> Keepings:
    """Everything kept in the study that a text, a tag and a kind let through, the latest first."""
    sets, passages = kept_sets(room.study), kept_passages(room.study)
    drawn, unread = sketches(room.study)
    everything = [
        *map(_set_facts, sets.sets),
        *(_passage_facts(room, one) for one in passages.passages),
        *(_sketch_facts(one) for one in drawn),
    ]
    found = [one for one in everything if _matches(one, text, tag, kind)]
    found.sort(key=lambda one: one.kept, reverse=True)
    covered, faults = covered_by(room.study)
    told = [*_told((*sets.unread, *passages.unread, *unread)), *faults]
    return Keepings(text, tag, kind, found, len(everything), _tags(everything), told, covered)


def covered_by(study: Study) -> tuple[list[Covered], list[str]]:
    """What each lesson of a study has been about, in their order; and sentences on those that cannot be read."""
    found, faults = [], []
    for path in study.lessons():
        try:
            entry = read_entry(path, study)
        except SonorariumError as error:
            faults.append(f"{path.name}: {error}")
            continue
        found.append(_covered(entry, path.stem))
    return found, faults


def _covered(entry: Entry, stem: str) -> Covered:
    classes = [one.label for one in entry.classes()]
    return Covered(stem, entry.title, list(dict.fromkeys(one.title for one in entry.collections)), classes)


def _told(unread: Iterable[Unread]) -> list[str]:
    return [one.reason for one in unread]


def _matches(one: KeptFacts, text: str, tag: str, kind: str) -> bool:
    """Whether every word of a text stands somewhere on the card, and tag and kind are those asked for."""
    card = " ".join((one.title, *one.sets, *one.labels, one.words, *one.tags)).casefold()
    tagged = not tag or tag.casefold() in map(str.casefold, one.tags)
    return tagged and kind in ("", one.kind) and all(word in card for word in text.casefold().split())


def _tags(everything: Iterable[KeptFacts]) -> dict[str, int]:
    counted: dict[str, int] = {}
    for one in everything:
        for tag in one.tags:
            counted[tag] = counted.get(tag, 0) + 1
    return dict(sorted(counted.items(), key=lambda pair: pair[0].casefold()))


def _label(text: str) -> str:
    try:
        return subject(text).pcset.label
    except SonorariumError:
        return ""


def _set_facts(one: KeptSet) -> KeptFacts:
    return KeptFacts(
        "set",
        one.what,
        [one.what],
        [_label(one.what)],
        one.words,
        list(one.tags),
        one.kept,
        "",
        address("/sheet", set=one.what),
        address("/sound", set=one.what),
        one.filed.path.name,
    )


def _passage_facts(room: Room, one: KeptPassage) -> KeptFacts:
    standing, link, sound = "missing", "", ""
    try:
        score = score_of(room.study, one)
        standing = "as kept" if score.digest == one.digest else "changed"
        first, last = bars_of(score, one)
        key = score.digest[:KEY_LENGTH]
        link = address("/score", piece=key, first=first, last=last, set=one.what)
        sound = address("/sound/bars", piece=key, first=str(first), last=str(last))
    except SonorariumError:
        pass  # the card stays; that its piece is missing is what is said of it
    return KeptFacts(
        "passage",
        f"{one.place}: {one.what} as {one.kind}",
        [one.what],
        [one.pcs.label],
        one.why,
        list(one.tags),
        one.filed.card.value("kept"),
        standing,
        link,
        sound,
        one.filed.path.name,
    )


def bars_of(score: Score, one: KeptPassage) -> tuple[int, int]:
    """Indices of the first and the last bar of a kept passage, by its place in time."""
    onsets = score.bars["onset"]
    ticks = score.ticks_per_quarter
    first = int(onsets.searchsorted(int(one.onset_quarters * ticks), side="right")) - 1
    last = int(onsets.searchsorted(max(int(one.end_quarters * ticks) - 1, 0), side="right")) - 1
    return max(first, 0), max(last, first, 0)


def _sketch_facts(one: Sketch) -> KeptFacts:
    line = line_of(one.words)
    return KeptFacts(
        "sketch",
        one.title,
        list(one.sets),
        [_label(text) for text in one.sets],
        one.words,
        list(one.tags),
        one.filed.card.value("kept"),
        "",
        address("/sketch", line=line) if line else "",
        address("/sound", set=line) if line else "",
        one.filed.path.name,
    )


def line_of(words: str) -> str:
    """The row of chords that a sketch's words begin with, between code marks; empty where there is none.

    >>> line_of("`Dm7; G7; C`"), line_of("Only words.")
    ('Dm7; G7; C', '')
    """
    first = words.strip().split("\n")[0].strip()
    return first[1:-1] if len(first) > 2 and first[0] == first[-1] == "`" else ""


@router.get("/keepings", response_model=Keepings)
def keepings(
    request: Request,
    room: Here,
    text: Annotated[str, Query(max_length=200, description="Words on the card.")] = "",
    tag: Annotated[str, Query(max_length=100)] = "",
    kind: Annotated[Literal["", "set", "passage", "sketch"], Query()] = "",
) -> Response:
    """What was kept, searched by words, tag and kind; and what lessons have covered."""
    facts = keepings_of(room, text, tag, kind)
    strips = {one.card: _strip(one.title) for one in facts.found if one.kind == "set"}
    return answer(request, "keepings.html", facts, strips=strips)


def _strip(text: str) -> str:
    try:
        return strip_of(subject(text))
    except SonorariumError:
        return ""
