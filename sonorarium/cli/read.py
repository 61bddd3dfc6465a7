"""``sonorarium read``: the facts of a score file, and what was repaired, guessed or left out in reading it."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from sonorarium.cli.output import Json, console, plain_table, print_json

if TYPE_CHECKING:
    from sonorarium.score.score import Remark, Score


def read_command(
    score_file: Annotated[
        Path,
        typer.Argument(metavar="SCORE", help="A file of MusicXML, MEI, Humdrum, ABC or MIDI, whatever its suffix."),
    ],
    as_json: Json = False,
) -> None:
    """What a score file holds: title, parts, bars, notes; and what was repaired, guessed or left out, and where."""
    from sonorarium.score.reading import read_score

    score = read_score(score_file)
    if as_json:
        print_json("read", facts(score))
    else:
        _print(score)


def facts(score: Score) -> dict[str, object]:
    """The facts of a score as plain values for JSON."""
    labels = score.bars["label"].tolist()
    return {
        "file": str(score.path),
        "sha256": score.digest,
        "format": score.format,
        "title": score.title,
        "composer": score.composer,
        "date": score.date,
        "rights": score.rights,
        "encoder": score.encoder,
        "bars": {
            "count": len(labels),
            "first": labels[0] if labels else "",
            "last": labels[-1] if labels else "",
        },
        "metres": _metres(score),
        "quarters": str(_quarters(score)),
        "ticks_per_quarter": score.ticks_per_quarter,
        "notes": {"count": len(score.notes), "sounding": len(score.sounding), **_marked(score)},
        "range": _range(score),
        "parts": [
            {
                "name": part.name,
                "staves": part.staves,
                "voices": len(part.voices),
                "transposition": part.transposition,
                "notes": int((score.notes["part"] == index).sum()),
            }
            for index, part in enumerate(score.parts)
        ],
        "remarks": [_remark(score, one) for one in score.remarks],
    }


def _remark(score: Score, remark: Remark) -> dict[str, object]:
    part = score.parts[remark.part].name if 0 <= remark.part < len(score.parts) else ""
    return {"what": remark.what, "part": part, "part_index": remark.part, "bar": remark.bar}


def _quarters(score: Score) -> object:
    from fractions import Fraction

    return Fraction(score.end, score.ticks_per_quarter)


def _marked(score: Score) -> dict[str, int]:
    """How many notes are marked, by kind."""
    notes = score.notes
    return {kind: int(notes[kind].sum()) for kind in ("grace", "cue", "hidden")} | {
        "unpitched": int((notes["pitch"] < 0).sum())
    }


def _metres(score: Score) -> list[str]:
    """The metres in the order of their first bars; "none" where there is none."""
    pairs = zip(score.bars["beats"].tolist(), score.bars["beat_type"].tolist(), strict=True)
    return list(dict.fromkeys(f"{beats}/{unit}" if beats else "none" for beats, unit in pairs))


def _range(score: Score) -> list[str]:
    """Lowest and highest sounding note."""
    from sonorarium.score.notenames import sounding_names

    rows = score.notes[score.sounding]
    if not len(rows):
        return []
    return list(sounding_names(rows[[int(rows["pitch"].argmin()), int(rows["pitch"].argmax())]]))


def _print(score: Score) -> None:
    out = console()
    known = facts(score)
    labels = score.bars["label"]
    marked = ", ".join(f"{count} {kind}" for kind, count in _marked(score).items() if count)
    lowest_and_highest = " to ".join(_range(score)) or "no pitched note"
    rows = {
        "title": score.title or "not stated",
        "composer": score.composer or "not stated",
        "date": score.date,
        "rights": score.rights,
        "encoder": score.encoder,
        "format": score.format,
        "bars": f"{len(labels)}, printed {labels[0]} to {labels[-1]}" if len(labels) else "none",
        "metre": ", ".join(_metres(score)),
        "notes": f"{len(score.notes)}" + (f", of these {marked}" if marked else "") + f"; {lowest_and_highest}",
        "SHA-256": known["sha256"],
    }
    for key, value in rows.items():
        if value:
            out.print(f"{key:<10}{value}", soft_wrap=True)
    table = plain_table("part", "staves", "voices", "notes", "sounds", title="")
    for index, part in enumerate(score.parts):
        shift = f"{part.transposition:+d}" if part.transposition else "as written"
        count = int((score.notes["part"] == index).sum())
        table.add_row(part.name or f"({index + 1})", str(part.staves), str(len(part.voices)), str(count), shift)
    out.print()
    out.print(table)
    out.print()
    for remark in score.remarks:
        out.print(f"{_where(score, remark)}{remark.what}", soft_wrap=True)
    if not score.remarks:
        out.print("Nothing was repaired, guessed or left out.")


def _where(score: Score, remark: Remark) -> str:
    """Part and bar of a remark, before its sentence."""
    part = score.parts[remark.part].name or f"part {remark.part + 1}" if remark.part >= 0 else ""
    bar = f"bar {remark.bar}" if remark.bar else ""
    where = ", ".join(filter(None, (part, bar)))
    return f"{where}: " if where else ""
