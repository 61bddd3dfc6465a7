"""``sonorarium trace``, ``scape`` and ``here``: what a piece is built on, seen whole, and what lies in some bars."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import numpy as np
import typer

from sonorarium.cli import sheet
from sonorarium.cli.output import Json, console, plain_table, print_json
from sonorarium.errors import InputError, NothingFoundError
from sonorarium.settings import read_settings

if TYPE_CHECKING:
    from sonorarium.score.analysis.landscape import Landscape
    from sonorarium.score.analysis.span import Span
    from sonorarium.score.analysis.stretch import Readings

ScoreFile = Annotated[Path, typer.Argument(metavar="SCORE", help="A score.")]
Parts = Annotated[list[str] | None, typer.Option("--part", help="Only this part, by its printed name; repeatable.")]
FamilyName = Annotated[str, typer.Option("--family", "-f", help="The collections: a family by name, or a TOML file.")]
Picture = Annotated[Path | None, typer.Option("--out", "-o", help="Draw it: .svg or .png.")]


def trace_command(
    score_file: ScoreFile,
    family: FamilyName = "",
    part: Parts = None,
    metre: Annotated[bool, typer.Option("--metre", help="Weigh notes by their place in the bar.")] = False,
    out: Picture = None,
    as_json: Json = False,
) -> None:
    """The collection that each stretch of a piece is built on, how sure that is, and what else it might be."""
    from sonorarium.render.ribbon import draw_ribbon
    from sonorarium.score.analysis.tracemodel import TraceOptions
    from sonorarium.score.analysis.tracing import trace
    from sonorarium.score.reading import read_score

    among = sheet.family_named(family or read_settings().family)
    score = read_score(score_file)
    spans = trace(score, among, parts=part or (), options=TraceOptions(metrical=0.5) if metre else None)
    if not spans:
        raise NothingFoundError(f"{score_file} has no notes to read.", value=score_file)
    if as_json:
        print_json("trace", {"score": str(score_file), "family": among.name, "spans": [s.as_dict() for s in spans]})
    else:
        console().print(f"{score.title or score_file.name}, read by {among.name}", soft_wrap=True)
        for span in spans:
            _print_span(span)
    if out:
        _draw(draw_ribbon(spans), out)


def _print_span(span: Span) -> None:
    out = console()
    out.print(f"\n{span.sentence}", soft_wrap=True)
    others = [f"{one.name} ({one.log_odds:+.1f})" for one in span.readings[1:4]]
    if others:
        out.print(f"    next: {'; '.join(others)}  (natural logarithm of the odds)", soft_wrap=True)
    if span.centre:
        out.print(f"    centre: {span.centre.sentence}", soft_wrap=True)


def scape_command(
    score_file: ScoreFile,
    like: Annotated[str, typer.Option(help="A set or class: show how like each segment is to it.")] = "",
    family: FamilyName = "",
    bars: Annotated[str, typer.Option(help="Ask about these bars: what is this segment?")] = "",
    part: Parts = None,
    out: Picture = None,
    as_json: Json = False,
) -> None:
    """Every segment of a piece at every length, with its class: what the piece is made of, as image or list."""
    from sonorarium.score.analysis.landscape import landscape
    from sonorarium.score.barnames import bar_range
    from sonorarium.score.reading import read_score

    score = read_score(score_file)
    scape = landscape(score, part or ())
    rows = _class_rows(scape)
    asked = None
    if bars:
        first, last = (score.bars[k] for k in bar_range(score, bars))
        asked = scape.segment(int(first["onset"]), int(last["onset"] + last["duration"]))
    if as_json:
        segment = {"bars": list(asked.bars), "label": asked.label, "pcs": list(asked.pcset.pcs)} if asked else None
        classes = [{"class": label, "segments": segments, "covers": covers} for label, segments, covers in rows]
        found = {"score": str(score_file), "slices": scape.slices, "segments": len(scape), "merged": scape.merged}
        print_json("scape", found | {"classes": classes, "segment": segment})
    else:
        _print_scape(scape, rows[:16])
        if asked:
            console().print(f"\n{asked.sentence}", soft_wrap=True)
    if out:
        _draw(_scape_picture(scape, like, family), out)


def _class_rows(scape: Landscape) -> list[tuple[str, float, float]]:
    """Label, share of all segments, and share of the slices that lie in a segment of the class; most first."""
    from sonorarium.pcs import catalogue

    shares, covers = scape.class_vector(), scape.class_matrix.mean(axis=1)
    labels = catalogue.tni_labels()
    order = np.argsort(-shares, kind="stable")
    return [
        (labels[k], round(float(shares[k]), 6), round(float(covers[k]), 6)) for k in order.tolist() if shares[k] > 0
    ]


def _print_scape(scape: Landscape, rows: list[tuple[str, float, float]]) -> None:
    out = console()
    merged = f", {scape.merged} neighbouring slices taken as one" if scape.merged > 1 else ""
    out.print(f"{scape.slices} slices, {len(scape):,} segments{merged}")
    table = plain_table("class", "of all segments", "covers of the piece")
    for label, share, cover in rows:
        table.add_row(label, f"{share:.1%}", f"{cover:.1%}")
    out.print(table)


def _scape_picture(scape: Landscape, like: str, family: str) -> str:
    from sonorarium.pcs.reading import read_set
    from sonorarium.pcs.setclass import SetClass
    from sonorarium.render.scape import draw_likeness, draw_members

    if like:
        meant = read_set(like)
        return draw_likeness(scape, meant if isinstance(meant, SetClass) else meant.pcset, name=like)
    return draw_members(scape, sheet.family_named(family or read_settings().family))


def here_command(
    score_file: ScoreFile,
    bars: Annotated[str, typer.Argument(help="Printed bars: 9, or 9-12; the whole piece without.")] = "",
    family: FamilyName = "",
    part: Parts = None,
    as_json: Json = False,
) -> None:
    """What is in some bars: the verticals, the lines, the whole, chord names, and the collections that hold it."""
    from sonorarium.score.analysis.stretch import read_stretch
    from sonorarium.score.reading import read_score

    among = sheet.family_named(family or read_settings().family)
    found = read_stretch(read_score(score_file), bars, parts=part or (), family=among)
    if as_json:
        print_json("here", {"score": str(score_file), **_here_document(found)})
    else:
        _print_here(found)


def _here_document(found: Readings) -> dict[str, object]:
    verticals = [
        {"onset": v.onset, "end": v.end, "notes": list(v.notes), "label": v.label, "name": v.symbol}
        for v in found.verticals
    ]
    lines = [
        {"part": one.part, "voice": one.voice, "notes": list(one.notes), "label": one.label} for one in found.lines
    ]
    holders = [
        {"name": h.member.name, "inside": h.inside, "foreign": list(h.foreign), "missing": list(h.missing)}
        for h in found.collections
    ]
    names = [reading.symbol for reading in found.naming.readings] if found.naming else []
    return {
        "where": found.where,
        "whole": {"pcs": list(found.whole.pcs), "label": found.whole.label, "names": names},
        "verticals": verticals,
        "lines": lines,
        "collections": holders,
        "scales": [scale.name for scale in found.scales],
    }


def _print_here(found: Readings) -> None:
    out = console()
    out.print(f"{found.where}: {sheet.shown_set(found.whole)}", soft_wrap=True)
    if found.naming and found.naming.readings:
        out.print(f"  chord: {', '.join(reading.symbol for reading in found.naming.readings[:4])}", soft_wrap=True)
    table = plain_table("collection", "inside", "missing", title="\nCollections that hold it, or most of it")
    for h in found.collections:
        table.add_row(
            h.member.name, f"{h.inside:.0%}", " ".join(n.sign for n in h.member.spelling if n.pc in h.missing)
        )
    out.print(table)
    table = plain_table("part", "voice", "class", "notes", title="\nLines")
    for one in found.lines:
        table.add_row(one.part, one.voice, one.label, " ".join(one.notes))
    out.print(table)
    table = plain_table("bar", "name", "class", "notes", title="\nVerticals")
    for v in found.verticals:
        table.add_row(str(v.place.bar), v.symbol, v.label, " ".join(v.notes))
    out.print(table)


def _draw(svg: str, out: Path) -> None:
    from sonorarium.files import write_whole
    from sonorarium.render.typesetting import PAPER, paint

    suffix = out.suffix.lower()
    if suffix not in (".svg", ".png"):
        raise InputError(f"{out.name} is no picture.", value=out, suggestion="Use .svg or .png.")
    write_whole(out, svg.encode() if suffix == ".svg" else paint(svg, 2400, paper=PAPER))
    print(out)
