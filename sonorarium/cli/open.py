"""``sonorarium open``: the workbench in the browser."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from sonorarium.cli.output import remarks


def open_command(
    study: Annotated[Path, typer.Argument(help="The study, or a folder inside it.")] = Path(),
    folder: Annotated[
        list[Path] | None, typer.Option(help="A folder of scores that the shelf page may look into; may be repeated.")
    ] = None,
    shelf: Annotated[Path | None, typer.Option(help="Folder of the shelf; your usual one by default.")] = None,
    port: Annotated[
        int, typer.Option(min=0, max=65535, help="Port on this computer; 0 for any that is free.")
    ] = 8642,
    browser: Annotated[bool, typer.Option(help="Open a browser window.")] = True,
) -> None:
    """Serve the workbench to this computer alone, and open it in the browser. Ctrl-C ends it."""
    import webbrowser

    from sonorarium.cli.study import study_at
    from sonorarium.shelf.shelf import Shelf, shelf_folder
    from sonorarium.web.serving import serve

    def opened(url: str) -> None:
        print(url, flush=True)
        remarks().print("The workbench answers this computer alone. Ctrl-C ends it. Set the volume low first.")
        if browser:
            webbrowser.open(url)

    serve(study_at(study), Shelf(shelf_folder(shelf)), folders=folder or (), port=port, opened=opened)
