"""``sonorarium atlas``: what the shelf uses and what it leaves unused."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from sonorarium.cli.output import Json, console, plain_table, print_json

if TYPE_CHECKING:
    from sonorarium.shelf.atlas import Sonority


def atlas_command(
    size: Annotated[list[int] | None, typer.Option(help="Only classes of so many notes; may be repeated.")] = None,
    unused: Annotated[bool, typer.Option("--unused", help="Only what is hardly used, or not at all.")] = False,
    kind: Annotated[str, typer.Option(help="What is counted: slice, chord, line or texture.")] = "slice",
    limit: Annotated[int, typer.Option(min=1, help="At most so many of each list; JSON has all.")] = 20,
    place: Annotated[Path | None, typer.Option("--shelf", help="Folder of the shelf.")] = None,
    as_json: Json = False,
) -> None:
    """What the shelf uses, hardly uses, and leaves unused; of the last two, what sounds well comes first."""
    from sonorarium.shelf.atlas import draw_atlas
    from sonorarium.shelf.shelf import open_shelf

    atlas = draw_atlas(open_shelf(place), kind=kind, sizes=size or ())
    if as_json:
        document = atlas.as_dict()
        print_json("atlas", {key: value for key, value in document.items() if not unused or key != "used"})
        return
    if not unused:
        _print("Used", atlas.used, limit)
    _print("Hardly used: in one score alone", atlas.hardly, limit)
    _print("Unused", atlas.unused, limit)


def _print(title: str, sonorities: tuple[Sonority, ...], limit: int) -> None:
    told = f"{title} ({len(sonorities)})"
    if not sonorities:
        console().print(f"{told}\n")
        return
    table = plain_table("class", "times", "scores", "consonance", "roughness", title=told)
    for one in sonorities[:limit]:
        table.add_row(one.label, f"{one.count:,}", str(one.scores), f"{one.consonance:.2f}", f"{one.roughness:.2f}")
    console().print(table)
    more = len(sonorities) - limit
    console().print(f"and {more} more\n" if more > 0 else "")
