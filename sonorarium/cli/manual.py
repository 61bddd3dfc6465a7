"""The manual of the command line, made from the commands' own declarations."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import typer
from typer.core import TyperArgument, TyperCommand, TyperGroup, TyperOption

_INTRODUCTION = """# Commands

Made from the commands themselves. Results go to standard output, progress and remarks to standard error, so results
can be piped. With `--json` a command prints one JSON document with sorted keys, a `kind` and a `schema` number.

| exit status | meaning |
|---|---|
| 0 | done |
| 1 | nothing found |
| 2 | input not understood |
| 3 | input damaged |
| 4 | an outside renderer failed or is missing |
| 130 | stopped by Ctrl-C |
"""


def manual() -> str:
    """Write the manual as Markdown."""
    from sonorarium.cli.app import app

    pages = [_page(path, command) for path, command in _walk(typer.main.get_command(app), "sonorarium")]
    return "\n".join([_INTRODUCTION, *pages])


def _walk(command: Any, path: str) -> Iterator[tuple[str, TyperCommand]]:
    if isinstance(command, TyperGroup):
        for name in sorted(command.commands):
            yield from _walk(command.commands[name], f"{path} {name}")
    else:
        yield path, command


def _page(path: str, command: TyperCommand) -> str:
    arguments = [p for p in command.params if isinstance(p, TyperArgument)]
    usage = " ".join([path, *(_argument(a) for a in arguments), "[OPTIONS]"])
    lines = [f"## `{path}`", "", (command.help or "").strip(), "", f"    {usage}", ""]
    options = [p for p in command.params if isinstance(p, TyperOption)]
    if options:
        lines += ["| option | meaning |", "|---|---|", *(_option(o) for o in options), ""]
    return "\n".join(lines)


def _argument(argument: TyperArgument) -> str:
    name = (argument.metavar or argument.name or "").upper().strip("[]")
    shown = f"{name}..." if argument.nargs == -1 else name
    return shown if argument.required else f"[{shown}]"


def _option(option: TyperOption) -> str:
    names = ", ".join(f"`{name}`" for name in [*option.opts, *option.secondary_opts])
    default = option.default
    shown = "" if default in (None, False, ()) or callable(default) else f" (default {default})"
    return f"| {names} | {(option.help or '').strip()}{shown} |"
