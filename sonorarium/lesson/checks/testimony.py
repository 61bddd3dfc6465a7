"""Statements on scores: what the bars of a piece use, and where the passages of a set are.

A piece is named by its place in the study (``pieces/1-saffron-evening.musicxml``) or by its title, where exactly one
file of the study is called so ("Saffron Evening" for ``1-saffron-evening``). Bars are the printed numbers.

* **use exactly** and **are exactly**: the pitch classes that sound in the bars, notes held over from before included,
  are the set, neither more nor fewer. **use only**, **lie in**: they are among its notes.
* **The best** passage is the first of `sonorarium.score.search.finding`; it "is" the bars from its first to its last.
"""

from __future__ import annotations

import re
from functools import lru_cache
from pathlib import Path
from typing import cast

import numpy as np

from sonorarium.errors import InputError, SonorariumError
from sonorarium.lesson.checks.statements import Asked, Form
from sonorarium.lesson.checks.terms import Setting, Term, number
from sonorarium.lesson.checks.verdicts import Outcome
from sonorarium.pcs.pcset import PcSet
from sonorarium.pcs.spelling import spell_freely
from sonorarium.score.barnames import bar_range, bars_in_words
from sonorarium.score.reading import read_score
from sonorarium.score.score import Score
from sonorarium.score.search.finding import find_best
from sonorarium.score.search.query import Kind, Query


def _score(asked: Asked) -> Score | None:
    place = piece(asked.said("piece"), asked.setting) if asked.said("piece") else None
    return _read(place, place.stat().st_mtime_ns) if place else None


@lru_cache(maxsize=8)
def _read(place: Path, changed_ns: int) -> Score:
    """A score, kept as long as its file does not change: a lesson speaks of one piece many times."""
    return read_score(place)


def piece(name: str, setting: Setting) -> Path | None:
    """The score that a statement names, by its place in the study or by its title; None where there is none."""
    if setting.study is None:
        return None
    if "." in name:
        try:
            return setting.study.inside(name.strip("`'\""))
        except InputError:
            return None
    wanted = _slug(name)
    found = [path for path in setting.study.pieces() if re.sub(r"^\d+-", "", _slug(path.stem)) == wanted]
    return found[0] if len(found) == 1 and wanted else None


def _slug(text: str) -> str:
    return "-".join(re.findall(r"[a-z0-9]+", text.lower()))


def _range(asked: Asked, score: Score) -> tuple[int, int] | None:
    found = re.sub(r"\s*(?:to|–)\s*", "-", re.sub(r"^bars?\s+", "", asked.said("bars"), flags=re.IGNORECASE))
    try:
        return bar_range(score, found)
    except InputError:
        return None


def heard(score: Score, first_bar: int, last_bar: int) -> PcSet:
    """Pitch classes that sound in some bars, notes held over from before included."""
    start = int(score.bars["onset"][first_bar])
    end = int(score.bars["onset"][last_bar] + score.bars["duration"][last_bar])
    notes = score.notes[score.sounding]
    there = (notes["onset"] < end) & (notes["onset"] + notes["duration"] > start)
    return PcSet(np.unique(notes["pitch"][there] % 12).tolist())


def _use(asked: Asked) -> Outcome | None:
    score, term = _score(asked), asked.one("a")
    if score is None:
        return None
    bars = _range(asked, score)
    if bars is None:
        return Outcome(False, f"{score.title} has no {asked.said('bars')}")
    sounding = heard(score, *bars)
    right = _within(sounding, term) if asked.said("only") else _exactly(sounding, term)
    if right is None:
        return None
    names = " ".join(note.sign for note in spell_freely(sounding.normal_order))
    truth = f"in {bars_in_words(score, *bars)} of {score.title} sound {names or 'no notes'} ({sounding.label})"
    return Outcome(right, truth)


def _exactly(sounding: PcSet, term: Term) -> bool | None:
    if term.given:
        return sounding in term.given
    return sounding == term.pcset if term.sort == "place" else sounding.label == term.pcset.label


def _within(sounding: PcSet, term: Term) -> bool | None:
    if term.sort == "place":
        return sounding <= term.pcset
    return None


def _query(asked: Asked, term: Term) -> Query | None:
    subject = term.given if term.given else term.pcset
    if term.sort == "shape":
        return None
    try:
        return Query(subject, (cast(Kind, asked.said("sort").lower()),))
    except InputError:
        return None


def _best(asked: Asked) -> Outcome | None:
    score, query = _score(asked), _query(asked, asked.one("a"))
    if score is None or query is None:
        return None
    found = find_best(score, query, limit=number(asked.said("nth")) if asked.said("nth") else 1).passages
    rank = number(asked.said("nth")) if asked.said("nth") else 1
    if len(found) < rank:
        return Outcome(False, f"{score.title} has no such {asked.said('sort')} of {asked.one('a').title}")
    bars = found[rank - 1].bar_indices
    return Outcome(_range(asked, score) == bars, f"it is {bars_in_words(score, *bars)} of {score.title}")


def _count(asked: Asked) -> Outcome | None:
    score, query = _score(asked), _query(asked, asked.one("a"))
    if score is None or query is None:
        return None
    count = find_best(score, query, limit=1).count
    truth = f"{score.title} has {count} passages of {asked.one('a').title} as {asked.said('sort')}"
    return Outcome(count == number(asked.said("n")), truth)


def guarded(asked: Asked, what: str) -> Outcome | None:
    """Weigh a statement on a score; a score that cannot be read leaves it not understood."""
    try:
        return {"use": _use, "best": _best, "count": _count}[what](asked)
    except SonorariumError:
        return None


_OF = r"(?:of|in) (?P<piece>\S+\.(?:musicxml|mxl|xml)|(?-i:[A-Z])[\w' ]+?)"
_EXACTLY = "(?:use|uses|are|is|sound|sounds|has|have|state|states) exactly"
_ONLY = (
    r"(?P<only>(?:use|uses) only (?:the )?notes of|(?:use|uses) nothing but|(?:use|uses) only|"
    r"(?:lie|lies|stay|stays) (?:in|inside|within)|(?:keep|keeps) to)"
)

FORMS = (
    Form(
        "bars",
        (rf"<bars> {_OF} {_EXACTLY} (?:the notes of )?<a>", rf"<bars> {_OF} {_ONLY} <a>"),
        lambda asked: guarded(asked, "use"),
        (
            "bars 3 to 10 of pieces/1-saffron-evening.musicxml use exactly D double harmonic",
            "bars 9-12 of pieces/4-boat-without-oars.musicxml use only notes of F double harmonic",
        ),
        turns=True,
    ),
    Form(
        "best passage",
        (
            rf"the (?:<nth>[- ])?best <sort> of <a> {_OF} (?:is|lies in|is in|is found in) <bars>",
            rf"<bars> (?:is|are) the (?:<nth>[- ])?best <sort> of <a> {_OF}",
        ),
        lambda asked: guarded(asked, "best"),
        ("the best texture of 5-15 in pieces/1-saffron-evening.musicxml is bars 26-29",),
        turns=True,
    ),
    Form(
        "number of passages",
        (r"(?P<piece>\S+\.(?:musicxml|mxl|xml)|(?-i:[A-Z])[\w' ]+?) has <n> <sort>s? of <a>",),
        lambda asked: guarded(asked, "count"),
        ("pieces/5-clockwork-moth.musicxml has no texture of 7-22",),
    ),
)
"""The forms of this module."""
