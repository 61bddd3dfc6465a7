"""Typesetting: pages as PDF, drawings as PNG.

One small door to the typesetter (typst). Behind it only our own fonts exist, so a page looks the same on every
machine; a font that is asked for and not there is an error, not another font. Nothing is fetched: the source
and the files that are handed over are all there is. The same input gives the same bytes: the creation date is
a fixed one unless another is given.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import UTC, datetime
from functools import cache
from pathlib import Path, PurePosixPath
from tempfile import TemporaryDirectory
from typing import Any, Literal

from sonorarium.errors import InputError, ToolError
from sonorarium.render.typeface import FONT_FOLDER, SERIF

CREATED = datetime(2000, 1, 1, tzinfo=UTC)
"""Creation date written into every document where no other is given."""

PAPER = "#fbf7ee"
"""Colour of the workbench's paper."""

PREAMBLE = f'#set text(font: "{SERIF}", size: 11pt, lang: "en")\n'
"""What every document begins with; it may set other things later."""

COLOUR = re.compile(r"#[0-9a-fA-F]{6}")
PACKAGE = re.compile(r"\"@[\w-]+/")


@cache
def fonts() -> Any:
    """Our fonts, opened once for the typesetter."""
    import typst

    return typst.Fonts(include_system_fonts=False, include_embedded_fonts=False, font_paths=[str(FONT_FOLDER)])


def typeset(source: str, files: Mapping[str, bytes] | None = None, *, created: datetime = CREATED) -> bytes:
    """Set a document.

    Parameters
    ----------
    source : str
        The document in typst's language. It may use the families "Sonorarium Serif" and "Sonorarium Sans".
    files : mapping of str to bytes, optional
        What the source refers to, by relative name: drawings, pictures, data.
    created : datetime
        Creation date, with time zone.

    Returns
    -------
    bytes
        A PDF, the same for the same input.

    Raises
    ------
    InputError
        When a file's name leads elsewhere, or the source asks for a package from the network.
    ToolError
        When the typesetter refuses the source, or it names a font that is not ours.

    Examples
    --------
    >>> typeset("= The double harmonic scale")[:5]
    b'%PDF-'
    """
    return _compile(source, files or {}, "pdf", created=created)


def paint(svg: str, width_px: int, *, paper: str | None = None) -> bytes:
    """Turn a drawing into a PNG.

    Parameters
    ----------
    svg : str
        Such as `Engraving.svg`.
    width_px : int
        Width, 1 to 20000 pixels; the height follows.
    paper : str, optional
        Ground colour as ``#rrggbb``; transparent where not given.

    Raises
    ------
    InputError
        When width or colour cannot be.
    ToolError
        When the drawing cannot be read.

    Examples
    --------
    >>> paint('<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 2 1"><rect width="2" height="1"/></svg>', 8)[1:4]
    b'PNG'
    """
    if not 1 <= width_px <= 20000:
        raise InputError(f"A picture cannot be {width_px} pixels wide.", value=width_px)
    if paper is not None and not COLOUR.fullmatch(paper):
        raise InputError(f"{paper!r} is no colour.", value=paper, suggestion='Write it as "#fbf7ee".')
    fill = "none" if paper is None else f'rgb("{paper}")'
    source = (
        f"#set page(width: {width_px}pt, height: auto, margin: 0pt, fill: {fill})\n"
        f'#image("drawing.svg", width: {width_px}pt)'
    )
    return _compile(source, {"drawing.svg": svg.encode()}, "png")


def _compile(
    source: str,
    files: Mapping[str, bytes],
    kind: Literal["pdf", "png"],
    *,
    created: datetime = CREATED,
) -> bytes:
    """Run the typesetter in a folder of its own."""
    import typst

    if PACKAGE.search(source):
        raise InputError("The document asks for a package from the network, which is never fetched.")
    with TemporaryDirectory(prefix="sonorarium-page-") as folder:
        for name, content in files.items():
            _place(Path(folder), name, content)
        main = Path(folder) / "main.typ"
        main.write_text(PREAMBLE + source, encoding="utf-8")
        try:
            made, warnings = typst.compile_with_warnings(
                str(main), root=folder, font_paths=fonts(), format=kind, ppi=72.0, timestamp=created
            )
        except typst.TypstError as error:
            raise ToolError(f"The page could not be set: {error.args[0]}.", value=error.args[0]) from error
    for warning in warnings:
        if "font" in str(warning):
            raise ToolError(f"The page could not be set: {warning}.", suggestion="Use the fonts of Sonorarium.")
    return bytes(made)


def _place(folder: Path, name: str, content: bytes) -> None:
    """Write one file into the folder; its name may not lead out of it."""
    path = PurePosixPath(name)
    if path.is_absolute() or ".." in path.parts or not path.parts or name == "main.typ" or "\\" in name:
        raise InputError(f"A file cannot be called {name!r} here.", value=name)
    target = folder / path
    target.parent.mkdir(parents=True, exist_ok=True)
    target.write_bytes(content)
