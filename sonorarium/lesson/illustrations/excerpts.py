"""Excerpts in a lesson: a passage engraved from its own score, its notes marked, heard, with its source."""

from __future__ import annotations

import hashlib
from collections.abc import Collection

from sonorarium.errors import NothingFoundError
from sonorarium.lesson.cache import kept_drawing
from sonorarium.lesson.illustrations.blocks import Figure, Made
from sonorarium.lesson.illustrations.examples import bars_of
from sonorarium.lesson.illustrations.sounds import clip_of
from sonorarium.lesson.markdown import Directive
from sonorarium.lesson.roles import signed
from sonorarium.pcs.subject import subject
from sonorarium.render.engraving import Engraving, PassageLook, engrave_passage
from sonorarium.render.hearing import hear_bars
from sonorarium.score.barnames import bar_range, bars_in_words
from sonorarium.score.reading import read_score
from sonorarium.score.score import Score
from sonorarium.score.search.finding import find_best
from sonorarium.score.search.passage import Passage
from sonorarium.score.search.query import KINDS, Query
from sonorarium.study.folder import Study

LOOK = PassageLook(width_mm=160.0, part_names=False)

MOST_BARS = 24
"""An excerpt longer than this is cut, and the cut is said: a page is for reading, not for the whole piece."""


def make_passage(directive: Directive, study: Study) -> Made:
    """The passage directive: some bars of a piece, the notes of a set marked."""
    score = read_score(study.inside(directive.argument))
    bars = bar_range(score, directive.options.get("bars", ""))
    passage = _searched(directive, score, bars) if "set" in directive.options else None
    if passage is not None and "bars" not in directive.options:
        bars = passage.bar_indices
    remarks = []
    if bars[1] - bars[0] >= MOST_BARS:
        bars = bars[0], bars[0] + MOST_BARS - 1
        remarks.append(f"only the first {MOST_BARS} bars are shown; name the bars to choose others")
    drawing = engraved_bars(score, bars, marked_rows=passage.rows if passage else ())
    clip = clip_of(hear_bars(score, *bars)) if directive.choice("sound", ("yes", "no")) == "yes" else None
    caption = directive.body or _caption(score, bars, passage)
    source, example = source_line(score, bars), bars_of(score, bars)
    figure = Figure(drawing.svg, drawing.description, caption, source, clip, drawing.width_mm, example)
    return Made((figure,), (*remarks, *drawing.remarks))


def engraved_bars(
    score: Score, bars: tuple[int, int], *, marked_rows: Collection[int] = (), look: PassageLook = LOOK
) -> Engraving:
    """Engrave some bars with certain notes marked, or take the drawing from the cache where it was made before.

    The recipe holds the digest of the file, and all that the drawing takes from the score besides: corrections that
    lie beside a file change the score, not the file.
    """
    rows = tuple(int(row) for row in marked_rows)
    told = (score.title, score.composer, score.parts, score.bars["label"].tolist()[bars[0] : bars[1] + 1])
    elements = hashlib.sha256(score.element_note.tobytes()).hexdigest()
    recipe = f"bars {score.digest} {bars} {rows} {look} {told} {elements}"
    return kept_drawing(recipe, lambda: engrave_passage(score, *bars, marked_rows=rows, look=look))


def _searched(directive: Directive, score: Score, bars: tuple[int, int]) -> Passage:
    """The passage asked for: the best, or the n-th best, inside the bars named."""
    kind = directive.choice("kind", ("texture", *(k for k in KINDS if k != "texture")))
    rank = directive.number("rank", 1, least=1, most=999)
    query = Query.of(directive.options["set"], kind=kind)
    found = [p for p in find_best(score, query).passages if _touches(p, bars)]
    if rank > len(found):
        number = {0: "none", 1: "only 1"}.get(len(found), f"only {len(found)}")
        wanted = subject(directive.options["set"]).title
        where = f"{score.title}, {bars_in_words(score, *bars)}"
        raise NothingFoundError(
            f"{where}, has {number} of the {kind} passages of {wanted} asked for.",
            value=directive.options["set"],
            suggestion="Choose another kind, rank or piece.",
        )
    return found[rank - 1]


def _touches(passage: Passage, bars: tuple[int, int]) -> bool:
    return passage.bar_indices[0] <= bars[1] and passage.bar_indices[1] >= bars[0]


def _caption(score: Score, bars: tuple[int, int], passage: Passage | None) -> str:
    where = f"{score.title}, {bars_in_words(score, *bars)}"
    return f"{where}: {passage.label} as {passage.kind}, its notes framed." if passage else f"{where}."


def source_line(score: Score, bars: tuple[int, int]) -> str:
    """Composer, title, bars and rights of an excerpt; what the file does not state is said to be unknown."""
    rights = score.rights or "rights not stated in the file: check before you hand this out"
    title = signed(score.title) or (score.path.stem if score.path else "untitled")
    return f"{score.composer or 'composer not stated'}, {title}, {bars_in_words(score, *bars)}. {rights}."
