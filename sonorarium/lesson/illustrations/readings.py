"""Readings of a piece in a lesson: the ribbon of its collections, and the landscape of all of its segments."""

from __future__ import annotations

from collections.abc import Sequence

from sonorarium.errors import InputError, NothingFoundError
from sonorarium.lesson.illustrations.blocks import Block, Cell, Figure, Made, Table
from sonorarium.lesson.illustrations.excerpts import source_line
from sonorarium.lesson.illustrations.sounds import clip_of
from sonorarium.lesson.markdown import Directive
from sonorarium.lesson.roles import signed
from sonorarium.pcs.families import default_family, find_family
from sonorarium.pcs.family import Family
from sonorarium.pcs.reading import read_set
from sonorarium.pcs.setclass import SetClass
from sonorarium.pcs.spelling import read_note
from sonorarium.pcs.subject import subject
from sonorarium.render.hearing import hear_bars
from sonorarium.render.ribbon import draw_ribbon
from sonorarium.render.scape import draw_likeness, draw_members
from sonorarium.render.sound import Clip
from sonorarium.score.analysis.landscape import landscape
from sonorarium.score.analysis.span import Span
from sonorarium.score.analysis.tracing import trace
from sonorarium.score.barnames import bar_range, bars_in_words
from sonorarium.score.reading import read_score
from sonorarium.score.score import Score
from sonorarium.study.folder import Study


def make_trace(directive: Directive, study: Study) -> Made:
    """The trace directive: the collections of a piece over its bars."""
    score = read_score(study.inside(directive.argument))
    bars = bar_range(score, directive.options.get("bars", ""))
    family = _family(directive)
    every = trace(score, family, parts=directive.words("parts", ""))
    spans = [span for span in every if span.bar_indices[0] <= bars[1] and span.bar_indices[1] >= bars[0]]
    if not spans:
        raise NothingFoundError(f"{_title(score)} has no notes to read there.", value=directive.argument)
    lowest = read_note(directive.options.get("lowest", "C")).pc
    words = f"The collections of {_title(score)}, {bars_in_words(score, *bars)}, by {family.name}."
    told = " ".join(span.sentence for span in spans)
    figure = Figure(
        draw_ribbon(spans, lowest=lowest),
        f"{words} {told}",
        directive.body or f"{words} {_KEY}",
        source_line(score, bars),
        _clip(directive, score, bars),
        160.0,
    )
    blocks: tuple[Block, ...] = (figure,)
    if directive.choice("table", ("no", "yes")) == "yes":
        blocks = (figure, _table(spans, _title(score)))
    return Made(blocks)


_KEY = (
    "Filled: of the collection, and heard; empty: of the collection, not heard; ring: heard, but foreign; strokes: "
    "heard where no collection is claimed. The triangle marks the likely centre."
)


def _table(spans: Sequence[Span], title: str) -> Table:
    rows = tuple(
        (
            Cell(str(i), strong=True),
            Cell(span.bars[0] if span.bars[0] == span.bars[1] else f"{span.bars[0]}–{span.bars[1]}"),
            Cell(
                signed(span.collection.name) if span.collection else span.verdict,
                strong=bool(span.collection),
            ),
            Cell(span.label if span.heard else "–"),
            Cell(f"{span.inside:.0%}".replace("%", " %") if span.readings else "–"),
            Cell(", ".join(signed(reading.name) for reading in span.readings[1:3]) or "–"),
        )
        for i, span in enumerate(spans, 1)
    )
    heads = ("", "bars", "collection", "heard", "inside", "next nearest")
    return Table(f"The collections of {title}", heads, rows, "Inside: share of the sounding time inside the reading.")


def make_landscape(directive: Directive, study: Study) -> Made:
    """The landscape directive: every segment of a piece, by likeness to a set or by collection."""
    if "set" in directive.options and "family" in directive.options:
        raise InputError("a landscape shows likeness to a set or the members of a family, not both.")
    score = read_score(study.inside(directive.argument))
    scape = landscape(score, directive.words("parts", ""))
    if not scape.slices:
        raise NothingFoundError(f"{_title(score)} has no notes to read.", value=directive.argument)
    if "set" in directive.options:
        text = directive.options["set"]
        meant = read_set(text)
        drawing = draw_likeness(scape, meant if isinstance(meant, SetClass) else meant.pcset)
        what = f"how like each segment is to {signed(subject(text).title)}"
    else:
        family = _family(directive)
        drawing = draw_members(scape, family)
        what = f"the member of {family.name} to which each segment belongs"
    whole = 0, len(score.bars) - 1
    axes = "Time runs across; short segments stand below, the whole piece at the top."
    words = f"The landscape of {_title(score)}: {what}. {axes}"
    found = f"{words} {len(scape):,} segments of {scape.slices} slices."
    merged = f"{scape.merged} neighbouring slices were taken as one: the piece is long" if scape.merged > 1 else ""
    figure = Figure(
        drawing,
        found,
        directive.body or words,
        source_line(score, whole),
        _clip(directive, score, whole),
        150.0,
    )
    return Made((figure,), (merged,) if merged else ())


def _family(directive: Directive) -> Family:
    return find_family(directive.options["family"]) if "family" in directive.options else default_family()


def _title(score: Score) -> str:
    return signed(score.title) or (score.path.stem if score.path else "the piece")


def _clip(directive: Directive, score: Score, bars: tuple[int, int]) -> Clip | None:
    wanted = directive.choice("sound", ("no", "yes")) == "yes"
    return clip_of(hear_bars(score, *bars)) if wanted else None
