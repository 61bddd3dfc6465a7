"""How results are printed: one JSON document, or text for a terminal of 80 columns."""

from __future__ import annotations

import json
import sys
from typing import Annotated, Any

import typer
from rich.console import Console
from rich.table import Table

SCHEMA = 1
"""Version of the JSON documents; it changes when a key changes its meaning or goes."""

Json = Annotated[bool, typer.Option("--json", help="Print one JSON document with stable keys.")]


def print_json(kind: str, document: dict[str, Any]) -> None:
    """Print a result as one JSON document, keys sorted, with its kind and schema version."""
    whole = {"kind": kind, "schema": SCHEMA, **document}
    json.dump(whole, sys.stdout, ensure_ascii=False, sort_keys=True, indent=2)
    sys.stdout.write("\n")


def console() -> Console:
    """The terminal results go to: colourless, and 80 columns wide where it is no terminal."""
    return Console(width=None if sys.stdout.isatty() else 80, highlight=False, no_color=True, markup=False)


def remarks() -> Console:
    """The terminal that progress and remarks go to."""
    return Console(stderr=True, highlight=False, markup=False)


def plain_table(*columns: str, title: str = "") -> Table:
    """A table without boxes, as on an engraver's sheet."""
    table = Table(*columns, title=title or None, title_justify="left", box=None, pad_edge=False, show_edge=False)
    table.header_style = "italic"
    return table
